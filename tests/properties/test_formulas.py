"""Laws of the formulas: units survive a round trip, answers move the right way, break-evens break even, and what lies
outside a formula's validity is refused.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import numpy as np
import pint
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats

from partway.errors import BadQuantity
from partway.formulas import (
    battery,
    capacitor,
    conductors,
    holding,
    insulation,
    scale,
    stainless,
    stripping,
    weighing,
    winding,
    wire,
)
from partway.formulas.density import alloys, hydrostatic, water
from partway.formulas.scale import RULES, Rule
from partway.measures import (
    CAPACITANCE,
    CHARGE,
    ENERGY,
    LENGTH,
    RESISTANCE,
    VOLTAGE,
    Dimension,
    read,
    read_mass,
    read_temperature,
)

PINT: pint.UnitRegistry[float] = pint.UnitRegistry()
BASES = {"length": "mm", "voltage": "V", "charge": "Ah", "energy": "Wh", "capacitance": "F", "resistance": "ohm"}
SPELT = {'"': "inch", "mil": "thou", "mils": "thou", "MFD": "uF", "mfd": "uF", "Mfd": "uF",
         "megohm": "Mohm", "R": "ohm",
         "k": "kohm", "K": "kohm", "M": "Mohm", "KΩ": "kohm", "Kohm": "kohm", "KOhm": "kohm", "kOhm": "kohm",
         "MOhm": "Mohm", "Ohm": "ohm", "v": "V", "kv": "kV", "KV": "kV", "ah": "Ah", "AH": "Ah", "mah": "mAh",
         "MAH": "mAh", "wh": "Wh", "WH": "Wh", "kwh": "kWh", "f": "F", "uf": "uF", "UF": "uF", "μf": "uF", "nf": "nF",
         "pf": "pF"}  # fmt: skip
UNITS = [(d, u) for d in (LENGTH, VOLTAGE, CHARGE, ENERGY, CAPACITANCE, RESISTANCE) for u in d.units]
positive = st.floats(0.001, 1000.0)


@pytest.mark.parametrize(("dimension", "unit"), UNITS)
def test_units_are_those_of_another_library(dimension: Dimension, unit: str) -> None:
    """Against pint's own definitions, which we do not use for these."""
    factor = read(f"1 {unit}", dimension, "").value
    expected = PINT.Quantity(1.0, SPELT.get(unit, unit)).to(BASES[dimension.name]).magnitude
    assert factor == pytest.approx(float(expected), rel=1e-12)


@given(st.integers(1, 10**6), st.integers(0, 4), st.sampled_from(["g", "kg", "lb", "oz"]))
def test_a_mass_keeps_its_last_digit(number: int, places: int, unit: str) -> None:
    text = f"{number / 10**places:.{places}f} {unit}"
    reading = read_mass(text, "")
    one = read_mass(f"1 {unit}", "").value
    assert reading.value == pytest.approx(number / 10**places * one, rel=1e-9)
    assert reading.step == pytest.approx(one / 10**places, rel=1e-9)


@given(st.integers(-40, 120))
def test_degrees_survive_the_round_trip(fahrenheit: int) -> None:
    celsius = read_temperature(f"{fahrenheit} F", "").value
    assert celsius * 9 / 5 + 32 == pytest.approx(fahrenheit, abs=1e-9)


@pytest.mark.parametrize(
    "text", ["1 mF", "1 MF", "1 mohm", "1 MV", "1 Mv", "1", "ohm", "1 2 V", "-1 V", "0 V", "1,5 V"]
)
def test_what_could_mean_two_things_is_refused(text: str) -> None:
    """A thousandth and a million differ by the case of a letter; mF on an old label is a microfarad."""
    for dimension in (CAPACITANCE, RESISTANCE, VOLTAGE):
        with pytest.raises(BadQuantity):
            read(text, dimension, "")


# --- the right way -------------------------------------------------------------------------------


@given(st.floats(4.1, 39.0), st.floats(0.01, 0.9))
def test_warmer_water_is_lighter(celsius: float, step: float) -> None:
    assert water.water_density(celsius + step) < water.water_density(celsius)


@given(st.floats(1.5, 20.0), st.floats(5.0, 1000.0))
def test_density_comes_back_from_the_readings_it_makes(density: float, grams: float) -> None:
    """Weigh a piece of known density in thought, by forces: it is found again."""
    volume = grams / density
    in_air, in_water = grams - volume * water.AIR, grams - volume * 0.9982
    assert hydrostatic.hydrostatic_density(in_air, in_water, 0.9982) == pytest.approx(density, rel=1e-9)
    gain = in_air - in_water
    assert hydrostatic.hanging_g(in_air, gain) == pytest.approx(in_water, rel=1e-9)


@given(st.floats(2.0, 15.0), st.floats(0.0005, 0.01))
def test_a_finer_scale_or_a_heavier_piece_knows_the_density_better(density: float, division: float) -> None:
    def unsure(grams: float, step: float) -> float:
        return hydrostatic.density_uncertainty(grams, grams * (1.0 - 0.998 / density), 0.9982, 0.0, step)

    assert unsure(100.0, division) < unsure(100.0, 2 * division)
    assert unsure(200.0, division) < unsure(100.0, division)


@given(st.floats(1.0, 20.0), st.floats(0.001, 1.0), st.floats(0.001, 1.0))
def test_a_surer_density_never_leaves_more(density: float, one: float, other: float) -> None:
    sure, unsure = sorted((one, other))
    assert {a.id for a in alloys.alloys_left(density, sure)} <= {a.id for a in alloys.alloys_left(density, unsure)}


@given(positive, positive, st.floats(1.1, 5.0))
def test_thicker_insulation_lowers_the_recovery(conductor: float, thickness: float, more: float) -> None:
    from partway.formulas.wire import recovery_of_insulated_wire

    thin, thick = (
        recovery_of_insulated_wire(
            insulation.round_mm2(conductor), 1, insulation.round_mm2(insulation.covered_mm(conductor, t)), 1.4
        )
        for t in (thickness, thickness * more)
    )
    assert thick < thin < 1.0


@given(st.floats(1e-9, 1.0), st.floats(40.0, 5000.0), st.floats(1.0, 1e8))
def test_discharging_takes_the_time_it_takes_in_steps(farads: float, volts: float, ohms: float) -> None:
    """To 34 V at once, or with a stop on the way."""
    whole = capacitor.discharge_seconds(farads, ohms, volts, 34.0)
    stop = math.sqrt(volts * 34.0)
    parts = capacitor.discharge_seconds(farads, ohms, volts, stop) + capacitor.discharge_seconds(
        farads, ohms, stop, 34.0
    )
    assert parts == pytest.approx(whole, rel=1e-9)


@given(st.floats(1e-9, 100.0), st.floats(0.1, 10_000.0))
def test_at_the_voltage_to_reach_no_limit_is_passed(farads: float, volts: float) -> None:
    safe = capacitor.safe_volts(farads)
    assert not any(limit.passed for limit in capacitor.limits(farads, safe * (1.0 - 1e-9)))
    if volts <= safe * (1.0 - 1e-9):
        assert not any(limit.passed for limit in capacitor.limits(farads, volts))
    assert capacitor.charge_uc(farads, volts) * volts / 2e6 == pytest.approx(
        capacitor.energy_j(farads, volts), rel=1e-9
    )


@given(st.sampled_from(RULES), st.floats(0.5, 900.0), st.floats(0.5, 900.0))
def test_more_load_never_has_less_tolerance(of: Rule, one: float, other: float) -> None:
    less, more = sorted((one, other))
    assert scale.tolerance(less, 1.0, of) <= scale.tolerance(more, 1.0, of)
    assert scale.tolerance(more, 1.0, of, "new") == scale.tolerance(more, 1.0, of) / 2


@given(st.sampled_from(RULES), st.floats(0.0008, 0.3), st.sampled_from([0.0, 30.0, 260.0]))
def test_the_smallest_lot_is_the_smallest(of: Rule, share: float, tare: float) -> None:
    """Against trying loads: from the lot on all of them keep to the share, and just below it one does not."""
    lot = scale.smallest_lot(1.0, share, of, tare=tare)
    last = of.most or 30_000.0

    def keeps(net: float) -> bool:
        empty = scale.tolerance(tare, 1.0, of) if tare else 0.0
        return scale.tolerance(net + tare, 1.0, of) + empty <= share * net * (1.0 + 1e-9)

    loads = [float(n) for n in np.geomspace(1.0, last - tare, 300)]
    if lot is None:
        assert of.most is not None and not keeps(last - tare)
        return
    assert all(keeps(net) for net in (lot, *(n for n in loads if n >= lot)))
    assert not keeps(lot * (1.0 - 1e-6)) or lot < 1e-9


# --- break-evens ---------------------------------------------------------------------------------

terms = st.builds(
    stripping.StrippingTerms,
    recovery=st.floats(0.1, 0.95),
    bare=st.floats(0.5, 15.0),
    insulated=st.floats(0.0, 8.0),
    minutes=st.floats(0.5, 60.0),
    wage=st.floats(0.5, 60.0),
    residue_cost=st.floats(0.0, 1.0),
)


@given(terms)
def test_at_each_break_even_stripping_gains_nothing(it: stripping.StrippingTerms) -> None:
    from dataclasses import replace

    changes: list[dict[str, Any]] = [
        {"bare": stripping.break_even_bare(it)},
        {"insulated": stripping.break_even_insulated(it)},
        {"wage": stripping.break_even_wage(it)},
        {"minutes": stripping.break_even_minutes(it)},
        {"recovery": stripping.break_even_recovery(it)},
    ]
    for change in changes:
        (name, value), *_ = change.items()
        if (name in ("wage", "minutes") and value < 0) or (name == "recovery" and not 0 < value <= 1):
            with pytest.raises(BadQuantity):
                replace(it, **change)
        else:
            assert stripping.gain_of_stripping(replace(it, **change)) == pytest.approx(0.0, abs=1e-9)


wound = st.builds(
    winding.Wound,
    mass=st.floats(0.2, 20.0),
    copper_share=st.floats(0.02, 0.35),
    iron_share=st.floats(0.1, 0.6),
    minutes=st.floats(0.5, 60.0),
    sealed=st.floats(0.0, 3.0),
    copper=st.floats(1.0, 15.0),
    iron=st.floats(0.0, 1.0),
    wage=st.floats(0.5, 60.0),
)


@given(wound)
def test_at_each_break_even_opening_gains_nothing(it: winding.Wound) -> None:
    from dataclasses import replace

    for name, value in (
        ("copper", winding.break_even_copper(it)),
        ("sealed", winding.break_even_sealed(it)),
        ("wage", winding.break_even_wage(it)),
        ("minutes", winding.break_even_minutes(it)),
    ):
        assert value is not None
        if name in ("wage", "minutes") and value < 0:
            continue
        assert winding.gain_of_opening(replace(it, **{name: value})) == pytest.approx(0.0, abs=1e-9)


def test_opening_a_motor_by_hand() -> None:
    """0.9 kg, 10 % copper, 60 % iron, 9.5 minutes at 12 an hour: 0.9 (0.9 + 0.12 - 0.8) - 1.9 = -1.702."""
    it = winding.Wound(0.9, 0.10, 0.60, 9.5, 0.8, 9.0, 0.2, 12.0)
    assert winding.gain_of_opening(it) == pytest.approx(-1.702, abs=1e-12)
    assert winding.break_even_copper(it) == pytest.approx(9.0 + 1.702 / 0.09)
    assert winding.break_even_wage(it) == pytest.approx(0.198 * 60 / 9.5)


# --- samples and coils ---------------------------------------------------------------------------


@given(st.floats(0.2, 0.9), st.integers(2, 8))
def test_samples_that_agree_leave_only_the_scale(share: float, n: int) -> None:
    same = stripping.recovery_of_samples([(500.0, 500.0 * share)] * n, 1.0)
    one = stripping.recovery_of_samples([(500.0, 500.0 * share)], 1.0)
    assert same.recovery == pytest.approx(share)
    assert same.uncertainty == pytest.approx(one.uncertainty / math.sqrt(n), rel=1e-6)


def test_samples_that_differ_are_known_by_their_scatter() -> None:
    """Draws of three samples from a wire whose recovery varies by 2 points: the mean is held 19 times in 20.

    The reference is the drawing itself (seeded); the plain factor 2 would hold it far less often.
    """
    rng, held, by_two, tries = np.random.default_rng(7), 0, 0, 4000
    for _ in range(tries):
        samples = [(500.0, 500.0 * float(rng.normal(0.60, 0.02))) for _ in range(3)]
        found = stripping.recovery_of_samples(samples, 1.0)
        held += abs(found.recovery - 0.60) <= found.factor * found.uncertainty
        by_two += abs(found.recovery - 0.60) <= 2.0 * found.uncertainty
    assert 0.945 <= held / tries <= 0.985
    assert by_two / tries < 0.88


@pytest.mark.parametrize(("whole", "copper", "division"), [(100.0, 50.0, 1.0), (40.0, 36.0, 2.0)])
def test_one_sample_is_known_as_well_as_drawing_both_readings_says(
    whole: float, copper: float, division: float
) -> None:
    """JCGM 101, propagation by draws: reading and zero of both weighings; to 1 %."""
    rng, n, half = np.random.default_rng(20260316), 400_000, division / 2.0
    there, metal = (x + rng.uniform(-half, half, n) - rng.uniform(-half, half, n) for x in (whole, copper))
    found = stripping.recovery_of_samples([(whole, copper)], division)
    assert found.uncertainty == pytest.approx(float(np.std(metal / there)), rel=0.01)
    assert (found.recovery, found.factor, found.samples) == (copper / whole, 2.0, 1)


def test_scatter_and_scale_of_samples_of_one_mass() -> None:
    """Of equal samples the ratio is a mean: its scatter is the standard error of the mean, by another library."""
    shares = (0.55, 0.6, 0.63)
    fine = stripping.recovery_of_samples([(500.0, 500.0 * share) for share in shares], 1e-6)
    assert fine.uncertainty == pytest.approx(float(stats.sem(shares)), rel=1e-6)
    assert (fine.factor, fine.samples) == (4.53, 3)  # Student's t for 2 degrees of freedom, GUM table G.2
    coarse = stripping.recovery_of_samples([(500.0, 500.0 * share) for share in shares], 30.0)
    scale = 3.0 * (30.0**2 / 6.0) * (1.0 + coarse.recovery**2) / 1500.0**2
    scatter = float(stats.sem(shares)) ** 2
    assert coarse.uncertainty == pytest.approx(math.sqrt(scale + scatter))
    assert coarse.factor == weighing.coverage((scale + scatter) ** 2 / (scatter**2 / 2.0))  # GUM, G.4
    assert coarse.factor < fine.factor


def test_stripping_never_pays_by_its_recovery_where_bare_copper_is_worth_nothing() -> None:
    assert stripping.break_even_recovery(stripping.StrippingTerms(0.5, 0.0, 1.0, 1.0, 1.0)) is None
    assert stripping.break_even_recovery(stripping.StrippingTerms(0.5, -2.0, 1.0, 1.0, 1.0, residue_cost=1.0)) is None
    assert (
        stripping.break_even_recovery(stripping.StrippingTerms(0.5, 0.0, 1.0, 1.0, 1.0, residue_cost=0.1)) is not None
    )


def test_the_last_row_of_students_t_counts_up_to_a_hundred() -> None:
    assert [weighing.coverage(freedom) for freedom in (50.0, 100.0, 100.1, math.inf)] == [2.05, 2.05, 2.0, 2.0]


def test_a_row_of_students_t_counts_from_its_own_degrees_of_freedom_on() -> None:
    """The rows taken from GUM, table G.2: just below one, the factor is still that of the row before."""
    for before, row in pairwise((*range(1, 11), 15, 20, 30, 50)):
        assert weighing.coverage(row) < weighing.coverage(row - 0.01) == weighing.coverage(before)


def test_a_load_of_as_many_divisions_as_a_band_has_is_in_it_whatever_the_floats_say() -> None:
    """4.5 / 0.009 is a hair above 500."""
    assert 4.5 / 0.009 > 500.0
    assert scale.tolerance(4.5, 0.009, III) == pytest.approx(0.009)
    assert scale.tolerance(0.009 * 501.0, 0.009, III) == pytest.approx(2.0 * 0.009)


def test_insulations_weigh_what_they_say_to_half_a_gram() -> None:
    for it in insulation.INSULATIONS.values():
        assert it.low < it.likely < it.high and it.high - it.low < 0.51, it.name


def test_a_family_of_steel_weighs_what_the_table_of_alloys_has() -> None:
    ranges = {alloy.id: (alloy.low, alloy.high) for alloy in alloys.ALLOYS}
    for family in stainless.FAMILIES:
        low, high = ranges[family.id.removesuffix("-cold")]
        assert low <= family.density <= high, family.id


def test_densities_part_steels_that_are_more_than_twice_two_uncertainties_apart() -> None:
    """304 and mild steel lie 0.08 apart."""
    by_id = {family.id: family for family in stainless.FAMILIES}
    one, other = by_id["stainless-304"], by_id["steel"]
    assert stainless.told_apart_by_density(one, other, 0.0199)
    assert not stainless.told_apart_by_density(one, other, 0.0201)
    assert not stainless.told_apart_by_density(one, other, abs(one.density - other.density) / 4.0)  # they still touch


def test_an_answer_that_a_few_in_a_hundred_give_leaves_no_family() -> None:
    """Of 430 five in a hundred answer weakly, of cold 304 six strongly."""
    assert "stainless-430" not in {family.id for family in stainless.families_left("weak")}
    assert "stainless-304-cold" in {family.id for family in stainless.families_left("strong")}


def test_the_sizes_named_are_the_nearest() -> None:
    for size, words in ((2.2, "1.5 or 2.5"), (0.9, "0.75 or 1"), (1000.0, "240 or 300")):
        with pytest.raises(BadQuantity) as problem:
            conductors.most_ohm_per_km(size, "solid")
        assert problem.value.expected.endswith(f"such as {words}")


@pytest.mark.parametrize(
    ("formula", "given_numbers", "least_or_most", "words"),
    [
        # 5 x 0.5 g; 10 x 5 g; 9 g/m x 4 m; 10,000 divisions of 2 kg: multiplied by head
        (hydrostatic.density_uncertainty, (5.0, 4.0, 1.0, 0.0, 0.5), "5 divisions, 2.5 g", "1 g"),
        (stripping.recovery_of_samples, ([(49.0, 20.0)], 5.0), "10 divisions of the scale, 50", "49"),
        (stripping.recovery_of_length, (9.0, 35.5, 4.0), "the 36 g of copper", "35.5 g"),
        (scale.tolerance, (20_001.0, 2.0, scale.rule("us", "III")), "10000 divisions, 20000", "20001"),
    ],
)
def test_a_refusal_says_the_bound_for_the_numbers_given(
    formula: Callable[..., object], given_numbers: tuple[Any, ...], least_or_most: str, words: str
) -> None:
    with pytest.raises(BadQuantity) as problem:
        formula(*given_numbers)
    assert re.search(rf"\b{re.escape(least_or_most)}(?![.\d])", problem.value.expected), problem.value.expected
    assert problem.value.given == words


def test_a_magnet_parts_some_stainless_from_steel_and_not_the_rest() -> None:
    """Common practice, no source: no pull may be any of the 300s or 200s; a strong one 430 or plain steel."""
    none = {family.id for family in stainless.families_left("none")}
    strong = {family.id for family in stainless.families_left("strong")}
    assert {"stainless-304", "stainless-316", "stainless-200"} <= none and "steel" not in none
    assert {"steel", "stainless-430", "stainless-304-cold"} <= strong and "stainless-316" not in strong
    by_id = {family.id: family for family in stainless.FAMILIES}
    assert all(f.strong + f.weak + f.none == 100 for f in stainless.FAMILIES)
    assert stainless.told_apart_by_density(by_id["steel"], by_id["stainless-304"], 0.01)
    assert not stainless.told_apart_by_density(by_id["steel"], by_id["stainless-304"], 0.03)


# --- outside its validity a formula refuses --------------------------------------------------------

III = scale.rule("oiml", "III")
OUTSIDE: list[tuple[Callable[..., object], tuple[Any, ...]]] = [
    (water.water_density, (-0.1,)), (water.water_density, (40.1,)), (water.water_density, (math.nan,)),
    (water.water_density_uncertainty, (20.0, -1.0)),
    (hydrostatic.hydrostatic_density, (5.0, 5.0, 1.0)), (hydrostatic.hydrostatic_density, (5.0, 6.0, 1.0)),
    (hydrostatic.hydrostatic_density, (5.0, 0.0, 1.0)), (hydrostatic.hydrostatic_density, (5.0, -1.0, 1.0)),
    (hydrostatic.hydrostatic_density, (math.inf, 4.0, 1.0)), (hydrostatic.hydrostatic_density, (5.0, 4.0, 0.0)),
    (hydrostatic.hydrostatic_density, (5.0, 4.0, 1.0, -0.1)),
    (hydrostatic.density_uncertainty, (5.0, 4.0, 1.0, 0.0, 0.25)),
    (hydrostatic.density_uncertainty, (5.0, 4.0, 1.0, 0.0, 0.0)),
    (hydrostatic.density_uncertainty, (5.0, 4.0, 1.0, -0.1, 0.01)),
    (hydrostatic.thread_correction_g, (0.0, 10.0, 1.0)), (hydrostatic.thread_correction_g, (5.1, 10.0, 1.0)),
    (hydrostatic.thread_correction_g, (0.3, -1.0, 1.0)), (hydrostatic.hanging_g, (5.0, 5.0)),
    (hydrostatic.hanging_g, (5.0, 0.0)),
    (weighing.reading_uncertainty, (0.0,)), (weighing.coverage, (0.9,)), (weighing.coverage, (math.nan,)),
    (alloys.alloys_left, (0.0, 1.0)), (alloys.alloys_left, (1.0, 0.0)),
    (conductors.most_ohm_per_km, (0.6, "solid")), (conductors.least_area_mm2, (400.0, "flexible")),
    (conductors.strands_mm2, (0, 0.2)), (conductors.strands_mm2, (10_001, 0.2)), (conductors.strands_mm2, (7, 0.0)),
    (conductors.ohm_per_km, (0.0,)), (insulation.insulation, ("wool",)), (insulation.round_mm2, (0.0,)),
    (insulation.flat_mm2, (0.0, 1.0)), (insulation.flat_mm2, (1.0, -1.0)), (insulation.covered_mm, (1.0, 0.0)),
    (stripping.recovery_of_length, (10.0, 9.0, 1.0)), (stripping.recovery_of_length, (0.0, 9.0, 1.0)),
    (stripping.recovery_of_samples, ([], 1.0)), (stripping.recovery_of_samples, ([(9.0, 5.0)], 1.0)),
    (stripping.recovery_of_samples, ([(0.99, 0.5)], 0.1)), (stripping.recovery_of_samples, ([(49.0, 20.0)], 5.0)),
    (stripping.recovery_of_samples, ([(50.0, 51.0)], 1.0)), (stripping.recovery_of_samples, ([(50.0, 0.0)], 1.0)),
    (stripping.StrippingTerms, (0.0, 1.0, 1.0, 1.0, 1.0)), (stripping.StrippingTerms, (1.1, 1.0, 1.0, 1.0, 1.0)),
    (stripping.StrippingTerms, (0.5, 1.0, 1.0, -1.0, 1.0)), (stripping.StrippingTerms, (0.5, 1.0, 1.0, 1.0, -1.0)),
    (stripping.StrippingTerms, (0.5, math.nan, 1.0, 1.0, 1.0)),
    (battery.watt_hours, (0.0, 1.0)), (battery.watt_hours, (1501.0, 1.0)), (battery.watt_hours, (12.0, 10_001.0)),
    (battery.capacitor_watt_hours, (1.0, 2.0, 2.0)), (battery.capacitor_watt_hours, (1.0, 2.0, -1.0)),
    (battery.small_in_package, (0.0,)), (battery.small_in_package, (30.1,)),
    (capacitor.energy_j, (0.0, 1.0)), (capacitor.energy_j, (10_001.0, 1.0)), (capacitor.charge_uc, (1e-6, 1e6 + 0.5)),
    (capacitor.discharge_seconds, (1e-6, 0.0, 10.0, 1.0)), (capacitor.discharge_seconds, (1e-6, 1.0, 10.0, 0.0)),
    (capacitor.safe_volts, (0.0,)), (scale.rule, ("mars", "III")), (scale.rule, ("us", "IIIHD")),
    (scale.tolerance, (10_001.0, 1.0, III)), (scale.tolerance, (0.0, 1.0, III)), (scale.tolerance, (1.0, 0.0, III)),
    (scale.smallest_lot, (1.0, 0.0, III)), (scale.smallest_lot, (1.0, 1.0, III)),
    (scale.smallest_lot, (0.0, 0.1, III)),
    (winding.Wound, (0.0, 0.1, 0.5, 1.0, 1.0, 1.0, 1.0, 1.0)),
    (winding.Wound, (1.0, 0.6, 0.5, 1.0, 1.0, 1.0, 1.0, 1.0)),
    (winding.Wound, (1.0, 0.0, 0.5, 1.0, 1.0, 1.0, 1.0, 1.0)),
    (winding.Wound, (1.0, 0.1, -0.5, 1.0, 1.0, 1.0, 1.0, 1.0)),
    (winding.Wound, (1.0, 0.1, 0.5, 1.0, 1.0, 1.0, 1.0, -1.0)),
    (winding.Wound, (1.0, 0.1, 0.5, 1.0, math.nan, 1.0, 1.0, 1.0)),
    (winding.Wound, (1.0, 1.5, -0.6, 1.0, 1.0, 1.0, 1.0, 1.0)),
    (winding.Wound, (1.0, 0.1, 0.5, -1.0, 1.0, 1.0, 1.0, 1.0)),
    (stainless.families_left, ("some",)),
    (stainless.told_apart_by_density, (stainless.FAMILIES[0], stainless.FAMILIES[1], 0.0)),
]  # fmt: skip


@pytest.mark.parametrize(("formula", "given_numbers"), OUTSIDE, ids=lambda value: getattr(value, "__name__", None))
def test_outside_its_validity_a_formula_refuses(formula: Callable[..., object], given_numbers: tuple[Any, ...]) -> None:
    with pytest.raises(BadQuantity):
        formula(*given_numbers)


WOUND, STRIPPING = (1.0, 0.4, 0.5, 1.0, 1.0, 1.0, 1.0, 1.0), (0.5, 1.0, 1.0, 1.0, 1.0, 1.0)
NAMED: list[tuple[Callable[..., object], tuple[float, ...], tuple[str, ...]]] = [
    (winding.Wound, WOUND, ("mass, kg", "copper share", "iron share", "minutes", "price as it is", "price of copper",
                            "price of iron", "wage")),
    (stripping.StrippingTerms, STRIPPING, ("recovery", "price of bare copper", "price of insulated wire",
                                           "minutes for each kg", "wage", "cost of the insulation")),
    (wire.recovery_of_insulated_wire, (1.0, 1, 5.0, 1.4), (
        "conductor cross-section, mm2", "conductors", "outside cross-section, mm2",
        "density of the insulation, g/cm3")),
    (battery.watt_hours, (12.0, 1.0), ("voltage, V", "capacity, Ah")),
    (battery.capacitor_watt_hours, (1.0, 2.0, 1.0), ("capacitance, F", "upper voltage, V", "lower voltage, V")),
    (capacitor.discharge_seconds, (1e-6, 1.0, 10.0, 1.0), (
        "capacitance, F", "resistance, ohm", "voltage, V", "voltage to reach, V")),
    (insulation.flat_mm2, (2.0, 1.0), ("outside width, mm", "outside height, mm")),
    (insulation.covered_mm, (2.0, 1.0), ("conductor diameter, mm", "insulation thickness, mm")),
    (hydrostatic.hanging_g, (5.0, 1.0), ("reading in air, g", "gain of the vessel, g")),
    (holding.economic_lot, (1.0, 1.0, 1.0, 0.1), (
        "inflow a year", "cost of a trip", "worth of a unit", "cost of holding, share a year")),
    (holding.hold_threshold, (1.0, 0.1, 0.1, 0.1, 0.0), (
        "cost of a trip", "discount rate, share a year", "payout rate, share a year", "volatility, share for a year",
        "cost of storing, a year")),
]  # fmt: skip


@pytest.mark.parametrize(("formula", "good", "names"), NAMED, ids=lambda value: getattr(value, "__name__", None))
def test_a_refusal_names_the_number_that_is_wrong(
    formula: Callable[..., object], good: tuple[float, ...], names: tuple[str, ...]
) -> None:
    """One after the other is no number, the rest are good: that one is refused, and nothing that hangs on it."""
    formula(*good)
    assert len(good) == len(names)
    for n, name in enumerate(names):
        with pytest.raises(BadQuantity) as problem:
            formula(*good[:n], math.nan, *good[n + 1 :])
        assert problem.value.where == name


@pytest.mark.parametrize(
    ("formula", "given_numbers", "name"),
    [
        (winding.Wound, (1.0, 1.01, *WOUND[2:]), "copper share"),
        (winding.Wound, (1.0, 0.4, 0.61, *WOUND[3:]), "iron share"),
        (stripping.StrippingTerms, (1.01, *STRIPPING[1:]), "recovery"),
        (battery.watt_hours, (1500.1, 10_000.1), "voltage, V"),
        (capacitor.energy_j, (10_000.1, 1e6 + 1.0), "capacitance, F"),
    ],
)
def test_a_number_too_large_is_named_before_what_hangs_on_it(
    formula: Callable[..., object], given_numbers: tuple[float, ...], name: str
) -> None:
    with pytest.raises(BadQuantity) as problem:
        formula(*given_numbers)
    assert problem.value.where == name


# The last numbers on the near side of each bound, which the lists of what is refused go beyond by the next one.
EDGES: list[tuple[Callable[..., object], tuple[Any, ...]]] = [
    (water.water_density, (0.0,)), (water.water_density, (40.0,)), (water.water_density_uncertainty, (20.0, 0.0)),
    (hydrostatic.thread_correction_g, (5.0, 0.0, 1.0)), (hydrostatic.hydrostatic_density, (5.0, 4.0, 1.0, 0.0)),
    (weighing.coverage, (1.0,)), (conductors.strands_mm2, (1, 0.2)), (conductors.strands_mm2, (10_000, 0.2)),
    (insulation.flat_mm2, (1.0, 0.5)), (stripping.recovery_of_length, (10.0, 10.0, 1.0)),
    (stripping.recovery_of_samples, ([(10.0, 10.0)], 1.0)), (stripping.recovery_of_samples, ([(1.0, 0.5)], 0.1)),
    (stripping.recovery_of_samples, ([(50.0, 20.0)], 5.0)), (stripping.StrippingTerms, (1.0, 0.5, 0.5, 0.0, 0.0)),
    (stripping.StrippingTerms, (0.01, 0.5, 0.5, 0.5, 0.5)),
    (stripping.StrippingTerms, (0.5, -1.0, -1.0, 0.5, 0.5, -1.0)),
    (battery.watt_hours, (1500.0, 10_000.0)), (battery.watt_hours, (0.5, 0.5)),
    (battery.capacitor_watt_hours, (0.5, 0.5, 0.0)), (battery.small_in_package, (30.0,)),
    (battery.small_in_package, (0.5,)), (capacitor.energy_j, (10_000.0, 1e6)), (capacitor.charge_uc, (0.5, 0.5)),
    (capacitor.discharge_seconds, (0.5, 0.5, 0.5, 0.5)),
    (capacitor.safe_volts, (10_000.0,)), (capacitor.safe_volts, (1e-12,)), (scale.tolerance, (10_000.0, 1.0, III)),
    (scale.tolerance, (0.5, 0.5, III)), (scale.smallest_lot, (0.5, 0.999, III)), (scale.smallest_lot, (0.5, 1e-9, III)),
    (winding.Wound, (0.5, 0.5, 0.5, 0.0, 0.0, 0.0, 0.0, 0.0)),
    (winding.Wound, (0.5, 1.0, 0.0, 0.5, -1.0, -1.0, -1.0, 0.5)),
]  # fmt: skip


@pytest.mark.parametrize(("formula", "given_numbers"), EDGES, ids=lambda value: getattr(value, "__name__", None))
def test_at_the_edge_of_its_validity_a_formula_answers(
    formula: Callable[..., object], given_numbers: tuple[Any, ...]
) -> None:
    formula(*given_numbers)


@pytest.mark.parametrize(
    ("formula", "given_numbers", "expected"),
    [
        (stripping.recovery_of_samples, ([(49.0, 20.0)], 5.0), "at least 10 divisions of the scale, 50"),
        (stripping.recovery_of_length, (10.0, 45.0, 5.0), "at least the 50 g of copper in that length"),
        (scale.tolerance, (50_001.0, 5.0, III), "at most 10000 divisions, 50000: class III goes no further"),
    ],
)
def test_a_refusal_names_the_bound(formula: Callable[..., object], given_numbers: Any, expected: str) -> None:
    with pytest.raises(BadQuantity) as problem:
        formula(*given_numbers)
    assert problem.value.expected == expected


@given(st.floats(0.05, 30.0))
def test_a_package_holds_as_many_as_fit(kg: float) -> None:
    n = battery.small_in_package(kg)
    assume(abs(30.0 / kg - round(30.0 / kg)) > 1e-9)
    assert n * kg <= 30.0 < (n + 1) * kg
