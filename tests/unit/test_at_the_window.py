"""A ticket's one verdict and one sentence, a yard's bias over its tickets, and a haul held against its plan."""

from __future__ import annotations

import datetime as dt
import math
from decimal import Decimal
from random import Random

import pytest
from ledger_day import KG, Day, found, stocked, trading_day

from partway.actions.bench import opening
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bins import bins
from partway.actions.books.corrections import correct
from partway.actions.buyers.quoting import quote
from partway.actions.haul import hauls
from partway.actions.haul.after_words import largest_line
from partway.actions.haul.results import TicketResult
from partway.actions.haul.tickets import LineGiven, ticket
from partway.actions.home.settings import set_
from partway.actions.recording.describe import Say
from partway.catalogue import shipped
from partway.ledger.events.kinds import Ticketed, TicketLine
from partway.reports.buyers.bias_words import bias_words
from partway.reports.buyers.one import report_buyer
from partway.reports.haul.expected_ticket import HaulSheet, haul_sheet
from partway.valuing.trips.ticket import audit, was_weighed
from partway.valuing.trips.yard_bias import yard_bias

LB = 453_592.37


def pounds() -> Day:
    day = trading_day(unit="lb")
    day.do(set_, "locale", "en_CA")
    day.do(set_, "division", "0.2 lb")
    for grade, lb in {"copper-2": 45.1, "light-iron": 900}.items():
        day.do(bins.add_bin, grade)
        day.do(bins.recount, grade, f"{lb} lb")
    return day


def told(day: Day, *lines: LineGiven, **options: object) -> TicketResult:
    result: TicketResult = day.do(ticket, "harbour", lines, as_printed=True, **options).result
    return result


def test_short_weight_is_asked_to_be_put_on_again() -> None:
    seen = told(pounds(), LineGiven("copper-2", "42 lb", "4.10 /lb"))
    assert seen.verdict == "Ask about the weight of the No. 2 copper"
    assert seen.say == (
        "You wrote 42 lb of No. 2 copper; I weighed 45.1 lb, and my scale is good to 0.3 lb: could we put it on again?"
    )


def test_a_ticket_as_it_should_be_says_nothing() -> None:
    seen = told(pounds(), LineGiven("copper-2", "45 lb", "4.10 /lb"))
    assert (seen.verdict, seen.say, seen.lines[0].doubts) == ("As it should be", "", ())


def test_what_most_money_hangs_on_is_asked() -> None:
    day = pounds()
    day.do(quote, "harbour", "copper-2", "4.30 /lb")
    seen = told(
        day, LineGiven("copper-2", "42 lb", "4.10 /lb"), LineGiven("light-iron", "900 lb", "0.10 /lb", amount="60.00")
    )
    assert [[d.what for d in line.doubts] for line in seen.lines] == [["short", "below-quote"], ["amount"]]
    assert seen.say == (  # 30.00 for the iron, 12.71 for the weight and 8.40 for the price of the copper
        "900 lb of light iron at 0.1 /lb make $90.00, the ticket says $60.00: could you work it out again?"
    )
    assert seen.verdict == "Ask about the amount of the light iron"


def test_a_price_below_the_quote_of_that_day_is_asked_with_its_day() -> None:
    day = pounds()
    day.do(quote, "harbour", "copper-2", "4.30 /lb")
    day.now += dt.timedelta(days=2)
    seen = told(day, LineGiven("copper-2", "45 lb", "4.10 /lb"))
    assert seen.say == ("You said 4.3 /lb for No. 2 copper on 14 March 2026; the ticket says 4.1 /lb: which one holds?")


def test_a_downgrade_a_total_and_a_new_deduction_are_asked_about() -> None:
    day = pounds()
    lines = [LineGiven("copper-light", "45 lb", "3.80 /lb", bin="copper-2")]
    assert told(day, *lines).say == "I brought it as No. 2 copper, you wrote light copper: what did you see in it?"
    iron = LineGiven("light-iron", "100 lb", "0.10 /lb", own="yard")
    assert told(day, iron, total="9.00").say == (
        "The lines less what was taken off make $10.00, the total says $9.00: could you add it up again?"
    )
    first = told(day, iron, deductions=[("dirt", "2.00")])
    assert first.say == "You took $2.00 off for dirt, for the first time: what was it?"
    assert told(day, iron, deductions=[("dirt", "2.00")]).say == ""  # as this yard does


def test_a_sum_of_many_weighings_explains_more_than_one() -> None:
    """Each of them was rounded: a bin that forty pieces fell into is not known as well as one put on the scale."""
    day = trading_day()
    day.do(bins.add_bin, "copper-2")
    day.do(bins.add_bin, "motors")
    for _ in range(12):
        name = found(day, "window-fan", mass="3 kg")
        pieces = [PieceGiven("cord", round(0.3 * KG), grade="copper-2", bin="copper-2")]
        day.do(opening.open_up, name, pieces, (), 1, gap="left")
    held = day.mg("bin:copper-2", "copper-2")
    many = _explained(day, held)
    day.do(bins.recount, "copper-2", held + 1)  # put on the scale as a whole
    assert _explained(day, held + 1) < 0.9 * many


def _explained(day: Day, held: int) -> int:
    """What honest scales explain of a ticket that empties the bin, which is then taken back."""
    done = day.do(ticket, "harbour", [LineGiven("copper-2", held, "9 /kg", own="all")])
    seen = audit(day.book, done.events[-1], shipped().grades, day.now.tzinfo)
    day.do(correct, str(done.events[-1].id), "only looked at")
    explained = seen.lines[0].explained_mg
    assert explained is not None
    return explained


# --- bias ---


def a_ticket(*lines: tuple[int, int, str]) -> Ticketed:
    rows = tuple(
        TicketLine("copper-2", "copper-2", yard, own, Decimal(9), "kg", Decimal(1), by)  # type: ignore[arg-type]
        for yard, own, by in lines
    )
    return Ticketed("t", "harbour", rows, Decimal(1))


def test_nine_tickets_that_read_two_percent_light_say_so_with_their_range() -> None:
    """Ratios worked out by hand: mean -0.0202 and standard deviation 0.0063 of the logarithms; Student's t for 8
    degrees of freedom at 95.45 % is 2.37 (GUM, table G.2): -2.0 % within 1.5 to 2.5 %.
    """
    logs = [-0.0202 + 0.0063 * step * math.sqrt(8 / 60) for step in range(-4, 5)]
    bias = yard_bias([a_ticket((round(40 * KG * math.exp(log)), 40 * KG, "scale")) for log in logs])
    assert bias is not None and bias.light
    assert (bias.tickets, round(bias.share, 4)) == (9, -0.02)
    half = 2.37 * 0.0063 / 3
    assert [bias.low, bias.high] == pytest.approx([math.expm1(-0.0202 + sign * half) for sign in (-1, 1)], abs=1e-6)
    assert bias_words(bias) == "This yard has read 2.0 % light over 9 tickets (1.5 to 2.5 %)."


def test_a_yard_that_reads_as_one_does_is_not_called_light() -> None:
    """Of 400 honest yards about one in twenty may be called light or heavy: 95.45 % are not."""
    random = Random(9)
    called = 0
    for _ in range(400):
        bias = yard_bias(
            a_ticket((round(50 * KG * math.exp(random.gauss(0.0, 0.01))), 50 * KG, "bin")) for _ in range(8)
        )
        assert bias is not None
        called += bias.light or bias.heavy
    assert 0.02 <= called / 400 <= 0.08


def test_what_was_not_weighed_says_nothing_of_a_yard() -> None:
    old = a_ticket((10 * KG, 10 * KG, ""))  # taken over, or alike by chance: nobody knows
    assert not was_weighed(old.lines[0])
    assert was_weighed(a_ticket((10 * KG, 10 * KG, "scale")).lines[0])
    assert yard_bias([old, a_ticket((9 * KG, 10 * KG, "yard"))] * 5) is None
    assert yard_bias([a_ticket((9 * KG, 10 * KG, "scale"))] * 2) is None  # of two nobody knows


def test_a_buyers_page_says_how_it_reads_and_no_record_is_changed() -> None:
    day = trading_day()
    for turn in range(4):
        stocked(day, copper_2=20) if turn == 0 else day.do(bins.recount, "copper-2", 20 * KG)
        kg = ("19.4", "19.6", "19.5", "19.5")[turn]
        day.do(ticket, "harbour", [LineGiven("copper-2", f"{kg} kg", "9 /kg")])
    report = report_buyer(day.book, "harbour", day.now)
    assert report.bias is not None and report.bias.light and report.bias.tickets == 4
    assert report.bias_words.startswith("This yard has read 2.5 % light over 4 tickets")
    assert day.mg("buyer:harbour", "copper-2") == 78 * KG
    assert report_buyer(day.book, "ridge", day.now).bias_words == ""


# --- after a haul ---


def home_again(day: Day, *lines: LineGiven, minutes: int = 95, **options: object) -> HaulSheet:
    note = "Planned: harbour copper-2 10 kg at 9; harbour light-iron 100 kg at 0.2; 40 km in 80 min"
    day.do(hauls.start, ["harbour"], note)
    day.do(ticket, "harbour", lines, haul="haul-1", as_printed=True, **options)
    day.do(hauls.finish, "haul-1", "44", minutes)
    sheet = haul_sheet(day.book, "haul-1", shipped().grades, day.now)
    assert sheet is not None
    return sheet


def costed() -> Day:
    day = trading_day()
    stocked(day, copper_2=10, light_iron=100, brass_yellow=5)
    day.do(set_, "cost_per_km", "0.50")
    day.do(set_, "wage", "12")
    day.do(set_, "locale", "en_CA")
    return day


def test_a_haul_is_held_against_its_plan_and_the_differences_add_up() -> None:
    """By hand: 110 planned. Copper 9 kg at 8 is 72 instead of 90: 1 kg at 9 and 1.00 on 9 kg. Iron 98 kg at 0.25 is
    24.50 instead of 20: -0.40 and 4.90. Brass 5 kg at 4 was not planned, 3 taken off, 1 added up wrong: 112.50.
    """
    day = costed()
    lines = [
        LineGiven("copper-2", "9 kg", "8 /kg", own="all"),
        LineGiven("light-iron", "98 kg", "0.25 /kg"),
        LineGiven("brass-yellow", "5 kg", "4 /kg"),
    ]
    sheet = home_again(day, *lines, deductions=[("dirt", "3")], total="112.50")
    after = sheet.after
    assert after is not None
    (stop,) = after.stops
    apart = {(d.what, d.grade): d.money for d in stop.differences}
    assert apart == {
        ("mass", "copper-2"): Decimal("-9.00"),
        ("price", "copper-2"): Decimal("-9.00"),
        ("mass", "light-iron"): Decimal("-0.40"),
        ("price", "light-iron"): Decimal("4.90"),
        ("not-planned", "brass-yellow"): Decimal("20.00"),
        ("deductions", ""): Decimal("-3.00"),
        ("arithmetic", ""): Decimal("-1.00"),
    }
    assert sum(apart.values()) == stop.got - stop.planned == Decimal("2.50")
    assert (after.planned_km, after.km, after.planned_minutes, after.minutes) == (Decimal(40), Decimal(44), 80, 95)
    assert after.planned_per_hour == pytest.approx((110 - 20) / (80 / 60))
    assert after.per_hour == pytest.approx((112.5 - 22) / (95 / 60))
    assert after.largest is not None and after.largest.what == "not-planned"
    assert largest_line(after, Say.of(day.book)) == (
        "The largest difference: 5 kg of Yellow brass at harbour, which was not planned: $20.00 more than planned."
    )


def test_time_may_be_the_largest_difference() -> None:
    """Ninety minutes more than planned at 12 an hour: 18.00."""
    day = costed()
    lines = [LineGiven("copper-2", "10 kg", "9 /kg"), LineGiven("light-iron", "100 kg", "0.2 /kg")]
    after = home_again(day, *lines, minutes=170).after
    assert after is not None and after.largest is not None
    assert (after.largest.what, after.largest.money) == ("minutes", Decimal("-18.00"))
    assert largest_line(after, Say.of(day.book)).endswith("170 minutes, 80 planned: $18.00 less than planned.")


def test_what_was_planned_and_not_handed_over_is_named() -> None:
    day = costed()
    after = home_again(day, LineGiven("light-iron", "100 kg", "0.2 /kg")).after
    assert after is not None and after.largest is not None
    assert (after.largest.what, after.largest.grade, after.largest.money) == (
        "not-handed-over",
        "copper-2",
        Decimal("-90.00"),
    )


def test_without_a_plan_there_is_nothing_to_hold_it_against() -> None:
    day = costed()
    day.do(hauls.start, ["harbour"])
    done = day.do(hauls.finish, None, "44", "95").result
    assert done.after is None
    assert len(list(done.words(Say.of(day.book)))) == 1
