"""What a capacitor may hold, against every limit. The bleeder is taken to be open unless somebody measured it."""

from __future__ import annotations

from dataclasses import dataclass

from partway.catalogue.cards import shipped_cards
from partway.formulas import battery, capacitor
from partway.reports.calculators.answer import Answer, AnswerRow, figure

LETHAL_VOLTS = 450.0  # from here on the card of the high-voltage capacitor
AFTER = (
    "Whatever the figures say: measure before touching, and measure again.",
    "Voltage builds up again after discharging: leave the discharge resistor on, measure each time you come back.",
    "The voltage on the label is the most it was made for. What it holds now is known by measuring only.",
    "Oil-filled, older than about 1985 or without a date: treat it as PCB and leave it whole.",
)


@dataclass(frozen=True, slots=True)
class LimitLine:
    """One limit: the value here, the most allowed (null: it does not apply), whether it is passed, where it is from."""

    id: str
    name: str
    value: float
    most: float | None
    unit: str
    passed: bool
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Capacitor(Answer):
    """F, V, J, microcoulomb and s. `wait_seconds` is null unless a bleeder was measured: waiting counts for nothing.

    `if_bleeder_whole_seconds` is how long a stated bleeder would take if it were whole; never a time to go by.
    """

    farads: float
    volts: float
    joules: float
    microcoulomb: float
    watt_hours: float
    dangerous: bool
    limits: tuple[LimitLine, ...]
    safe_volts: float
    bleeder_ohm: float | None
    bleeder_measured: bool
    wait_seconds: float | None
    if_bleeder_whole_seconds: float | None


def report_capacitor(farads: float, volts: float, bleeder: float | None, *, measured: bool) -> Capacitor:
    """The answer in words and figures, judged by the lowest limit that applies."""
    limits = capacitor.limits(farads, volts)
    safe = capacitor.safe_volts(farads)
    whole = None if bleeder is None else capacitor.discharge_seconds(farads, bleeder, volts, safe)
    wh = battery.capacitor_watt_hours(farads, volts)
    return Capacitor(
        cautions=shipped_cards(["capacitor-short", "hv-capacitor" if volts >= LETHAL_VOLTS else "capacitor", "pcb"]),
        verdict=_verdict(limits),
        rows=_rows(farads, volts, limits, safe, bleeder, whole, measured=measured),
        notes=(*AFTER, *_transport(wh)),
        farads=farads,
        volts=volts,
        joules=capacitor.energy_j(farads, volts),
        microcoulomb=capacitor.charge_uc(farads, volts),
        watt_hours=wh,
        dangerous=any(limit.passed for limit in limits),
        limits=tuple(LimitLine(i.id, i.name, i.value, i.most, i.unit, i.passed, i.source) for i in limits),
        safe_volts=safe,
        bleeder_ohm=bleeder,
        bleeder_measured=measured,
        wait_seconds=whole if measured else None,
        if_bleeder_whole_seconds=whole,
    )


def _verdict(limits: tuple[capacitor.Limit, ...]) -> str:
    passed = [limit for limit in limits if limit.passed]
    kept = [limit for limit in limits if limit.most is not None and not limit.passed]
    if not passed:
        return "Charged to this it is below every limit listed here. That is no leave to touch it before measuring."
    over = " and ".join(f"{figure(limit.value)} {limit.unit} ({limit.source})" for limit in passed)
    most = f"{figure(kept[-1].most or 0.0)} {kept[-1].unit}" if kept else ""
    though = f" It keeps to {most}, which does not help: the lowest limit decides." if kept else ""
    return f"Dangerous: over the limit with {over}.{though}"


def _rows(
    farads: float,
    volts: float,
    limits: tuple[capacitor.Limit, ...],
    safe: float,
    bleeder: float | None,
    whole: float | None,
    *,
    measured: bool,
) -> tuple[AnswerRow, ...]:
    rows = [
        AnswerRow("energy", f"{figure(capacitor.energy_j(farads, volts))} J"),
        AnswerRow("charge", f"{figure(capacitor.charge_uc(farads, volts), 4)} µC"),
        AnswerRow("to be brought below", f"{figure(safe)} V", "the lowest voltage that any limit asks for"),
        _waiting(bleeder, whole, measured=measured),
    ]
    return (*rows, *(_limit_row(limit) for limit in limits))


def _waiting(bleeder: float | None, whole: float | None, *, measured: bool) -> AnswerRow:
    if bleeder is None or whole is None:
        return AnswerRow(
            "waiting", "counts for nothing", "no bleeder known: taken to be open, the charge stays for days"
        )
    ohms = f"{figure(bleeder / 1e6)} Mohm" if bleeder >= 1e6 else f"{figure(bleeder / 1e3)} kohm"
    if measured:
        return AnswerRow(
            "waiting", f"at least {figure(whole)} s, then measure", f"through the {ohms} that was measured"
        )
    note = f"{ohms} stated, not measured: taken to be open; whole it would take {figure(whole)} s"
    return AnswerRow("waiting", "counts for nothing", note)


def _limit_row(limit: capacitor.Limit) -> AnswerRow:
    if limit.most is None:
        return AnswerRow(f"limit of {limit.name}", "does not apply", limit.source)
    sign = "over" if limit.passed else "within"
    return AnswerRow(f"limit of {limit.name}", f"{sign} {figure(limit.most)} {limit.unit}", limit.source)


def _transport(wh: float) -> tuple[str, ...]:
    if wh <= battery.CAPACITOR_WH:
        return ()
    return (
        f"{figure(wh)} Wh is over 0.3 Wh: double-layer it travels discharged as UN 3499 (special provision 361).",
        "Asymmetric it is UN 3508 (special provision 372), and holds its voltage by design.",
    )
