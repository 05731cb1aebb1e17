"""Which reading of a price is meant, or that it has to be asked."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from partway.pricelist.bands import Band
from partway.pricelist.lines import Heard, Item, Status
from partway.quantities import LARGEST_PRICE, kg_per
from partway.things.units import TONS

Reading = tuple[Decimal, str]  # money per one unit


@dataclass(frozen=True, slots=True)
class Priced:
    """The price as far as it is settled, and the readings to choose from where it is not."""

    status: Status
    price: Decimal | None = None
    options: tuple[Reading, ...] = ()


def priced(item: Item, unit: str, band: Band | None) -> Priced:
    """Settles the price of an item per `unit`, held against what is believed."""
    said = tuple(dict.fromkeys(heard.readings[0] for heard in item.prices))
    if item.sure:
        return Priced("understood", said[0])
    if len(said) > 1:
        return Priced("ambiguous", None, tuple((price, unit) for price in said))
    heard = item.prices[0]
    believed = [price for price in heard.readings if band is not None and band.holds(price / kg_per(unit))]
    if _asked_anyway(heard, unit, band, believed):
        return Priced("ambiguous", None, tuple((price, unit) for price in heard.readings))
    if band is None or believed:
        return Priced("understood", said[0])
    others = _nearer(item, said[0], unit, band)
    bare = heard.style in {"bare", "split"} and others
    return Priced("ambiguous" if bare else "unlikely", None if bare else said[0], ((said[0], unit), *others))


def _asked_anyway(heard: Heard, unit: str, band: Band | None, believed: list[Decimal]) -> bool:
    """Whether the way it was said leaves more than one reading open."""
    if len(heard.readings) == 1 or heard.readings[0] == 0:
        return False
    if heard.style == "comma":
        return True
    if heard.style == "minus":
        return believed != [heard.readings[0]]
    if band is not None:
        return bool(believed) and believed != [heard.readings[0]]
    # Nothing to compare with. "Four ten" a pound is 4.10 and "180" a ton is 180; "38" a pound may be 38 cents, and
    # "one eighty" a ton may be 180.
    return (heard.style == "bare") is not (unit in TONS)


def _nearer(item: Item, price: Decimal, unit: str, band: Band) -> tuple[Reading, ...]:
    """Other ways to read an unbelievable price that would be believed: hundredths, hundreds, or a price for a ton."""
    readings = [(price / 100, unit), (price * 100, unit)]
    if not item.units and unit not in TONS:
        readings += [(price, ton) for ton in TONS]
    return tuple((value, per) for value, per in readings if value and band.holds(value / kg_per(per)))


def price_fault(item: Item, unit: str, currency: str) -> str:
    """Why what was said can be no price for a mass, or nothing."""
    if item.fault:
        return f'"{item.fault}" is no mass, and a price per lb, kg or another mass is needed'
    for heard in item.prices:
        if heard.fault:
            return heard.fault
        if any(abs(price) / kg_per(unit) > LARGEST_PRICE for price in heard.readings):
            return f"no price is above {LARGEST_PRICE:,.0f} {currency} per kg"
    return ""
