"""What is in conflict and what is not, case by case: two copies of one ledger, what is
said on each, and what the union of them lists.
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from pathlib import Path

import pytest
from app_client import visitor
from disagreement import NOON, Person, begun, lb, part

from partway.ledger.events import kinds as p
from partway.ledger.events.ids import new_id
from partway.ledger.events.stamp import Stamp
from partway.ledger.memory import MemoryBook
from partway.reports.books.conflicts import conflict_lines
from partway.things.units import ShownUnits

TODAY = NOON.date()


@pytest.fixture
def me() -> Person:
    return Person(MemoryBook(), "jo")


@pytest.fixture
def friend(me: Person) -> Person:
    other = Person(MemoryBook(), "sam")
    begun(me)
    other.hears_of(me)
    other.now = me.now
    return other


def codes(me: Person, friend: Person) -> list[str]:
    """The conflicts of the union, the same whoever hears of whom."""
    me.hears_of(friend)
    friend.hears_of(me)
    assert me.book.conflicts() == friend.book.conflicts()
    return [one.code for one in me.book.conflicts()]


def sold(mg: int, was: int, *, closes: bool) -> p.Parted:
    return p.Parted("microwave-1", "whole", 1, mg, was, Decimal(40), closes=closes)


def test_a_find_sold_here_and_given_up_there(me: Person, friend: Person) -> None:
    me.says(sold(lb(30), lb(30), closes=True))
    friend.says(p.Discarded("microwave-1", lb(30), lb(30)))
    assert codes(me, friend) == ["ended-twice", "find-below-zero"]
    assert me.book.conflicts()[1].mg == -lb(30)


def test_what_was_given_up_into_the_bin_of_residue_is_said_as_given_up(me: Person, friend: Person) -> None:
    me.says(sold(lb(30), lb(30), closes=True))
    friend.says(p.Opened("microwave-1", (p.PieceOut("whole", 1, "residue", "residue", lb(30)),), lb(30)))
    codes(me, friend)
    ended = me.book.conflicts()[0]
    assert {side.says for side in ended.sides} == {"sold", "discarded"}
    (line, _) = conflict_lines(me.book.conflicts(), ShownUnits("lb"), dt.UTC)
    assert "sold and given up" in line.words and {side.says for side in line.sides} == {"sold", "given up"}


def test_a_part_sold_here_of_what_was_given_up_there_without_knowing(me: Person, friend: Person) -> None:
    friend.says(sold(lb(2), lb(30), closes=False))
    me.says(p.Discarded("microwave-1", lb(28), lb(30)))
    assert codes(me, friend) == ["ended-twice"]


def test_a_part_sold_there_and_the_rest_given_up_here_knowing_it(me: Person, friend: Person) -> None:
    friend.says(sold(lb(2), lb(30), closes=False))
    me.hears_of(friend)
    me.says(p.Discarded("microwave-1", lb(28), lb(28)))
    assert codes(me, friend) == []


def test_the_second_recount_did_not_know_of_the_first(me: Person, friend: Person) -> None:
    me.says(p.Recounted("copper-2", "copper-2", lb(60), lb(10)))
    friend.says(p.Recounted("copper-2", "copper-2", lb(62), lb(10)))
    assert codes(me, friend) == ["recounts-differ"]
    assert me.book.balances("bin:copper-2") == {("bin:copper-2", "copper-2"): lb(62)}
    me.says(p.Recounted("copper-2", "copper-2", lb(61), lb(62)))
    assert codes(me, friend) == []


@pytest.mark.parametrize("both", [60, 62])
def test_recounts_that_agree_or_know_of_each_other_are_no_conflict(me: Person, friend: Person, both: int) -> None:
    me.says(p.Recounted("copper-2", "copper-2", lb(60), lb(10)))
    if both == 62:
        friend.hears_of(me)
    friend.says(p.Recounted("copper-2", "copper-2", lb(both), lb(60 if both == 62 else 10)))
    assert codes(me, friend) == []


def test_the_same_find_name_on_two_devices_is_two_finds_and_no_conflict(me: Person, friend: Person) -> None:
    for person in (me, friend):
        person.says(p.Found("kettle-1", "kettle", mass_mg=lb(2)))
        person.says(p.Discarded("kettle-1", lb(2), lb(2)))
    assert codes(me, friend) == []


def test_two_tickets_of_the_same_motors(me: Person, friend: Person) -> None:
    line = p.TicketLine("motors", "motors", lb(15), lb(15), Decimal("0.38"), "lb", Decimal("5.70"))
    for person in (me, friend):
        person.says(p.Ticketed("ticket-1", "harbour", (line,), Decimal("5.70")))
    assert codes(me, friend) == ["bin-below-zero"]
    assert len(me.book.conflicts()[0].sides) == 2


def test_an_intent_was_asked_twice_where_two_copies_recorded_it(me: Person, friend: Person) -> None:
    """The same piece of work sent to both, one sent to me alone, twice, and one that nobody sent."""
    both, alone = new_id(), new_id()
    for person, intents in ((me, (both, alone, alone, None)), (friend, (both, None))):
        for n, intent in enumerate(intents):
            stamp = Stamp(person.book, person.who, person.now + dt.timedelta(minutes=1 + n), new_id, intent=intent)
            person.book.append([stamp.event(p.Set("wage", str(10 + n)))])
    assert me.book.asked_twice() == friend.book.asked_twice() == frozenset()
    me.hears_of(friend)
    assert me.book.asked_twice() == {both}


@pytest.mark.parametrize(
    ("mine", "theirs", "expected"),
    [(42, 44, ["corrections-differ"]), (42, None, ["corrections-differ"]), (None, None, [])],
)
def test_one_event_corrected_on_both(mine: int | None, theirs: int | None, expected: list[str]) -> None:
    me, friend = Person(MemoryBook(), "jo"), Person(MemoryBook(), "sam")
    fuel = begun(me)
    friend.hears_of(me)
    for person, amount in ((me, mine), (friend, theirs)):
        person.puts_right(fuel, None if amount is None else p.Spent("fuel", Decimal(amount), "fuel"))
    assert codes(me, friend) == expected


@pytest.mark.parametrize(
    ("mine", "theirs", "on", "expected"),
    [
        ("4.20", "4.35", TODAY, ["prices-differ"]),
        ("4.20", "4.2", TODAY, []),
        ("4.20", "4.35", TODAY - dt.timedelta(days=1), []),
    ],
)
def test_two_prices_of_one_day(
    me: Person, friend: Person, mine: str, theirs: str, on: dt.date, expected: list[str]
) -> None:
    me.says(p.Quoted("harbour", "copper-2", Decimal(mine), "lb", TODAY))
    friend.now += dt.timedelta(minutes=1)  # of the very same moment they would be two words on one field
    friend.says(p.Quoted("harbour", "copper-2", Decimal(theirs), "lb", on))
    assert codes(me, friend) == expected


def test_a_price_said_again_on_the_device_that_was_wrong_settles_it(me: Person, friend: Person) -> None:
    me.says(p.Quoted("harbour", "copper-2", Decimal("4.20"), "lb", TODAY))
    friend.says(p.Quoted("harbour", "copper-2", Decimal("4.35"), "lb", TODAY))
    assert codes(me, friend) == ["prices-differ"]
    me.says(p.Quoted("harbour", "copper-2", Decimal("4.35"), "lb", TODAY))
    assert codes(me, friend) == []


@pytest.mark.parametrize(("later", "expected"), [(0, ["words-differ"]), (1, [])])
def test_two_words_of_one_stated_time(me: Person, friend: Person, later: int, expected: list[str]) -> None:
    stated = NOON + dt.timedelta(hours=2)
    me.says(p.Set("wage", "12"), stated=stated)
    friend.says(p.Set("wage", "15"), stated=stated + dt.timedelta(seconds=later))
    assert codes(me, friend) == expected


def test_the_json_interface_lists_them_and_marks_finds_and_bins(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        assert v.client.get("/api/conflicts").json() == []
        friend = Person(MemoryBook(), "sam")
        mine = Person(v.book, "jo")
        part(mine, friend)
        mine.hears_of(friend)
        listed = v.client.get("/api/conflicts").json()
        assert len(listed) == 8 and all(len(line["sides"]) == 2 for line in listed)
        assert v.client.get("/api/bins/motors").json()["conflict"] == ["bin-below-zero"]
        assert v.client.get("/api/finds/microwave-1").json()["conflict"] == ["ended-twice", "find-below-zero"]
        marks = [find["conflict"] for find in v.client.get("/api/finds").json()]
        assert marks == [["words-differ"], ["listing-oversold"]]
