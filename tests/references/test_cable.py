"""Cable and conductors against tables: resistance by gauge, house cable by a maker's table, mm2 sizes.

Sources: (2) NBS Handbook 100, "Copper Wire Tables", 1966, ohm per 1000 ft at 20 °C. (3) A cable maker's table for NM-B
cable with ground: copper share of the mass; outside sizes and masses from the same trade's public data sheets. (4) IEC
60228, class 5. Numbers as in the project's list of outside checks.
"""

from __future__ import annotations

import pytest

from partway.formulas.conductors import MOST_OHM, SIZES, least_area_mm2, most_ohm_per_km, ohm_per_km
from partway.formulas.insulation import INSULATIONS, flat_mm2
from partway.formulas.stripping import recovery_of_length
from partway.formulas.wire import copper_g_per_m, recovery_of_insulated_wire, solid_area_mm2

KM_PER_1000_FT = 0.3048
INCH = 25.4
G_PER_M = 453.59237 / 304.8  # of a pound per 1000 ft, exact
POINTS = 0.015  # what check 3 is read to


@pytest.mark.parametrize(
    ("gauge", "ohms"), [(4, 0.2485), (10, 0.9988), (14, 2.525), (18, 6.385), (24, 25.67), (30, 103.2)]
)
def test_check_2_resistance_of_solid_copper(gauge: int, ohms: float) -> None:
    """Copper wire tables, ohm per 1000 ft at 20 °C, to 0.1 %."""
    assert ohm_per_km(solid_area_mm2(gauge)) * KM_PER_1000_FT == pytest.approx(ohms, rel=0.001)


# cable: gauge, conductors with ground, outside in inches, pounds per 1000 ft, published copper share
NM_B = {
    "14/2": (14, 3, (0.372, 0.176), 61.0, 0.607),
    "14/3": (14, 4, (0.478, 0.176), 81.0, 0.605),
    "12/2": (12, 3, (0.422, 0.190), 87.0, 0.678),
    "12/3": (12, 4, (0.524, 0.190), 115.0, 0.687),
}


@pytest.mark.parametrize("cable", NM_B)
def test_check_3_by_a_weighed_length(cable: str) -> None:
    """The gauge's copper over the mass of a length: no density is guessed, and the share is the published one."""
    gauge, conductors, _, pounds, share = NM_B[cable]
    copper = copper_g_per_m(conductors * solid_area_mm2(gauge))
    assert recovery_of_length(copper, pounds * G_PER_M * 10.0, 10.0) == pytest.approx(share, abs=POINTS)


@pytest.mark.parametrize("cable", NM_B)
def test_check_3_by_the_outside(cable: str) -> None:
    """One density of PVC, paper and air fits all four cables; as solid PVC they would come out far too poor."""
    gauge, conductors, (width, height), _, share = NM_B[cable]
    outside = flat_mm2(width * INCH, height * INCH)
    around = INSULATIONS["house-cable"]

    def by(density: float) -> float:
        return recovery_of_insulated_wire(solid_area_mm2(gauge), conductors, outside, density)

    assert by(around.likely) == pytest.approx(share, abs=POINTS)
    assert by(around.high) < share < by(around.low)
    assert by(INSULATIONS["pvc"].likely) < share - 2 * POINTS


def test_check_4_the_least_metal_of_a_nominal_size() -> None:
    """IEC 60228 class 5: 0.75 mm2 has at most 26.0 ohm/km, so at least 0.663 mm2 of copper."""
    assert most_ohm_per_km(0.75, "flexible") == 26.0
    assert least_area_mm2(0.75, "flexible") == pytest.approx(0.663, abs=0.0005)


def test_check_4_nominal_is_an_upper_bound_for_every_size_and_class() -> None:
    for build in MOST_OHM:
        shares = [least_area_mm2(size, build) / size for size in SIZES]
        assert all(0.85 < share < 1.0 for share in shares), build
    assert MOST_OHM["solid"][:16] == MOST_OHM["stranded"][:16]  # one column up to 150 mm2 in the table
    series = [[MOST_OHM["flexible"][n] * SIZES[n] for n in pair] for pair in ((0, 1), (1, 2), (3, 4), (5, 6))]
    assert all(one == pytest.approx(other) for one, other in series)  # class 5 keeps one resistivity over these
    assert all(solid <= fine * 1.003 for solid, fine in zip(MOST_OHM["solid"], MOST_OHM["flexible"], strict=True))
