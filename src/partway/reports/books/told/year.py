"""The books of a year, for whoever keeps the accounts: every amount, what it adds up to, the road, what is still owed.

The lines are those the ledger has on its accounts, so that they add up to its sums to the last digit. Categories are
plain words, of no country's forms; which of them is income or an expense where you are is not for partway to say.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from partway.ledger.book import Book
from partway.ledger.counting import counting
from partway.ledger.days import day_of, start_of
from partway.ledger.events.kinds import Hauled, Round, Ticketed
from partway.ledger.events.meaning import EXACT
from partway.ledger.fold.driving import distance_unit
from partway.ledger.fold.period import Posted
from partway.ledger.fold.standing import settings
from partway.reports.books.told.accounts import category, whose
from partway.reports.called import Called
from partway.valuing.earned import earned_in
from partway.valuing.trips.places import HOW, PlaceMoney, places_of
from partway.valuing.trips.rounds import RoundEarned

ZERO = Decimal(0)
PAID = "paid:"
NOTES = (
    "Amounts are as they were recorded, on the day they happened: sales by the day of the ticket, not of the payment.",
    "No tax advice: which amounts count, when and under which heading differs by place. Ask whoever keeps your books.",
)


@dataclass(frozen=True, slots=True)
class BookLine:
    """One amount, above zero where it came in. `party` is a buyer, `about` what it was for."""

    day: dt.date
    category: str
    party: str
    about: str
    amount: Decimal
    who: str


@dataclass(frozen=True, slots=True)
class CategorySum:
    """What the lines of a category add up to."""

    category: str
    lines: int
    amount: Decimal


@dataclass(frozen=True, slots=True)
class OpenItem:
    """A ticket printed by the end of the year of which something was still to come then."""

    day: dt.date
    ticket: str
    buyer: str
    total: Decimal
    received: Decimal
    open: Decimal


@dataclass(frozen=True, slots=True)
class DriveMade:
    """A haul or a collecting round that was made; `km` None where nobody said."""

    day: dt.date
    purpose: str
    where: str
    km: Decimal | None
    minutes: int | None
    who: str


@dataclass(frozen=True, slots=True)
class YearBooks:
    """A year's books; `net` is what came in less what went out, `received` what buyers paid in the year, `distance` the
    unit that its files have the drives in. `places` are no amounts of the ledger: what rounds are worth at today's
    prices.
    """

    year: int
    currency: str
    until: dt.date
    lines: tuple[BookLine, ...]
    categories: tuple[CategorySum, ...]
    income: Decimal
    costs: Decimal
    net: Decimal
    received: Decimal
    open: tuple[OpenItem, ...]
    drives: tuple[DriveMade, ...]
    km: Decimal
    distance: str
    places: tuple[PlaceMoney, ...]
    notes: tuple[str, ...]


def report_year(book: Book, year: int, now: dt.datetime, rounds: Iterable[RoundEarned] = ()) -> YearBooks:
    """The books of a year in the zone of `now`; of one that is not over, what there is so far. `rounds` are all that
    are over, with what they came to.
    """
    zone = now.tzinfo
    since, end = start_of(dt.date(year, 1, 1), zone), start_of(dt.date(year + 1, 1, 1), zone)
    called = Called(book, now.date(), zone)
    posted = book.posted(since, end)
    lines = tuple(_line(one, called, zone) for one in posted if category(one.account))
    drives = tuple(_drives(book, since, end, called, zone))
    sums = earned_in(posted)
    return YearBooks(
        year=year,
        currency=settings(book).get("currency", "XXX"),
        until=min(dt.date(year, 12, 31), day_of(now, zone)),
        lines=lines,
        categories=_sums(lines),
        income=sums.income,
        costs=sums.costs,
        net=sums.net,
        received=_added(one.amount for one in posted if one.account.startswith(PAID)),
        open=tuple(_open(book, end, called, zone)),
        drives=drives,
        km=_added(drive.km for drive in drives if drive.km is not None),
        distance=distance_unit(settings(book)),
        places=(places := places_of(rounds, since, end)),
        notes=(*NOTES, f"{HOW} None of it is in a sum.") if places else NOTES,
    )


def years_of(book: Book, now: dt.datetime) -> tuple[int, ...]:
    """The years of which there is any amount, drive or minute, the newest first; this one always."""
    first = next(iter(book.posted()), None)
    begun = day_of(first.happened, now.tzinfo).year if first else now.year
    return tuple(range(now.year, min(begun, now.year) - 1, -1))


def _heading(account: str, called: Called) -> str:
    """The category of an amount: of what was spent with what it went for."""
    name = category(account)
    return f"{name}: {whose(account, called)}" if account.startswith("spent:") else name


def _line(one: Posted, called: Called, zone: dt.tzinfo | None) -> BookLine:
    sort = one.account.partition(":")[0]
    party = whose(one.account, called) if sort in {"sales", "deductions"} else ""
    about = called.grade(one.tag) if sort == "sales" else called.find(one.tag) if sort.startswith("parts") else one.tag
    return BookLine(day_of(one.happened, zone), _heading(one.account, called), party, about, one.amount, one.who)


def _sums(lines: Iterable[BookLine]) -> tuple[CategorySum, ...]:
    of: dict[str, list[Decimal]] = defaultdict(list)
    for line in lines:
        of[line.category].append(line.amount)
    return tuple(CategorySum(name, len(some), _added(some)) for name, some in sorted(of.items()))


def _added(amounts: Iterable[Decimal]) -> Decimal:
    """Exactly, whatever the context of decimals is."""
    total = ZERO
    for amount in amounts:
        total = EXACT.add(total, amount)
    return total


def _open(book: Book, end: dt.datetime, called: Called, zone: dt.tzinfo | None) -> Iterator[OpenItem]:
    """Tickets printed before `end` of which less than the total had been paid by then."""
    received: dict[str, Decimal] = defaultdict(lambda: ZERO)
    for one in book.posted(None, end):
        if one.account.startswith(PAID):
            received[one.tag] = EXACT.add(received[one.tag], one.amount)
    for event in counting(book, ("ticketed",), until=end):
        what = event.what
        if isinstance(what, Ticketed) and what.total > received[what.ticket]:
            came = received[what.ticket]
            yield OpenItem(
                day_of(event.happened, zone),
                called.ticket(what.ticket),
                called.buyer(what.buyer),
                what.total,
                came,
                EXACT.subtract(what.total, came),
            )


def _drives(
    book: Book, since: dt.datetime, end: dt.datetime, called: Called, zone: dt.tzinfo | None
) -> Iterator[DriveMade]:
    """Hauls and rounds that were over in the year, as they happened."""
    there = counting(book, ("hauled", "round"), since=since, until=end)
    for event in sorted(there, key=lambda event: (event.happened, event.id)):
        what, day = event.what, day_of(event.happened, zone)
        if isinstance(what, Hauled) and what.status == "finished":
            where = ", ".join(called.buyer(stop) for stop in what.stops)
            yield DriveMade(day, "Haul to buyers", where, what.km, what.minutes, event.who)
        elif isinstance(what, Round) and what.status == "ended":
            yield DriveMade(day, "Collecting round", what.where, what.km, what.minutes, event.who)
