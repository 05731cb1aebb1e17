"""Motors and transformers: open or leave, over the range of what the winding's share may be."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from partway.catalogue.cards import shipped_cards
from partway.formulas import winding
from partway.formulas.winding import Wound
from partway.quantities import format_price_in
from partway.reports.calculators.answer import Answer, AnswerRow, figure
from partway.reports.calculators.own_cautions import MOTOR

Decision = Literal["open", "leave", "close", "by-the-hour"]
DOUBTS = (
    "The price of copper is that of the grade a winding makes: enamelled, it is No. 2 at best.",
    "A winding that looks like copper may be aluminium: scrape the enamel off before you count on it.",
    "Small motors are sold unopened as a rule: common practice, no source.",
    "A sealed compressor is no motor: it stays shut until its circuit was emptied by somebody certified.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Motor(Answer):
    """Money of one motor or transformer; prices per kg, minutes, shares 0 to 1 (low, likely, high of the winding's).

    `per_hour` is what an hour of opening brings, wage not taken off. Break-evens are null where there is none.
    """

    answer: Decision
    mass_kg: float
    share: tuple[float, float, float]
    iron_share: float | None
    minutes: float
    wage: float | None
    gain: float
    gain_low: float
    gain_high: float
    per_hour: float | None
    break_even_copper: float
    break_even_sealed: float
    break_even_minutes: float | None
    currency: str | None


@dataclass(frozen=True, slots=True)
class MotorTold:
    """What is known of one: `likely` holds all but the range of the winding's share.

    `iron_share` None: all that is not winding is iron. `wage` None: not said, and nothing in `likely`.
    """

    likely: Wound
    share: tuple[float, float, float]
    iron_share: float | None
    wage: float | None
    unit: str
    currency: str | None

    def at(self, share: float) -> Wound:
        """The same with another share of winding."""
        iron = 1.0 - share if self.iron_share is None else self.iron_share
        return replace(self.likely, copper_share=share, iron_share=iron)


def report_motor(told: MotorTold, notes: tuple[str, ...]) -> Motor:
    """The answer in words and figures."""
    it = told.likely
    gains = sorted(winding.gain_of_opening(told.at(share)) for share in (told.share[0], told.share[2]))
    gain = winding.gain_of_opening(it)
    report = Motor(
        cautions=shipped_cards(MOTOR),
        verdict="",
        rows=(),
        notes=(*notes, *DOUBTS),
        answer=_decided(told, gains),
        mass_kg=it.mass,
        share=told.share,
        iron_share=told.iron_share,
        minutes=it.minutes,
        wage=told.wage,
        gain=gain,
        gain_low=gains[0],
        gain_high=gains[1],
        per_hour=winding.break_even_wage(it),
        break_even_copper=winding.break_even_copper(it),
        break_even_sealed=winding.break_even_sealed(it),
        break_even_minutes=winding.break_even_minutes(it),
        currency=told.currency,
    )
    return replace(report, verdict=_verdict(report), rows=_rows(report, told))


def _decided(told: MotorTold, gains: list[float]) -> Decision:
    if told.wage is None and told.likely.minutes > 0.0:
        return "by-the-hour"
    return "open" if gains[0] > 0.0 else "leave" if gains[1] <= 0.0 else "close"


def _verdict(it: Motor) -> str:
    def money(amount: float) -> str:
        return _money(amount, it.currency)

    if it.answer == "by-the-hour":
        hour = 0.0 if it.per_hour is None else it.per_hour
        if hour <= 0.0:
            return "Leave it shut: what is inside brings no more than it does as it is, before any hour is paid."
        return f"Opening brings {money(hour)} an hour: open it if an hour of yours is worth less."
    if it.answer == "open":
        reach = f"between {money(it.gain_low)} and {money(it.gain_high)}"
        return f"Open it: {money(it.gain)} more than selling it as it is, your time paid ({reach})."
    if it.answer == "leave":
        reach = f"between {money(-it.gain_high)} and {money(-it.gain_low)}"
        return f"Leave it shut: opening loses {money(-it.gain)} against that, your time paid ({reach})."
    reach = f"between {money(it.gain_low)} and {money(it.gain_high)}"
    return f"Too close to call: opening brings {money(it.gain)}, {reach}; open one and weigh its winding."


def _rows(it: Motor, told: MotorTold) -> tuple[AnswerRow, ...]:
    low, likely, high = (100.0 * share for share in it.share)
    spread = f"{likely:.1f} %" if low == high else f"{likely:.1f} % ({low:.1f} to {high:.1f} %)"
    rows = [
        AnswerRow("winding", spread, "of its mass"),
        AnswerRow("open from", _price(it.break_even_copper, told), "the price of its copper at which it turns over"),
        AnswerRow("open up to", _price(it.break_even_sealed, told), "the same for its price as it is"),
    ]
    if it.per_hour is not None:
        rows.append(AnswerRow("an hour of opening", _money(it.per_hour, it.currency), "before your wage"))
    if it.break_even_minutes is not None:
        quick = f"{figure(it.break_even_minutes)} min" if it.break_even_minutes > 0.0 else "never"
        rows.append(AnswerRow("open if quicker than", quick, "minutes for one"))
    return tuple(rows)


def _price(per_kg: float, told: MotorTold) -> str:
    plain = format_price_in(per_kg, told.unit)
    return f"{told.currency} {plain}" if told.currency else plain


def _money(amount: float, currency: str | None) -> str:
    return f"{currency} {amount:.2f}" if currency else f"{amount:.2f}"
