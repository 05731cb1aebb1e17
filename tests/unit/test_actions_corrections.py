"""Corrections: what stops counting, what counts instead, what stays because it was weighed later."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from ledger_day import KG, Day, found, stocked, trading_day

from partway.actions.bench import finds, selling
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bins import bins
from partway.actions.books import money
from partway.actions.books.corrections import correct, correct_all
from partway.actions.buyers import buyers
from partway.actions.buyers.buyers import Terms
from partway.actions.buyers.quoting import QuoteGiven as Q
from partway.actions.buyers.quoting import quote, quotes
from partway.actions.haul.tickets import LineGiven, ticket
from partway.ledger import trading
from partway.ledger.balance.sheet import sheet
from partway.ledger.fold import standing


def last(day: Day, kind: str) -> str:
    """The id of the latest event of a kind that counts."""
    voided = day.book.voided()
    return str([event.id for event in day.book.events((kind,)) if event.id not in voided][-1])


def state(day: Day) -> tuple[Any, ...]:
    """All that follows from the events that count."""
    return dict(day.book.balances()), dict(day.book.facts()), dict(day.book.accounts())


def test_a_find_typed_twice_is_taken_back() -> None:
    day = Day()
    found(day, "fan", mass="3 kg")
    before = state(day)
    found(day, "fan", mass="3 kg")
    told = day.do(correct, last(day, "found")[-8:], "typed twice").result
    assert "fan-2" in told.what
    assert state(day) == before
    assert len(day.book.voided()) == 1


def test_a_correction_can_itself_be_taken_back() -> None:
    day = Day()
    found(day, "fan", mass="3 kg")
    before = state(day)
    recorded = day.do(correct, last(day, "found"))
    assert standing.finds(day.book) == {}
    day.do(correct, str(recorded.undo[0]))
    assert state(day) == before


def test_a_mass_typed_wrong_is_put_right() -> None:
    day = Day()
    find = found(day, "kettle", mass="12 kg", note="dented")
    told = day.do(correct, last(day, "found"), changes={"mass": "1.2 kg", "works": "no"}).result
    assert told.instead
    now = standing.find(day.book, find)
    assert (now.mg, now.works, now.note) == (1_200_000, "no", "dented")
    assert sheet(day.book.balances()).in_mg == 1_200_000


def test_taking_back_a_correction_with_a_replacement_brings_the_first_word_back() -> None:
    day = Day()
    find = found(day, "kettle", mass="12 kg")
    before = state(day)
    recorded = day.do(correct, last(day, "found"), changes={"mass": "1.2 kg"})
    day.do(correct, str(recorded.undo[0]))
    assert standing.find(day.book, find).mg == 12 * KG
    assert state(day) == before


@pytest.mark.parametrize(
    ("kind", "changes", "expected"),
    [
        ("found", {"mas": "1 kg"}, 'did you mean "mass"'),
        ("found", {"mass": "heavy"}, "a number and a unit"),
        ("found", {"find": "fan-9"}, "field to set"),
        ("found", {"kind": "fam"}, "the name of a kind, such as fan (Fan)"),
        ("found", {"count": "two and a half"}, "a whole number"),
        ("found", {"count": "0"}, "at least 1"),
        ("spent", {"amount": "-3"}, "from 0"),
        ("worked", {"minutes": "soon"}, "a time"),
        ("worked", {"activity": "sleep"}, "known activity"),
        ("quoted", {"price": "4 /ton"}, "short ton"),
        ("quoted", {"on": "once"}, "2026-03-14"),
        ("traded", {"kind": "shop"}, "kind of buyer"),
        ("traded", {"km": "far"}, "a distance"),
    ],
)
def test_what_cannot_be_put_in_its_place(kind: str, changes: dict[str, str], expected: str) -> None:
    day = trading_day()
    found(day, "fan", mass="3 kg")
    day.do(money.spend, "fuel", "20")
    day.do(money.hours, "bench", "30")
    day.do(quote, "harbour", "copper-2", "4.10 /lb")
    assert expected in day.refuses(correct, last(day, kind), changes=changes).expected


def test_every_sort_of_field_is_put_right() -> None:
    day = trading_day()
    day.do(money.spend, "fuel", "20", "fuel")
    day.do(correct, last(day, "spent"), changes={"amount": "30", "category": "blades", "what": "blades"})
    day.do(money.hours, "bench", "30")
    day.do(correct, last(day, "worked"), changes={"minutes": "1 h", "activity": "haul"})
    day.do(quote, "harbour", "copper-2", "4.10 /lb")
    day.do(correct, last(day, "quoted"), changes={"price": "9 /kg", "on": "2026-03-10", "minimum": "5 kg"})
    assert day.book.accounts() == {"spent:blades": Decimal("-30"), "minutes:haul": Decimal(60)}
    heard = trading.quotes(day.book)[0]
    assert (heard.price, heard.unit, heard.on.day, heard.minimum_mg) == (Decimal(9), "kg", 10, 5 * KG)
    day.do(buyers.buyer, "tip", Terms(kind="tip", km="3"))
    day.do(correct, last(day, "traded"), changes={"kind": "drop-off", "km": "4"})
    assert trading.buyers(day.book)["tip"].kind == "drop-off"


def test_an_event_that_is_not_there_or_no_longer_counts() -> None:
    day = Day()
    found(day, "fan")
    event = last(day, "found")
    assert "at least 4 characters" in day.refuses(correct, event[-3:]).expected
    assert "0 events" in day.refuses(correct, "ffffffff").given
    day.do(correct, event)
    assert "no longer counts" in day.refuses(correct, event).given


def test_nothing_is_left_with_less_than_nothing() -> None:
    day = trading_day()
    find = found(day, "microwave", mass="1.8 kg")
    day.do(open_up, find, [PieceGiven("cover", "1.8 kg")])
    opened = last(day, "opened")
    day.do(ticket, "harbour", [LineGiven("light-iron", "1.8 kg", "0.2 /kg")])
    said = day.refuses(correct, opened)
    assert "bin light-iron" in said.given
    assert "ticketed" in said.expected
    day.do(correct, last(day, "ticketed"))
    day.do(correct, opened)
    assert day.book.balances() == {("outside", ""): -1_800_000, (f"find:{find}", ""): 1_800_000}


def test_a_bin_weighed_later_keeps_what_the_scale_said() -> None:
    day = Day()
    find = found(day, "microwave", mass="18 kg")
    day.do(open_up, find, [PieceGiven("cover", "18 kg")])
    opened = last(day, "opened")
    day.do(bins.recount, "light-iron", "1.8 kg")
    told = day.do(correct, opened).result
    assert told.stands == (("bin:light-iron", 1_800_000),)
    assert day.mg("bin:light-iron", "light-iron") == 1_800_000
    assert day.mg(f"find:{find}") == 18 * KG


def test_an_earlier_weighing_taken_back_leaves_the_later_one() -> None:
    day = Day()
    find = found(day, "fan")
    day.do(finds.weigh, find, "30 kg")
    first = last(day, "weighed")
    day.do(finds.weigh, find, "3 kg")
    day.do(correct, first)
    assert day.mg(f"find:{find}") == 3 * KG
    assert sheet(day.book.balances()).in_mg == 3 * KG


def test_what_later_events_speak_of_is_not_unsaid() -> None:
    day = trading_day()
    find = found(day, "fan")
    first = last(day, "found")
    day.do(finds.test, find, "no")
    assert "tested" in day.refuses(correct, first).expected
    day.do(quote, "boards", "board-pc", "3.10 /lb")
    assert "quoted" in day.refuses(correct, last(day, "traded")).expected
    stocked(day, copper_2=5)
    assert "recounted" in day.refuses(correct, last(day, "binned")).expected
    day.do(ticket, "harbour", [LineGiven("copper-2", "5 kg", "9 /kg")])
    day.do(money.paid, "harbour", "45")
    assert "paid" in day.refuses(correct, last(day, "ticketed")).expected
    day.do(correct, first, changes={"note": "blue"})


def test_what_was_recorded_only_for_an_event_goes_with_it() -> None:
    day = trading_day()
    stocked(day, copper_2=5)
    before = state(day)
    day.do(ticket, "harbour", [LineGiven("copper-light", "5 kg", "7 /kg", bin="copper-2")])
    sold = state(day)
    recorded = day.do(correct, last(day, "ticketed"))
    assert state(day) == before
    day.do(correct, str(recorded.undo[0]))
    assert state(day) == sold
    find = found(day, "microwave", mass="1 kg", sure=True)
    before = state(day)
    day.do(open_up, find, [PieceGiven("cover", "1.8 kg", bin="copper-2", grade="copper-2")], gap="scale")
    day.do(correct, last(day, "opened"))
    assert state(day) == before


def test_a_sale_taken_back_opens_the_find_again() -> None:
    day = Day()
    find = found(day, "fan", mass="3 kg")
    day.do(selling.sell, find, "10")
    day.do(correct, last(day, "sold"))
    assert [now.id for now in standing.finds(day.book).values()] == [find]
    assert day.book.accounts() == {}


def test_several_are_taken_back_at_once_or_not_at_all() -> None:
    day = trading_day()
    day.do(bins.add_bin, "residue")
    before = state(day)
    recorded = day.do(quotes, "harbour", [Q("copper-2", "4 /lb"), Q("motors", "0.4 /lb")])
    assert len(recorded.undo) == 2
    find = found(day, "fan", mass="3 kg")
    both = [str(i) for i in recorded.undo]
    assert "by itself" in day.refuses(correct_all, [*both, last(day, "found")]).expected
    day.refuses(correct_all, [*both, "ffffffff"])
    day.do(selling.discard, find)
    day.do(correct, last(day, "opened"))
    day.do(correct, last(day, "found"))
    taken = day.do(correct_all, both)
    assert [event.kind for event in taken.events] == ["corrected", "corrected"]
    assert state(day) == before


def test_taking_back_a_recount_leaves_what_a_later_one_said() -> None:
    """The later one stands by itself: nothing is said again for it."""
    day = Day()
    day.do(bins.add_bin, "copper-2", holds="27 kg")
    day.do(bins.recount, "copper-2", "40 kg")
    first = last(day, "recounted")
    day.do(bins.recount, "copper-2", "53 kg")
    assert [event.kind for event in day.do(correct, first).events] == ["corrected"]
    assert standing.bins(day.book)["copper-2"].mg == 53 * KG
