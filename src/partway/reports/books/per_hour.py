"""What an hour really brought: by month in cash, by activity, and by kind from what came out of its finds.

By month and in all it is cash: tickets and parts less fees, postage, deductions and what was spent, over every hour.
By kind there is no cash to count, since a bin is fed by many kinds and sold weeks later. So a kind is credited with
what came out of its finds, at the price a kilogram of each grade brought, and with its own parts; against the minutes
spent on its finds. Hours that belong to no kind are named beside it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from partway.ledger.book import Book
from partway.ledger.days import day_of, start_of
from partway.ledger.fold.period import Posted
from partway.things.scenario import Scenario
from partway.valuing.earned import Earned, PersonEarned, by_person, earned_in
from partway.valuing.kinds import KindMoney, Kinds, kinds_of
from partway.valuing.known import estimates_of
from partway.valuing.window import INSTANT, Window, months_up_to

WEEKS = 4
YEAR = 12  # months shown beside one another


@dataclass(frozen=True, slots=True)
class MonthLine:
    """One month in cash; `whole` is False for the one that is not over."""

    first: dt.date
    whole: bool
    income: Decimal
    costs: Decimal
    minutes: int
    per_hour: float | None

    @property
    def net(self) -> Decimal:
        """Income less costs."""
        return self.income + self.costs


@dataclass(frozen=True, slots=True)
class ActivityLine:
    """Minutes of one activity. `money` is what passed through it, as `basis` says; None where nothing can be told."""

    activity: str
    minutes: int
    share: float
    money: float | None
    per_hour: float | None
    basis: str


@dataclass(frozen=True, slots=True)
class PerHour:
    """Money and hours; `window` is the cash of the days that activities and kinds are of."""

    since: dt.date | None
    currency: str
    month: Earned
    weeks: Earned
    window: Earned
    months: tuple[MonthLine, ...]
    activities: tuple[ActivityLine, ...]
    kinds: Kinds
    people: tuple[PersonEarned, ...]
    notes: tuple[str, ...]


def report_per_hour(book: Book, prices: Scenario, window: Window) -> PerHour:
    """Money and hours up to the window's end; `prices` are for grades of which nothing was sold in it."""
    zone, end = window.now.tzinfo, window.end
    firsts = months_up_to(window.now, YEAR)
    year = book.posted(start_of(firsts[0], zone), end)
    months = _months(year, firsts, zone)
    kinds = kinds_of(window, prices, estimates_of(book))
    cash = earned_in(window.posted)
    this_month = [line for line in year if line.happened >= start_of(firsts[-1], zone)]
    weeks = end - INSTANT - dt.timedelta(weeks=WEEKS)
    return PerHour(
        window.since,
        prices.currency,
        earned_in(this_month),
        earned_in((line for line in year if line.happened >= weeks), WEEKS * 7),
        cash,
        months,
        tuple(_activities(cash, window.posted, kinds.lines)),
        kinds,
        people := by_person(window.posted),
        tuple(_notes(cash, kinds, len(people))),
    )


def _months(lines: Iterable[Posted], firsts: Iterable[dt.date], zone: dt.tzinfo | None) -> tuple[MonthLine, ...]:
    """Months that have anything, and this one."""
    by_month: dict[dt.date, list[Posted]] = {first: [] for first in firsts}
    for line in lines:
        by_month[day_of(line.happened, zone).replace(day=1)].append(line)
    last = max(by_month)
    return tuple(_month(first, first != last, of) for first, of in by_month.items() if of or first == last)


def _month(first: dt.date, whole: bool, lines: list[Posted]) -> MonthLine:
    cash = earned_in(lines)
    return MonthLine(first, whole, cash.income, cash.costs, sum(cash.minutes.values()), cash.per_hour)


def _activities(cash: Earned, posted: Iterable[Posted], kinds: Iterable[KindMoney]) -> Iterable[ActivityLine]:
    through = _through(posted, kinds)
    total = sum(cash.minutes.values())
    for activity, minutes in sorted(cash.minutes.items(), key=lambda item: -item[1]):
        money, basis = through.get(activity, (None, "no money of its own"))
        hourly = money * 60.0 / minutes if money is not None and minutes else None
        yield ActivityLine(activity, minutes, minutes / total if total else 0.0, money, hourly, basis)


def _through(posted: Iterable[Posted], kinds: Iterable[KindMoney]) -> Mapping[str, tuple[float, str]]:
    """The money that passed through an activity: the same kilogram passes through several, so they do not add up."""
    tickets, parts = Decimal(0), Decimal(0)
    for line in posted:
        if line.account.startswith(("sales:", "deductions:")):
            tickets += line.amount
        elif line.account.startswith("parts"):
            parts += line.amount
    return {
        "bench": (sum(line.out_value for line in kinds), "worth of what came out of finds"),
        "haul": (float(tickets), "tickets, less deductions"),
        "list": (float(parts), "parts, less fees and postage"),
    }


def _notes(cash: Earned, kinds: Kinds, people: int) -> Iterable[str]:
    yield (
        "In all, by month and for these days: cash. Tickets and parts, less fees, postage, deductions and what was "
        "spent, over every hour that was recorded. Hours nobody recorded make it look better than it was."
    )
    yield (
        "By activity: money that passed through it. The same kilogram passes the bench and then the road, so these "
        "figures do not add up; each says what one hour of it moved."
    )
    yield (
        "By kind: not cash. What came out of its finds and into bins in these days, at the average price a kilogram of "
        "that grade brought on tickets in the same days, and its parts less fees and postage; over the minutes on its "
        "finds. A grade of which nothing was sold counts at today's best quote, and is said to; one that nobody quotes "
        "counts for nothing, and its mass is said."
    )
    if people > 1:
        yield (
            "By person: the hours, tickets, parts and spendings that each of them recorded, in cash; together they are "
            "all of it. Who recorded a ticket is who sold here, whoever found and opened what was on it."
        )
    if cash.minutes and kinds.overhead:
        yield "Hours that belong to no kind (collecting, driving and the like) are in the last line only."
    if kinds.untimed:
        yield f"{kinds.untimed} of {kinds.openings} openings have no minutes; their kinds look better than they were."
