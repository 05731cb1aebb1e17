"""What is left over of a list: words with a figure or a unit that no rule has read are never dropped in silence."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from partway.pricelist.asking.columns import few_of
from partway.pricelist.asking.questions import LEAVE_OUT, quoted, what_price
from partway.pricelist.layout.asides import is_aside_segment
from partway.pricelist.lines import GradeChoice, ListSheet, PriceLine
from partway.spoken.numbers import number_at, phrase_end, word_at
from partway.spoken.tokens import Token, tokens_of
from partway.spoken.tongue import Hearing
from partway.spoken.units import per_at, unit_name_at

LEAVE_ASIDE = "leave aside"
BEFORE_NAMES = "the last name of its row has no price, so each price may be of the name behind it"


def shifted_asked(lines: Sequence[PriceLine], sheet: ListSheet) -> list[PriceLine]:
    """The lines, asked about where names and prices run on and a name without a price is the last: in "copper 4.10 #1
    3.90 #2" the prices may stand before their names. One that was answered stays.
    """
    asked = list(lines)
    bare = [at for at, line in enumerate(lines) if _runs_on(lines, at) and _is_bare(line, sheet)]
    for at in (before for last in bare for before in _priced_before(lines, last)):
        line = asked[at]
        if line.status == "understood" and not line.item.sure:
            status, asks, question, choices = what_price(line.text, line.item, BEFORE_NAMES)
            asked[at] = replace(line, status=status, asks=asks, question=question, choices=choices)
    return asked


def _priced_before(lines: Sequence[PriceLine], at: int) -> Iterator[int]:
    """The places of the names with prices that run on into a line, the last first."""
    while _runs_on(lines, at) and lines[at - 1].item.prices:
        at -= 1
        yield at


def _runs_on(lines: Sequence[PriceLine], at: int) -> bool:
    """Whether nothing parts a line from the one before it, in the same row."""
    return at > 0 and not lines[at].item.fresh and lines[at].item.row == lines[at - 1].item.row


def _is_bare(line: PriceLine, sheet: ListSheet) -> bool:
    """Whether it is a name of something here without a price, a refusal or anything else."""
    item = line.item
    if item.gaps or not (item.exact or sheet.lexicon.match(item.words)[1]):  # "(50 on the phone)" is talk
        return False
    said = item.prices or item.refuses or item.shared or item.heads
    return item.named and not said and line.asks in {"grade", "price"}


def leftovers_asked(lines: Sequence[PriceLine], sheet: ListSheet) -> list[PriceLine]:
    """The lines, those passed over asked about where they may say something of a price."""
    if sheet.rest == LEAVE_ASIDE:
        return list(lines)
    priced = {line.item.row for line in lines if line.item.prices and line.status != "remark"}
    return [_asked(line) if _may_matter(line, priced, sheet) else line for line in lines]


def _asked(line: PriceLine) -> PriceLine:
    question = f"{quoted(line.text)} was not read, and may say something of a price beside it; leave it aside?"
    return replace(line, status="unknown", asks="rest", question=question, choices=(LEAVE_OUT,), passed_over="")


def is_rest(line: PriceLine) -> bool:
    """Whether a line asks only what words that are left over say."""
    return line.asks == "rest"


def ask_rest(lines: Sequence[PriceLine], sheet: ListSheet) -> tuple[str, tuple[GradeChoice, ...]]:
    """The one question about all that is left over, and its answer."""
    del sheet
    said = few_of([quoted(line.text) for line in lines])
    choice = GradeChoice(LEAVE_ASIDE, "leave all of it aside", lines[0].item, settles=("rest", LEAVE_ASIDE))
    return f"{said} were not read, and may say something of the prices beside them; leave all of it aside?", (choice,)


def _may_matter(line: PriceLine, priced: set[int], sheet: ListSheet) -> bool:
    """Whether words were passed over that have a figure, a unit or a condition, in a row with a price."""
    bound = line.passed_over == "ticket" and line.item.named and not line.item.term
    if not (bound or line.passed_over == "no price") or line.item.row not in priced:
        return False
    said = [token for token in tokens_of(line.text) if token.kind != "break"]
    return not is_aside_segment(said, sheet.hearing, sheet.lexicon) and says_more(said, sheet.hearing)


def says_more(said: Sequence[Token], hearing: Hearing) -> bool:
    """Whether words say an amount of money, a mass, a share, a bound, or what a price is per."""
    return any(_matters_at(said, at, hearing) for at in range(len(said)))


def _matters_at(said: Sequence[Token], at: int, hearing: Hearing) -> bool:
    tongue, word = hearing.tongue, word_at(said, at)
    if word in {"%", "percent", "$", "£", "€", *tongue.hundredths} - {"c"}:
        return True
    if word in tongue.per and word not in {"the", "by"} and (per := per_at(said, at, hearing)) is not None:
        return bool(per.units or per.each or per.fault)
    if word in tongue.each - {"unit", "piece", "pieces"}:
        return True
    bounds = (*tongue.minimum, *tongue.maximum, *tongue.from_lot, *tongue.below, *tongue.above)
    bound = phrase_end(said, at, bounds)
    number = number_at(said, at if bound is None else bound, hearing)
    if number is None:
        return False
    return bound is not None or unit_name_at(said, number[2], hearing) is not None or _taken_off(said, at, hearing)


def _taken_off(said: Sequence[Token], at: int, hearing: Hearing) -> bool:
    return word_at(said, at - 1) in hearing.tongue.relative | {"minus", "plus"}
