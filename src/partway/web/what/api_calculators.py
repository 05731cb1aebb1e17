"""The calculators: what is typed on the command line, as parameters by the same names."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import Query

from partway.actions.calculators.battery import BatteryAsked, ask_battery
from partway.actions.calculators.capacitor import CapacitorAsked, ask_capacitor
from partway.actions.calculators.density import DensityAsked, ask_density
from partway.actions.calculators.motor import MotorAsked, ask_motor
from partway.actions.calculators.scale import ScaleAsked, ask_scale
from partway.actions.calculators.stainless import ask_stainless
from partway.actions.calculators.wire import ask_wire
from partway.actions.calculators.wire_asked import WireAsked
from partway.formulas.battery import UN_NUMBERS
from partway.formulas.conductors import Build
from partway.formulas.scale import Phase
from partway.formulas.stainless import Pull
from partway.reports.calculators.battery import Battery
from partway.reports.calculators.battery_words import Condition
from partway.reports.calculators.capacitor import Capacitor
from partway.reports.calculators.density import Density
from partway.reports.calculators.motor import Motor
from partway.reports.calculators.scale import Scale
from partway.reports.calculators.stainless import Stainless
from partway.reports.calculators.wire import Wire
from partway.web.api.bodies import LINE
from partway.web.api.reading import reads

router = reads("calculators")

Said = Annotated[str, Query(max_length=LINE)]
CHEMISTRY = f"One of {', '.join(UN_NUMBERS)}, or what the label says, such as LiFePO4 or AGM."
Wage = Annotated[float | None, Query(ge=0, le=1e6, allow_inf_nan=False, description="What an hour is worth.")]


def _may(said: str) -> object:
    return Query(max_length=LINE, description=said)


@router.get("/wire")
def wire(
    size: Annotated[str | None, _may("A gauge (14, 4/0), 2.5 mm2, or strands such as 30 x 0.25 mm.")] = None,
    conductors: Annotated[int, Query(ge=1, le=1000, description="Insulated conductors.")] = 1,
    ground: Annotated[bool, Query(description="One more of the same size.")] = False,
    build: Annotated[Build, Query(description="For sizes in mm2.")] = "solid",
    insulation: Annotated[str | None, _may("pvc where not said.")] = None,
    outside: Annotated[str | None, _may("Diameter over all, or 9.4 x 4.2 mm for a flat cable.")] = None,
    thickness: Annotated[str | None, _may("Of the insulation, instead: one solid conductor only.")] = None,
    weighs: Annotated[str | None, _may("What a length of it weighs.")] = None,
    length: Annotated[str | None, _may("How long that is.")] = None,
    sample: Annotated[
        list[Said], Query(max_length=50, description="Stripped, whole and copper: 655 g:412 g; again for more.")
    ] = [],  # noqa: B006 (FastAPI copies it)
    division: Annotated[str | None, _may("Division of the scale; the last digit typed where not said.")] = None,
    bare: Annotated[str | None, _may("Price of the bare copper, 4.10 /lb.")] = None,
    insulated: Annotated[str | None, _may("Price of the wire as it is.")] = None,
    minutes: Annotated[str | None, _may("To strip it: 4/lb, 6 min/kg, 1.5 min/m.")] = None,
    wage: Wage = None,
    residue: Annotated[str | None, _may("What the insulation costs at the tip, 0.20 /kg.")] = None,
    currency: Annotated[str | None, _may("ISO 4217; the code in the prices where not said.")] = None,
) -> Wire:
    """Copper in insulated wire, and whether stripping it pays."""
    first = (size, conductors, ground, build, insulation, outside, thickness, weighs, length, tuple(sample))
    return ask_wire(WireAsked(*first, division, bare, insulated, minutes, wage, residue, currency))


@router.get("/density")
def density(
    in_air: Annotated[str, Query(max_length=LINE, description="All digits the scale shows.", examples=["8.630 g"])],
    in_water: Annotated[str | None, _may("Hanging in water, such as 7.800 g.")] = None,
    gain: Annotated[str | None, _may("Instead of in_water: what a vessel of water on the scale gains.")] = None,
    water: Annotated[str | None, _may("Temperature of the water, 20 C or 68 F.")] = None,
    division: Annotated[str | None, _may("Division of the scale; the last digit typed where not said.")] = None,
    thread: Annotated[str | None, _may("Diameter of the thread.")] = None,
    under: Annotated[str | None, _may("How much of it is under water.")] = None,
) -> Density:
    """Density of a piece weighed in air and in water, and the materials it leaves."""
    return ask_density(DensityAsked(in_air, in_water, gain, water, division, thread, under))


@router.get("/battery")
def battery(
    chemistry: Annotated[str, Query(max_length=LINE, description=CHEMISTRY)],
    rating: Annotated[
        list[Said], Query(max_length=9, description="As on the label: 36 V, 10 Ah, 360 Wh; again for more.")
    ] = [],  # noqa: B006 (FastAPI copies it)
    condition: Annotated[Condition, Query(description="Sound only if somebody who can has diagnosed it.")] = "unknown",
    cell: Annotated[bool, Query(description="One cell, not a battery of several.")] = False,
    in_equipment: Annotated[bool, Query(description="Built into a device, or packed with it.")] = False,
    lithium: Annotated[str | None, _may("Lithium in a lithium-metal one, such as 0.8 g.")] = None,
    mass: Annotated[str | None, _may("What one weighs: how many to a package.")] = None,
) -> Battery:
    """Energy of a battery, and how it may travel by road and sea."""
    return ask_battery(BatteryAsked(tuple(rating), chemistry, condition, cell, in_equipment, lithium, mass))


@router.get("/capacitor")
def capacitor(
    rating: Annotated[list[Said], Query(max_length=9, description="As on the label: 470 uF and 400 V.")],
    bleeder: Annotated[str | None, _may("Resistor across it, such as 10 Mohm; counts only if measured.")] = None,
    measured: Annotated[bool, Query(description="The bleeder was measured just now, on this very device.")] = False,
) -> Capacitor:
    """What a capacitor may hold, against every limit. Nothing here says that one is safe to touch."""
    return ask_capacitor(CapacitorAsked(tuple(rating), bleeder, measured))


@router.get("/scale")
def scale(
    load: Annotated[str, Query(max_length=LINE, description="Gross, on the scale.", examples=["140 lb"])],
    division: Annotated[str, Query(max_length=LINE, description="Smallest step it shows.", examples=["0.05 lb"])],
    country: Annotated[str | None, _may("us, canada, eu, uk, au, nz, or other (OIML R 76).")] = None,
    scale_class: Annotated[str | None, Query(alias="class", max_length=LINE, description="As on its plate.")] = None,
    tare: Annotated[str | None, _may("Weighed on the same scale and taken off the load.")] = None,
    within: Annotated[str | None, _may("How much of the lot it may be off by, such as 0.5 %.")] = None,
    phase: Annotated[Phase, Query(description="Just installed: half the tolerance.")] = "in service",
) -> Scale:
    """How far off a scale may lawfully be at a load, and the smallest lot that makes little of it."""
    return ask_scale(ScaleAsked(load, division, country, scale_class, tare, within, phase))


@router.get("/motor")
def motor(
    mass: Annotated[str, Query(max_length=LINE, description="What it weighs.", examples=["9 lb"])],
    sealed: Annotated[str, Query(max_length=LINE, description="Price as it is.", examples=["0.38 /lb"])],
    copper: Annotated[str, Query(max_length=LINE, description="Price of its winding.", examples=["3.60 /lb"])],
    minutes: Annotated[str, Query(max_length=LINE, description="To open one.", examples=["12"])],
    iron: Annotated[str | None, _may("Price of its iron; nothing where not said.")] = None,
    wage: Wage = None,
    what: Annotated[Literal["motor", "transformer"], Query(description="What it is.")] = "motor",
    share: Annotated[str | None, _may("Winding in its mass, such as 12 %.")] = None,
    iron_share: Annotated[str | None, _may("Iron in its mass; all that is not winding where not said.")] = None,
    currency: Annotated[str | None, _may("ISO 4217; the code in the prices where not said.")] = None,
) -> Motor:
    """Whether opening a motor or a transformer pays, and where that turns over."""
    return ask_motor(MotorAsked(mass, sealed, copper, minutes, iron, wage, what, share, iron_share, currency))


@router.get("/stainless")
def stainless(
    pull: Annotated[Pull, Query(description="What a magnet does on the body of it.")],
    give_or_take: Annotated[str | None, _may("What stands after ± of a density, in g/cm3.")] = None,
) -> Stainless:
    """What a magnet says of a piece of steel, and what it cannot say."""
    return ask_stainless(pull, give_or_take)
