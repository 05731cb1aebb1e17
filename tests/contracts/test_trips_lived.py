"""Tickets, hauls and rounds lived as a user does: through the command line, the pages and the JSON interface."""

from __future__ import annotations

import json
import sys
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from app_client import Visitor, visitor

from partway.actions.bins import bins
from partway.actions.buyers import buyers, quoting
from partway.actions.curb.rounds import past_round
from partway.actions.haul import hauls
from partway.actions.home import settings
from partway.cli.app import run

KG = 1_000_000


class Command:
    """Commands in one workspace, as the installed program runs them."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self.capsys = capsys

    def __call__(self, *arguments: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as left:
            run(list(arguments))
        out, err = self.capsys.readouterr()
        assert isinstance(left.value.code, int) and "Traceback" not in err
        return left.value.code, out, err

    def ok(self, *arguments: str) -> str:
        code, out, err = self(*arguments)
        assert code == 0, err
        return out

    def refused(self, *arguments: str) -> str:
        code, out, err = self(*arguments)
        assert (code, out) == (2, "")
        return " ".join(err.split())


@pytest.fixture
def partway(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Command:
    monkeypatch.setenv("PARTWAY_WORKSPACE", str(tmp_path / "days"))
    monkeypatch.setenv("PARTWAY_WHO", "me")
    monkeypatch.setenv("PARTWAY_LOCALE", "en_CA")
    monkeypatch.setattr(sys, "stdin", None)
    command = Command(capsys)
    for name, value in {"currency": "CAD", "unit": "lb", "cost_per_km": "0.40", "division": "0.1 lb"}.items():
        command.ok("set", name, value)
    command.ok("buyer", "harbour-yard", "--kind", "yard", "--km", "10")
    command.ok("quote", "harbour-yard", "copper-2", "4.10 /lb")
    command.ok("quote", "harbour-yard", "light-iron", "0.10 /lb")
    return command


def test_a_haul_by_command_from_the_bin_to_what_came_of_it(partway: Command) -> None:
    partway.ok("bin", "copper-2")
    partway.ok("recount", "copper-2", "45.1 lb")
    partway.ok(
        "haul", "start", "harbour-yard", "--note", "Planned: harbour-yard copper-2 45 lb at 4.1; 20 km in 60 min"
    )
    said = partway.ok("ticket", "harbour-yard", "copper-2 42 lb at 4.10 /lb ~45.1 lb", "--haul", "haul-1")
    assert '"You wrote 42 lb of No. 2 copper; I weighed 45.1 lb' in said and "put it on again" in said
    home = partway.ok("haul", "finish", "--km", "20", "--minutes", "75")
    assert "Planned $184.50, $172.20 on tickets; 1 h 15 (1 h planned), 20 km (20 km planned)." in home
    largest = (
        "The largest difference: No. 2 copper at harbour yard weighed 42 lb, 45 lb planned: $12.30 less than planned."
    )
    assert largest in home
    assert largest in partway.ok("haul", "show", "haul-1")
    sheet = json.loads(partway.ok("haul", "show", "haul-1", "--json"))
    assert sheet["stops"][0]["tickets"][0]["ask"] == {"what": "short", "line": 1, "money": "12.71"}
    assert sheet["after"]["largest"]["what"] == "mass" and sheet["after"]["per_hour"] == pytest.approx(131.36)
    assert "haul-9" in partway.refused("haul", "show", "haul-9")


def test_rounds_by_command_afterwards_and_as_they_go(partway: Command) -> None:
    late = partway.ok("round", "--where", "west streets", "--from", "18:10", "--to", "19:40", "--km", "14", "--on",
                      "2026-03-14", "--left", "sofa bed, tube tv")  # fmt: skip
    assert (
        "Home again from west streets: 1 h 30, 14 km  [round-1]" in late and "left standing: sofa bed, tube tv" in late
    )
    partway.ok("find", "microwave", "--round", "round-1")
    partway.ok("round", "start", "--where", "east side")
    assert ", on today's round" in partway.ok("find", "toaster")
    partway.ok("round", "end", "--km", "5")
    told = json.loads(partway.ok("rounds", "--on", "2026-03-21", "--hours", "2", "--json"))
    first = next(one for one in told["latest"] if one["made"]["round"] == "round-1")
    assert (first["made"]["finds"], first["fuel"]) == (["microwave-1"], pytest.approx(5.6))
    assert first["per_hour"] == pytest.approx((first["brought"] + first["waiting"] - 5.6) / 1.5)
    assert (told["weekday"], [one["place"] for one in told["next"]]) == ("Saturday", ["west streets"])
    assert "west streets" in partway.ok("rounds")
    assert "ended: west streets, 90 min" in partway.ok("ledger", "--about", "round-1")
    assert "no place" in partway.refused("round", "start", "--where", " ")
    assert "with no beginning" in partway.refused("round", "--where", "west")
    assert "a time after 9:00" in partway.refused("round", "--where", "west", "--from", "9:00", "--to", "8:00")


def test_what_to_lift_first_by_command(partway: Command) -> None:
    seen = ("curb", "--in-sight", "top-loading washer, microwave, 2 toaster=no")
    assert "everything that pays fits" in partway.ok(*seen)
    tight = partway.ok(*seen, "--left-kg", "25")
    assert "Leave Top-loading washer: does not fit any more" in tight and "mass runs out first" in tight
    by_hand = json.loads(partway.ok(*seen, "--left-kg", "25", "--json"))
    assert by_hand["used"]["kg"] <= 25 and by_hand["net"] == pytest.approx(sum(one["net"] for one in by_hand["lift"]))
    assert "the name of no one kind" in partway.refused("curb", "--in-sight", "washer")
    assert "--left-kg" in partway.refused("curb", "--in-sight", "microwave", "--left-kg", "much")
    assert "yes, no, unknown" in partway.refused("curb", "--in-sight", "microwave=maybe")


@pytest.fixture
def town(tmp_path: Path) -> Any:
    with visitor(tmp_path) as v:
        for name, value in {"currency": "CAD", "unit": "kg", "locale": "en_CA", "cost_per_km": "0.40"}.items():
            settings.set_(v.book, v.context(), name, value)
        buyers.buyer(v.book, v.context(), "harbour-yard", buyers.Terms(kind="yard", name="harbour yard", km="9"))
        for grade, price in {"copper-2": "9 /kg", "light-iron": "0.30 /kg"}.items():
            quoting.quote(v.book, v.context(), "harbour-yard", grade, price)
        yield v


def test_the_verdict_and_the_sentence_stand_on_page_and_in_json_alike(town: Visitor) -> None:
    bins.add_bin(town.book, town.context(), "copper-2")
    bins.recount(town.book, town.context(), "copper-2", 20 * KG)
    hauls.start(town.book, town.context(), ["harbour-yard"], "Planned: harbour-yard copper-2 20 kg at 9")
    body = {"buyer": "harbour-yard", "lines": [{"grade": "copper-2", "mass": "18 kg", "price": "9 /kg", "own": "all"}]}
    told = town.client.post("/api/ticket", json=body | {"haul": "haul-1"}).json()["told"]
    page = unescape(town.open("/haul/haul-1"))
    assert told["verdict"] == "Ask about the weight of the No. 2 copper" and told["verdict"] in page
    assert told["say"].startswith("You wrote 18 kg of No. 2 copper; I weighed 20 kg") and told["say"] in page
    seen = town.client.get("/api/hauls/haul-1").json()["stops"][0]["tickets"][0]
    assert seen["ask"] == {"what": "short", "line": 1, "money": "18.00"}
    assert "no setting says it" in page  # one's own division was taken, and that is said
    over = town.fill("/haul/haul-1/finish", "/haul/haul-1/finish", km="18", minutes="60")
    assert "$18.00 less than planned" in over.text


def test_a_yard_that_reads_light_says_so_on_its_page(town: Visitor) -> None:
    bins.add_bin(town.book, town.context(), "light-iron")
    for kg in ("196", "197", "195", "196"):
        bins.recount(town.book, town.context(), "light-iron", 200 * KG)
        line = {"grade": "light-iron", "mass": f"{kg} kg", "price": "0.30 /kg", "own": "all"}
        assert town.client.post("/api/ticket", json={"buyer": "harbour-yard", "lines": [line]}).status_code == 200
    sheet = town.client.get("/api/buyers/harbour-yard/sheet").json()
    assert sheet["bias"]["share"] == pytest.approx(-0.02, abs=0.0001) and sheet["bias"]["tickets"] == 4
    assert sheet["bias_words"] in unescape(town.open("/buyers/harbour-yard"))
    assert sheet["kg"] == 784.0  # as the yard weighed it: nothing is changed by what is known of its scale


def test_a_round_by_the_pages(town: Visitor) -> None:
    town.fill("/rounds", "/rounds/start", where="west streets")
    assert "On the way" in town.open("/rounds")
    town.fill("/curb/microwave", "/curb/microwave/taken", count="1")
    over = town.fill("/rounds", "/rounds/end", **{"home-km": "14", "home-left": "sofa bed, tube tv"})
    assert "left standing: <bdi>sofa bed, tube tv</bdi>" in over.text
    report = town.client.get("/api/rounds").json()
    assert report["latest"][0]["made"]["finds"] == ["microwave-1"] and report["going"] == []
    late = town.fill("/rounds", "/rounds/past", **{
        "past-where": "West Streets", "past-on": "yesterday", "past-begin": "6:10", "past-end": "7:40", "past-km": "9",
    })  # fmt: skip
    assert late.status_code == 200 and "west streets" in late.text.lower()
    (place,) = town.client.get("/api/rounds").json()["places"]
    assert place["of_place"] == 1  # the other took no minute: by the hour it says nothing
    wrong = town.fill("/rounds", "/rounds/past", **{"past-where": "west", "past-begin": "7:00", "past-end": "6:00"})
    assert wrong.status_code == 422 and "past-end-wrong" in wrong.text


def test_what_stands_in_sight_on_page_and_in_json_alike(town: Visitor) -> None:
    past_round(town.book, town.context(), "west", "6:10", "7:40")
    asked = {"things": "microwave, 2 toaster=no", "kg": "8"}
    found = town.client.get("/api/in-sight", params=asked).json()
    assert [one["kind"] for one in found["lift"]] == ["toaster", "toaster"]
    assert [(one["kind"], one["why"]) for one in found["left"]] == [("microwave", "no-room")]
    page = town.client.get("/in-sight", params=asked).text
    assert page.index("Careful") < page.index("in all")  # what can hurt before the money
    assert "does not fit any more" in page and "Mass runs out first" in page
    assert town.client.get("/api/in-sight", params={"things": "washer"}).status_code == 409
    wrong = town.client.get("/in-sight", params={"things": "washer"})
    assert wrong.status_code == 422 and "no one kind" in wrong.text
    assert town.client.get("/in-sight", params={"things": "microwave", "kg": "much"}).status_code == 422
