"""What each kind of event does, one example a kind, worked out by hand from the docstrings of its payload."""

from __future__ import annotations

import datetime as dt
import json
from decimal import Decimal

import pytest

from partway.ledger.events import kinds as p
from partway.ledger.events.effects import Effects, Entry, Fact, Move
from partway.ledger.events.event import Event
from partway.ledger.events.ids import built
from partway.ledger.events.meaning import effects_of, postings
from partway.ledger.events.subjects import subjects_of

NOON = dt.datetime(2026, 3, 14, 12, 0, 0, 5000, tzinfo=dt.UTC)
KG = 1_000_000  # mg


def effects(what: p.Payload) -> Effects:
    return effects_of(Event(built(1, 1), "me", NOON, NOON, what))


def facts(what: p.Payload) -> dict[tuple[str, str], str]:
    return {(fact.subject, fact.name): fact.value for fact in effects(what).facts}


def entries(what: p.Payload) -> list[tuple[str, str, str]]:
    return [(entry.account, str(entry.amount), entry.tag) for entry in effects(what).entries]


def test_found_and_weighed_comes_in_from_outside() -> None:
    what = p.Found("f1", "fan", 2, "no", 5 * KG, "curb", "", "fan.jpg")
    assert effects(what).moves == (Move("outside", "find:f1", "", 5 * KG),)
    assert facts(what) == {
        ("find:f1", "kind"): "fan",
        ("find:f1", "count"): "2",
        ("find:f1", "works"): "no",
        ("find:f1", "source"): "curb",
        ("find:f1", "photo"): "fan.jpg",
        ("find:f1", "found"): "2026-03-14T12:00:00.005000Z",
    }
    assert entries(what) == []


@pytest.mark.parametrize("mass", [None, 0])
def test_found_and_not_weighed_moves_nothing(mass: int | None) -> None:
    assert effects(p.Found("f1", "fan", mass_mg=mass)).moves == ()


def test_tested() -> None:
    assert effects(p.Tested("f1", "yes")) == Effects(facts=(Fact("find:f1", "works", "yes"),))


@pytest.mark.parametrize(
    ("mass", "was", "moves"),
    [
        (5 * KG, 0, (Move("outside", "find:f1", "", 5 * KG),)),
        (5 * KG, 4 * KG, (Move("outside", "find:f1", "", KG),)),
        (4 * KG, 5 * KG, (Move("find:f1", "outside", "", KG),)),
        (5 * KG, 5 * KG, ()),
        (KG, -KG, (Move("outside", "find:f1", "", 2 * KG),)),
    ],
)
def test_weighed_moves_the_difference(mass: int, was: int, moves: tuple[Move, ...]) -> None:
    assert effects(p.Weighed("f1", mass, was)) == Effects(moves=moves)


PIECES = (p.PieceOut("motor", 1, "motors", "crate", KG), p.PieceOut("shell", 1, "light-iron", "drum", 3 * KG))
OUT = (
    Move("find:f1", "bin:crate", "motors", KG),
    Move("find:f1", "bin:drum", "light-iron", 3 * KG),
    Move("find:f1", "residue", "", 400_000),
    Move("find:f1", "loss", "", 100_000),
)


def opened(was: int, closes: bool = True) -> p.Opened:
    return p.Opened("f1", PIECES, was, (p.Run("whole", "open"),), 12, 400_000, 100_000, closes)


def test_opened_and_weighed_before() -> None:
    what = opened(5 * KG)
    assert effects(what).moves == OUT  # 0.5 kg stay in the find: nothing is lost silently
    assert facts(what) == {("find:f1", "closed"): "yes"}
    assert entries(what) == [("minutes:bench", "12", "f1")]


def test_opened_in_part_stays_open() -> None:
    assert facts(opened(5 * KG, closes=False)) == {}


def test_opened_unweighed_weighed_what_came_out_of_it() -> None:
    assert effects(opened(0)).moves == (Move("outside", "find:f1", "", 4_500_000), *OUT)


def test_opened_and_more_came_out_than_was_weighed_in() -> None:
    assert effects(opened(4 * KG)).moves == (Move("outside", "find:f1", "", 500_000), *OUT)


def test_binned_says_all_there_is_to_say_so_that_the_latest_word_counts_as_a_whole() -> None:
    assert facts(p.Binned("drum", "light-iron", "by the door", Decimal("200.0"))) == {
        ("bin:drum", "grade"): "light-iron",
        ("bin:drum", "name"): "by the door",
        ("bin:drum", "capacity_l"): "200.0",
    }
    assert facts(p.Binned("drum", "motors"))["bin:drum", "capacity_l"] == ""
    assert facts(p.Binned("drum", "motors"))["bin:drum", "name"] == ""


def test_recounted_less_is_loss_and_more_is_loss_taken_back() -> None:
    assert effects(p.Recounted("drum", "motors", 3, 5)).moves == (Move("bin:drum", "loss", "motors", 2),)
    assert effects(p.Recounted("drum", "motors", 5, 3)).moves == (Move("loss", "bin:drum", "motors", 2),)
    assert effects(p.Recounted("drum", "motors", 5, -3)).moves == (Move("loss", "bin:drum", "motors", 8),)
    assert effects(p.Recounted("drum", "motors", 5, 5)) == Effects()


def test_moved_within_a_grade() -> None:
    assert effects(p.Moved("drum", "crate", "motors", "motors", 7)).moves == (
        Move("bin:drum", "bin:crate", "motors", 7),
    )


def test_moved_into_another_grade_passes_through_regraded_and_leaves_nothing_there() -> None:
    moves = effects(p.Moved("drum", "crate", "copper-1", "copper-2", 7)).moves
    assert moves == (Move("bin:drum", "regraded", "copper-1", 7), Move("regraded", "bin:crate", "copper-2", 7))
    assert postings(moves) == {("bin:drum", "copper-1"): -7, ("regraded", ""): 0, ("bin:crate", "copper-2"): 7}


def test_sold_by_the_unit() -> None:
    what = p.Parted("f1", "motor", 2, KG, 5 * KG, Decimal("22.50"), Decimal("6.30"), Decimal("9.00"), 15)
    assert effects(what).moves == (Move("find:f1", "people", "", KG),)
    assert entries(what) == [
        ("parts", "45.00", "f1"),
        ("parts-fees", "-6.30", "f1"),
        ("parts-postage", "-9.00", "f1"),
        ("minutes:list", "15", "f1"),
    ]
    assert facts(what) == {}


def test_a_whole_unweighed_find_sold() -> None:
    what = p.Parted("f1", "fan", 1, 3 * KG, 0, Decimal(10), closes=True)
    assert effects(what).moves == (Move("outside", "find:f1", "", 3 * KG), Move("find:f1", "people", "", 3 * KG))
    assert facts(what) == {("find:f1", "closed"): "yes"}
    assert entries(what) == [("parts", "10", "f1")]


def test_discarded_is_residue_and_closes() -> None:
    what = p.Discarded("f1", KG, 3 * KG)
    assert effects(what).moves == (Move("find:f1", "residue", "", KG),)
    assert facts(what) == {("find:f1", "closed"): "yes"}


def test_traded_is_one_fact_as_canonical_text() -> None:
    what = p.Traded("harbour", "yard", "harbour yard", Decimal("14.0"), (Decimal("30.65"), Decimal("-40.5")), 20)
    text = facts(what)["buyer:harbour", "terms"]
    assert text == (
        '{"at":["30.65","-40.5"],"buyer":"harbour","kind":"yard","km":"14.0","minutes":20,"name":"harbour yard",'
        '"note":"","refuses":[],"shipping":[]}'
    )


def test_quoted_is_the_word_on_one_tier() -> None:
    what = p.Quoted("harbour", "copper-2", Decimal("4.10"), "lb", dt.date(2026, 3, 10), 22_679_618)
    ((key, text),) = facts(what).items()
    assert key == ("quote:harbour:copper-2:22679618", "heard")
    assert json.loads(text)["price"] == "4.10" and json.loads(text)["on"] == "2026-03-10"


def test_a_quote_withdrawn_is_a_word_too() -> None:
    what = p.Quoted("harbour", "copper-2", None, "lb", dt.date(2026, 3, 10))
    assert json.loads(facts(what)["quote:harbour:copper-2:0", "heard"])["price"] is None


def test_set() -> None:
    assert facts(p.Set("wage", "12.00")) == {("setting:wage", "value"): "12.00"}


def test_hauled_counts_its_minutes_once_it_is_over() -> None:
    started = p.Hauled("h1", "started", ("harbour", "ridge"))
    assert facts(started) == {("haul:h1", "status"): "started", ("haul:h1", "stops"): '["harbour","ridge"]'}
    assert entries(started) == [] == entries(p.Hauled("h1", "started", minutes=90))
    finished = p.Hauled("h1", "finished", (), Decimal("31.5"), 140)
    assert facts(finished) == {
        ("haul:h1", "status"): "finished",
        ("haul:h1", "km"): "31.5",
        ("haul:h1", "minutes"): "140",
    }
    assert entries(finished) == [("minutes:haul", "140", "h1")]


def test_ticketed_takes_ones_own_mass_out_of_the_bin() -> None:
    short = p.TicketLine("copper-2", "bucket", 900, 1000, Decimal("4.10"), "lb", Decimal("8.14"))
    over = p.TicketLine("motors", "crate", 520, 500, Decimal("0.38"), "lb", Decimal("0.44"))
    same = p.TicketLine("light-iron", "drum", 700, 700, Decimal("-0.02"), "lb", Decimal("-0.03"))
    what = p.Ticketed(
        "t1", "harbour", (short, over, same), Decimal("7.55"), (p.Deduction("moisture", Decimal("1.00")),), "h1"
    )
    moves = effects(what).moves
    assert moves == (
        Move("bin:bucket", "buyer:harbour", "copper-2", 900),
        Move("bin:bucket", "loss", "copper-2", 100),
        Move("bin:crate", "buyer:harbour", "motors", 520),
        Move("loss", "bin:crate", "motors", 20),
        Move("bin:drum", "buyer:harbour", "light-iron", 700),
    )
    sums = postings(moves)
    assert sums["bin:bucket", "copper-2"] == -1000  # exactly what one weighed oneself
    assert sums["bin:crate", "motors"] == -500
    assert entries(what) == [
        ("sales:harbour", "8.14", "copper-2"),
        ("sales:harbour", "0.44", "motors"),
        ("sales:harbour", "-0.03", "light-iron"),
        ("deductions:harbour", "-1.00", "moisture"),
    ]
    printed = json.loads(facts(what)["ticket:t1", "printed"])
    assert printed["lines"][0]["amount"] == "8.14" and printed["haul"] == "h1"


def test_paid_spent_and_worked() -> None:
    assert effects(p.Paid("harbour", Decimal("7.55"), "t1")) == Effects(
        entries=(Entry("paid:harbour", Decimal("7.55"), "t1"),)
    )
    assert entries(p.Spent("petrol", Decimal("40.00"), "fuel")) == [("spent:fuel", "-40.00", "petrol")]
    assert entries(p.Worked("collect", 35)) == [("minutes:collect", "35", "")]
    assert entries(p.Worked("bench", 35, "f1")) == [("minutes:bench", "35", "f1")]


def test_ruled_is_the_last_word_on_a_place_card() -> None:
    what = p.Ruled("curbside", "not after 7", "by-law 12", dt.date(2026, 3, 1))
    text = '{"card":"curbside","says":"not after 7","seen":"2026-03-01","source":"by-law 12"}'
    assert effects(what) == Effects(facts=(Fact("rule:curbside", "here", text),))


def test_described_is_the_last_word_on_a_kind_also_that_there_is_none() -> None:
    assert effects(p.Described("toy", "[[anatomy]]")) == Effects(facts=(Fact("kind:toy", "anatomy", "[[anatomy]]"),))
    assert effects(p.Described("toy")) == Effects(facts=(Fact("kind:toy", "anatomy", ""),))


def test_a_correction_does_nothing_of_its_own() -> None:
    assert effects(p.Corrected(built(0, 1))) == Effects()


def test_what_a_piece_turned_out_to_be_moves_nothing() -> None:
    said = (p.Said("magnet", "none"), p.Said("density", "8.4+-0.2"))
    assert effects(p.Identified("brass-yellow", "taps", 3, "brass-yellow", said, KG)) == Effects()


def test_only_bins_and_buyers_hold_grades() -> None:
    """So a find opened into many grades ends at nothing at all."""
    sums = postings(effects(opened(4_500_000)).moves)
    assert sums == {
        ("find:f1", ""): -4_500_000,
        ("bin:crate", "motors"): KG,
        ("bin:drum", "light-iron"): 3 * KG,
        ("residue", ""): 400_000,
        ("loss", ""): 100_000,
    }


@pytest.mark.parametrize(
    ("what", "subjects"),
    [
        (opened(0), ("bin:crate", "bin:drum", "find:f1")),
        (p.Moved("drum", "crate", "a", "b", 1), ("bin:crate", "bin:drum")),
        (p.Recounted("drum", "a", 1, 0), ("bin:drum",)),
        (p.Quoted("harbour", "a", None, "lb", NOON.date()), ("buyer:harbour",)),
        (p.Hauled("h1", "started", ("harbour",)), ("buyer:harbour", "haul:h1")),
        (p.Ticketed("t1", "harbour", (), Decimal(0), (), "h1"), ("buyer:harbour", "haul:h1", "ticket:t1")),
        (p.Paid("harbour", Decimal(1), "t1"), ("buyer:harbour", "ticket:t1")),
        (p.Paid("harbour", Decimal(1)), ("buyer:harbour",)),
        (p.Worked("bench", 1, "f1"), ("find:f1",)),
        (p.Worked("bench", 1), ()),
        (p.Spent("x", Decimal(1)), ()),
        (p.Identified("copper", "wire"), ("context:wire",)),
        (p.Set("wage", "1"), ("setting:wage",)),
        (p.Ruled("curbside", "no", "by-law", dt.date(2026, 3, 1)), ("rule:curbside",)),
        (p.Described("toy", "x"), ("kind:toy",)),
        (p.Noted("x", "fan-1", "harbour", "brass"), ("bin:brass", "buyer:harbour", "find:fan-1")),
        (p.Noted("x"), ()),
        (p.Corrected(built(0, 1)), (f"event:{built(0, 1)}",)),
    ],
)
def test_what_an_event_is_about(what: p.Payload, subjects: tuple[str, ...]) -> None:
    assert subjects_of(Event(built(1, 1), "me", NOON, NOON, what)) == subjects
