"""A trip that ends elsewhere, and a way back that is another one, as a person says them: pages, JSON, commands, file.

All places are invented; distances are worked out by hand from kilometres said, or from degrees by the sphere's radius.
"""

from __future__ import annotations

import datetime as dt
import json
import math
from collections.abc import Iterator
from pathlib import Path

import pytest
from app_client import NOW, Visitor, visitor
from click.testing import CliRunner

from partway.actions.bins import bins
from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.quoting import quote
from partway.actions.haul import hauls
from partway.actions.haul.scenario import Overrides, scenario_from_book
from partway.actions.home.settings import set_, set_many
from partway.actions.plans.plan import plan
from partway.cli.app import cli
from partway.errors import Refused
from partway.ledger import trading
from partway.reports.haul.load_sheet import load_sheet
from partway.storage.scenario.scenario import read_scenario_text
from partway.storage.scenario.write import scenario_text
from partway.valuing.trips.yards import yards_of
from partway.valuing.window import Window

DAY = NOW.date()
HOME = "30.00, -40.00"
WORKSHOP = "the workshop, 30.10, -40.00"  # a tenth of a degree north
KM_PER_DEGREE = 6371.0088 * math.pi / 180  # mean radius of GRS80 (Moritz 2000)


@pytest.fixture
def there(tmp_path: Path) -> Iterator[Visitor]:
    with visitor(tmp_path) as there:
        for name, value in (("currency", "CAD"), ("unit", "kg"), ("wage", "0"), ("road_factor", "1"), ("trips", "3")):
            set_(there.book, there.context(), name, value)
        buyer(there.book, there.context(), "harbour", Terms(kind="yard", name="harbour yard", km="9"))
        quote(there.book, there.context(), "harbour", "copper-2", "8 /kg")
        bins.add_bin(there.book, there.context(), "copper-2", holds="100 kg")
        yield there


def run(folder: Path, *words: str, status: int = 0) -> str:
    ended = CliRunner().invoke(cli, [*words, "--workspace", str(folder)], prog_name="partway")
    assert ended.exit_code == status, ended.output
    return " ".join(ended.output.split())


def test_the_way_back_of_a_buyer_counts_from_its_page_to_the_plan(there: Visitor) -> None:
    saved = there.fill("/buyers/harbour", "/buyers/harbour/terms", **{"terms-back_km": "12.5"})
    assert saved.status_code in (200, 303)
    assert "9 km away, 12.5 km back" in there.open("/buyers/harbour")
    assert plan(scenario_from_book(there.book, DAY)).trips[0].km == pytest.approx(9 + 12.5)
    there.fill("/buyers/harbour", "/buyers/harbour/terms", **{"terms-back_km": ""})
    assert trading.buyers(there.book)["harbour"].back_km is None
    assert plan(scenario_from_book(there.book, DAY)).trips[0].km == pytest.approx(18)


def test_the_end_of_a_trip_counts_from_the_settings_to_the_sheet(there: Visitor) -> None:
    saved = there.fill("/settings", "/settings", home=HOME, end=WORKSHOP)
    assert saved.status_code in (200, 303), saved.text
    it = scenario_from_book(there.book, DAY)
    report = plan(it)
    assert (it.hours.trips, [trip.ends_at for trip in report.trips]) == (1, ["the workshop"])
    assert report.trips[0].km == pytest.approx(9 + 9 + KM_PER_DEGREE / 10)  # by way of home: nothing else leads there
    assert {"trips counted as 1, not 3: the trip ends at the workshop.",
            "The way home from the workshop is not counted."} <= set(report.notes)  # fmt: skip
    sheet = load_sheet(it, report, 1)
    assert (sheet.driven, sheet.ends_at) == ((("harbour yard", True),), "the workshop")
    assert scenario_from_book(there.book, DAY, Overrides(trips=2)).hours.trips == 1
    there.fill("/settings", "/settings", end="home")
    assert plan(scenario_from_book(there.book, DAY)).trips[0].ends_at is None


def test_the_haul_under_way_says_where_it_ends(there: Visitor) -> None:
    hauls.start(there.book, there.context(), ["harbour"])
    assert "Home again: finish it" in there.open("/haul/haul-1")
    set_many(there.book, there.context(), {"home": HOME, "end": "the <workshop>, 30.10, -40.00"})
    page = there.open("/haul/haul-1")
    assert "There, at <bdi>the &lt;workshop&gt;</bdi>: finish it" in page and "Home again" not in page


def test_what_is_no_end_is_refused_with_what_is_one(there: Visitor) -> None:
    with pytest.raises(Refused, match="home first"):
        set_(there.book, there.context(), "end", WORKSHOP)
    for text in ("the workshop", "30.1, -40", ", 30.1, -40", "the workshop, 30.1", "the workshop, 95, -40"):
        with pytest.raises(Refused, match="end"):
            set_many(there.book, there.context(), {"home": HOME, "end": text})
    with pytest.raises(Refused, match="end is where trips end"):
        buyer(there.book, there.context(), "end", Terms(kind="yard"))
    said = there.fill("/settings", "/settings", end=WORKSHOP)
    assert said.status_code == 422 and "home first" in said.text


def test_the_written_file_plans_the_same(there: Visitor) -> None:
    set_many(there.book, there.context(), {"home": HOME, "end": WORKSHOP})
    buyer(there.book, there.context(), "harbour", Terms(at="30.05, -40.05", back_km="40"))
    it = scenario_from_book(there.book, DAY)
    text = scenario_text(it)
    assert '[end]\nname = "the workshop"' in text and "one_way = true" in text
    assert [trip.km for trip in plan(read_scenario_text(text, "x")).trips] == [trip.km for trip in plan(it).trips]


def test_all_of_it_by_command_and_json(there: Visitor, tmp_path: Path) -> None:
    run(tmp_path, "set", "home", HOME)
    run(tmp_path, "set", "end", WORKSHOP)
    run(tmp_path, "buyer", "harbour", "--back-km", "12 mi")
    assert "9 km from home, 19.3 km back" in run(tmp_path, "buyer", "harbour")
    run(tmp_path, "buyer", "harbour", "--back-km", "same")
    assert "back" not in run(tmp_path, "buyer", "harbour")
    assert "home → harbour yard → the workshop, where it ends" in run(tmp_path, "plan")
    (trip,) = json.loads(run(tmp_path, "plan", "--json"))["trips"]
    assert trip["ends_at"] == "the workshop"
    answer = there.client.post("/api/buyer", json={"buyer": "harbour", "back_km": "15"})
    assert answer.status_code == 200, answer.text
    assert trading.buyers(there.book)["harbour"].back_km == 15
    there.client.post("/api/buyer", json={"buyer": "harbour", "back_km": ""})
    assert trading.buyers(there.book)["harbour"].back_km is None


def test_the_way_back_counts_where_a_hauls_minutes_are_shared_by_its_stops(there: Visitor) -> None:
    """At 60 km/h 9 + 21 km take three times as long as 5 + 5: of 80 minutes 60 and 20."""
    set_(there.book, there.context(), "kmh", "60")
    buyer(there.book, there.context(), "harbour", Terms(back_km="21"))
    buyer(there.book, there.context(), "ridge", Terms(kind="yard", km="5"))
    hauls.start(there.book, there.context(), ["harbour", "ridge"])
    hauls.finish(there.book, there.context(), minutes="80")
    shared = {
        line.buyer: line.minutes for line in yards_of(there.book, Window(0, NOW + dt.timedelta(minutes=1), (), (), {}))
    }
    assert shared == {"harbour": 60, "ridge": 20}
