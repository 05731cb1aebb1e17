"""Density by displacement: the value, how sure it is, and what it leaves."""

from __future__ import annotations

from dataclasses import dataclass

from partway.catalogue.cards import shipped_cards
from partway.formulas.density.alloys import COVER, Alloy, alloys_left
from partway.reports.calculators.answer import Answer, AnswerRow, figure, give_or_take
from partway.reports.calculators.own_cautions import DENSITY

CANNOT = (
    "A density rules out; it does not name. A hollow, plated, clad or mixed piece has one of its own.",
    "Air bubbles make it too light: wet it with a drop of soap and shake them off.",
    "Alloys are not computed from their elements: brass would come out too light.",
)


@dataclass(frozen=True, slots=True)
class Left:
    """A material the density leaves possible: its range in g/cm3 and where that is from."""

    id: str
    name: str
    low: float
    high: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Density(Answer):
    """g and g/cm3; `uncertainty` is the standard one, `expanded` twice that, which holds in 95 of 100 cases."""

    density: float
    uncertainty: float
    expanded: float
    air_g: float
    water_g: float
    division_g: float
    water_celsius: float
    water_density: float
    left: tuple[Left, ...]


@dataclass(frozen=True, slots=True)
class DensityFigures:
    """What was weighed and found, in g, °C and g/cm3."""

    density: float
    uncertainty: float
    air_g: float
    water_g: float
    division_g: float
    water_celsius: float
    water_density: float


def report_density(found: DensityFigures, notes: tuple[str, ...]) -> Density:
    """The answer in words and figures."""
    expanded = COVER * found.uncertainty
    left = alloys_left(found.density, found.uncertainty)
    return Density(
        cautions=shipped_cards(DENSITY),
        verdict=_verdict(give_or_take(found.density, expanded), left),
        rows=_rows(found, left),
        notes=(*notes, *CANNOT),
        density=found.density,
        uncertainty=found.uncertainty,
        expanded=expanded,
        air_g=found.air_g,
        water_g=found.water_g,
        division_g=found.division_g,
        water_celsius=found.water_celsius,
        water_density=found.water_density,
        left=tuple(Left(each.id, each.name, each.low, each.high, each.source) for each in left),
    )


def _verdict(value: str, left: tuple[Alloy, ...]) -> str:
    if not left:
        return f"{value} g/cm3: no material in the table has that density."
    if len(left) == 1:
        return f"{value} g/cm3: of the materials in the table only {left[0].name} has that density."
    return f"{value} g/cm3: that leaves {', '.join(each.name for each in left[:-1])} or {left[-1].name}."


def _rows(found: DensityFigures, left: tuple[Alloy, ...]) -> tuple[AnswerRow, ...]:
    return (
        AnswerRow(
            "loss in water", f"{figure(found.air_g - found.water_g, 4)} g", f"read to {figure(found.division_g)} g"
        ),
        AnswerRow(
            "water",
            f"{figure(found.water_density * 1000.0, 6)} kg/m3",
            f"at {figure(found.water_celsius)} °C; Tanaka and others 2001",
        ),
        *(AnswerRow(each.name, f"{each.low:.2f} to {each.high:.2f} g/cm3", each.source) for each in left),
    )
