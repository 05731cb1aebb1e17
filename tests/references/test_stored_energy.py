"""Batteries and capacitors against the rules of transport and the limits of shock.

Sources: (14) ADR and IMDG Code, special provisions 188, 376, 377, 636. (15) Special provision 372. (16) IEC 60335-1.
(17) computed two ways, by the formula and by stepping the discharge. (18) Electrical safety manual of a US national
laboratory; NFPA 70E from memory (M). Numbers as in the project's list of outside checks.
"""

from __future__ import annotations

import math

import pytest

from partway.actions.calculators.battery import BatteryAsked, ask_battery
from partway.formulas.battery import capacitor_watt_hours, is_small_ion, is_small_metal, un_number, watt_hours
from partway.formulas.capacitor import charge_uc, discharge_seconds, energy_j, limits, safe_volts


def passed(farads: float, volts: float) -> set[str]:
    return {limit.id for limit in limits(farads, volts) if limit.passed}


def test_check_14_worked_energies() -> None:
    assert watt_hours(36.0, 10.0) == 360.0
    assert not is_small_ion(watt_hours(36.0, 10.0), cell=False)
    assert watt_hours(3.6, 3.35) == pytest.approx(12.06, abs=0.005)
    assert is_small_ion(watt_hours(3.6, 3.35), cell=True)


@pytest.mark.parametrize(
    ("value", "cell", "small"), [(20.0, True, True), (20.01, True, False), (100.0, False, True), (100.01, False, False)]
)
def test_check_14_lithium_ion_limits(value: float, cell: bool, small: bool) -> None:
    assert is_small_ion(value, cell=cell) is small


@pytest.mark.parametrize(
    ("value", "cell", "small"), [(1.0, True, True), (1.01, True, False), (2.0, False, True), (2.01, False, False)]
)
def test_check_14_lithium_metal_limits(value: float, cell: bool, small: bool) -> None:
    assert is_small_metal(value, cell=cell) is small


def test_check_14_un_numbers() -> None:
    assert [un_number("li-ion", in_equipment=e) for e in (False, True)] == [3480, 3481]
    assert [un_number("li-metal", in_equipment=e) for e in (False, True)] == [3090, 3091]
    for equipment in (False, True):  # these have one number, by themselves and in equipment (from memory)
        found = [un_number(c, in_equipment=equipment) for c in ("lead-acid", "nicd-vented", "lead-sealed")]
        assert found == [2794, 2795, 2800]


@pytest.mark.parametrize("energy", ["1 Wh", "99 Wh", "360 Wh"])
def test_check_14_a_battery_that_cannot_be_diagnosed_counts_as_damaged(energy: str) -> None:
    """Special provision 376, however small; only a diagnosis brings back special provision 188."""
    unknown = ask_battery(BatteryAsked((energy,), "li-ion"))
    assert unknown.regime == "damaged"
    assert any("376" in step for step in unknown.packing)
    sound = ask_battery(BatteryAsked((energy,), "li-ion", condition="sound"))
    assert sound.regime == ("regulated" if energy == "360 Wh" else "small")
    assert any("377" in step and "636" in step for step in sound.packing)
    assert not sound.air_covered and any("not covered" in note for note in sound.notes)


def test_check_15_capacitor_as_watt_hours() -> None:
    assert capacitor_watt_hours(3000.0, 2.7) == pytest.approx(3.0375, rel=1e-12)
    assert capacitor_watt_hours(3000.0, 2.7, 1.35) == pytest.approx(3.0375 * 3 / 4, rel=1e-12)


def test_check_16_a_plug_after_a_second() -> None:
    """1 microfarad from 325.27 V (230 V mains at its peak) to 34 V takes 1 s through 442.8 kohm."""
    assert 230.0 * math.sqrt(2.0) == pytest.approx(325.27, abs=0.005)
    assert discharge_seconds(1e-6, 442.8e3, 325.27, 34.0) == pytest.approx(1.0, abs=0.0002)
    assert charge_uc(0.1e-6, 450.0) == pytest.approx(45.0, rel=1e-12)
    assert "plug" not in passed(0.1e-6, 325.0) and "plug" in passed(0.11e-6, 325.0)
    assert "plug" not in passed(1e-6, 34.0) and "plug" in passed(1e-6, 34.1)


@pytest.mark.parametrize(("volts", "over"), [(449.0, False), (451.0, True)])
def test_check_16_the_limit_of_charge(volts: float, over: bool) -> None:
    """45 microcoulomb on 0.1 microfarad is 450 V; at 34 V or less a large charge is no shock."""
    assert ("charge" in passed(0.1e-6, volts)) is over
    assert "charge" in passed(100e-6, 34.1) and "charge" not in passed(100e-6, 34.0)


def test_check_17_a_microwave_oven_capacitor() -> None:
    """1.0 microfarad at 2970 V through 10 Mohm to 60 V: 39.0 s, 4.41 J, 2970 microcoulomb; the lowest limit decides."""
    assert discharge_seconds(1e-6, 10e6, 2970.0, 60.0) == pytest.approx(39.0, abs=0.05)
    assert energy_j(1e-6, 2970.0) == pytest.approx(4.41, abs=0.005)
    assert charge_uc(1e-6, 2970.0) == pytest.approx(2970.0, rel=1e-12)
    over = passed(1e-6, 2970.0)
    assert "shock" not in over and "charge" in over


def test_check_17_by_stepping_the_discharge() -> None:
    """dV/dt = -V / (R C) in small steps, for one who does not trust the logarithm."""
    volts, seconds, step = 2970.0, 0.0, 0.0005
    while volts > 60.0:
        middle = volts * (1.0 - step / 20.0)
        volts, seconds = volts - middle * step / 10.0, seconds + step
    assert discharge_seconds(1e-6, 10e6, 2970.0, 60.0) == pytest.approx(seconds, abs=0.01)


def test_check_18_limits_of_energy() -> None:
    """10 J from 100 V up is a shock; below 100 V more than 100 J burns. M: 1 J up to 400 V, 0.25 J above."""
    assert "shock" in passed(20.0 / 100.0**2, 100.0) and "shock" not in passed(19.9 / 100.0**2, 100.0)
    assert "shock" not in passed(20.0 / 99.0**2, 99.0)
    assert "burn" in passed(202.0 / 50.0**2, 50.0) and "burn" not in passed(198.0 / 50.0**2, 50.0)
    assert "arc" in passed(2.0 / 400.0**2, 400.0) and "arc" not in passed(1.9 / 400.0**2, 400.0)
    assert "arc" in passed(0.5 / 401.0**2, 401.0) and "arc" not in passed(0.48 / 401.0**2, 401.0)


def test_check_18_the_voltage_to_reach_is_the_lowest_any_limit_asks_for() -> None:
    assert safe_volts(1e-6) == 34.0
    assert energy_j(1.0, safe_volts(1.0)) == pytest.approx(100.0)  # 34 V on a farad would still be 578 J
