"""Laws of the flows and of what was diverted, whatever happened: mass in = mass out, and nothing is dropped.

Held against the balance sheet (ledger.balance.sheet, which has laws of its own) and against the yard's own model
(ledgers/yard.py), which shares no code with what derives masses from events.
"""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from ledgers.strategies import histories, ledgers, yards
from ledgers.yard import START, Yard

from partway.catalogue.factors import factor_sets
from partway.ledger.balance.sheet import sheet
from partway.ledger.events.event import Event
from partway.ledger.fold.fold import fold
from partway.ledger.memory import MemoryBook
from partway.valuing.ends.diverted import ends_of, report_diverted
from partway.valuing.ends.flows import RIM, FlowNames, Flows, report_flows
from partway.valuing.ends.impact import impact_of
from partway.valuing.window import window

MANY = settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
anything = histories() | ledgers()
NAMES = FlowNames({}, {}, {}, ("depot",))
TIPS = frozenset({"depot"})


def book_of(events: list[Event]) -> MemoryBook:
    return MemoryBook(fold(events))


def ends(flows: Flows) -> Counter[str]:
    """What reached each place less what came from it."""
    net: Counter[str] = Counter()
    for link in flows.links:
        net[link.target] += link.mg
        net[link.source] -= link.mg
    return net


@MANY
@given(anything)
def test_every_place_between_gives_up_what_it_got(events: list[Event]) -> None:
    for most in (None, 1, 0):
        flows = report_flows(book_of(events).moved(), NAMES, most)
        for place in flows.places.values():
            if place.sort in {"kind", "grade"}:
                assert place.in_mg == place.out_mg, place
        assert all(link.mg > 0 for link in flows.links)
        assert {p for link in flows.links for p in (link.source, link.target)} == set(flows.places)


@MANY
@given(anything)
def test_the_ends_are_those_of_the_balance_sheet(events: list[Event]) -> None:
    book = book_of(events)
    whole = sheet(book.balances(), TIPS)
    net = ends(report_flows(book.moved(), NAMES, None))
    buyers = {place: mg for place, mg in net.items() if place.startswith("buyer:")}
    assert sum(buyers.values()) == whole.buyers_mg + whole.tips_mg
    assert buyers.get("buyer:depot", 0) == whole.tips_mg
    assert net["people"] == whole.people_mg
    assert net["residue"] + net["residue-before"] == whole.residue_mg
    assert net["loss"] + net["scale"] == whole.loss_mg
    assert net["regraded-in"] + net["regraded-out"] == 0
    assert net["whole"] + net["whole-before"] == whole.finds_mg
    assert net["bins"] + net["bins-before"] == whole.bins_mg
    assert -(net["collected"] + net["before"] + net["less"]) == whole.in_mg


@MANY
@given(anything)
def test_putting_places_together_changes_no_end(events: list[Event]) -> None:
    moved = book_of(events).moved()
    every, few = report_flows(moved, NAMES, None), report_flows(moved, NAMES, 1)
    assert {p: mg for p, mg in ends(every).items() if p in RIM} == {p: mg for p, mg in ends(few).items() if p in RIM}
    assert sum(p.in_mg for p in every.of("kind")) == sum(p.in_mg for p in few.of("kind"))
    assert len(few.of("kind")) <= 2 or "kind" not in few.hidden


@MANY
@given(yards(most=30))
def test_residue_and_people_are_the_yards_own_sums(yard: Yard) -> None:
    flows = report_flows(book_of(yard.events).moved(), NAMES, None)
    net = ends(flows)
    assert net["residue"] == yard.residue
    assert net["people"] == yard.people
    assert net["loss"] + net["scale"] == yard.lost
    sold: Counter[str] = Counter()
    for (buyer, _), mg in yard.sold.items():
        sold[f"buyer:{buyer}"] += mg
    assert {place: mg for place, mg in net.items() if place.startswith("buyer:")} == +sold


@MANY
@given(anything, st.integers(0, 14))
def test_what_came_in_went_out_or_is_there(events: list[Event], months: int) -> None:
    """Stock before + in = out + loss + stock after, for each step, and in all of them what the whole ledger has."""
    book = book_of(events)
    whole = sheet(book.balances(), TIPS)
    latest = max((event.happened for event in events), default=START)
    seen = window(book, max(latest, START), months)
    report = report_diverted(whole, TIPS, seen.steps)
    assert report.whole.came == report.whole.left + report.whole.lost + report.whole.stock
    lines = report.steps
    for before, after in pairwise(lines):
        assert before.ends.stock + after.ends.came == after.ends.left + after.ends.lost + after.ends.stock
    assert lines[-1].ends.stock == whole.stock_mg
    if months == 0:
        assert sum(line.ends.came for line in lines) == whole.in_mg
        assert sum(line.ends.diverted for line in lines) == whole.buyers_mg + whole.people_mg
        assert ends_of(seen.moved, TIPS, whole.stock_mg) == report.whole


@MANY
@given(anything)
def test_all_that_recyclers_took_spares_something_or_is_shown_as_uncounted(events: list[Event]) -> None:
    book = book_of(events)
    whole = sheet(book.balances(), TIPS)
    for factors in factor_sets().values():
        found = impact_of(book.moved(), TIPS, whole.stock_mg, factors, {})
        assert found.mapped_mg + found.unmapped_mg == found.ends.recycled == whole.buyers_mg
        assert found.kg_co2e == pytest.approx(sum(line.kg_co2e for line in found.spared))
        assert all(factors.of[grade] == line.category for line in found.spared for grade in line.grades)
