"""Three days that a flat keep value got wrong, as files: bulk is hauled by full loads, without a keep factor set."""

from __future__ import annotations

from pathlib import Path

import pytest

from partway.actions.plans.plan import plan
from partway.reports.haul.plan import Plan
from partway.storage.scenario.scenario import read_scenario

CASES = Path(__file__).parent.parent / "cases"
PAYLOAD_KG = 900 * 0.45359237  # 900 lb: the international avoirdupois pound, exact
VOLUME_L = 1800.0


def planned(name: str) -> Plan:
    """The plan of one case."""
    return plan(read_scenario(CASES / f"{name}.toml"))


def hauled(plan_: Plan, buyer: str, grade: str) -> list[float]:
    """Kilograms of a grade on each trip to a buyer."""
    return [line.mass_kg for line in plan_.sales if (line.buyer, line.grade) == (buyer, grade)]


def test_iron_goes_by_full_cars() -> None:
    # Loose light iron: PERT mean of 0.1, 0.2 and 0.4 kg/L is 0.21667 kg/L, so that 1800 L hold 390 kg, under 900 lb.
    assert hauled(planned("iron"), "harbour-yard", "light-iron") == pytest.approx([VOLUME_L * 1.3 / 6])


def test_residue_goes_to_a_tip_at_the_corner_though_it_charges() -> None:
    assert hauled(planned("tip"), "hill-tip", "residue") == pytest.approx([PAYLOAD_KG])


def test_fridges_go_to_the_depot_that_takes_them_for_nothing() -> None:
    it = planned("fridges")
    # A fridge of 73.3 kg at 0.1417 kg/L rides in 518 L, so that three fill the car.
    assert hauled(it, "town-depot", "appliance-refrigerant") == pytest.approx([3 * 440.0 / 6])
