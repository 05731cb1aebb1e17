"""Questions that one answer settles for a whole list: whole numbers, mistyped or unknown names, bare masses, tons."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Literal

from partway.pricelist.asking.columns import (
    ask_column,
    ask_payer,
    few_of,
    is_column,
    is_payer,
    named_all,
    of_one_table,
)
from partway.pricelist.asking.leftover import ask_rest, is_rest
from partway.pricelist.asking.questions import LEAVE_OUT, either, price_text, quoted
from partway.pricelist.asking.scale import ask_scale, is_scaled, of_one_scale
from partway.pricelist.asking.shown import ask_names, is_open_name, offered, proposals
from partway.pricelist.asking.twice import ask_twice, is_twice
from partway.pricelist.copying import replace
from partway.pricelist.lines import EACH, PIECES, GradeChoice, Item, ListedLot, ListSheet, PriceLine
from partway.quantities import plain_text
from partway.spoken.money import Heard
from partway.things.units import TONS

ONE_BY_ONE = "one by one"
ONE_MORE = 0.4  # how well words fit the one name that has about half of them
MOST_CENTS = 100  # whole numbers below may be cents; one above may be a price for a ton, of iron and steel it rather is
Settles = Literal["whole", "names", "column", "pays", "lots", "tons", "rest", "headed_in", "scale", "twice"]


def asked_once(lines: Sequence[PriceLine], sheet: ListSheet) -> list[PriceLine]:
    """The lines with questions of one sort asked in the first of them alone; the others wait for its answer."""
    found = _names_at_once(_named_once(lines), sheet)
    for kind, belongs, ask in GROUPS:
        members = [line for line in found if belongs(line)]
        members = NARROWED.get(kind, list)(members)
        if len(members) < 2 or getattr(sheet, kind):
            continue
        question, choices = ask(members, sheet)
        first, waits = members[0].position, {line.position for line in members}
        for at, line in enumerate(found):
            if line.position == first:
                found[at] = replace(line, question=question, choices=(*choices, *_apart(line, kind), _without(line)))
            elif line.position in waits:
                found[at] = replace(line, question="", choices=(), asks="with")
    return found


def _names_at_once(lines: Sequence[PriceLine], sheet: ListSheet) -> list[PriceLine]:
    """The lines, all names that are not sure asked about in the first of them, each with its own answers."""
    named = [line for line in lines if is_open_name(line)]
    told = dict(proposals(named, sheet, lines))
    also = len(named) > 1 or any(told.values())  # a name alone of which nothing is proposed has a question of its own
    members = [line for line in lines if is_open_name(line) or (also and is_rest(line))]
    if len(members) < 2 or sheet.names:
        return list(lines)
    told |= {line.position: "" for line in members if is_rest(line)}
    question, choices = ask_names(members, sheet, told)
    first = members[0]
    found: list[PriceLine] = []
    for line in lines:
        if line.position not in told:
            found.append(line)
            continue
        own = replace(line, offers=offered(line, told[line.position]))
        asks = (*choices, *_apart(line, "names"), _without(line)) if line is first else ()
        waits = line.asks if line is first else "with"
        found.append(replace(own, question=question if line is first else "", choices=asks, asks=waits))
    return found


def _named_once(lines: Sequence[PriceLine]) -> list[PriceLine]:
    """The lines, of those that go by the very same words only the first asking which grade it is."""
    said: set[tuple[str, ...]] = set()
    found: list[PriceLine] = []
    for line in lines:
        asks = line.asks == "grade" and bool(line.candidates) and not line.item.exact and not line.nearly
        again = asks and line.item.words in said and bool(line.item.prices)
        found.append(replace(line, question="", choices=(), asks="with") if again else line)
        said |= {line.item.words} if asks and line.item.prices else set()
    return found


def _apart(line: PriceLine, kind: Settles) -> tuple[GradeChoice, ...]:
    return (GradeChoice(ONE_BY_ONE, "ask about each of them", line.item, settles=(kind, ONE_BY_ONE)),)


def _without(line: PriceLine) -> GradeChoice:
    """Leave out the line that asks for several: it says which one, as the others stay."""
    return replace(LEAVE_OUT, label=f"leave {quoted(line.text)} out")


def is_whole(line: PriceLine) -> bool:
    """Whether a line asks only if a whole number is one of hundredths."""
    prices = line.item.prices
    bare = len(prices) == 1 and prices[0].style in {"bare", "dash"} and len(prices[0].readings) == 2
    whole = line.asks == "price" and line.status == "ambiguous" and bare and line.unit not in (*TONS, EACH)
    grade = line.sheet.grades.get(line.grade or "") if line.sheet else None
    rather_a_ton = grade is None or grade.family == "ferrous"
    return whole and 0 < prices[0].readings[0] < (MOST_CENTS if rather_a_ton else 10 * MOST_CENTS)


def _ask_whole(lines: Sequence[PriceLine], sheet: ListSheet) -> tuple[str, tuple[GradeChoice, ...]]:
    numbers = sorted((line.item.prices[0] for line in lines), key=lambda heard: heard.readings[0])
    whole = few_of([_as_said(heard) for heard in numbers])
    cents = few_of([price_text(heard.readings[1], sheet.currency) for heard in numbers])
    units = few_of([price_text(heard.readings[0], sheet.currency) for heard in numbers])
    choices = (
        GradeChoice("cents", f"cents: {cents}", lines[0].item, settles=("whole", "cents")),
        GradeChoice("whole", f"as they are: {units}", lines[0].item, settles=("whole", "whole")),
    )
    return f"Are {whole} cents?", choices


def _as_said(heard: Heard) -> str:
    """A whole number, or the two of "35-38"."""
    if heard.style != "dash" or not heard.ends:
        return plain_text(heard.readings[0])
    return "-".join(plain_text(100 * end) for end in heard.ends[-1])


def is_nearly(candidates: Sequence[tuple[str, float]], *, whole: bool) -> bool:
    """Whether a name is nearly that of one grade alone: mistyped, or with a word too many that nobody knows."""
    return len(candidates) == 1 and (whole or candidates[0][1] >= ONE_MORE)


def is_lot(line: PriceLine) -> bool:
    """Whether a line asks in what unit a mass without one is."""
    return line.asks == "mass" and any(lot and not lot.units for lot in (line.item.from_lot, line.item.minimum))


def _ask_lots(lines: Sequence[PriceLine], sheet: ListSheet) -> tuple[str, tuple[GradeChoice, ...]]:
    lots = [lot for line in lines for lot in (line.item.from_lot, line.item.minimum) if lot and not lot.units]
    lots.sort(key=lambda lot: lot.amount)
    units = tuple(dict.fromkeys((sheet.unit, "lb", "kg", *TONS)))
    choices = tuple(GradeChoice(unit, unit, lines[0].item, settles=("lots", unit)) for unit in units)
    return f"{few_of([plain_text(lot.amount) for lot in lots])} of what: {either(units)}?", choices


def is_ton(line: PriceLine) -> bool:
    """Whether a line asks only which ton its price is for."""
    lots = any(set(lot.units) == set(TONS) for lot in said_lots(line.item))
    return (line.asks == "unit" and set(line.item.units) == set(TONS)) or (line.asks == "mass" and lots)


def _ask_ton(lines: Sequence[PriceLine], sheet: ListSheet) -> tuple[str, tuple[GradeChoice, ...]]:
    names = named_all([sheet.grades[line.grade].name for line in lines if line.grade])
    choices = tuple(GradeChoice(unit, unit, lines[0].item, settles=("tons", unit)) for unit in TONS)
    return f"Which ton is it for {names}: {either(TONS)}?", choices


def is_headed(line: PriceLine) -> bool:
    """Whether a line asks what it is per because a row above names a unit and was not read as a heading."""
    return line.asks == "unit" and line.item.headed and set(line.item.units) != set(TONS)


def _ask_headed(lines: Sequence[PriceLine], sheet: ListSheet) -> tuple[str, tuple[GradeChoice, ...]]:
    names = named_all([sheet.grades[line.grade].name for line in lines if line.grade])
    units = tuple(dict.fromkeys(unit for line in lines for unit in line.item.units))
    choices = tuple(GradeChoice(unit, f"per {unit}", lines[0].item, settles=("headed_in", unit)) for unit in units)
    return f"What are the prices of {names} per: {either(units)}?", choices


def in_that_ton(item: Item, sheet: ListSheet) -> Item:
    """The item in the ton that was answered for the list, where it said no more than a ton; so of a heading."""
    if item.headed and sheet.headed_in in item.units and set(item.units) != set(TONS):
        item = replace(item, units=(sheet.headed_in,))
    if sheet.tons not in TONS:
        return item

    def lot(one: ListedLot | None) -> ListedLot | None:
        return replace(one, units=(sheet.tons,)) if one is not None and set(one.units) == set(TONS) else one

    item = replace(item, from_lot=lot(item.from_lot), minimum=lot(item.minimum), below=lot(item.below))
    return replace(item, units=(sheet.tons,)) if set(item.units) == set(TONS) else item


def said_lots(item: Item) -> list[ListedLot]:
    """The masses said with a price."""
    lots = (item.from_lot, item.minimum, item.below, item.most)
    return [lot for lot in lots if lot is not None and lot.units != (PIECES,)]


def lots_alike(items: Iterable[Item]) -> str:
    """The one unit in which a list says all of its masses; "" where there is none."""
    found = {lot.units for item in items for lot in said_lots(item) if lot.units}
    alike = found.pop() if len(found) == 1 else ()
    return alike[0] if len(alike) == 1 else ""


def with_lots(item: Item, sheet: ListSheet) -> Item:
    """The item with its bare masses in the unit that its price was said per, or that was answered for the list."""
    said = item.units[0] if len(item.units) == 1 and item.units[0] not in TONS else ""
    ton = item.units[0] if len(item.units) == 1 and item.units[0] in TONS else ""
    unit = said or ("" if sheet.lots == ONE_BY_ONE else sheet.lots) or sheet.lots_alike
    if not (unit or ton):
        return item

    def lot(one: ListedLot | None) -> ListedLot | None:
        if one is not None and ton and set(one.units) == set(TONS):
            return replace(one, units=(ton,))  # "245 a long ton, 5 ton min"
        return replace(one, units=(unit,)) if one is not None and unit and not one.units else one

    return replace(item, from_lot=lot(item.from_lot), minimum=lot(item.minimum), below=lot(item.below))


Ask = Callable[[Sequence[PriceLine], ListSheet], tuple[str, tuple[GradeChoice, ...]]]
GROUPS: tuple[tuple[Settles, Callable[[PriceLine], bool], Ask], ...] = (
    ("whole", is_whole, _ask_whole),
    ("column", is_column, ask_column),
    ("pays", is_payer, ask_payer),
    ("lots", is_lot, _ask_lots),
    ("tons", is_ton, _ask_ton),
    ("rest", is_rest, ask_rest),
    ("headed_in", is_headed, _ask_headed),
    ("scale", is_scaled, ask_scale),
    ("twice", is_twice, ask_twice),
)
NARROWED: Mapping[Settles, Callable[[Sequence[PriceLine]], list[PriceLine]]] = {
    "column": of_one_table,
    "scale": of_one_scale,
}
