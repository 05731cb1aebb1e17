"""Quantities of a scenario file, read exactly and held within bounds."""

from __future__ import annotations

from partway.errors import BadScenario
from partway.quantities import parse_mass, parse_price, parse_volume, shown
from partway.storage.scenario.forms import MONEY_MOST
from partway.things.estimate import Estimate

MASS_MOST_KG = 1e6
VOLUME_MOST_L = 1e7


def mass(text: object, where: str, *, above_zero: bool = False) -> float:
    """Kilograms from text such as "450 kg", from 0 (or just above) to a thousand tonnes."""
    kg = float(parse_mass(text, where))
    if not 0 <= kg <= MASS_MOST_KG or (above_zero and kg == 0):
        least = "above" if above_zero else "of at least"
        raise BadScenario(shown(text), f"a mass {least} 0 and of at most 1000 tonne", where)
    return kg


def volume(text: object, where: str) -> float:
    """Litres from text such as "1800 L", above 0."""
    litres = float(parse_volume(text, where))
    if not 0 < litres <= VOLUME_MOST_L:
        raise BadScenario(shown(text), f"a volume above 0 and at most {VOLUME_MOST_L:,.0f} L", where)
    return litres


def price(value: object, currency: str, where: str) -> Estimate:
    """Currency units per kg from one text, or from three: low, likely, high."""
    if not isinstance(value, list):
        return Estimate.exact(_one_price(value, currency, where))
    if len(value) != 3:
        raise BadScenario(shown(value), "one price, or an array of three: low, likely, high", where)
    low, likely, high = (_one_price(v, currency, f"{where}[#{i}]") for i, v in enumerate(value, 1))
    if not low <= likely <= high:
        raise BadScenario(f"{low:g}, {likely:g}, {high:g} per kg", "low, likely, high in this order", where)
    return Estimate(low, likely, high)


def _one_price(text: object, currency: str, where: str) -> float:
    per_kg = float(parse_price(text, currency, where))
    if not abs(per_kg) <= MONEY_MOST:
        raise BadScenario(shown(text), f"a price of at most {MONEY_MOST:,.0f} per kg either way", where)
    return per_kg
