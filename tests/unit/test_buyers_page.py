"""One buyer: terms, refusals, words on grades, tickets and what is owed."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest
from ledger_day import Day, stocked, trading_day

from partway.actions.books import corrections, money
from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.quoting import quote
from partway.actions.haul import hauls
from partway.actions.haul.tickets import LineGiven, ticket
from partway.reports.buyers.one import OneBuyer, report_buyer


@pytest.fixture
def day() -> Day:
    day = trading_day(unit="kg")
    stocked(day, copper_2=50.0)
    return day


def page(day: Day, name: str = "harbour") -> OneBuyer:
    return report_buyer(day.book, name, day.now)


def delivers(day: Day, kg: int) -> str:
    told = day.do(
        ticket, "harbour", [LineGiven("copper-2", f"{kg} kg", "8 /kg", own="yard", bin="copper-2")], str(8 * kg)
    ).result
    return str(told.ticket)


def test_terms_and_what_it_turns_away(day: Day) -> None:
    day.do(buyer, "harbour", Terms(refuses=["li-ion", "copper", "oil"], note="closed on Mondays"))
    found = page(day)
    assert [(one.name, one.what) for one in found.refuses] == [
        ("Lithium-ion, cobalt", "grade"),
        ("copper", "family"),
        ("Used oil", "grade"),
    ]
    assert (found.note, found.km, found.minutes, found.way) == ("closed on Mondays", Decimal(14), 20, True)
    assert [one.cost for one in page(day, "boards").parcels] == [Decimal(14), Decimal(22)]
    day.do(buyer, "depot", Terms(kind="drop-off"))
    assert not page(day, "depot").way


def test_what_is_owed_is_the_open_rest_of_each_ticket(day: Day) -> None:
    first, second = delivers(day, 2), delivers(day, 1)
    day.do(money.paid, "harbour", "10", first)
    day.do(money.paid, "harbour", "8", second)
    found = page(day)
    assert (found.owed, found.paid, found.tickets, found.kg) == (Decimal(6), Decimal(18), 2, 3.0)
    assert [(one.ticket, one.left) for one in found.delivered] == [(second, Decimal(0)), (first, Decimal(6))]
    assert page(day, "ridge").owed == 0 and page(day, "ridge").delivered == ()


def test_what_was_taken_back_does_not_count(day: Day) -> None:
    told = day.do(ticket, "harbour", [LineGiven("copper-2", "2 kg", "8 /kg", own="yard", bin="copper-2")], "16")
    day.do(corrections.correct, str(told.events[-1].id))
    assert (page(day).owed, page(day).tickets, page(day).kg) == (Decimal(0), 0, 0.0)


def test_visits_are_hauls_as_last_heard_of(day: Day) -> None:
    haul = day.do(hauls.start, ["harbour", "ridge"]).result.haul
    assert [(one.haul, one.status) for one in page(day).visits] == [(haul, "started")]
    day.do(hauls.finish, haul, km="30")
    assert [(one.haul, one.status) for one in page(day, "ridge").visits] == [(haul, "finished")]
    assert page(day, "boards").visits == ()


def test_words_on_grades_and_who_pays_best_elsewhere(day: Day) -> None:
    day.do(quote, "harbour", "copper-2", "8 /kg")
    day.do(quote, "ridge", "copper-2", "9 /kg")
    day.do(quote, "ridge", "motors", "1 /kg")
    (only,) = page(day).asked
    assert (only.grade, only.cell.best, only.elsewhere) == ("copper-2", None, ("ridge",))
    assert [(one.grade, one.elsewhere) for one in page(day, "ridge").asked] == [("copper-2", ()), ("motors", ())]
    assert page(day, "boards").asked[0].cell.state == "unquoted"  # in stock: worth asking
    assert page(day).heard == 0 and page(day, "boards").heard is None


def test_a_buyer_that_is_not_there(day: Day) -> None:
    with pytest.raises(KeyError):
        report_buyer(day.book, "nobody", day.now + dt.timedelta(days=1))
