"""A piece weighed in air and in water."""

from __future__ import annotations

import math
from dataclasses import dataclass

from partway.errors import Refused
from partway.formulas.density import hydrostatic, water
from partway.measures import LENGTH, read, read_mass, read_temperature
from partway.reports.calculators.density import Density, DensityFigures, report_density

TAP = 0.0005 / math.sqrt(3.0)  # g/cm3: what tap water holds, as a rectangle; from memory
ROOM, ROOM_HALF_WIDTH = 20.0, 10.0  # °C, where no temperature is given
LEAST_HALF_WIDTH = 1.0  # °C: a kitchen thermometer


@dataclass(frozen=True, slots=True)
class DensityAsked:
    """Everything as typed; None for what was not. `gain`: what a vessel of water gains with the piece hung into it."""

    air: str
    hanging: str | None = None
    gain: str | None = None
    water: str | None = None
    division: str | None = None
    thread: str | None = None
    under: str | None = None


def ask_density(asked: DensityAsked) -> Density:
    """Density, its uncertainty, the materials it leaves. Refused where the piece floats or is read too coarsely."""
    if (asked.hanging is None) == (asked.gain is None):
        given = f"{'neither' if asked.hanging is None else 'both'} of the mass in water and the gain of a vessel"
        raise Refused(given, 'one of them: "7.800 g" hanging in water, or what the vessel gained', "hanging")
    air = read_mass(asked.air, "air")
    second = read_mass(asked.hanging, "hanging") if asked.hanging else read_mass(str(asked.gain), "gain")
    division = read_mass(asked.division, "division").value if asked.division else max(air.step, second.step)
    celsius, half_width, notes = _temperature(asked.water)
    if asked.division is None:
        notes.append(f"Division of the scale taken from the digits typed: {division:g} g.")
    density = water.water_density(celsius)
    spread = math.hypot(water.water_density_uncertainty(celsius, half_width / math.sqrt(3.0)), TAP)
    hanging = second.value if asked.hanging else hydrostatic.hanging_g(air.value, second.value)
    hanging += _thread(asked, density, notes)
    found = hydrostatic.hydrostatic_density(air.value, hanging, density)
    unsure = hydrostatic.density_uncertainty(air.value, hanging, density, spread, division)
    return report_density(DensityFigures(found, unsure, air.value, hanging, division, celsius, density), tuple(notes))


def _temperature(text: str | None) -> tuple[float, float, list[str]]:
    if text is None:
        return ROOM, ROOM_HALF_WIDTH, ["Temperature of the water not given: 20 °C taken, give or take 10."]
    reading = read_temperature(text, "water")
    return reading.value, max(LEAST_HALF_WIDTH, reading.step / 2.0), []


def _thread(asked: DensityAsked, density: float, notes: list[str]) -> float:
    if asked.thread is None:
        notes.append("Thread not counted: hang the piece on one as thin as it bears, tared before the piece is on it.")
        return 0.0
    if asked.under is None:
        raise Refused(
            "a thread, and nothing of it under water", "how much of it is under water, such as 30 mm", "under"
        )
    thick, under = read(asked.thread, LENGTH, "thread").value, read(asked.under, LENGTH, "under").value
    return hydrostatic.thread_correction_g(thick, under, density)
