"""Tables to look something up in: wire by its size, how batteries travel, what a scale may be off by."""

from __future__ import annotations

from collections.abc import Iterable

from partway.actions.calculators.battery import BatteryAsked, ask_battery
from partway.actions.calculators.scale import ScaleAsked, ask_scale
from partway.actions.calculators.wire import ask_wire
from partway.actions.calculators.wire_asked import WireAsked
from partway.catalogue.cards import CautionCard
from partway.errors import BadQuantity
from partway.formulas.battery import UN_NUMBERS
from partway.formulas.conductors import SIZES
from partway.reports.calculators.answer import Answer, figure
from partway.reports.pocket.shape import PocketTable

GAUGES = (*(f"{noughts}/0" for noughts in (4, 3, 2, 1)), *map(str, range(1, 25)))
DIVISIONS = {
    "kg": ("0.005 kg", "0.02 kg", "0.1 kg", "0.5 kg", "5 kg"),
    "lb": ("0.01 lb", "0.05 lb", "0.2 lb", "1 lb", "10 lb"),
}
LOADS = {
    "kg": ("5 kg", "20 kg", "50 kg", "200 kg", "1000 kg"),
    "lb": ("10 lb", "50 lb", "100 lb", "500 lb", "2000 lb"),
}
COUNTRIES = {"US": "us", "CA": "canada"}
NOT_MADE_FOR = "not made for it"
ION_WH = (
    ("lithium-ion, up to 20 Wh a cell", "20 Wh", True),
    ("lithium-ion, up to 100 Wh a battery", "100 Wh", False),
    ("lithium-ion, over 100 Wh a battery", "101 Wh", False),
)
CHEMISTRIES = tuple(name for name in UN_NUMBERS if name != "li-ion")


def pocket_tables(unit: str, country: str) -> tuple[PocketTable, ...]:
    """All of them, in the workspace's unit and by its country's rules."""
    return _gauges(), _sizes(), _batteries(), _scales(unit, country)


def _gauges() -> PocketTable:
    return _wire("wire-gauge", "Wire by gauge (AWG)", [WireAsked(size=size) for size in GAUGES])


def _sizes() -> PocketTable:
    return _wire("wire-mm2", "Wire by mm²", [WireAsked(size=f"{size:g} mm2") for size in SIZES])


def _wire(id_: str, title: str, asked: Iterable[WireAsked]) -> PocketTable:
    """What the calculator of wire says of a single solid conductor of each size."""
    answers = [(one, ask_wire(one)) for one in asked]
    rows = []
    for one, answer in answers:
        found = answer.conductor
        if found is None:
            continue
        copper = f"{figure(found.least_g_per_m)} to {figure(found.copper_g_per_m)} g"
        rows.append((str(one.size), f"{figure(found.area_mm2)} mm²", copper))
    first = _first(answers[0][1].cautions)
    return PocketTable(id_, title, first, ("Size", "Copper in it", "Copper in a metre"), tuple(rows), _notes(answers))


def _batteries() -> PocketTable:
    """How batteries travel by road and sea: as it lies there, which nobody looked at yet, and found sound."""
    asked = [(name, BatteryAsked((wh,), "li-ion", cell=cell)) for name, wh, cell in ION_WH]
    asked += [(name.replace("-", " "), BatteryAsked((), name)) for name in CHEMISTRIES]
    answers = [(name, ask_battery(one)) for name, one in asked]
    rows = tuple((name, answer.verdict, " ".join(answer.packing)) for name, answer in answers)
    cards = dict.fromkeys(card for _, answer in answers for card in answer.cautions)
    columns = ("Battery", "Not looked at yet", "How it is packed")
    notes = tuple(dict.fromkeys(answers[-1][1].notes))
    return PocketTable("battery", "How a battery travels", _first(cards), columns, rows, notes)


def _scales(unit: str, country: str) -> PocketTable:
    """The tolerance of a load on scales of usual divisions, in service."""
    loads, where = LOADS[unit], COUNTRIES.get(country, "oiml")
    rows = tuple((division, *(_off(load, division, where) for load in loads)) for division in DIVISIONS[unit])
    named = ask_scale(ScaleAsked(loads[2], DIVISIONS[unit][2], where))
    notes = (f"Class {named.scale_class} where the plate says nothing else; {named.source}.", *named.notes[-2:])
    columns = ("Division", *(f"{load} on it" for load in loads))
    title = "What a yard's scale may be off by, either way"
    return PocketTable("scale", title, _first(named.cautions), columns, rows, notes)


def _off(load: str, division: str, country: str) -> str:
    try:
        found = ask_scale(ScaleAsked(load, division, country))
    except BadQuantity:
        return NOT_MADE_FOR
    return next(row.value for row in found.rows if row.name == "tolerance")


def _first(cards: Iterable[CautionCard]) -> tuple[str, ...]:
    return tuple(card.line for card in cards)


def _notes(answers: Iterable[tuple[object, Answer]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(note for _, answer in answers for note in answer.notes))
