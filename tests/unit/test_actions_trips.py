"""Hauls, tickets against one's own scale, money in and out, hours."""

from __future__ import annotations

from decimal import Decimal

import pytest
from ledger_day import KG, Day, found, stocked, trading_day

from partway.actions.books import money
from partway.actions.buyers.quoting import quote
from partway.actions.haul import hauls
from partway.actions.haul.tickets import LineGiven, ticket
from partway.actions.haul.tickets_read import line_given
from partway.actions.recording.questions import Asked
from partway.errors import Hint, Refused
from partway.ledger import trading


def loaded() -> Day:
    day = trading_day()
    stocked(day, copper_2=10, light_iron=100, li_ion=2)
    day.do(quote, "harbour", "copper-2", "4.10 /lb")
    return day


def test_a_ticket_empties_the_bin_by_ones_own_scale() -> None:
    day = loaded()
    lines = [LineGiven("copper-2", "9.8 kg", "9.00 /kg"), LineGiven("light-iron", "100.5 kg", "0.20 /kg")]
    told = day.do(ticket, "harbour", lines, number="4711").result
    assert (told.ticket, told.total) == ("ticket-1", Decimal("108.30"))
    assert [line.short_mg for line in told.lines] == [200_000, -500_000]
    assert day.mg("bin:copper-2", "copper-2") == day.mg("bin:light-iron", "light-iron") == 0
    assert day.mg("buyer:harbour", "copper-2") == 9_800_000
    assert day.mg("buyer:harbour", "light-iron") == 100_500_000
    assert day.book.accounts("sales")["sales:harbour"] == Decimal("108.30")
    assert told.lines[0].quoted == pytest.approx(Decimal("9.0389"), abs=Decimal("0.0001"))  # 4.10 / 0.45359237


def test_ones_own_mass_may_be_said() -> None:
    day = loaded()
    day.do(ticket, "harbour", [LineGiven("copper-2", "4 kg", "9 /kg", own="4.1 kg")])
    assert day.mg("bin:copper-2", "copper-2") == 5_900_000
    day.do(ticket, "harbour", [LineGiven("copper-2", "2 kg", "9 /kg", own="yard")])
    assert day.mg("bin:copper-2", "copper-2") == 3_900_000
    day.do(ticket, "harbour", [LineGiven("copper-2", "2 kg", "9 /kg", own="all")])
    assert day.mg("bin:copper-2", "copper-2") == 0


def test_what_left_the_bin_is_asked_where_it_is_not_plain() -> None:
    day = loaded()
    assert day.refuses(ticket, "harbour", [LineGiven("copper-2", "4 kg", "9 /kg")]).hint == Hint("own-mass")
    said = day.refuses(ticket, "harbour", [LineGiven("copper-2", "12 kg", "9 /kg", own="yard")])
    assert said.hint == Hint("recount", "copper-2")
    twice = [LineGiven("copper-2", "10 kg", "9 /kg"), LineGiven("copper-2", "1 kg", "9 /kg", own="1 kg")]
    day.refuses(ticket, "harbour", twice)
    assert "the bin it came out of" in day.refuses(ticket, "harbour", [LineGiven("motors", "4 kg", "0.5 /kg")]).expected


def test_arithmetic_that_does_not_add_up_is_asked_about() -> None:
    day = loaded()
    line = LineGiven("copper-2", "10 kg", "9 /kg", amount="89")
    said = day.refuses(ticket, "harbour", [line], total="80")
    assert isinstance(said, Asked) and said.option == "as_printed"
    assert "89" in said.given and "80" in said.given and "90.00" in said.given
    told = day.do(ticket, "harbour", [line], total="80", as_printed=True).result
    assert (told.total, told.gap) == (Decimal("80.00"), Decimal("-9.00"))
    doubts = {doubt.what: doubt.money for doubt in told.lines[0].doubts}
    assert doubts == {"below-quote": Decimal("0.39"), "amount": Decimal("-1.00")}  # 4.10 /lb are 9.0389 /kg


def test_deductions_come_off_and_a_cent_of_rounding_is_no_question() -> None:
    day = loaded()
    line = LineGiven("copper-2", "10 kg", "8.995 /kg", amount="89.96")
    told = day.do(ticket, "harbour", [line], "87.46", [("dirt", "2.50")]).result
    assert [doubt.what for doubt in told.lines[0].doubts] == ["below-quote"]  # 4.10 /lb are 9.0389 /kg
    assert told.gap == 0
    assert day.book.accounts("deductions") == {"deductions:harbour": Decimal("-2.50")}


def test_a_downgrade_leaves_the_bin_as_the_grade_that_was_paid() -> None:
    day = loaded()
    line = LineGiven("copper-light", "10 kg", "7 /kg", bin="copper-2")
    recorded = day.do(ticket, "harbour", [line])
    assert [event.kind for event in recorded.events] == ["moved", "ticketed"]
    assert day.mg("buyer:harbour", "copper-light") == 10 * KG
    assert day.book.balances("bin:copper-2") == {}
    hidden = LineGiven("light-iron", "2 kg", "0.1 /kg", bin="li-ion")
    assert "li-ion" in day.refuses(ticket, "ridge", [hidden]).expected


def test_a_ticket_from_a_buyer_that_refuses_is_kept_and_said() -> None:
    day = loaded()
    told = day.do(ticket, "harbour", [LineGiven("li-ion", "2 kg", "0.5 /kg")]).result
    assert [doubt.what for doubt in told.lines[0].doubts] == ["refused"]
    assert [card.id for card in told.cautions] == ["li-ion"]


@pytest.mark.parametrize(
    "line",
    [
        LineGiven("cooper-2", "10 kg", "9 /kg"),
        LineGiven("copper-2", "-1 kg", "9 /kg"),
        LineGiven("copper-2", "10 kg", "9 /ton"),
        LineGiven("copper-2", "10 kg", "9 /kg", own="-1 kg"),
        LineGiven("copper-2", "10 kg", "9 /kg", bin="nowhere"),
        LineGiven("copper-2", "10 kg", "9 /kg", amount="lots"),
    ],
)
def test_lines_that_cannot_be(line: LineGiven) -> None:
    day = loaded()
    good = LineGiven("light-iron", "100 kg", "0.2 /kg")
    day.refuses(ticket, "harbour", [good, line])
    day.refuses(ticket, "harbour", [])


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("copper-2 10.2 lb at 4.10 /lb", LineGiven("copper-2", "10.2 lb", "4.10 /lb")),
        ("copper-2: 10.2 lb x 4.10 /lb = 41.82", LineGiven("copper-2", "10.2 lb", "4.10 /lb", "41.82")),
        (
            "copper-light 6 lb at 3.75 /lb = 22.50 ~6.2 lb @copper-2",
            LineGiven("copper-light", "6 lb", "3.75 /lb", "22.50", "6.2 lb", "copper-2"),
        ),
        ("motors 60lb at 38c/lb ~all", LineGiven("motors", "60lb", "38c/lb", None, "all")),
        (
            "light-iron 1.2 short ton at 180 /short ton @drum",
            LineGiven("light-iron", "1.2 short ton", "180 /short ton", bin="drum"),
        ),
    ],
)
def test_lines_as_they_are_typed(text: str, expected: LineGiven) -> None:
    assert line_given(text) == expected


@pytest.mark.parametrize(
    "text", ["", "copper-2", "copper-2 10 lb", "at 4 /lb", "copper-2 10 lb at", "10 lb at 4 /lb ~"]
)
def test_lines_that_cannot_be_read(text: str) -> None:
    with pytest.raises(Refused, match="GRADE MASS at PRICE"):
        line_given(text)


def test_hauls_start_and_finish() -> None:
    day = trading_day()
    assert day.do(hauls.start, ["harbour", "rid"]).result.stops == ("harbour", "ridge")
    told = day.do(hauls.finish, None, "61", "2 h 10").result
    assert (told.haul, told.km, told.minutes) == ("haul-1", Decimal(61), 130)
    assert day.book.accounts("minutes:") == {"minutes:haul": Decimal(130)}
    assert trading.hauls(day.book)["haul-1"].status == "finished"
    assert day.refuses(hauls.finish).hint == Hint("start-haul")
    assert "under way" in day.refuses(hauls.finish, "haul-1").expected
    assert "driven to" in day.refuses(hauls.start, ["boards"]).expected
    day.refuses(hauls.start, [])
    day.refuses(hauls.start, ["nobody"])
    assert day.do(hauls.start, ["ridge"]).result.haul == "haul-2"
    day.refuses(hauls.finish, None, "-3")


def test_money_for_a_ticket() -> None:
    day = loaded()
    day.do(ticket, "harbour", [LineGiven("copper-2", "10 kg", "9 /kg")], number="4711")
    assert money.unpaid(day.book) == {"ticket-1": Decimal("90.00")}
    assert day.do(money.paid, "harbour", "50").result.open == 40
    said = day.refuses(money.paid, "harbour", "50", "4711")
    assert isinstance(said, Asked) and "at most 40" in said.expected
    assert day.do(money.paid, "harbour", "40", "4711").result.open == 0
    assert money.unpaid(day.book) == {}
    assert day.do(money.paid, "harbour", "3").result.of == "harbour"
    for amount in ("0", "-4", "1.234", "much"):
        day.refuses(money.paid, "harbour", amount)
    assert "known ticket" in day.refuses(money.paid, "harbour", "4", "ticket-9").expected


def test_spending_and_hours() -> None:
    day = Day()
    day.do(money.spend, "fuel, full tank", "62.40", "fuel")
    find = found(day, "fan")
    day.do(money.hours, "collect", "1 h 30")
    day.do(money.hours, "bench", "0:20", find)
    assert day.book.accounts() == {
        "spent:fuel": Decimal("-62.40"),
        "minutes:collect": Decimal(90),
        "minutes:bench": Decimal(20),
    }
    for what, amount in (("fuel", "0"), ("fuel", "-2"), ("", "3"), ("fuel", "1e7")):
        day.refuses(money.spend, what, amount)
    for activity, time in (("sleep", "1 h"), ("bench", "0"), ("bench", "soon"), ("bench", "8 days"), ("bench", "-5")):
        day.refuses(money.hours, activity, time)


@pytest.mark.parametrize(
    ("text", "value"),
    [("45", 45), ("45 min", 45), ("1 h 30", 90), ("1h30m", 90), ("1.5 h", 90), ("1:30", 90), ("2 hours", 120)],
)
def test_times_as_people_type_them(text: str, value: int) -> None:
    from partway.actions.recording.reading import minutes

    assert minutes(text, "minutes") == value


def test_yen_have_no_cents() -> None:
    day = Day(currency="JPY")
    assert "at most 0 decimals" in day.refuses(money.spend, "fuel", "12.50").expected
    day.do(money.spend, "fuel", "1250")
