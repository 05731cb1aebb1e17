"""What a scale may lawfully be off by, and the lot from which on that is little."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from partway.catalogue.cards import shipped_cards
from partway.formulas.scale import Phase, Rule, smallest_lot, tolerance
from partway.quantities import kg_per, plain_text
from partway.reports.calculators.answer import Answer, AnswerRow, figure
from partway.reports.calculators.own_cautions import SCALE


@dataclass(frozen=True, slots=True)
class Loaded:
    """What stands on the scale, in kg; `tare_kg` is weighed on the same scale and taken off, 0 for none."""

    load_kg: float
    tare_kg: float
    division_kg: float
    unit: str
    within: float
    phase: Phase


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale(Answer):
    """kg. `tolerance_kg` is that of the net: of the gross and of the tare, each at its own load, added up.

    `share` is the tolerance over the net; `smallest_lot_kg` is null where no load keeps to `within`.
    """

    country: str
    scale_class: str
    phase: Phase
    load_kg: float
    tare_kg: float
    net_kg: float
    division_kg: float
    divisions: float
    tolerance_kg: float
    new_tolerance_kg: float
    share: float
    within: float
    smallest_lot_kg: float | None
    source: str


def report_scale(it: Loaded, of: Rule, notes: tuple[str, ...]) -> Scale:
    """The answer in words and figures."""
    net = it.load_kg - it.tare_kg
    off, new = (_off(it, of, phase) for phase in (it.phase, "new"))
    smallest = smallest_lot(it.division_kg, it.within, of, it.phase, it.tare_kg)
    return Scale(
        cautions=shipped_cards(SCALE),
        verdict=_verdict(it, net, off, smallest),
        rows=_rows(it, of, net, off, new, smallest),
        notes=(*notes, *_doubts(it, of)),
        country=of.country,
        scale_class=of.scale_class,
        phase=it.phase,
        load_kg=it.load_kg,
        tare_kg=it.tare_kg,
        net_kg=net,
        division_kg=it.division_kg,
        divisions=it.load_kg / it.division_kg,
        tolerance_kg=off,
        new_tolerance_kg=new,
        share=off / net,
        within=it.within,
        smallest_lot_kg=smallest,
        source=of.source,
    )


def _off(it: Loaded, of: Rule, phase: Phase) -> float:
    gross = tolerance(it.load_kg, it.division_kg, of, phase)
    return gross + (tolerance(it.tare_kg, it.division_kg, of, phase) if it.tare_kg > 0.0 else 0.0)


def _verdict(it: Loaded, net: float, off: float, smallest: float | None) -> str:
    said = f"{_mass(net, it)} may be off by {_mass(off, it)} either way, {_percent(off / net)}"
    if off / net <= it.within:
        return f"{said}: within {_percent(it.within)}."
    if smallest is None:
        return f"{said}: no load on this scale keeps to {_percent(it.within)}."
    return (
        f"{said}, more than {_percent(it.within)}: gather {_mass(smallest, it)} or ask for a scale of finer division."
    )


def _rows(it: Loaded, of: Rule, net: float, off: float, new: float, smallest: float | None) -> tuple[AnswerRow, ...]:
    count = f"{figure(it.load_kg / it.division_kg, 5)} divisions of {_mass(it.division_kg, it)}"
    rows = [AnswerRow("load", _mass(it.load_kg, it), count)]
    if it.tare_kg > 0.0:
        rows += [
            AnswerRow("tare", _mass(it.tare_kg, it)),
            AnswerRow("net", _mass(net, it), "two weighings, two tolerances"),
        ]
    lot = "none" if smallest is None else _mass(smallest, it)
    return (
        *rows,
        AnswerRow("tolerance", f"± {_mass(off, it)}", f"class {of.scale_class}, {it.phase}; {of.source}"),
        AnswerRow("when just installed", f"± {_mass(new, it)}", "at acceptance or initial verification"),
        AnswerRow("smallest lot", lot, f"net, for {_percent(it.within)} from there on; common practice, no source"),
    )


def _doubts(it: Loaded, of: Rule) -> tuple[str, ...]:
    notes = ["Rounding of the display adds up to half a division to each weighing."]
    if of.country == "oiml":
        notes.append("OIML R 76 is a recommendation that many countries have made law: check yours.")
    notes.append("A scale that is off by more is the inspector's business: the seal and its date are on the scale.")
    return tuple(notes)


def _mass(kg: float, it: Loaded) -> str:
    amount = Decimal(repr(kg)) / kg_per(it.unit)
    division = it.division_kg / float(kg_per(it.unit))
    digits = max(0, 2 - Decimal(repr(division)).adjusted())
    return f"{plain_text(round(amount, digits))} {it.unit}"


def _percent(share: float) -> str:
    return f"{figure(100.0 * share, 2)} %"
