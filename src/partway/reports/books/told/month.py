"""One month: money to the cent, hours by activity, buyers, and where the mass went."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from decimal import Decimal

from partway.errors import Refused
from partway.ledger.balance.sheet import sheet, tips_in
from partway.ledger.book import Book
from partway.ledger.fold.standing import settings
from partway.quantities import shown
from partway.reports.books.conflicts import in_doubt, mark_of
from partway.reports.books.told.accounts import category, order, whose
from partway.reports.called import Called
from partway.valuing.earned import Earned, by_account, earned_in, is_cash
from partway.valuing.ends.diverted import Ends, report_diverted
from partway.valuing.trips.yards import YardMoney, yards_of
from partway.valuing.window import INSTANT, Window, WindowStep, month_of

NAMED = re.compile(r"([0-9]{4})-(0[1-9]|1[0-2])")


@dataclass(frozen=True, slots=True)
class MonthMoney:
    """What one account came to: `what` it is, whose or what for, below 0 where it went out."""

    what: str
    of: str
    amount: Decimal


@dataclass(frozen=True, slots=True)
class MonthReport:
    """A month from `first` to `last`; `whole` is False for the one that is not over. `money` adds up to what `earned`
    has left, and the yards' part of it to their tickets; `doubt` says why masses are in doubt, "" where they are not.
    """

    first: dt.date
    last: dt.date
    whole: bool
    currency: str
    earned: Earned
    money: tuple[MonthMoney, ...]
    yards: tuple[YardMoney, ...]
    openings: int
    ends: Ends
    doubt: str


def month_named(text: str, now: dt.datetime) -> dt.date:
    """The first day of a month written as 2026-03, of this month for "". Raises Refused, also for one to come."""
    this = now.date().replace(day=1)
    found = NAMED.fullmatch(text.strip())
    first = dt.date(int(found[1]), int(found[2]), 1) if found and int(found[1]) > 0 else None
    if text.strip() and (first is None or first > this):
        raise Refused(shown(text), f"a month up to this one, such as {this:%Y-%m}", "month")
    return first or this


def report_month(book: Book, first: dt.date, now: dt.datetime) -> MonthReport:
    """The month that begins on `first`, as the ledger has it at a moment."""
    window = month_of(book, now, first)
    called = Called(book, now.date(), now.tzinfo)
    accounts = by_account(window.posted)
    return MonthReport(
        first=first,
        last=window.now.date(),
        whole=first < now.date().replace(day=1),
        currency=settings(book).get("currency", "XXX"),
        earned=earned_in(window.posted),
        money=tuple(_money(name, accounts[name], called) for name in sorted(accounts, key=order) if is_cash(name)),
        yards=yards_of(book, window),
        openings=sum(window.openings.values()),
        ends=_ends(book, window),
        doubt=mark_of(in_doubt(book.conflicts())),
    )


def _money(account: str, amount: Decimal, called: Called) -> MonthMoney:
    return MonthMoney(category(account), whose(account, called), amount)


def _ends(book: Book, window: Window) -> Ends:
    """Where its mass went; what was there at its end follows from what is there now and what moved since."""
    tips = tips_in(book.facts("buyer:", "terms"))
    (month,) = window.steps
    later = WindowStep(window.now.date(), window.end, window.end + INSTANT, book.moved(window.end))
    return report_diverted(sheet(book.summed(), tips), tips, (month, later)).steps[0].ends
