"""Density by displacement against published values, elements and alloys against another library and data sheets.

Sources: (7) packages iapws, CoolProp and chemicals, which agree on water. (8) OpenStax College Physics, section 11.7,
the coin. (9) package periodictable. (10) alloy data sheets C26000 and zinc AG40A; marked M where from memory. GUM:
JCGM 100. Numbers as in the project's list of outside checks.
"""

from __future__ import annotations

import math

import numpy as np
import periodictable
import pytest
from scipy import stats

from partway.formulas.density.alloys import ALLOYS, alloys_left
from partway.formulas.density.hydrostatic import AIR_UNCERTAINTY, density_uncertainty, hydrostatic_density
from partway.formulas.density.water import AIR, water_density, water_density_uncertainty
from partway.formulas.weighing import STUDENT, coverage

RANGES = {alloy.id: (alloy.low, alloy.high) for alloy in ALLOYS}


@pytest.mark.parametrize(("celsius", "kg_per_m3"), [(20.0, 998.2072), (25.0, 997.0476), (40.0, 992.2164)])
def test_check_7_water(celsius: float, kg_per_m3: float) -> None:
    """To 0.005 kg/m3."""
    assert water_density(celsius) * 1000.0 == pytest.approx(kg_per_m3, abs=0.005)


@pytest.mark.parametrize(
    ("celsius", "by", "kg_per_m3"), [(20.0, 5.0, 998.2072 - 997.0476), (40.0, 15.0, 997.0476 - 992.2164)]
)
def test_its_uncertainty_is_the_larger_change_of_the_table(celsius: float, by: float, kg_per_m3: float) -> None:
    """The same table; at 40 °C its end counts as reached."""
    assert water_density_uncertainty(celsius, by) * 1000.0 == pytest.approx(kg_per_m3, abs=0.01)


def test_check_7_water_is_densest_near_4_degrees() -> None:
    """999.975 kg/m3 at 3.98 °C: the equation's own constants (Tanaka and others 2001)."""
    best = max(np.arange(0.0, 40.0, 0.01), key=water_density)
    assert best == pytest.approx(3.98, abs=0.02)
    assert water_density(float(best)) * 1000.0 == pytest.approx(999.975, abs=0.0005)


def test_check_8_the_coin_in_ideal_water() -> None:
    """8.630 g in air, 7.800 g in water of 1 g/cm3, air left out: 10.40 g/cm3."""
    assert hydrostatic_density(8.630, 7.800, 1.0, 0.0) == pytest.approx(10.40, abs=0.01)


def test_check_8_the_coin_in_real_water_and_air() -> None:
    assert hydrostatic_density(8.630, 7.800, 0.9982, 0.0012) == pytest.approx(10.368, abs=0.0005)
    left = alloys_left(10.368, density_uncertainty(8.630, 7.800, 0.9982, 0.0003, 0.001))
    assert [alloy.id for alloy in left] == ["silver-alloyed"]  # the book calls the coin silver; pure it would be 10.5


def test_the_uncertainty_is_that_of_drawing_every_part_at_random() -> None:
    """JCGM 101 (propagation by draws) against the first-order formula, to 1 %: reading and zero of both weighings."""
    rng, n, d = np.random.default_rng(20260314), 400_000, 0.001
    air, hanging = (x + rng.uniform(-d / 2, d / 2, n) - rng.uniform(-d / 2, d / 2, n) for x in (8.630, 7.800))
    water = 0.9982 + rng.normal(0.0, 0.0005, n)
    density_of_air = AIR + rng.normal(0.0, AIR_UNCERTAINTY, n)
    drawn = (air * water - hanging * density_of_air) / (air - hanging)
    assert density_uncertainty(8.630, 7.800, 0.9982, 0.0005, d) == pytest.approx(float(np.std(drawn)), rel=0.01)


def test_the_airs_part_counts_where_the_piece_is_large_and_the_scale_fine() -> None:
    """The same draws for a piece a hundred times as heavy in water known for sure: what is left is mostly the air."""
    rng, n, d = np.random.default_rng(20260315), 400_000, 0.001
    air, hanging = (x + rng.uniform(-d / 2, d / 2, n) - rng.uniform(-d / 2, d / 2, n) for x in (863.0, 780.0))
    drawn = (air * 0.9982 - hanging * (AIR + rng.normal(0.0, AIR_UNCERTAINTY, n))) / (air - hanging)
    assert 0.00005 < AIR_UNCERTAINTY < 0.1 * AIR / math.sqrt(3.0)  # within a tenth (M), as a rectangle
    assert density_uncertainty(863.0, 780.0, 0.9982, 0.0, d) == pytest.approx(float(np.std(drawn)), rel=0.01)


@pytest.mark.parametrize(
    "readings", [(8.630, 7.800, 0.9982, 0.0012), (863.0, 780.0, 0.997, 0.0012), (50.0, 5.0, 0.99, 0.01)]
)
def test_the_uncertainty_is_made_of_the_slopes_of_the_density(readings: tuple[float, float, float, float]) -> None:
    """JCGM 100, 5.1.2: each slope by going a millionth up and down, without a formula for it."""
    parts = (0.001 / math.sqrt(6.0), 0.001 / math.sqrt(6.0), 0.0004, AIR_UNCERTAINTY)
    total = 0.0
    for n, part in enumerate(parts):
        step = readings[n] * 1e-6
        up, down = (
            hydrostatic_density(*(x + sign * step * (m == n) for m, x in enumerate(readings))) for sign in (1, -1)
        )
        total += ((up - down) / (2.0 * step) * part) ** 2
    air_g, water_g, water, air = readings
    assert density_uncertainty(air_g, water_g, water, 0.0004, 0.001, air) == pytest.approx(math.sqrt(total), rel=1e-6)


@pytest.mark.parametrize("freedom", STUDENT)
def test_the_coverage_factor_is_students_t(freedom: int) -> None:
    """GUM table G.2 prints t for 95.45 %; scipy has the same to its two decimals."""
    exact = float(stats.t.ppf(0.5 + math.erf(math.sqrt(2.0)) / 2.0, freedom))
    assert coverage(freedom) == pytest.approx(exact, abs=0.006)
    assert coverage(freedom + 0.9) == coverage(freedom) or freedom + 0.9 >= min(
        f for f in [*STUDENT, 99] if f > freedom
    )


ELEMENTS = {
    "copper": "Cu", "lead": "Pb", "aluminium": "Al", "silver": "Ag", "gold": "Au", "zinc": "Zn", "nickel": "Ni",
    "titanium": "Ti", "tin": "Sn",
}  # fmt: skip


@pytest.mark.parametrize("alloy", ELEMENTS)
def test_check_9_a_metal_holds_its_element(alloy: str) -> None:
    """Within 1 % of the range, as the check says; tin is white tin, 7.29 to 7.31."""
    density = float(getattr(periodictable, ELEMENTS[alloy]).density)
    low, high = RANGES[alloy]
    assert low * 0.99 <= density <= high * 1.01


@pytest.mark.parametrize(
    ("alloy", "density"),
    [
        ("brass-yellow", 8.53),  # C26000, published
        ("zinc-die-cast", 6.6),  # zinc alloy AG40A, published
        ("aluminium", 2.70),  # 6061, M
        ("aluminium-cast", 2.71), ("aluminium-cast", 2.76),  # A380, M
        ("stainless-304", 8.00), ("steel", 7.85), ("brass-yellow", 8.49),  # 304, mild steel, C36000, M
    ],
)  # fmt: skip
def test_check_10_an_alloy_holds_its_data_sheet(alloy: str, density: float) -> None:
    low, high = RANGES[alloy]
    assert low <= density <= high
    assert high - low < 0.25


def test_check_10_brass_is_never_predicted_by_mixing() -> None:
    """C26000 is 70 % copper and 30 % zinc: by volumes 8.32, by the data sheet 8.53; the scale tells them apart."""
    copper, zinc = (float(getattr(periodictable, symbol).density) for symbol in ("Cu", "Zn"))
    mixed = 1.0 / (0.70 / copper + 0.30 / zinc)
    assert mixed == pytest.approx(8.32, abs=0.02)
    low, _ = RANGES["brass-yellow"]
    assert mixed < low
    unsure = density_uncertainty(200.0, 200.0 - 200.0 / 8.53 * 0.997, 0.9982, 0.0003, 0.01)
    assert 8.53 - mixed > 20 * unsure
    assert "brass-yellow" not in {alloy.id for alloy in alloys_left(mixed, unsure)}


# The likelihood table of the starter catalogue (from memory): every material it names has its density in our range.
TABLE = {
    "steel": (7.85, 7.8), "cast-iron": (7.2,), "stainless-304": (7.93,), "stainless-316": (7.98,),
    "stainless-430": (7.7,),
    "stainless-200": (7.8,), "copper": (8.94, 8.9), "copper-clad-aluminium": (3.5,), "copper-clad-steel": (8.0,),
    "brass-yellow": (8.45, 8.4), "brass-red": (8.75,), "bronze": (8.8,), "zinc-die-cast": (6.6,), "plastic": (1.05,),
    "nickel-silver": (8.7,), "aluminium": (2.70,), "aluminium-cast": (2.70,), "magnesium": (1.78,), "lead": (11.3,),
    "tin": (7.3,), "titanium": (4.5,), "carbide": (14.5,), "nickel": (8.9,), "ferrite": (4.9,),
}  # fmt: skip


@pytest.mark.parametrize("alloy", TABLE)
def test_the_starter_catalogues_densities_are_in_range(alloy: str) -> None:
    low, high = RANGES[alloy]
    assert all(low <= density <= high for density in TABLE[alloy])


PURE = {**ELEMENTS, "silver-alloyed": "Ag"}
MIXED = ("plastic", "copper-clad-aluminium", "copper-clad-steel", "gold-alloyed", "carbide")


@pytest.mark.parametrize("alloy", sorted(set(RANGES) - set(MIXED)))
def test_no_range_strays_from_what_it_is_about(alloy: str) -> None:
    """A twentieth from the element, by the same package; from the catalogue's own value a little more."""
    known = TABLE.get(alloy, (0.0,))[0]
    stray = 0.06
    if alloy in PURE:
        known, stray = float(getattr(periodictable, PURE[alloy]).density), 0.05
    low, high = RANGES[alloy]
    assert known * (1.0 - stray) <= low < high <= known * (1.0 + stray)


def test_a_mixtures_range_lies_between_what_it_is_made_of() -> None:
    """Clad wires by their volumes: metals side by side do not shrink. Aluminium is sold with 10 and 15 % copper (M).

    A third is more than any has. Copper-clad steel: 10 to 40 % copper (M). Gold alloys: 9 carat 11.2, 22 carat 17.7
    (M), above silver, below gold. Carbide: 13.5 with a fifth of cobalt (M) to 15.6, tungsten carbide alone (M).
    Plastics that sink: above water, none above 2.2, the heaviest without a filler (M).
    """
    copper, aluminium, iron, gold, silver = (
        float(getattr(periodictable, symbol).density) for symbol in ("Cu", "Al", "Fe", "Au", "Ag")
    )
    clad = [share * copper + (1.0 - share) * aluminium for share in (0.0, 0.10, 0.15, 1.0 / 3.0)]
    steel = [share * copper + (1.0 - share) * iron for share in (0.1, 0.4)]
    held = {
        "copper-clad-aluminium": clad,
        "copper-clad-steel": [iron, *steel, copper],
        "gold-alloyed": [silver, 11.2, 17.7, gold],
        "carbide": [13.1, 13.5, 15.0, 15.6],
        "plastic": [0.998, 1.05, 1.45, 2.2],
    }
    for alloy, (least, lower, upper, most) in held.items():
        low, high = RANGES[alloy]
        assert least < low <= lower < upper <= high < most, alloy
