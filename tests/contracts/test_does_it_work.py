"""A microwave of unknown condition, from the curb to the books: lifted on its odds, tested first, opened or sold.

The harbour yard, its prices and the finds are invented.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest
from app_client import Visitor, visitor
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from ledgers.devices import Device
from ledgers.strategies import fleets

from partway.actions.bench import finds
from partway.actions.buyers import buyers, quoting
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.home.settings import set_
from partway.actions.plans.plan import Limits, plan
from partway.ledger.events.event import Event
from partway.ledger.fold import standing
from partway.ledger.fold.fold import fold
from partway.ledger.memory import MemoryBook
from partway.storage.scenario.scenario import read_scenario_text
from partway.storage.scenario.write import scenario_text
from partway.valuing.learned.looked import READING
from partway.valuing.learned.odds import odds_of

PRICES = {"copper-2": "9.00 /kg", "light-iron": "0.18 /kg", "transformer-cu": "1.40 /kg"}


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Visitor]:
    with visitor(tmp_path) as v:
        for name, value in (("currency", "CAD"), ("unit", "kg"), ("wage", "15"), ("payload", "400 kg")):
            set_(v.book, v.context(), name, value)
        buyers.buyer(v.book, v.context(), "harbour yard", buyers.Terms(kind="yard", km="6"))
        for grade, price in PRICES.items():
            quoting.quote(v.book, v.context(), "harbour yard", grade, price)
        yield v


def test_the_curb_says_the_odds_and_what_a_test_is_worth_and_signs_move_both(yard: Visitor) -> None:
    said = yard.client.get("/api/curb/microwave").json()
    assert said["verdict"] == "take" and said["shown"]["works"] == "tested"
    assert said["chance_works"] == pytest.approx(0.35) and said["tests_of_all"] == 0
    test = said["test"]
    gain = 0.35 * test["value_if_works"] + 0.65 * test["value_if_not"] - test["minutes"] / 60 * 15
    assert test["gain"] == pytest.approx(gain - test["value_untested"], abs=1e-9) and test["gain"] > 0.0
    page = yard.open("/curb/microwave")
    assert ">Take it</p>" in page and "35 of 100 work (from memory): testing it" in page
    broken = yard.client.get("/api/curb/microwave", params={"signs": "cord-cut note-broken"}).json()
    noted = yard.client.get("/api/curb/microwave", params={"signs": "note-works"}).json()
    assert broken["chance_works"] < 0.05 and noted["chance_works"] > 0.8
    assert broken["shown"]["net"] < said["shown"]["net"] < noted["shown"]["net"]


def test_one_sign_is_asked_for_where_it_can_change_what_is_done(yard: Visitor) -> None:
    """What asking gains, by hand: the best of leaving and taking it after each answer, less before, less the time."""
    set_(yard.book, yard.context(), "wage", "35")
    said = yard.client.get("/api/curb/game-console").json()
    look, test = said["look"], said["test"]
    assert look is not None
    carrying = said["handling_minutes"] / 60 * 35 + said["room"]

    def worth(p: float) -> float:
        tested: float = p * test["value_if_works"] + (1 - p) * test["value_if_not"] - test["minutes"] / 60 * 35
        return float(max(0.0, max(test["value_untested"], tested) - carrying))

    before = said["chance_works"]
    seen = (before - look["if_not"]) / (look["if_seen"] - look["if_not"])  # what comes after is before, on average
    gain = seen * worth(look["if_seen"]) + (1 - seen) * worth(look["if_not"]) - worth(before)
    assert look["gain"] == pytest.approx(gain - (look["seconds"] + READING) / 3600 * 35, abs=1e-6)
    assert look["gain"] >= 35 / 240 and said["verdict"] == "leave"
    assert look["ask"] in yard.open("/curb/game-console")


def test_from_the_curb_to_the_books(yard: Visitor) -> None:
    for signs in ("note-works", "", ""):
        assert yard.fill(f"/curb/microwave?signs={signs}", "/curb/microwave/taken").status_code == 200
    there = standing.finds(yard.book)
    assert [now.signs for now in there.values()] == ["note-works", "", ""]
    queue = yard.client.get("/api/queue").json()
    assert {line["way"] for line in queue["lines"]} == {"test"}
    assert queue["lines"][0]["finds"][0]["find"] == "microwave-1", "a note says that it works: the best hour first"
    assert "Test it first" in yard.open("/bench/microwave-2")

    scenario = scenario_from_book(yard.book, yard.app.state.partway.setup.clock().date())
    assert {find.chance for find in scenario.finds} == {0.35, odds_at(yard, "note-works")}
    assert read_scenario_text(scenario_text(scenario), "it").finds == scenario.finds
    found = plan(scenario, Limits(seconds=20.0))
    tests = [line for line in found.open if line.operation == "test"]
    assert sum(line.times for line in tests) == 3 and {line.piece for line in tests} == {"whole"}
    assert any(part.only_if and part.only_if.answer == "it works" for part in found.parts)

    assert yard.fill("/bench/microwave-1", "/bench/microwave-1/test#tested", **{"test-works": "yes"}).status_code == 200
    assert yard.fill("/bench/microwave-2", "/bench/microwave-2/test#tested", **{"test-works": "no"}).status_code == 200
    lines = {line["finds"][0]["find"]: line for line in yard.client.get("/api/queue").json()["lines"]}
    assert lines["microwave-1"]["way"] == "part" and lines["microwave-3"]["way"] == "test"
    assert lines["microwave-2"]["way"] == "open"

    for n in range(6):
        finds.find(yard.book, yard.context(), "microwave", source="curb")
        finds.test(yard.book, yard.context(), f"microwave-{n + 4}", "no")
    after = yard.client.get("/api/curb/microwave").json()
    assert after["chance_works"] < 0.3 and after["tests_of_kind"] == 8
    assert "8 tested by you" in yard.open("/curb/microwave")


def odds_at(v: Visitor, signs: str) -> float:
    """What a note changes, as the curb has it."""
    return float(v.client.get("/api/curb/microwave", params={"signs": signs}).json()["chance_works"])


def test_a_sign_that_is_none_of_the_kind_s_is_refused_and_nothing_is_written(yard: Visitor) -> None:
    before = len(list(yard.book.recorded()))
    answer = yard.client.post("/api/find", json={"kind": "microwave", "signs": "screen-cracked"})
    assert answer.status_code == 422 and "sign" in answer.text
    assert len(list(yard.book.recorded())) == before


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(fleets(), st.data())
def test_what_is_learned_does_not_hang_on_the_order_in_which_ledgers_meet(
    fleet: Sequence[Device], data: st.DataObject
) -> None:
    events: list[Event] = list({e.id: e for device in fleet for e in device.book.recorded()}.values())
    one = odds_of(MemoryBook(fold(events)))
    other = odds_of(MemoryBook(fold(data.draw(st.permutations(events)))))
    assert (one.shifts, one.signs, one.counts, one.of_all) == (other.shifts, other.signs, other.counts, other.of_all)
