"""What the buyer's older prices, and the other lines of a list, say of a line that leaves it open."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from decimal import Decimal
from math import log

from partway.pricelist.against.compared import Names
from partway.pricelist.copying import replace
from partway.pricelist.lines import Item, ListSheet
from partway.pricelist.names import idle, meant, plain_words, unlike
from partway.quantities import kg_per
from partway.spoken.money import Heard
from partway.things.units import TONS

LEAST_MOVE, MOST_MOVE = Decimal("0.002"), Decimal("0.25")  # by how much of itself a price moves
PLACES = Decimal("0.0001")  # decimals of a price that was said
APART = 0.1  # how far it has to lie from what the others are likely to be: No. 1 and No. 2 copper are always asked
NEAR = 0.2  # how far a price lies from the older one that tells it apart
WIDER = 1.5  # by how much a price may lie outside of what its grade makes of copper's
TELLS = 3  # highest over lowest of what a grade is worth beside copper, up to where that tells it from another
SETTLED_BY = 4  # prices of the list that tell what a plain name means
AS_SAID = 1e-9  # a price per kg is kept as a float: how near to a round price it was that price


def told_by_older(item: Item, name: Names, sheet: ListSheet) -> Names:
    """A name of several grades: the one of which alone the buyer has said a price before, where this one is near that,
    or where it only moved or stayed.
    """
    grade, scores = name
    if grade or len(scores) < 2 or not sheet.lexicon.match(item.words)[1]:
        return name
    left = [candidate for candidate, _ in scores if candidate in sheet.known]
    others = [candidate for candidate, _ in scores if candidate not in left]
    told = len(left) == 1 and (item.moved is not None or _is_near_older(item, left[0], others, sheet))
    return (left[0], scores) if told else name


def _is_near_older(item: Item, grade: str, others: Sequence[str], sheet: ListSheet) -> bool:
    """Whether the price is near the older one of a grade, and nearer than to what that makes likely for the others."""
    before, unit, ratio = sheet.known[grade], item.units[0] if item.units else sheet.unit, sheet.grades[grade].ratio
    if len(item.prices) != 1 or item.prices[0].fault or item.each or len(item.units) > 1 or before <= 0:
        return False
    prices = [float(price / kg_per(unit)) for price in item.prices[0].readings]
    far = min(abs(price / before - 1) for price in prices)
    known = [other for one in others if (other := sheet.grades[one].ratio) is not None and other.likely > 0]
    if far > NEAR or ratio is None or len(known) < len(others):
        return False  # of another grade nobody knows what it is worth
    likely = [before * other.likely / ratio.likely for other in known]
    return all(abs(price / one - 1) > max(far, APART) for one in likely for price in prices)


def told_by_list(item: Item, name: Names, own: Container[str], sheet: ListSheet) -> Names:
    """A name of several grades of which all but one have a line of their `own`, at a price of the one that is left."""
    grade, scores = name
    if grade or len(scores) < 2 or len(item.prices) != 1 or not sheet.lexicon.match(item.words)[1]:
        return name
    left = [candidate for candidate, _ in scores if candidate not in own]
    return (left[0], scores) if len(left) == 1 and _is_priced_so(item, left[0], sheet) else name


def usual_of(item: Item, name: Names, sheet: ListSheet) -> str:
    """The grade that people mostly mean by a name of several, where its price is not against that; "" for none."""
    grade, scores = name
    said = frozenset(plain_words(item.words))
    usual = meant("usual").get(said) or meant("usual").get(said - idle(), "")
    if grade or item.refuses or usual not in {candidate for candidate, _ in scores}:
        return ""
    ratio = sheet.grades[usual].ratio
    compared = len(item.prices) == 1 and ratio is not None and sheet.implied and not item.each
    return usual if not compared or _is_priced_so(item, usual, sheet) else ""


def usual_first(item: Item, name: Names, sheet: ListSheet) -> Names:
    """The name with the grade that is mostly meant before the others."""
    usual = usual_of(item, name, sheet)
    if not usual:
        return name
    scores = tuple(sorted(name[1], key=lambda score: score[0] != usual))
    return (usual if _is_priced_as(item, usual, scores, sheet) else None), scores


def _is_priced_as(item: Item, usual: str, scores: Sequence[tuple[str, float]], sheet: ListSheet) -> bool:
    """Whether the price is in the range of what is mostly meant, and nearer to it than to all else it may be, by the
    prices of several other lines: "brass 2.40" in a list with copper, lead and aluminium.
    """
    if meant("priced").get(frozenset(plain_words(item.words))) != usual:
        return False  # "mixed brass"
    units, ratios = item.units or (sheet.unit,), [(grade, sheet.grades[grade].ratio) for grade, _ in scores]
    if len(sheet.implying) < SETTLED_BY or not sheet.implied or len(units) > 1 or item.each or len(item.prices) != 1:
        return False
    own = sheet.grades[usual].ratio
    readings = [float(price / kg_per(units[0])) / sheet.implied for price in item.prices[0].readings if price > 0]
    inside = [price for price in readings if own is not None and own.low <= price <= own.high]
    if len(inside) != 1 or own is None or item.prices[0].fault:
        return False
    never = unlike().get(frozenset(plain_words(item.words)), frozenset())
    told = [ratio for grade, ratio in ratios if grade != usual and grade not in never and ratio is not None]
    others = [
        ratio.likely for ratio in told if ratio.low > 0 and ratio.high <= TELLS * ratio.low
    ]  # others tell nothing
    return all(abs(log(inside[0] / own.likely)) < abs(log(inside[0] / other)) for other in others)


def _is_priced_so(item: Item, grade: str, sheet: ListSheet) -> bool:
    """Whether the price is what the grade is worth beside the other prices of the list."""
    ratio, unit = sheet.grades[grade].ratio, item.units[0] if item.units else sheet.unit
    if ratio is None or not sheet.implied or item.each or item.prices[0].fault or len(item.units) > 1:
        return False
    readings = (float(price / kg_per(unit)) / sheet.implied for price in item.prices[0].readings)
    return any(ratio.low / WIDER < price < ratio.high * WIDER for price in readings)


def moved(item: Item, grade: str | None, sheet: ListSheet) -> Item:
    """The item with the price that it has now, where only by how much it moved was said and the older one is known."""
    before = sheet.known.get(grade or "", 0.0)
    if item.moved is None or item.prices or before <= 0:
        return item
    heavy = sheet.grades[grade or ""].family == "ferrous"
    usual = (sheet.unit, *TONS, "lb", "kg") if heavy else (sheet.unit, "lb", "kg", *TONS)
    said = list(_as_said(before, item.units or usual))
    if item.moved.readings[0] == 0:
        found = [(price, unit) for price, unit in said[:1]]
    else:
        found = [
            (price + change, unit)
            for price, unit in said
            for change in item.moved.readings
            if LEAST_MOVE <= abs(change) / price <= MOST_MOVE
        ]
    if len(found) != 1:
        return item
    price, unit = found[0]
    return replace(item, prices=(Heard((price,)),), units=(unit,), open_price=False)


def _as_said(per_kg: float, units: Sequence[str]) -> Iterator[tuple[Decimal, str]]:
    """The price as it may have been said: in each of some units in which it is a round one."""
    for unit in dict.fromkeys(units):
        exact = Decimal(repr(per_kg)) * kg_per(unit)
        price = exact.quantize(PLACES)
        if price and abs(float(exact / price) - 1) < AS_SAID:
            yield Decimal(f"{price.normalize():f}"), unit
