"""The invented workspace: the same for a seed, its mass adds up, and it has something of everything to show."""

from __future__ import annotations

import datetime as dt

import pytest

from partway.actions.bench.benching import best
from partway.actions.books.money import unpaid
from partway.actions.demo import demo_months
from partway.actions.demo.months import SEED, WEEKS, replayed
from partway.actions.haul.scenario import prices_from_book, scenario_from_book
from partway.actions.plans.plan import Limits, plan
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.balance.sheet import sheet, tips_in
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import PAYLOADS, Found, Ruled, Ticketed, Traded
from partway.ledger.fold import standing
from partway.ledger.memory import MemoryBook
from partway.reports.books.overview import report_overview
from partway.reports.home.today import There, report_today
from partway.things.units import ShownUnits

UNTIL = dt.datetime(2026, 3, 14, 20, tzinfo=dt.UTC)


@pytest.fixture(scope="module")
def events() -> list[Event]:
    return replayed(UNTIL, SEED, WEEKS)


@pytest.fixture(scope="module")
def book(events: list[Event]) -> MemoryBook:
    filled = MemoryBook()
    filled.append(events)
    return filled


def test_the_same_seed_gives_the_same_events_and_another_seed_others() -> None:
    assert replayed(UNTIL, 5, 6) == replayed(UNTIL, 5, 6)
    assert replayed(UNTIL, 5, 6) != replayed(UNTIL, 6, 6)


@pytest.mark.parametrize("seed", range(4))
def test_its_mass_adds_up_for_any_seed(seed: int) -> None:
    filled = MemoryBook()
    filled.append(replayed(UNTIL, seed, 12))
    mass = sheet(filled.balances(), tips_in(filled.facts("buyer:")))
    assert mass.apart_mg == 0
    assert mass.short == {}
    assert 0 < mass.buyers_mg + mass.people_mg < mass.in_mg
    assert abs(mass.loss_mg) < 0.03 * mass.in_mg


def test_there_is_something_of_everything(events: list[Event], book: MemoryBook) -> None:
    assert {event.kind for event in events} == set(PAYLOADS) - {
        "described",
        "round",
        "noted",
        "pictured",
    }  # none of one's own
    found = [event.what for event in events if isinstance(event.what, Found)]
    assert 120 <= len(found) <= 190
    assert len(trading.buyers(book)) == 7
    assert standing.finds(book)
    assert unpaid(book)
    assert [haul.status for haul in trading.hauls(book).values()].count("started") == 1


def test_some_tickets_are_short_and_some_downgrade(events: list[Event]) -> None:
    lines = [line for event in events if isinstance(event.what, Ticketed) for line in event.what.lines]
    assert any(line.mass_mg < 0.98 * line.own_mg for line in lines)
    assert any(event.kind == "moved" for event in events)


def test_it_ends_before_now_and_grows_in_time(events: list[Event]) -> None:
    assert [event.id for event in events] == sorted(event.id for event in events)
    assert max(event.happened for event in events) < UNTIL
    assert UNTIL - min(event.happened for event in events) > dt.timedelta(weeks=WEEKS - 1)


def test_all_of_it_says_that_it_is_invented(events: list[Event], book: MemoryBook) -> None:
    assert {event.who for event in events} == {"demo"}
    assert standing.settings(book)["name"].startswith("demo:")
    notes = [event.what.note for event in events if isinstance(event.what, (Found, Traded))]
    assert all(note.startswith("demo:") for note in notes)
    assert all(event.what.source.startswith("demo:") for event in events if isinstance(event.what, Ruled))


def test_today_and_the_plan_have_something_to_say(book: MemoryBook) -> None:
    scenario = scenario_from_book(book, UNTIL.date())
    report = report_overview(book, scenario, UNTIL)
    assert "battery-drop-off" in report.place_cards and "curbside" not in report.place_cards
    assert report.cautions and report.waiting and report.unpaid
    there = There.of(book, ShownUnits("lb"), UNTIL.tzinfo)
    prices = prices_from_book(book, UNTIL.date(), there.finds)
    today = report_today(book, prices, UNTIL, best(book, prices, there.finds, 2), there)
    assert today.cautions and today.hauls and today.acts
    assert today.earned.per_hour is not None
    made = plan(scenario, Limits(5.0, 0.05))
    assert made.status in ("optimal", "gap")


def test_it_is_never_mixed_with_real_days() -> None:
    book = MemoryBook()
    assert demo_months(book, UNTIL, 1, 3) == len(list(book.events()))
    before = book.state
    with pytest.raises(Refused, match="never mixed"):
        demo_months(book, UNTIL, 1, 3)
    assert book.state == before
