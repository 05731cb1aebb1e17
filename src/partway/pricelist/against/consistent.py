"""What a list's own prices and the yard's older ones say of its whole numbers: cents, or as they are."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Literal

from partway.pricelist.against.bands import band_of
from partway.pricelist.copying import replace
from partway.pricelist.lines import EACH, Item, ListSheet
from partway.pricelist.pricing import PricedFor
from partway.quantities import kg_per
from partway.spoken.money import Heard
from partway.things.units import TONS

Whole = Literal["", "cents", "whole"]
Named = tuple[Item, str | None]
ROUNDED = 0.01  # by how much a price per kg may lie beside the same one per lb
POINTED = 2  # prices below one, written with a point, from which on a list writes its cents so
HIGHEST = 3  # a whole number up to so many times the highest price with a point is one of whole units


def whole_of(said: Sequence[Named], sheet: ListSheet, copper: float | None) -> Whole:
    """What lines with something to compare with say alike; nothing where two of them differ.

    Where nothing but the price of copper is there to compare with, it takes two of them.
    """
    votes = [vote for item, grade in said if (vote := _vote(item, grade, sheet, copper))[0]]
    found = {whole for whole, _ in votes}
    enough = len(votes) > 1 or any(by == "last" for _, by in votes)
    return found.pop() if len(found) == 1 and enough else ""


def _vote(item: Item, grade: str | None, sheet: ListSheet, copper: float | None) -> tuple[Whole, str]:
    """The one reading of a whole number that is believed, and by what."""
    heard = whole_number(item)
    per = PricedFor.of(item, grade, sheet)
    band = band_of(grade, sheet, copper) if grade and heard and per.kg and not counted(per) else None
    if heard is None or band is None or per.kg is None:
        return "", ""
    whole, cents = (band.holds(price / per.kg) for price in heard.readings)
    return "" if whole is cents else "whole" if whole else "cents", band.by


def in_one_unit(items: Sequence[Item]) -> list[Item]:
    """The items, of two prices in a row that are one price per lb and per kg that per lb, where two rows have it so."""
    factor = 1 / float(kg_per("lb"))

    def lb(item: Item) -> Heard | None:
        if len(item.prices) != 2 or (item.units and not item.headed) or item.each or item.fault:
            return None
        first, second = item.prices
        if first.readings[0] <= 0 or second.readings[0] <= 0:
            return None
        times = float(second.readings[0] / first.readings[0])
        return first if abs(times / factor - 1) < ROUNDED else second if abs(times * factor - 1) < ROUNDED else None

    found = [lb(item) for item in items]
    if sum(one is not None for one in found) < POINTED:
        return list(items)
    pairs = zip(items, found, strict=True)
    return [item if one is None else replace(item, prices=(one,), units=("lb",)) for item, one in pairs]


def whole_number(item: Item) -> Heard | None:
    """The price of an item where it is one whole number that may be one of hundredths."""
    heard = item.prices[0] if len(item.prices) == 1 else None
    return heard if heard and heard.style == "bare" and len(heard.readings) == 2 and heard.readings[0] > 0 else None


def counted(per: PricedFor) -> bool:
    """Whether a price is for a ton or for a piece, where whole numbers are as they are."""
    return per.unit in (*TONS, EACH)


def highest_pointed(said: Sequence[Named]) -> Decimal:
    """Below which a whole number with nothing to compare with is one of whole units: a list with .85 and .40 in it
    writes its cents with a point; 0 where it does not.
    """
    heard = [price for item, _ in said for price in item.prices if not price.fault]
    pointed = [price.readings[0] for price in heard if price.style == "exact" and price.named != "hundredths"]
    small = sum(0 < price < 1 for price in pointed)
    said_cents = any(price.named == "hundredths" for price in heard)
    return HIGHEST * max(pointed) if small >= POINTED and not said_cents else Decimal(0)
