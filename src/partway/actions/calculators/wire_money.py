"""Prices and minutes of stripping, as people say them."""

from __future__ import annotations

import re

from partway.actions.calculators.prices_asked import currency_of, per_kg, unit_of, wage_asked
from partway.actions.calculators.wire_asked import WireAsked
from partway.actions.recording.said_amounts import kg_said
from partway.errors import BadQuantity, Refused
from partway.measures import LENGTH, is_a, read
from partway.quantities import parse_mass, shown
from partway.reports.calculators.wire import Conductor, Prices, Recovery

PACE = re.compile(r"(.*?[0-9.])\s*(?:min(?:utes?)?\.?)?\s*(?:/|\bper\b)\s*(.+)", re.IGNORECASE)


def prices_of(asked: WireAsked, best: Recovery | None, known: Conductor | None, notes: list[str]) -> Prices | None:
    """Prices, minutes and wage per kg; None where no money was asked about. Refused where some of it is missing."""
    given = (asked.bare, asked.insulated, asked.minutes)
    if not any(given):
        return None
    bare, insulated, minutes = given
    if bare is None or insulated is None or minutes is None:
        missing = next(name for name in ("minutes", "bare", "insulated") if getattr(asked, name) is None)
        expected = "all three, to weigh stripping against selling"
        raise Refused("some of the two prices and the time", expected, missing)
    if best is None:
        expected = "an outside, a weighed length or a stripped sample: stripping turns on the recovery"
        raise Refused("prices without a recovery", expected, "outside")
    currency = currency_of(asked.currency, bare, insulated, asked.residue)
    wage = wage_asked(asked.wage, currency or asked.counted, bare, insulated, asked.residue)
    if wage is None:
        notes.append("No wage given: the answer is what an hour of stripping brings.")
    notes.append("The price of bare copper is that of the grade the strands make: enamelled or tinned ones are No. 2.")
    tip = 0.0 if asked.residue is None else per_kg(asked.residue, currency, "residue")
    if asked.residue is None:
        notes.append("Insulation counted as thrown away for nothing.")
    return Prices(
        bare=per_kg(bare, currency, "bare"),
        insulated=per_kg(insulated, currency, "insulated"),
        minutes=_minutes_per_kg(minutes, best, known, asked),
        wage=wage,
        residue_cost=tip,
        unit=unit_of(bare),
        currency=currency,
    )


def _minutes_per_kg(text: str, best: Recovery, known: Conductor | None, asked: WireAsked) -> float:
    expected = 'minutes for a mass or a length, such as "4/lb", "6 min/kg" or "1.5 min/m"'
    match = PACE.fullmatch(text.strip())
    if match is None or not re.fullmatch(r"[0-9]*\.?[0-9]+", match[1].strip()):
        raise BadQuantity(shown(text), expected, "minutes")
    number, unit = float(match[1]), match[2].strip()
    if not is_a(f"1 {unit}", LENGTH):
        try:
            return number / float(parse_mass(f"1 {unit}", "minutes"))
        except BadQuantity:
            raise BadQuantity(shown(text), expected, "minutes") from None
    metres = read(f"1 {unit}", LENGTH, "minutes").value / 1000.0
    return number / metres / _kg_per_m(text, best, known, asked)


def _kg_per_m(text: str, best: Recovery, known: Conductor | None, asked: WireAsked) -> float:
    if asked.weighs is not None and asked.length is not None:
        return float(kg_said(asked.weighs, "weighs")) / (read(asked.length, LENGTH, "length").value / 1000.0)
    if known is None:
        raise BadQuantity(shown(text), "minutes for a mass: without a size nobody knows what a metre weighs", "minutes")
    return known.copper_g_per_m / best.likely / 1000.0
