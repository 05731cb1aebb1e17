"""The calculators as pages: their names, their fields in order, and what the ledger fills in."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Protocol

from partway.actions.calculators.from_ledger import price_known, wage_known
from partway.reports.calculators.answer import Answer
from partway.things.scenario import Scenario
from partway.web.forms import Form, Typed
from partway.web.what import calculator_forms as forms

Rows = tuple[tuple[str, ...], ...]
COPPER = ("copper-bare-bright", "copper-1", "copper-2")
WIRE = ("wire-building", "wire-house-cable", "wire-hookup", "wire-heavy-cord", "wire-appliance-cord", "wire-cord-plugs")
MOTORS = ("motors", "transformer-cu", "sealed-unit")
IRON = ("light-iron", "appliance-shell", "heavy-melt-2")


class Asks(Protocol):
    """A form that can be put to its calculator."""

    def ask(self) -> Answer:
        """The answer. Raises Refused."""


@dataclass(frozen=True, slots=True)
class Filled:
    """Fields that the ledger fills in, and of what each is, in words."""

    values: Mapping[str, str] = field(default_factory=dict)
    of: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Calculator:
    """One calculator. `rows` of fields always show, those of `more` are folded away; `names` maps what it calls a field
    to the field's name.
    """

    name: str
    title: str
    does: str
    make: Callable[[Typed | None, Mapping[str, str]], Form]
    rows: Rows
    more: Rows = ()
    names: Mapping[str, str] = field(default_factory=dict)
    fill: Callable[[Scenario], Filled] = lambda _: Filled()


def _prices(scenario: Scenario, grades: Mapping[str, tuple[str, ...]]) -> Filled:
    """The best price of each, and the wage."""
    found = {name: known for name, ids in grades.items() if (known := price_known(scenario, ids))}
    wage = wage_known(scenario)
    values = {name: known.text for name, known in found.items()} | ({"wage": wage} if wage else {})
    return Filled(values, (*(known.of for known in found.values()), *(["your wage"] if wage else [])))


CALCULATORS = {
    one.name: one
    for one in (
        Calculator(
            "wire",
            "Insulated wire",
            "how much copper is in it, and whether stripping pays",
            lambda typed, values: forms.WireForm(typed, **values),
            (("size",), ("conductors", "outside"), ("minutes",), ("bare", "insulated")),
            (
                ("ground",),
                ("insulation", "thickness"),
                ("build",),
                ("weighs", "length"),
                ("samples",),
                ("division",),
                ("wage", "residue"),
            ),
            fill=lambda scenario: _prices(scenario, {"bare": COPPER, "insulated": WIRE}),
        ),
        Calculator(
            "density",
            "Density",
            "weighed in air and in water, and the metals it leaves",
            lambda typed, values: forms.DensityForm(typed, **values),
            (("air", "hanging"),),
            (("gain",), ("water", "division"), ("thread", "under")),
        ),
        Calculator(
            "battery",
            "Battery",
            "its energy, and how it may travel",
            lambda typed, values: forms.BatteryForm(typed, **values),
            (("chemistry",), ("condition",), ("volts", "charge"), ("energy",)),
            (("cell",), ("in_equipment",), ("lithium", "mass")),
            {"ratings": "energy"},
        ),
        Calculator(
            "capacitor",
            "Capacitor",
            "what it may hold, against every limit",
            lambda typed, values: forms.CapacitorForm(typed, **values),
            (("farads", "volts"),),
            (("bleeder",), ("measured",)),
            {"ratings": "farads"},
        ),
        Calculator(
            "scale",
            "A yard's scale",
            "how far off it may lawfully be, and the smallest lot for it",
            lambda typed, values: forms.ScaleForm(typed, **values),
            (("load", "division"), ("country",)),
            (("scale_class", "tare"), ("within",), ("phase",)),
            {"scale class": "scale_class", "load on the scale": "load"},
        ),
        Calculator(
            "motor",
            "Motor or transformer",
            "whether opening it pays, and where that turns over",
            lambda typed, values: forms.MotorForm(typed, **values),
            (("what",), ("mass", "minutes"), ("sealed", "copper")),
            (("iron", "wage"), ("share", "iron_share")),
            fill=lambda scenario: _prices(
                scenario, {"sealed": MOTORS, "copper": ("copper-2", "copper-1"), "iron": IRON}
            ),
        ),
        Calculator(
            "stainless",
            "Steel and a magnet",
            "what a magnet says of a piece, and what it cannot say",
            lambda typed, values: forms.StainlessForm(typed, **values),
            (("pull",),),
            (("give_or_take",),),
        ),
    )
}
