"""A motor or transformer, as a person at the bench describes it."""

from __future__ import annotations

import re
from dataclasses import dataclass

from partway.actions.calculators.prices_asked import currency_of, per_kg, unit_of, wage_asked
from partway.actions.recording.reading import minutes
from partway.actions.recording.said_amounts import kg_said
from partway.errors import BadQuantity, Refused
from partway.formulas.winding import Wound
from partway.quantities import shown
from partway.reports.calculators.motor import Motor, MotorTold, report_motor

# Share of copper in the mass: estimates from memory, as in the catalogue.
SHARES = {"motor": (0.06, 0.10, 0.18), "transformer": (0.18, 0.25, 0.35)}
PERCENT = re.compile(r"([0-9]{1,3}(?:\.[0-9]{1,6})?)\s*%")


@dataclass(frozen=True, slots=True)
class MotorAsked:
    """Everything as typed; None for what was not."""

    mass: str
    sealed: str
    copper: str
    minutes: str
    iron: str | None = None
    wage: float | str | None = None
    what: str = "motor"
    share: str | None = None
    iron_share: str | None = None
    currency: str | None = None
    counted: str = ""  # what the ledger counts in, for a wage in words where the prices name no currency


def ask_motor(asked: MotorAsked) -> Motor:
    """Whether opening pays, and where that turns over. Refused where the shares are more than the whole."""
    notes: list[str] = []
    share = _share(asked, notes)
    iron_share = None if asked.iron_share is None else _percent(asked.iron_share, "iron_share")
    if iron_share is not None and share[2] + iron_share > 1.0:
        raise Refused(shown(asked.iron_share), f"at most {100.0 * (1.0 - share[2]):g} %: the rest", "iron_share")
    if iron_share is None:
        notes.append("All that is not winding counted as iron.")
    currency = currency_of(asked.currency, asked.sealed, asked.copper, asked.iron)
    wage = wage_asked(asked.wage, currency or asked.counted, asked.sealed, asked.copper, asked.iron)
    if asked.iron is None:
        notes.append("No price of iron given: its iron counted as worth nothing.")
    if asked.wage is None:
        notes.append("No wage given: the answer is what an hour of opening brings.")
    likely = Wound(
        mass=float(kg_said(asked.mass, "mass", positive=True)),
        copper_share=share[1],
        iron_share=1.0 - share[1] if iron_share is None else iron_share,
        minutes=float(minutes(asked.minutes, "minutes")),
        sealed=per_kg(asked.sealed, currency, "sealed"),
        copper=per_kg(asked.copper, currency, "copper"),
        iron=0.0 if asked.iron is None else per_kg(asked.iron, currency, "iron"),
        wage=wage or 0.0,
    )
    return report_motor(MotorTold(likely, share, iron_share, wage, unit_of(asked.copper), currency), tuple(notes))


def _share(asked: MotorAsked, notes: list[str]) -> tuple[float, float, float]:
    if asked.share is not None:
        share = _percent(asked.share, "share")
        return share, share, share
    low, likely, high = known = SHARES[asked.what]
    notes.append(
        f"Share of copper not given: {100 * low:g} to {100 * high:g} %, likely {100 * likely:g} %, "
        f"taken for a {asked.what} (from memory)."
    )
    return known


def _percent(text: str, where: str) -> float:
    match = PERCENT.fullmatch(text.strip())
    if match is None or not 0.0 < float(match[1]) <= 100.0:
        raise BadQuantity(shown(text), 'a percentage above 0, at most 100, such as "12 %"', where)
    return float(match[1]) / 100.0
