"""What to find out before setting out: the price that decides comes first, and what changes nothing is not asked."""

from __future__ import annotations

import pytest

from partway.actions.plans.plan import Limits, plan
from partway.reports.haul.plan import Plan
from partway.storage.scenario.scenario import read_scenario_text

TOWN = """
[scenario]
name = "two yards"
currency = "CAD"
on = 2026-03-14
[hours]
bench = 1.0
away = 3.0
wage = 12.0
[vehicle]
payload = "400 kg"
volume = "1800 L"
cost_per_km = 0.3
[[buyer]]
id = "harbour-yard"
kind = "yard"
km = 9.0
price = [
  { grade = "copper-2", price = %s, on = 2026-03-14 },
  { grade = "light-iron", price = "0.2 /kg", on = 2026-03-14 },
]
[[buyer]]
id = "ridge-yard"
kind = "yard"
km = 9.0
price = [ { grade = "copper-2", price = "8 /kg", on = 2026-03-14 } ]
[stock]
copper-2 = "60 kg"
%s
[[find]]
kind = "toaster"
works = "no"
"""
WIDE = '["5 /kg", "7.9 /kg", "11 /kg"]'


def asked(price: str, stock: str = "") -> Plan:
    """The plan with its other worlds."""
    return plan(read_scenario_text(TOWN % (price, stock), "two yards"), Limits(5.0), why=True)


def test_the_price_that_decides_where_to_go_is_asked_for() -> None:
    """Ridge pays 8 for sure, harbour about as much: where harbour pays more, one had better go there. Its price has the
    PERT mean (5 + 4 * 7.9 + 11) / 6 = 7.93 and turns the trip over near 8 (the ways are alike).
    """
    found = asked(WIDE)
    assert found.again is not None
    assert found.again.times == 50
    assert 10 <= found.again.same_trip <= 40
    first = found.find_out[0]
    assert (first.sort, first.buyer, first.grade) == ("price", "harbour-yard", "copper-2")
    assert first.turns == pytest.approx(8.0, abs=0.25)
    assert first.above
    assert first.instead == (("harbour-yard",),)
    assert found.again.regret > first.worth * 0.5


def test_a_price_heard_for_sure_is_not_asked_for() -> None:
    found = asked('"7.9 /kg"')
    assert found.again is not None
    assert found.again.same_trip == found.again.times == 50
    assert [one for one in found.find_out if one.sort == "price"] == []


def test_a_price_that_changes_nothing_is_not_asked_for() -> None:
    """Harbour may pay from a tenth to two: nobody drives there for that, whatever it is."""
    found = asked('["0.1 /kg", "1 /kg", "2 /kg"]')
    assert [one for one in found.find_out if one.sort == "price"] == []


def test_a_yard_on_the_way_is_asked_whether_it_takes_what_nobody_quotes() -> None:
    found = asked('"7.9 /kg"', 'brass-yellow = "30 kg"')
    takes = [one for one in found.find_out if one.sort == "takes"]
    assert [(one.buyer, one.grade) for one in takes] == [("ridge-yard", "brass-yellow")]
    assert takes[0].worth > 50.0  # half of 30 kg at about six tenths of 8, less what they count for kept as iron


def test_how_often_a_plan_beats_staying_home() -> None:
    """A sure thing does always; a gamble in as many worlds as its price is above what the drive and the wait cost."""
    assert asked('"7.9 /kg"').cash.beats_home == 1.0
    assert 0.5 < asked('["0.1 /kg", "9 /kg", "12 /kg"]').cash.beats_home < 1.0
