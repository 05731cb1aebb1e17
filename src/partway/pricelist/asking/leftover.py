"""What is left over of a list: words with a figure or a unit that no rule has read are never dropped in silence."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from partway.pricelist.asking.beside import runs_on
from partway.pricelist.asking.columns import few_of
from partway.pricelist.asking.questions import LEAVE_OUT, Question, quoted, what_price
from partway.pricelist.copying import replace
from partway.pricelist.layout.asides import is_aside_segment
from partway.pricelist.layout.conditions import altered_in
from partway.pricelist.lines import GradeChoice, Item, ListSheet, PriceLine
from partway.pricelist.names import idle, listed, plain_words, states
from partway.spoken.money import SIGNS
from partway.spoken.numbers import number_at, phrase_end, word_at
from partway.spoken.tokens import Token, tokens_of
from partway.spoken.tongue import Hearing
from partway.spoken.units import per_at, unit_name_at

LITTLE = 2  # letters of a word that says nothing of a thing by itself
LEAVE_ASIDE = "leave aside"
BEFORE_NAMES = "the last name of its row has no price, so each price may be of the name behind it"


def shifted_asked(lines: Sequence[PriceLine], sheet: ListSheet) -> list[PriceLine]:
    """The lines, asked about where names and prices run on and a name without a price is the last: in "copper 4.10 #1
    3.90 #2" the prices may stand before their names. One that was answered stays.
    """
    asked = list(lines)
    bare = [at for at, line in enumerate(lines) if runs_on(lines, at) and _is_bare(line, sheet)]
    for at in (before for last in bare for before in _priced_before(lines, last)):
        line = asked[at]
        if line.status == "understood" and not line.item.sure:
            status, asks, question, choices = what_price(line.text, line.item, BEFORE_NAMES)
            asked[at] = replace(line, status=status, asks=asks, question=question, choices=choices)
    return asked


def _priced_before(lines: Sequence[PriceLine], at: int) -> Iterator[int]:
    """The places of the names with prices that run on into a line, the last first."""
    while runs_on(lines, at) and lines[at - 1].item.prices:
        at -= 1
        yield at


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
    priced: dict[int, set[str]] = {}
    for line in lines:
        if line.item.prices and line.status != "remark":
            priced.setdefault(line.item.row, set()).add(line.grade or "")
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
    said = few_of([_put_aside(line.item) if line.item.left else quoted(line.text) for line in lines])
    choice = GradeChoice(LEAVE_ASIDE, "leave all of it aside", lines[0].item, settles=("rest", LEAVE_ASIDE))
    return f"{said} were not read, and may say something of the prices beside them; leave all of it aside?", (choice,)


def _may_matter(line: PriceLine, priced: Mapping[int, set[str]], sheet: ListSheet) -> bool:
    """Whether words were passed over that have a figure, a unit or a condition, in a row with a price."""
    if line.item.open_price or (line.item.refuses and sheet.lexicon.untraded(line.item.words)):
        return False  # "sheet unchanged", "no tires"
    if line.item.note:
        return bool(priced)
    bound = line.passed_over == "ticket" and (not line.item.term or _taken_off_in_cell(line, sheet))
    if not (bound or line.passed_over == "no price"):
        return False
    if line.item.row not in priced:
        return bool(priced) and _parts_lots(line.item) and not line.item.named
    said = [token for token in tokens_of(line.text) if token.kind != "break"]
    if is_aside_segment(said, sheet.hearing, sheet.lexicon):
        return False
    if any(token.among(sheet.hearing.tongue.asides) for token in said):
        return any(token.text[:1].isdigit() for token in said) and says_more(said, sheet.hearing)  # "we are closed if"
    return says_more(said, sheet.hearing) or _of_the_trade(line.item.words, priced[line.item.row], sheet)


def _taken_off_in_cell(line: PriceLine, sheet: ListSheet) -> bool:
    """Whether a cell says what is taken off and no fee, "| less 10%": it is of the price beside it."""
    return line.item.cell and not any(token.among(sheet.hearing.tongue.fees) for token in tokens_of(line.text))


def _parts_lots(item: Item) -> bool:
    """Whether a mass alone in its row parts prices, "over 500 lb", and is no least or most of a visit."""
    return bool(item.from_lot or item.below) and not (item.minimum or item.most)


def put_aside(text: str, item: Item, grade: str, sheet: ListSheet) -> Question | None:
    """Asks about words that a rule put aside, where they may say something of the price beside them."""
    if not item.left or sheet.rest == LEAVE_ASIDE:
        return None
    said = [token for token in tokens_of(" ".join(item.left)) if token.kind != "break"]
    more = says_more(said, sheet.hearing, per=item.units) or altered_in(item.left)
    if not more and not _of_the_trade(item.left, {grade}, sheet):
        return None
    question = f"{quoted(text)}: {_put_aside(item)} was not read, and may say something of the price; leave it aside?"
    choice = GradeChoice(LEAVE_ASIDE, "leave it aside", replace(item, left=()))
    return "ambiguous", "rest", question, (choice, LEAVE_OUT)


def _put_aside(item: Item) -> str:
    return quoted(" ".join(item.left))


def _of_the_trade(words: Sequence[str], grades: set[str], sheet: ListSheet) -> bool:
    """Whether words that were not read have one of the trade that says of what sort a thing of that family is, and more
    than its name.
    """
    plain = set(sheet.hearing.tongue.noise) | listed("talk") | idle() | states()
    for grade in grades:
        plain |= sheet.lexicon.goes_with.get(grade, frozenset()) | sheet.lexicon.clues.get(grade, frozenset())
    families = {sheet.grades[grade].family for grade in grades if grade in sheet.grades}
    said = {one for word in words if word.isalpha() and len(word) > LITTLE for one in plain_words((word,))}
    return any(not families.isdisjoint(sheet.lexicon.families_of(word)) for word in said - plain)


def says_more(said: Sequence[Token], hearing: Hearing, per: Sequence[str] = ()) -> bool:
    """Whether words say an amount of money, a mass, a share, a bound, a condition, or what a price is per, other than
    the unit that it is known to be `per`.
    """
    units = (unit_name_at(said, at, hearing) for at in range(len(said)))
    other = any(named is not None and named[0] != tuple(per) for named in units)
    return other or any(_matters_at(said, at, hearing, per) for at in range(len(said)))


def _matters_at(said: Sequence[Token], at: int, hearing: Hearing, units: Sequence[str]) -> bool:
    tongue, word = hearing.tongue, word_at(said, at)
    if word in {*tongue.shares, *tongue.coins, *SIGNS, *tongue.hundredweight, *tongue.hundredths} - {"c"}:
        return True
    if word in tongue.qualifies:
        return True
    if phrase_end(said, at, tongue.open_prices):
        return True
    if word in tongue.per and word not in {"the", "by"} and (per := per_at(said, at, hearing)) is not None:
        return bool((per.units and per.units != tuple(units)) or per.each or per.fault)
    if word in tongue.each - {"unit", "piece", "pieces"}:
        return True
    bounds = (*tongue.minimum, *tongue.maximum, *tongue.from_lot, *tongue.below, *tongue.above)
    bound = phrase_end(said, at, bounds)
    number = number_at(said, at if bound is None else bound, hearing)
    if number is None:
        return False
    return bound is not None or unit_name_at(said, number[2], hearing) is not None or _taken_off(said, at, hearing)


def _taken_off(said: Sequence[Token], at: int, hearing: Hearing) -> bool:
    return word_at(said, at - 1) in hearing.tongue.relative | hearing.tongue.added
