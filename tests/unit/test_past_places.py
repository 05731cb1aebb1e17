"""What is shown of a trip that is driven past a place without stopping there: by hand, from the roads given."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest
from click.testing import CliRunner

from partway.actions.plans.plan import Limits, plan
from partway.cli.app import cli
from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.search.search import search
from partway.planning.tours import ways
from partway.reports.haul.load_sheet import load_sheet
from partway.reports.haul.plan_lines import TripLine
from partway.storage.scenario.scenario import read_scenario_text
from partway.things.scenario import Scenario
from partway.web.drawings.route_map import route_map

# Home to the ridge yard is 10 km in 30 minutes; past the town depot it is 12 + 4 km in 12 + 5 minutes.
TEXT = """
[scenario]
name = "past the depot"
currency = "CAD"
on = 2026-03-14
keep_factor = 0.5
[hours]
bench = 0
away = 0.75
wage = 0
trips = 1
[vehicle]
payload = "100 kg"
[stock]
g-a = "10 kg"
[[buyer]]
id = "town-depot"
kind = "yard"
[[buyer]]
id = "ridge-yard"
kind = "yard"
price = [{ grade = "g-a", price = "5 /kg" }]
[[road]]
from = "home"
to = "ridge-yard"
km = 10.0
minutes = 30
[[road]]
from = "home"
to = "town-depot"
km = 12.0
minutes = 12
[[road]]
from = "town-depot"
to = "ridge-yard"
km = 4.0
minutes = 5
[[grade]]
id = "g-a"
family = "f"
density = 1.0
"""


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return read_scenario_text(TEXT, "past.toml")


def test_the_report_says_what_is_driven_past_and_how_long_it_takes(scenario: Scenario) -> None:
    (trip,) = plan(scenario).trips
    assert trip.stops == ("ridge-yard",)
    assert trip.past == (("town-depot",), ("town-depot",))
    assert trip.driven == (("town-depot", False), ("ridge-yard", True), ("town-depot", False))
    assert trip.km == pytest.approx(32.0)
    assert trip.hours == pytest.approx(34.0 / 60.0)


def test_the_load_sheet_names_the_way(scenario: Scenario) -> None:
    sheet = load_sheet(scenario, plan(scenario), 1)
    assert sheet.driven == (("town depot", False), ("ridge yard", True), ("town depot", False))
    assert [stop.name for stop in sheet.stops] == ["ridge yard"]
    assert sheet.km == pytest.approx(32.0)
    assert sheet.hours == pytest.approx(34.0 / 60.0)


def test_the_map_is_drawn_past_the_place(scenario: Scenario) -> None:
    drawn = route_map(scenario, plan(scenario))
    assert drawn is not None
    spots = {place.id: (place.x, place.y) for place in drawn.places}
    (way,) = drawn.ways
    ends = [(leg.x1, leg.y1) for leg in way.legs]
    assert ends == [spots[p] for p in ("home", "town-depot", "ridge-yard", "town-depot")]
    assert {place.id: place.number for place in drawn.places} == {"home": "", "town-depot": "", "ridge-yard": "1"}
    assert way.km == pytest.approx(32.0)


def test_the_command_names_the_way(tmp_path: Path) -> None:
    file = tmp_path / "past.toml"
    file.write_text(TEXT, encoding="utf-8")
    said = CliRunner().invoke(cli, ["plan", "--scenario", str(file)])
    assert said.exit_code == 0
    assert "home → past town depot → ridge yard → past town depot → home" in " ".join(said.output.split())


def test_a_trip_without_such_places_lists_none() -> None:
    line = TripLine(1, ("a", "b"), 1.0, 1.0, 1.0, 1.0)
    assert line.driven == (("a", True), ("b", True))


def test_home_in_between_is_no_place_driven_past(scenario: Scenario) -> None:
    both = tuple(dataclasses.replace(b, km=5.0, quotes=scenario.buyers[1].quotes) for b in scenario.buyers)
    by_km = dataclasses.replace(scenario, roads=(), buyers=both)
    instance = build(by_km)
    assert instance.roads is not None
    assert [way.via for way in instance.roads.between(1, 2)] == [(0,)]
    assert all(trip.past == () for trip in plan(by_km).trips)


def test_where_not_every_way_is_known_tours_are_bounded(scenario: Scenario, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ways, "MOST_WAYS", 1)
    dear = dataclasses.replace(scenario, vehicle=dataclasses.replace(scenario.vehicle, cost_per_km=0.1))  # type: ignore[type-var]
    instance = build(dear)
    assert instance.roads is not None and not instance.roads.complete
    assert instance.tours is None
    found = search(instance, 5.0)
    # Cheapest and quickest are still there: 32 km at 0.10 for 50.00.
    assert verify(instance, found.decision).money.total == pytest.approx(50.0 - 3.2)
    assert found.bound >= found.objective


def test_no_time_is_told_and_not_called_a_matter_of_wage() -> None:
    # 32 km cost 38.40, 24 km 28.80: selling 10 kg gains 25.00, so only both yards together pay the drive. A plan that
    # sells to one yard alone, which needs no solver, is no help.
    both = TEXT.replace(
        'kind = "yard"\n[[buyer]]', 'kind = "yard"\nprice = [{ grade = "g-b", price = "5 /kg" }]\n[[buyer]]'
    )
    both = both.replace('payload = "100 kg"', 'payload = "100 kg"\ncost_per_km = 1.2')
    both = both.replace('g-a = "10 kg"', 'g-a = "10 kg"\ng-b = "10 kg"')
    both += '[[grade]]\nid = "g-b"\nfamily = "f"\ndensity = 1.0\n'
    scenario = read_scenario_text(both, "both.toml")
    assert plan(scenario).routes != ()
    report = plan(scenario, Limits(seconds=0.0))
    assert report.doubts == ("no-time-to-drive",)
    assert report.routes == ()
