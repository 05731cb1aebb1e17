"""A pasted or dictated price list, understood line by line; what is not sure is asked, never guessed."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache

from partway.errors import Refused
from partway.pricelist.against.compared import Said
from partway.pricelist.against.consistent import in_one_unit
from partway.pricelist.asking.questions import settled
from partway.pricelist.asking.shown import AS_SHOWN, settled_as
from partway.pricelist.copying import replace
from partway.pricelist.items import items_in, weight_in
from partway.pricelist.judging import judged, lot_key
from partway.pricelist.layout.chat import without_speakers, yards_apart
from partway.pricelist.layout.headings import units_over_rows
from partway.pricelist.layout.ticket_fees import NO_FEE, TicketFee
from partway.pricelist.lexicon import Called, called, lexicon_of
from partway.pricelist.lines import EACH, Asks, GradeChoice, Item, ListSheet, PieceMass, PriceLine, nobody_says
from partway.pricelist.refusing import each_moved, each_refused
from partway.pricelist.tables.columns import with_cells
from partway.pricelist.tables.one_column import one_column, without_codes
from partway.pricelist.tables.price_columns import (
    column_names,
    minimums_in_words,
    side_by_side_prices,
    tiers_in_words,
    whole_names,
)
from partway.pricelist.tables.side_by_side import one_below_the_other
from partway.pricelist.tables.transposed import latest_of_days
from partway.quantities import kg_per, shown
from partway.spoken.tokens import level, pattern
from partway.things.currencies import CURRENCIES
from partway.things.material import Grade

COMMAS = re.compile(r"(?<![\w.,])[0-9]+,([0-9]+)(?![\w,.]*[0-9])")
POINTS = re.compile(r"[0-9]\.[0-9]|(?<!\w)\.[0-9]")
THOUSANDS = re.compile(r"(?<![\w.,])[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]{2}(?![\w,.])")
DATES = re.compile(r"(?<![\w.,])[0-9]{1,2}\.[0-9]{1,2}\.(?:[0-9]{2}){1,2}(?![\w,])")
LEAST_COMMAS = 2
OTHERWISE = {  # what may be answered besides the choices
    "grade": ", or the name of a grade",
    "price": ', or a price such as "4.10"',
    "piece": ', or what one piece weighs, such as "40 lb"',
}


def read_price_list(
    text: str,
    grades: Mapping[str, Grade],
    currency: str,
    unit: str,
    known: Mapping[str, float],
    *,
    comma: bool = False,
    pieces: Mapping[str, int] | None = None,
    mosts: Mapping[tuple[str, int], tuple[int, int]] | None = None,
    elsewhere: Callable[[str, Sequence[str]], PieceMass | None] = nobody_says,
    known_fee: TicketFee = NO_FEE,
    noted: str = "",
) -> list[PriceLine]:
    """What a price list says, such as "no 2 copper 4.10, motors 38c, 304 stainless not taking".

    `currency` and `unit` (of a bare price) are the workspace's; `known` are the buyer's previous prices per kg;
    `comma` says that decimals come after a comma where the writer is; `pieces`, `elsewhere` and `mosts` are what
    one piece weighed and the most that was taken until now, `known_fee` and `noted` its terms (see ListSheet). Any
    text is read, if only to be asked about; Refused is raised for a currency or a unit that does not exist.
    """
    sheet = sheet_of(grades, currency, unit, known, comma=comma or decimals_after_comma(text))
    sheet = replace(sheet, pieces=dict(pieces or {}), mosts=dict(mosts or {}), elsewhere=elsewhere)
    sheet = replace(sheet, known_fee=known_fee, noted=" ".join(noted.lower().split()))
    text = without_codes(text if sheet.comma else with_cells(text))
    text = one_column(text, sheet.hearing, sheet.lexicon.has)
    text = _in_rows(text, sheet)
    table = text if sheet.comma else with_cells(text)  # else a comma parts whole units and hundredths
    columns = column_names(table)
    text = side_by_side_prices(table) or text
    text, yards = yards_apart(text, sheet.lexicon)
    sheet = replace(sheet, yards=yards, columns=columns)
    items = each_moved(each_refused(in_one_unit(items_in(text, sheet)), sheet), sheet)
    said = [
        (position, text[item.start : item.end].strip().removeprefix(". "), item)
        for position, item in enumerate(items, 1)
    ]
    return judged(said, sheet)


def _in_rows(text: str, sheet: ListSheet) -> str:
    """The text with what stands in tables, in two columns and in threads of messages as rows of names and prices."""
    rows = one_below_the_other(latest_of_days(without_speakers(text, sheet.lexicon)))
    rows = units_over_rows(rows, sheet.hearing)
    return whole_names(tiers_in_words(minimums_in_words(rows)), sheet.lexicon)


def decimals_after_comma(text: str) -> bool:
    """Whether a list writes all of its prices with a comma and two digits, and nothing with a point."""
    plain = THOUSANDS.sub(lambda found: found[0].replace(".", ""), DATES.sub(" ", text))
    found = COMMAS.findall(plain)
    return len(found) >= LEAST_COMMAS and all(len(after) == 2 for after in found) and not POINTS.search(plain)


def sheet_of(
    grades: Mapping[str, Grade], currency: str, unit: str, known: Mapping[str, float], *, comma: bool = False
) -> ListSheet:
    """What lists are read against; raises Refused for a currency or a unit that does not exist."""
    if currency not in CURRENCIES:
        raise Refused(shown(currency), 'a currency in use, such as "CAD" (ISO 4217)', "price list: currency")
    kg_per(unit)
    shapes, ids = _shapes(called(grades))
    return ListSheet(grades, currency, unit, known, comma, lexicon_of(grades), shapes, ids)


@lru_cache(maxsize=4)
def _shapes(grades: Called) -> tuple[re.Pattern[str], dict[str, str]]:
    """What the pieces of a text look like, and the grades by their exact names and ids."""
    ids = {" ".join(level(name).split()): grade for grade, full, *_ in grades for name in (full, grade)}
    return pattern(ids), ids


def answer(lines: list[PriceLine], position: int, choice: str) -> list[PriceLine]:
    """The lines with one question answered, all of them judged anew.

    `choice` is the key or the label of one of the line's choices. A grade may also be answered by any name or id, a
    price by any price ("4.10", "38c", "180 a short ton"). One of several names that are asked about together may be
    answered by its own position. A line left out is gone; the others keep their positions.
    Raises Refused.
    """
    line = _asking(lines, position, choice)
    if line is None or line.sheet is None or not (line.question or line.offers):
        open_lines = ", ".join(str(line.position) for line in lines if line.question) or "none is open"
        raise Refused(f"line {position}", f"a line with a question: {open_lines}", "price list")
    chosen, picked = _chosen(line, choice)
    dropped = {position} if chosen is None else set()
    if line.asks == "twice" and chosen is not None and not (picked and picked.settles[0]):
        kept = next((other.position for other in lines if other.item is chosen), position)
        dropped = {other.position for other in lines if lot_key(other) == lot_key(line)} - {kept}
    said = [
        (other.position, other.text, chosen if chosen is not None and other is line else _so_named(other, line, chosen))
        for other in lines
        if other.position not in dropped
    ]
    name, value = picked.settles if picked else ("", "")
    sheet = replace(line.sheet, **{name: value}) if name else line.sheet  # type: ignore[arg-type]
    last = max(other.position for other in lines)
    said = _together(said, dict(picked.together if picked else ()))
    said += [(last + n, line.text, item) for n, item in enumerate(picked.also if picked else (), 1)]
    return judged(said, sheet)


def _asking(lines: Sequence[PriceLine], position: int, choice: str) -> PriceLine | None:
    """The line with that position; that all names are right as shown, the one that asks it by now, where some of them
    were answered before.
    """
    line = next((line for line in lines if line.position == position), None)
    if choice == AS_SHOWN and not (line and any(one.together for one in line.choices)):
        return next((one for one in lines if any(choice.together for choice in one.choices)), line)
    return line


def _together(said: Sequence[Said], settled: Mapping[int, Item]) -> list[Said]:
    """The lines, those that were answered together read so, and with them what goes by the very same words."""
    words = {item.words: settled[at] for at, _, item in said if at in settled and item.words and settled[at].settled}

    def read(at: int, item: Item) -> Item:
        same = words.get(item.words)
        if at in settled or same is None or item.refuses != same.refuses or not item.prices:
            return settled.get(at, item)
        return settled_as(item, same.exact)

    return [(at, text, read(at, item)) for at, text, item in said]


def _so_named(other: PriceLine, line: PriceLine, chosen: Item | None) -> Item:
    """The item of another line, of the grade that was answered where it goes by the very same words: its tiers."""
    same = line.asks == "grade" and bool(line.item.words) and other.item.words == line.item.words
    if not same or chosen is None or not chosen.exact or other.item.exact or other.item.refuses != line.item.refuses:
        return other.item
    return replace(other.item, exact=chosen.exact, words=(), called=other.item.words)


def _chosen(line: PriceLine, choice: str) -> tuple[Item | None, GradeChoice | None]:
    """What the line becomes, None if it is left out, and which of its choices that was."""
    wanted = _even(choice)
    found: GradeChoice | None = next(
        (one for one in (*line.choices, *line.offers) if wanted in {_even(one.key), _even(one.label)}), None
    )
    if found is not None:
        return found.becomes, found
    item = _in_words(line, choice)
    if item is None:
        keys = ", ".join(shown(one.key) for one in line.choices)
        more = OTHERWISE.get(_asks(line), "")
        raise Refused(shown(choice), f"one of {keys}{more}", f"price list: line {line.position}")
    return item, None


def _asks(line: PriceLine) -> Asks:
    """What a line asks, or would ask if it were not asked about together with others."""
    if not (line.offers and line.asks == "with"):
        return line.asks
    return "price" if line.grade else "grade"


def _even(text: str) -> str:
    return " ".join(level(text).split())


def _in_words(line: PriceLine, choice: str) -> Item | None:
    """An answer that is none of the choices: a grade's name, a price, or what one piece weighs."""
    asks = _asks(line)
    if line.sheet is None or asks not in OTHERWISE:
        return None
    if asks == "piece" and (one := weight_in(choice, line.sheet)) is not None:
        return replace(line.item, piece=one)
    items = items_in(choice, line.sheet)
    if len(items) != 1:
        return None
    item = items[0]
    if asks == "grade":
        if item.prices or item.refuses or not item.named:
            return None
        scores, whole = line.sheet.lexicon.match(item.words)
        grade = item.exact or (scores[0][0] if whole and len(scores) == 1 else "")
        return replace(line.item, exact=grade, words=(), called=line.item.words) if grade else None
    if item.named or item.refuses or len(item.prices) != 1 or item.fault or item.prices[0].fault:
        return None
    if asks == "piece" and not (item.units or item.each):
        return None  # "40" is no price here, and no mass either
    return _repriced(line.item, item, line.sheet.unit)


def _repriced(before: Item, item: Item, unit: str) -> Item:
    """The item at a price that was typed in answer; what it is for is kept where that was not said again."""
    each, units = item.each or (before.each and not item.units), item.units or before.units
    piece = item.piece or before.piece
    priced = replace(before, prices=item.prices, units=units, each=each, piece=piece, fault="", refuses=False)
    per = EACH if each else units[0] if units else unit
    explicit = item.prices[0].style == "exact" and (each or len(units) < 2)
    return settled(priced, (item.prices[0].readings[0], per)) if explicit else priced
