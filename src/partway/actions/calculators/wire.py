"""Insulated wire, as a person at the bench describes it."""

from __future__ import annotations

from partway.actions.calculators.wire_asked import Metal, WireAsked, metal_of
from partway.actions.calculators.wire_money import prices_of
from partway.errors import BadQuantity, Refused
from partway.formulas import conductors, insulation, stripping, wire
from partway.measures import LENGTH, read, read_mass, read_sides
from partway.quantities import shown
from partway.reports.calculators.wire import Conductor, Recovery, Wire, report_wire

LEAST = 0.001  # wire with less copper than that is not wire


def ask_wire(asked: WireAsked) -> Wire:
    """Recovery by whatever was given, the surest last, and whether stripping pays. Refused where nothing follows."""
    _together(asked)
    notes: list[str] = []
    count = asked.conductors + asked.ground
    metal = None if asked.size is None else metal_of(asked.size, asked.build)
    known = None if metal is None else _conductor(str(asked.size), metal, count)
    ways = [
        way
        for way in (_by_size(asked, metal, count, notes), _by_length(asked, known), _by_samples(asked, notes))
        if way
    ]
    prices = prices_of(asked, ways[-1] if ways else None, known, notes)
    if known is not None and asked.ground:
        notes.append("The bare conductor is counted as one more of the same size.")
    notes.append("Copper is taken for granted: file a strand; aluminium and copper-clad wire look alike from outside.")
    return report_wire(known, tuple(ways), prices, tuple(notes))


def _together(asked: WireAsked) -> None:
    """What only makes sense with something else."""
    if not 1 <= asked.conductors <= 1000:
        raise BadQuantity(f"{asked.conductors}", "1 to 1000 conductors", "conductors")
    if asked.size is None and not asked.samples:
        raise Refused(
            "neither a size nor a sample", 'a size such as 14 or "2.5 mm2", or a sample such as "655 g: 412 g"', "size"
        )
    if asked.size is None and (asked.outside or asked.thickness or asked.weighs):
        raise Refused("an outside or a weighed length without a size", 'a size such as 14 or "2.5 mm2"', "size")
    if (asked.weighs is None) != (asked.length is None):
        missing = "weighs" if asked.weighs is None else "length"
        says = "Give both what a length weighs and how long it is, or neither."
        raise Refused("one of the two", "both", missing, says=says)
    if asked.outside is not None and asked.thickness is not None:
        says = "Give the outside diameter or the insulation thickness, not both."
        raise Refused(f"{asked.outside} and {asked.thickness}", "one of them", "thickness", says=says)


def _conductor(size: str, metal: Metal, count: int) -> Conductor:
    return Conductor(
        size=size.strip(),
        conductors=count,
        area_mm2=metal.area_mm2 * count,
        least_mm2=metal.least_mm2 * count,
        copper_g_per_m=wire.copper_g_per_m(metal.area_mm2 * count),
        least_g_per_m=wire.copper_g_per_m(metal.least_mm2 * count),
        ohm_per_km_each=conductors.ohm_per_km(metal.area_mm2),
    )


def _by_size(asked: WireAsked, metal: Metal | None, count: int, notes: list[str]) -> Recovery | None:
    if metal is None or (asked.outside is None and asked.thickness is None):
        return None
    around = insulation.insulation(asked.insulation or "pvc")
    if asked.insulation is None:
        notes.append("Insulation not named: PVC taken, 1.3 to 1.5 g/cm3.")
    outside = _outside_mm2(asked, metal, count)
    low, likely, high = (
        wire.recovery_of_insulated_wire(area, count, outside, density)
        for area, density in (
            (metal.least_mm2, around.high),
            ((metal.least_mm2 + metal.area_mm2) / 2.0, around.likely),
            (metal.area_mm2, around.low),
        )
    )
    if count > 1 and around is not insulation.INSULATIONS["house-cable"]:
        notes.append(
            "Air and paper between the conductors are counted as insulation: the true recovery is a little higher."
        )
    return Recovery("size and outside", low, likely, high, f"{around.name}, {around.low:g} to {around.high:g} g/cm3")


def _outside_mm2(asked: WireAsked, metal: Metal, count: int) -> float:
    if asked.outside is not None:
        sides = read_sides(asked.outside, "outside")
        return insulation.round_mm2(sides[0]) if len(sides) == 1 else insulation.flat_mm2(sides[0], sides[1])
    if count > 1 or metal.diameter_mm is None:
        given = f"a thickness for {'several conductors' if count > 1 else 'strands'}"
        raise Refused(given, "the outside instead: the diameter, or width x height, over all", "thickness")
    thickness = read(str(asked.thickness), LENGTH, "thickness").value
    return insulation.round_mm2(insulation.covered_mm(metal.diameter_mm, thickness))


def _by_length(asked: WireAsked, known: Conductor | None) -> Recovery | None:
    if known is None or asked.weighs is None or asked.length is None:
        return None
    mass, length = read_mass(asked.weighs, "weighs"), read(asked.length, LENGTH, "length").value / 1000.0
    likely = stripping.recovery_of_length(known.copper_g_per_m, mass.value, length)
    least = stripping.recovery_of_length(known.least_g_per_m, mass.value, length)
    return Recovery(
        "size and weighed length", least, likely, likely, "no insulation guessed; the gauge has to be right"
    )


def _by_samples(asked: WireAsked, notes: list[str]) -> Recovery | None:
    if not asked.samples:
        return None
    pairs, step = [], 0.0
    for text in asked.samples:
        whole, colon, copper = text.partition(":")
        if not colon:
            raise BadQuantity(shown(text), 'whole and stripped mass such as "655 g: 412 g"', "samples")
        read_both = read_mass(whole, "samples"), read_mass(copper, "samples")
        pairs.append((read_both[0].value, read_both[1].value))
        step = max(step, *(reading.step for reading in read_both))
    division = step if asked.division is None else read_mass(asked.division, "division").value
    if asked.division is None:
        notes.append(f"Division of the scale taken from the digits typed: {division:g} g.")
    found = stripping.recovery_of_samples(pairs, division)
    wide = found.factor * found.uncertainty
    if found.samples == 1:
        notes.append(
            "One sample says how well it was weighed, not how the wire differs from piece to piece: strip three."
        )
    name = f"{found.samples} stripped sample{'s' if found.samples > 1 else ''}"
    low, high = max(LEAST, found.recovery - wide), min(1.0, found.recovery + wide)
    return Recovery(name, low, found.recovery, high, "measured; holds in 95 of 100 cases")
