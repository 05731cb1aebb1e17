"""Cash is rounded to the smallest coin: the ticket is paid in full and the cents are booked."""

from __future__ import annotations

from decimal import Decimal

import pytest
from babel.core import get_global
from babel.numbers import get_currency_precision
from ledger_day import KG, Day, stocked, trading_day

from partway import display
from partway.actions.books import money
from partway.actions.books.corrections import correct_all
from partway.actions.haul.tickets import LineGiven, ticket
from partway.actions.recording import reading
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.book import Facts
from partway.quantities import format_money
from partway.things.currencies import CURRENCIES, coin, decimals
from partway.valuing.earned import earned
from partway.valuing.trips.ticket_sums import worked_out


def with_a_ticket(total: str) -> Day:
    """A ticket of harbour yard over so much."""
    day = trading_day()
    stocked(day, copper_2=5)
    day.do(ticket, "harbour", [LineGiven("copper-2", "1 kg", f"{total} /kg", own="yard")])
    return day


@pytest.mark.parametrize(
    ("currency", "expected"),
    [
        # The smallest coins in use there (from memory): 5 cents in Canada, 5 Rappen, 50 øre, 1 krona, 1 cent, 1 yen.
        ("CAD", "0.05"),
        ("CHF", "0.05"),
        ("DKK", "0.50"),
        ("SEK", "1"),
        ("USD", "0.01"),
        ("JPY", "1"),
    ],
)
def test_the_smallest_coin(currency: str, expected: str) -> None:
    assert coin(currency) == Decimal(expected)


@pytest.mark.parametrize("currency", sorted(CURRENCIES))
def test_decimals_and_coins_are_those_of_another_library(currency: str) -> None:
    """Babel's copy of the CLDR: digits, cash digits and cash rounding of each currency."""
    known = get_global("currency_fractions")
    digits, _, cash_digits, cash_rounding = known.get(currency, known["DEFAULT"])
    assert decimals(currency) == digits == get_currency_precision(currency)
    assert coin(currency) == Decimal(max(1, cash_rounding)).scaleb(-cash_digits)


@pytest.mark.parametrize("currency", ["RSD", "JOD", "CAD", "JPY"])
def test_one_number_of_decimals_where_it_is_typed_worked_out_and_shown(currency: str) -> None:
    """Typed with two decimals, a dinar of Serbia was worked out in hundredths and shown without them."""
    digits = get_currency_precision(currency)
    day = Day(currency=currency)
    with pytest.raises(Refused, match=f"at most {digits} decimals"):
        reading.money(day.book, f"1.{'5' * (digits + 1)}", "amount")
    assert worked_out(KG, Decimal("1.23456"), "kg", currency) == round(Decimal("1.23456"), digits)
    assert len(format_money(1.5, currency).partition(".")[2]) == digits
    shown = display.money(Decimal("1.5"), currency, "en")
    assert len(shown.partition(".")[2]) == digits


@pytest.mark.parametrize(
    ("total", "came", "cents"),
    [("9.02", "9.00", "0.02"), ("9.03", "9.05", "-0.02"), ("9.01", "9.00", "0.01"), ("9.04", "9.05", "-0.01")],
)
def test_a_cash_ticket_is_paid_in_full_and_the_cents_are_booked(total: str, came: str, cents: str) -> None:
    """The coins of Canada since the cent was withdrawn: to the nearest 0.05, 1 and 2 down, 3 and 4 up."""
    day = with_a_ticket(total)
    told = day.do(money.paid, "harbour", came, how="cash").result
    assert (told.amount, told.open, told.rounding) == (Decimal(came), 0, Decimal(cents))
    assert trading.owed(day.book) == {} and money.unpaid(day.book) == {}
    assert day.book.accounts()["spent:rounding"] == -Decimal(cents)
    sums = day.book.accounts()
    assert sums["paid:harbour"] + sums["spent:rounding"] == Decimal(came)
    assert earned(day.book, day.now, 28).net == Decimal(came)


def test_it_is_taken_back_as_one() -> None:
    day = with_a_ticket("9.02")
    before = dict(day.book.accounts())
    recorded = day.do(money.paid, "harbour", "9.00")
    assert len(recorded.undo) == len(recorded.events) == 3
    day.do(correct_all, [str(event) for event in recorded.undo])
    assert day.book.accounts() == before
    assert [owed.open for owed in trading.owed(day.book).values()] == [Decimal("9.02")]


@pytest.mark.parametrize(
    ("came", "how", "left"), [("9.00", "cheque", "0.02"), ("8.95", "cash", "0.07"), ("9", "", "0")]
)
def test_what_is_no_rounding_stays_open(came: str, how: str, left: str) -> None:
    day = with_a_ticket("9.02")
    assert day.do(money.paid, "harbour", came, how=how).result.open == Decimal(left)


def test_a_ticket_is_owed_until_all_of_it_came() -> None:
    """Paid to the last cent it is owed no more, nor where more came; one that costs something was never owed."""
    day = trading_day()
    stocked(day, copper_2=5)
    for price in ("9.00", "8.00", "7.00", "-1.00"):
        day.do(ticket, "harbour", [LineGiven("copper-2", "1 kg", f"{price} /kg", own="yard")])
    for n, came in enumerate(("9.00", "7.99", "7.01"), start=1):
        day.do(money.paid, "harbour", came, f"ticket-{n}", how="cheque", as_printed=True)
    owed = trading.owed(day.book)
    assert [(o.id, o.total, o.open) for o in owed.values()] == [("ticket-2", Decimal(8), Decimal("0.01"))]


@pytest.mark.parametrize("gap", ["", " "])
def test_what_is_owed_does_not_hang_on_how_the_total_is_written(gap: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The total is looked for in the text as the ledger writes it; written otherwise all of the text is read."""
    day = with_a_ticket("9.02")
    printed = {key: text.replace('"total":"9.02"', f'"total":{gap}"9.02"') for key, text in printed_on(day).items()}
    assert all(f'"total":{gap}"9.02"' in text for text in printed.values())
    day.do(money.paid, "harbour", "9.01", "ticket-1", how="cheque")
    monkeypatch.setattr(day.book, "facts", lambda *asked: printed)
    assert [owed.open for owed in trading.owed(day.book).values()] == [Decimal("0.01")]
    monkeypatch.setattr(day.book, "tagged", lambda *asked: {("paid:harbour", "ticket-1"): Decimal("9.02")})
    assert trading.owed(day.book) == {}


def printed_on(day: Day) -> Facts:
    return day.book.facts("ticket:", "printed")


def test_more_than_the_coin_explains_is_asked_about() -> None:
    day = with_a_ticket("9.02")
    assert day.refuses(money.paid, "harbour", "9.10", how="cash").where == "amount"
