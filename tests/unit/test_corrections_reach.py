"""Corrections reach the day, buyer and lines of a ticket, the masses of an opening, and finds after later events."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest
from ledger_day import KG, Day, found, stocked, trading_day

from partway.actions.bench import selling
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.books import money
from partway.actions.books.corrections import correct
from partway.actions.haul.tickets import LineGiven, ticket
from partway.actions.recording.questions import Asked
from partway.ledger import trading
from partway.ledger.events.event import Event
from partway.ledger.fold import standing

PIECES = [PieceGiven("cover", "6 kg"), PieceGiven("tray", "3 kg")]


def last(day: Day, kind: str) -> Event:
    voided = day.book.voided()
    return [event for event in day.book.events((kind,)) if event.id not in voided][-1]


def put_right(day: Day, kind: str, **options: object) -> object:
    return day.do(correct, str(last(day, kind).id), **options).result


def with_a_ticket() -> Day:
    day = trading_day()
    stocked(day, copper_2=10, motors=8)
    day.do(
        ticket,
        "harbour",
        [LineGiven("copper-2", "2 kg", "9 /kg", own="2.1 kg"), LineGiven("motors", "3 kg", "1 /kg", own="yard")],
    )
    return day


def test_lines_of_a_ticket_are_said_anew_and_the_total_follows() -> None:
    day = with_a_ticket()
    put_right(day, "ticketed", changes={"line1.mass": "2.2 kg", "line2.price": "1.10 /kg", "line2.mass": "4 kg"})
    now = trading.tickets(day.book)["ticket-1"]
    assert [line.amount for line in now.lines] == [Decimal("19.80"), Decimal("4.40")] and now.total == Decimal("24.20")
    assert (day.mg("buyer:harbour", "copper-2"), day.mg("bin:copper-2", "copper-2")) == (2_200_000, 7_900_000)
    assert day.mg("bin:motors", "motors") == 4 * KG  # it gave up what the yard said, and still does
    put_right(day, "ticketed", changes={"line2": ""})
    put_right(day, "ticketed", changes={"line+": "motors 1 kg at 2 /kg ~yard"})
    assert trading.tickets(day.book)["ticket-1"].total == Decimal("21.80") and day.mg("bin:motors", "motors") == 7 * KG


def test_buyer_and_day_of_a_ticket() -> None:
    day = with_a_ticket()
    put_right(day, "ticketed", changes={"buyer": "ridge"})
    assert day.mg("buyer:ridge", "copper-2") == 2 * KG and day.mg("buyer:harbour", "copper-2") == 0
    assert "sales:harbour" not in day.book.accounts()
    put_right(day, "ticketed", changes={"day": "2026-03-14 09:01"})
    assert last(day, "ticketed").happened == dt.datetime(2026, 3, 14, 13, 1, tzinfo=dt.UTC)
    later = str(last(day, "ticketed").id)
    assert "in the future" in day.refuses(correct, later, changes={"day": "2026-03-15"}).says


def test_a_total_is_held_to_the_arithmetic_of_a_ticket() -> None:
    day = with_a_ticket()
    event = str(last(day, "ticketed").id)
    asked = day.refuses(correct, event, changes={"total": "12"})
    assert isinstance(asked, Asked) and asked.option == "as_printed" and "21.00" in asked.given
    assert isinstance(day.refuses(correct, event, changes={"line1.amount": "5"}), Asked)
    put_right(day, "ticketed", changes={"total": "12"}, as_printed=True)
    put_right(day, "ticketed", changes={"number": "417"})  # what was taken as printed is not asked about again
    assert trading.tickets(day.book)["ticket-1"].total == 12


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"line3.mass": "1 kg"}, "a line from 1 to 2"),
        ({"line1.bin": "motors"}, "a bin of copper-2"),
        ({"line1": "4"}, "nothing, to take it off"),
        ({"line1": "", "line2": ""}, "at least one line"),
        ({"line1.own": "20 kg"}, "0 or more"),
        ({"buyer": "nobody"}, "known buyer"),
    ],
)
def test_what_cannot_be_said_of_a_ticket(changes: dict[str, str], expected: str) -> None:
    day = with_a_ticket()
    assert expected in day.refuses(correct, str(last(day, "ticketed").id), changes=changes).expected


def opened(**options: object) -> Day:
    day = trading_day(unit="lb")
    day.do(open_up, found(day, "microwave", mass="10 kg"), PIECES, residue="1 kg", **options)
    return day


def test_masses_of_an_opening_are_said_anew_in_the_users_unit() -> None:
    day = opened()
    asked = day.refuses(correct, str(last(day, "opened").id), changes={"cover": "11 lb"})
    assert isinstance(asked, Asked) and asked.option == "gap"
    put_right(day, "opened", changes={"cover": "11 lb", "minutes": "12"}, gap="residue")
    pounds = round(11 * 453_592.37)
    assert day.mg("bin:light-iron", "light-iron") == pounds
    assert day.mg("bin:residue", "residue") == 10 * KG - pounds - 3 * KG
    assert standing.find(day.book, "microwave-1").closed and day.mg("find:microwave-1") == 0
    assert day.book.accounts()["minutes:bench"] == 12


def test_more_out_than_was_in_is_asked_about_as_when_it_was_opened() -> None:
    day = opened()
    asked = day.refuses(correct, str(last(day, "opened").id), changes={"cover": "7 kg"})
    assert isinstance(asked, Asked) and [answer for answer, _ in asked.choices] == ["scale"]
    put_right(day, "opened", changes={"cover": "7 kg"}, gap="scale")
    assert (day.mg("bin:light-iron", "light-iron"), day.mg("outside")) == (7 * KG, -11 * KG)


def test_a_find_is_put_right_after_it_was_opened_and_its_opening_next() -> None:
    day = opened()
    told = put_right(day, "found", changes={"mass": "10.5 kg"})
    assert told.follows.left_over == ("microwave-1",)  # type: ignore[attr-defined]
    put_right(day, "opened", changes={"cover": "6.5 kg"})
    assert day.mg("find:microwave-1") == 0 and day.mg("bin:light-iron", "light-iron") == 6_500_000
    assert day.mg("outside") == -10_500_000


def test_a_find_is_not_fewer_than_were_sold_of_it() -> None:
    day = Day()
    find = found(day, "fan", count=3, mass="9 kg")
    day.do(selling.sell, find, "10", count=2, mass="6 kg")
    assert "at least the 2" in day.refuses(correct, str(last(day, "found").id), changes={"count": "1"}).expected
    put_right(day, "found", changes={"count": "2"})
    assert standing.find(day.book, find).count == 2
    assert (
        "Saturday 14 March or before"
        in day.refuses(correct, str(last(day, "found").id), changes={"day": "2026-03-14 09:05"}).expected
    )


def test_a_preview_records_nothing_and_names_what_rests_on_it() -> None:
    day = opened()
    day.do(ticket, "harbour", [LineGiven("light-iron", "2 kg", "0.2 /kg", own="yard")])
    day.do(money.paid, "harbour", "0.40")
    before = day.book.state
    recorded = day.do(correct, str(last(day, "opened").id), changes={"cover": "5 kg"}, gap="loss", preview=True)
    assert day.book.state is before and recorded.events == () and recorded.undo == ()
    follows = recorded.result.follows
    assert ("bin:light-iron", 4 * KG, 3 * KG) in [(m.place, m.before, m.after) for m in follows.masses]
    assert [event.kind for event in follows.rests] == ["ticketed"]
    refused = day.refuses(correct, str(last(day, "opened").id), changes={"cover": "1 kg"}, gap="loss", preview=True)
    assert "correct first what came after: ticketed" in refused.expected
