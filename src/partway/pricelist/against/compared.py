"""The lines of a list held against each other: what its prices say of copper, of whole numbers and of shared names."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal

from partway.pricelist.against.bands import COPPER, around, band_of, usual_band
from partway.pricelist.against.consistent import highest_pointed, whole_of
from partway.pricelist.copying import replace
from partway.pricelist.lines import Item, ListSheet
from partway.pricelist.pricing import PricedFor, lot_mg, price_fault, priced
from partway.quantities import kg_per

SURE = frozenset(["exact", "split"])  # how a price is said that has one reading where nothing speaks against it
Said = tuple[int, str, Item]  # position, text, what was heard
Names = tuple[str | None, tuple[tuple[str, float], ...]]


def implied_copper(said: Sequence[Said], names: Sequence[Names], sheet: ListSheet) -> tuple[tuple[str, float], ...]:
    """What No. 2 copper would be per kg by each grade of the list whose price is beyond doubt."""
    found: list[tuple[str, float]] = []
    for (_, _, item), (grade, _) in zip(said, names, strict=True):
        known = sheet.grades.get(grade or "")
        per = PricedFor.of(item, grade, sheet)
        sure = (
            len(item.prices) == 1 and item.prices[0].style in SURE and not (item.refuses or item.from_lot or item.each)
        )
        ratio = known.ratio.likely if known is not None and known.ratio is not None else 0.0
        if sure and ratio > 0 and per.kg and item.prices[0].readings[0] > 0:
            found.append((grade or "", float(item.prices[0].readings[0] / per.kg) / ratio))
    return tuple(found)


def consistent(
    said: Sequence[Said], names: Sequence[Names], sheet: ListSheet, copper: float | None
) -> tuple[ListSheet, float | None]:
    """With what the list's own prices and older ones say of its whole numbers, and with No. 2 copper read so."""
    named = [(item, grade) for (_, _, item), (grade, _) in zip(said, names, strict=True)]
    sheet = replace(sheet, votes=whole_of(named, sheet, copper), highest=highest_pointed(named))
    return sheet, smallest_of(COPPER, said, names, sheet, None) or copper


def copper_of(said: Sequence[Said], names: Sequence[Names], sheet: ListSheet) -> float | None:
    """The price of No. 2 copper per kg: this list's for the smallest lot, if it is settled, else the buyer's last."""
    return smallest_of(COPPER, said, names, sheet, None) or sheet.known.get(COPPER)


def coppers_of(said: Sequence[Said], names: Sequence[Names], sheet: ListSheet) -> dict[str, float]:
    """What No. 2 copper would be per kg by each other grade of copper of which the price is beyond doubt."""
    found: dict[str, float] = {}
    for (_, _, item), (grade, _) in zip(said, names, strict=True):
        known = sheet.grades.get(grade or "")
        if known is None or known.family != "copper" or known.ratio is None or grade == COPPER or item.each:
            continue
        per = PricedFor.of(item, grade, sheet)
        sure = len(item.prices) == 1 and item.prices[0].style in SURE and not (item.refuses or item.from_lot)
        if sure and per.kg and item.prices[0].readings[0] > 0:
            found[known.id] = float(item.prices[0].readings[0] / per.kg) / known.ratio.likely
    return found


def smallest_of(
    grade: str, said: Sequence[Said], names: Sequence[Names], sheet: ListSheet, copper: float | None
) -> float | None:
    """What this list pays per kg for the smallest lot of a grade, of the prices that are settled."""
    found: list[tuple[int, Decimal]] = []
    for (_, _, item), (named, _) in zip(said, names, strict=True):
        per = PricedFor.of(item, named, sheet)
        if named != grade or item.refuses or not item.prices or per.kg is None:
            continue
        price = priced(item, per, band_of(named, sheet, copper), sheet)
        if price.status == "understood" and price.price is not None and not price_fault(item, per.kg, sheet.currency):
            found.append((lot_mg(item.from_lot) or 0, price.price / per.kg))
    return float(min(found)[1]) if found else None


def told_apart(item: Item, name: Names, sheet: ListSheet, copper: float | None) -> Names:
    """A name that two families share, such as "No. 2", told apart by the price; within a family it is asked.

    Only if the price is believed for one grade, and for each other there is something to disbelieve it by.
    """
    grade, scores = name
    families = Counter(sheet.grades[candidate].family for candidate, _ in scores)
    whole = bool(scores) and scores[0][1] == 1.0
    if grade or not whole or len(families) < 2 or len(item.prices) != 1 or len(item.units) > 1 or item.refuses:
        return name
    if item.prices[0].fault:
        return name
    if item.each:
        return name
    unit = item.units[0] if item.units else sheet.unit
    left, usual = [], False
    for candidate, _ in scores:
        band = band_of(candidate, sheet, copper or sheet.implied)
        if band is None and candidate == COPPER and sheet.implied:
            band = around(sheet.implied, "others")
        usual = usual or band is None
        band = band or usual_band(candidate, sheet, wide=False)
        if band is None:
            return name
        if any(band.holds(price / kg_per(unit)) for price in item.prices[0].readings):
            left.append(candidate)
    steel = usual and bool(left) and sheet.grades[left[0]].family == "ferrous"  # cheap copper may be mistyped
    return (left[0], scores) if len(left) == 1 and not steel else name
