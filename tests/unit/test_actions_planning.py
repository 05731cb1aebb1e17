"""From the ledger to a scenario and to its file: the same plan, every default named."""

from __future__ import annotations

import datetime as dt
from collections.abc import Hashable
from dataclasses import replace
from pathlib import Path

import pytest
from ledger_day import Day, found, stocked, trading_day

from partway.actions.bench import finds, selling
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.quoting import quote
from partway.actions.demo.months import replayed
from partway.actions.haul.scenario import Overrides, scenario_from_book
from partway.actions.home.settings import set_
from partway.actions.plans.plan import Limits, plan
from partway.catalogue import shipped
from partway.errors import Refused
from partway.ledger.memory import MemoryBook
from partway.planning.instance.build import build
from partway.storage.scenario.scenario import read_scenario, read_scenario_text
from partway.storage.scenario.write import save_scenario, scenario_text
from partway.things.scenario import Find, Scenario

KG_PER_LB = 0.45359237  # exactly; international avoirdupois pound, NIST SP 811 (2008), B.8
ON = dt.date(2026, 3, 14)
UNTIL = dt.datetime(2026, 3, 14, 20, tzinfo=dt.UTC)


def busy_day() -> Day:
    day = trading_day(unit="lb")
    for name, value in (("wage", "15"), ("payload", "900 lb"), ("volume", "1800 L"), ("cost_per_km", "0.35")):
        day.do(set_, name, value)
    stocked(day, copper_2=20.5, light_iron=81.123)
    for who, grade, price in (
        ("harbour", "copper-2", "4.10 /lb"),
        ("harbour", "light-iron", "0.11 /lb"),
        ("harbour", "motors", "38 c/lb"),
        ("ridge", "transformer-cu", "0.70 /lb"),
        ("boards", "board-pc", "3.10 /lb"),
    ):
        day.do(quote, who, grade, price)
    day.do(quote, "ridge", "copper-2", "4.30 /lb", "60 lb", "10 lb")
    found(day, "microwave", mass="29 lb", works="no")
    found(day, "desktop-pc", count=3, works="no")
    found(day, "fan", works="unknown")
    return day


def test_what_stands_in_the_ledger_is_what_is_planned() -> None:
    day = busy_day()
    scenario = scenario_from_book(day.book, ON)
    assert scenario.stock == {"copper-2": 20.5, "light-iron": 81.123}
    assert set(scenario.finds) == {  # 29 lb are 13.15417873 kg, kept to the milligram
        Find("microwave", 1, "no", 13.154179),
        Find("desktop-pc", 3, "no", None),
        Find("fan", 1, "unknown", None, 0.5),  # as likely to work as its kind is
    }
    assert [b.id for b in scenario.buyers] == ["boards", "harbour", "ridge"]
    tiers = [(q.price.likely, q.minimum_kg, q.from_kg) for q in scenario.buyers[2].quotes if q.grade == "copper-2"]
    assert tiers == [(4.30 / 0.45359237, 4.535924, 27.215542)]
    assert scenario.vehicle is not None and scenario.vehicle.payload_kg == pytest.approx(900 * 0.45359237)
    assert (scenario.currency, scenario.unit, scenario.hours.wage) == ("CAD", "lb", 15.0)


def test_every_default_is_named() -> None:
    day = busy_day()
    notes = " ".join(scenario_from_book(day.book, ON).notes)
    for name in ("bench", "away", "trips", "storage", "kmh"):
        assert f"{name} not set" in notes
    for name in ("wage", "payload", "volume", "cost_per_km"):
        assert f"{name} not set" not in notes
    given = scenario_from_book(day.book, ON, Overrides(3.0, 2.0, 20.0, 0))
    assert (given.hours.bench, given.hours.away, given.hours.wage, given.hours.trips) == (3.0, 2.0, 20.0, 0)
    assert not any(note.startswith(("bench", "away", "trips")) for note in given.notes)


def test_alike_finds_count_together_and_closed_ones_are_gone() -> None:
    day = busy_day()
    found(day, "fan")
    other = found(day, "fan", works="yes")
    day.do(selling.sell, other, "10")
    counts = {(f.kind, f.works): f.count for f in scenario_from_book(day.book, ON).finds}
    assert counts[("fan", "unknown")] == 2
    assert ("fan", "yes") not in counts


def test_a_partly_opened_find_is_left_out_and_named_and_the_others_of_its_kind_are_not() -> None:
    day = busy_day()
    day.do(open_up, "microwave-1", [PieceGiven("tray", "2 lb")], ["cord-and-tray"], gap="left")
    several = found(day, "toaster", count=3, mass="12 lb")
    day.do(selling.sell, several, "5", mass="4 lb")
    scenario = scenario_from_book(day.book, ON)
    assert any("microwave-1" in note for note in scenario.notes)
    assert "microwave" not in {find.kind for find in scenario.finds}
    toaster = next(find for find in scenario.finds if find.kind == "toaster")
    assert toaster.count == 2
    assert toaster.mass_kg == pytest.approx(4 * 0.45359237, abs=1e-6)


def test_buyers_without_a_way_and_prices_that_do_not_count_are_named() -> None:
    day = busy_day()
    day.do(buyer, "nowhere", Terms(kind="yard"))
    day.do(buyer, "pinned", Terms(kind="yard", at="30.6, -40.5"))
    day.do(quote, "harbour", "motors", "no")
    day.do(quote, "ridge", "li-ion", "0.5 /lb")
    day.do(buyer, "ridge", Terms(refuses=["li-ion"]))
    scenario = scenario_from_book(day.book, ON)
    notes = " ".join(scenario.notes)
    assert "nowhere, pinned" in notes
    assert "ridge li-ion" in notes
    assert not [q for b in scenario.buyers for q in b.quotes if q.grade in ("motors", "li-ion")]
    day.do(set_, "home", "30.7, -40.6")
    assert "pinned" in [b.id for b in scenario_from_book(day.book, ON).buyers]
    before = scenario_from_book(day.book, ON - dt.timedelta(days=1))
    assert not [q for b in before.buyers for q in b.quotes]
    later = scenario_from_book(day.book, ON + dt.timedelta(days=60))
    assert any("older than 30 days" in note for note in later.notes)


def test_without_a_currency_nothing_is_planned() -> None:
    day = Day(currency=None)
    found(day, "fan")
    with pytest.raises(Refused, match="a currency for this workspace"):
        scenario_from_book(day.book, ON)
    assert scenario_from_book(day.book, ON, counting=False).currency == "XXX"


def bare(scenario: Scenario) -> Scenario:
    """Without what a file does not say: notes, and how a figure was learned and what it was before."""
    kinds = {
        kind: replace(anatomy, learned=(), published=(), guessed=False) if anatomy.learned else anatomy
        for kind, anatomy in scenario.anatomies.items()
    }
    return replace(scenario, notes=(), anatomies=kinds)


def test_the_written_file_reads_back_to_the_last_bit() -> None:
    scenario = scenario_from_book(busy_day().book, ON)
    text = scenario_text(scenario)
    assert bare(read_scenario_text(text, "written")) == bare(scenario)
    assert '"4.1 /lb"' in text
    assert all(f"# {note}" in text for note in scenario.notes)


def test_the_plan_of_the_ledger_is_the_plan_of_its_file() -> None:
    # with a keep value under which a small load pays its drive, so that there is something to compare
    scenario = replace(scenario_from_book(busy_day().book, ON), keep_factor=0.8)
    again = read_scenario_text(scenario_text(scenario), "written")
    one, other = (plan(s, Limits(20.0)) for s in (scenario, again))
    assert one.status == other.status == "optimal"
    assert one.sales and one.open
    assert replace(one, notes=()) == replace(other, notes=())


def test_a_demo_ledger_reads_back_too() -> None:
    book = MemoryBook()
    book.append(replayed(UNTIL, 7, 20))
    scenario = scenario_from_book(book, UNTIL.date())
    again = read_scenario_text(scenario_text(scenario), "written")
    assert bare(again) == bare(scenario)
    assert build(again).scenario.finds == scenario.finds


def test_a_metric_ledger_reads_back_and_home_roads_and_ranges_are_written(tmp_path: Path) -> None:
    from partway.things.estimate import Estimate
    from partway.things.scenario import Road

    day = trading_day(unit="kg")
    day.do(set_, "home", "30.7, -40.6")
    day.do(buyer, "harbour", Terms(at="30.6, -40.5", name='the "old" yard'))
    day.do(quote, "harbour", "copper-2", "9.05 /kg")
    day.do(finds.find, "fan", 2, "6.1 kg")
    scenario = scenario_from_book(day.book, ON)
    harbour = next(b for b in scenario.buyers if b.id == "harbour")
    ranged = replace(harbour, quotes=(replace(harbour.quotes[0], price=Estimate(8.5, 9.05, 9.3)),))
    buyers = tuple(ranged if b is harbour else b for b in scenario.buyers)
    scenario = replace(scenario, buyers=buyers, roads=(Road("home", "ridge", 9.5, 12.0), Road("harbour", "ridge", 3.0)))
    file = tmp_path / "out.toml"
    save_scenario(scenario_text(scenario), file)
    assert bare(read_scenario(file)) == bare(scenario)
    with pytest.raises(Refused):
        save_scenario("something else", file)
    assert "something else" not in file.read_text(encoding="utf-8")
    assert list(tmp_path.iterdir()) == [file]


def test_a_range_that_was_said_stays_one_in_the_file_and_in_the_plan() -> None:
    day = busy_day()
    day.do(quote, "harbour", "copper-2", "4.00 to 4.40 /lb")
    scenario = replace(scenario_from_book(day.book, ON), keep_factor=0.0)  # nothing is worth keeping: it is sold
    again = read_scenario_text(scenario_text(scenario), "written")
    (said,) = (q.ends for b in again.buyers if b.id == "harbour" for q in b.quotes if q.grade == "copper-2")
    assert said == pytest.approx((4.00 / KG_PER_LB, 4.40 / KG_PER_LB))  # by hand: per lb over kg per lb
    assert said is not None
    sold = [line for line in plan(again, Limits(20.0)).sales if (line.buyer, line.grade) == ("harbour", "copper-2")]
    assert sold and all(line.ends == said and line.price_per_kg == pytest.approx(sum(said) / 2) for line in sold)


@pytest.mark.parametrize("said", ['["4.20 /lb", "4.40 /lb"]', '["4.00 /lb"]', '["4.40 /lb", "4.00 /lb"]'])
def test_a_range_that_the_price_does_not_lie_in_is_refused(said: str) -> None:
    scenario = scenario_from_book(busy_day().book, ON)
    text = scenario_text(scenario).replace('price = "4.1 /lb",', f'price = "4.1 /lb", range = {said},', 1)
    assert said in text
    with pytest.raises(Refused, match="range"):
        read_scenario_text(text, "written")


def test_grades_of_ones_own_are_not_written() -> None:
    scenario = scenario_from_book(busy_day().book, ON)
    copper = scenario.grades["copper-2"]
    with pytest.raises(Refused, match="as they are shipped"):
        scenario_text(replace(scenario, grades={**scenario.grades, "copper-2": replace(copper, name="mine")}))


def test_a_ledger_is_asked_as_often_for_many_prices_as_for_two(monkeypatch: pytest.MonkeyPatch) -> None:
    """Asking whether it changed is a message to a server each time, and there was one for each price."""
    asked: list[int] = []
    mark = MemoryBook.mark

    def counted(book: MemoryBook) -> Hashable:
        asked[-1] += 1
        return mark(book)

    day, taken = busy_day(), [grade for grade in shipped().grades if grade.startswith(("al-", "brass", "stainless"))]
    assert len(taken) > 10
    for grades in (taken[:2], taken[2:]):
        for grade in grades:
            day.do(quote, "harbour", grade, "1.10 /kg")
        asked.append(0)
        with monkeypatch.context() as patch:
            patch.setattr(MemoryBook, "mark", counted)
            assert scenario_from_book(day.book, ON).buyers
    assert 0 < asked[0] == asked[1]
