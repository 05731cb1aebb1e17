"""A capacitor by its label, and perhaps its bleeder."""

from __future__ import annotations

from dataclasses import dataclass

from partway.errors import BadQuantity, Refused
from partway.measures import CAPACITANCE, RESISTANCE, VOLTAGE, Dimension, is_a, read
from partway.quantities import shown
from partway.reports.calculators.capacitor import Capacitor, report_capacitor


@dataclass(frozen=True, slots=True)
class CapacitorAsked:
    """Everything as typed; `ratings` in any order. `measured`: the bleeder was measured just now, on this device."""

    ratings: tuple[str, ...]
    bleeder: str | None = None
    measured: bool = False


def ask_capacitor(asked: CapacitorAsked) -> Capacitor:
    """What it holds against every limit; a bleeder that nobody measured is taken to be open."""
    farads, volts = (_one(asked.ratings, dimension) for dimension in (CAPACITANCE, VOLTAGE))
    for text in asked.ratings:
        if not (is_a(text, CAPACITANCE) or is_a(text, VOLTAGE)):
            raise BadQuantity(shown(text), f"{CAPACITANCE.expected}, or {VOLTAGE.expected}", "ratings")
    if farads is None or volts is None:
        missing = "capacitance" if farads is None else "voltage"
        raise Refused(f"no {missing}", "both, such as 1uF 2100V: the voltage it may be charged to", "ratings")
    if asked.measured and asked.bleeder is None:
        raise Refused("a bleeder that was measured, and no resistance", "what was measured, such as 10 Mohm", "bleeder")
    bleeder = None if asked.bleeder is None else read(asked.bleeder, RESISTANCE, "bleeder").value
    return report_capacitor(farads, volts, bleeder, measured=asked.measured)


def _one(ratings: tuple[str, ...], dimension: Dimension) -> float | None:
    found = [text for text in ratings if is_a(text, dimension)]
    if len(found) > 1:
        raise BadQuantity(shown(found[1]), f"one {dimension.name}", "ratings")
    return read(found[0], dimension, "ratings").value if found else None
