"""Today: what can hurt, the few acts that come next, what is under way, what the last weeks earned."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from partway.catalogue.cards import CautionCard
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.fold import standing
from partway.ledger.fold.standing import BinNow, FindNow
from partway.planning.instance.market import Market
from partway.reports.bench.queue import QueueLine, float_of
from partway.reports.books.conflicts import ConflictLine, report_conflicts
from partway.reports.books.overview import cautions_there
from partway.reports.called import Called
from partway.reports.home.act_lines import ActLine, ActNames
from partway.things.scenario import Scenario
from partway.things.units import ShownUnits
from partway.valuing.acts.act import MOST, Act, next_acts
from partway.valuing.acts.calls import calls, takers
from partway.valuing.acts.danger import hazards_in_bins, hazards_in_finds
from partway.valuing.acts.due import full_bins, long_unpaid, not_ended
from partway.valuing.acts.loads import load
from partway.valuing.earned import Earned, earned
from partway.valuing.known import estimates_of
from partway.valuing.learned.prices import moves_in
from partway.valuing.lots import stock_of
from partway.valuing.price_book import PriceBook
from partway.valuing.room.inflow import measured_inflow

WEEKS = 4
FEW = 2  # finds of the bench among the acts: the rest stands there, best first


@dataclass(frozen=True, slots=True)
class Today:
    """The day; cautions come first. `acts` are at most five: danger, then what is due, then what earns most a minute.

    `conflicts` are what cannot all be true, `hauls` and `rounds` (by where they go) those under way, `earned` the last
    four weeks.
    """

    on: str
    currency: str
    unit: str
    cautions: tuple[CautionCard, ...]
    conflicts: tuple[ConflictLine, ...]
    acts: tuple[ActLine, ...]
    hauls: tuple[trading.HaulNow, ...]
    rounds: tuple[str, ...]
    earned: Earned
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class There:
    """What is there, read once: finds that are not closed, bins, and what cannot all be true."""

    finds: Mapping[str, FindNow]
    bins: Mapping[str, BinNow]
    conflicts: tuple[ConflictLine, ...]

    @classmethod
    def of(cls, book: Book, units: ShownUnits, zone: dt.tzinfo | None, called: Called | None = None) -> There:
        """What is there in a book; conflicts with what people call things, where `called` is there to say it."""
        return cls(standing.finds(book), standing.bins(book), report_conflicts(book, units, zone, called=called))


def report_today(book: Book, prices: Scenario, now: dt.datetime, best: Sequence[QueueLine], there: There) -> Today:
    """What comes next at a moment. `prices` is a scenario of the book without its finds, `best` the first of the bench
    at them.
    """
    found = [*_pressing(book, prices, now, there), *_earning(book, prices, now, best, there.bins.values())]
    names = ActNames.of(book, prices, there.finds, there.bins)
    full = [one for one in there.bins.values() if one.mg > 0]
    return Today(
        on=prices.on.isoformat(),
        currency=prices.currency,
        unit=prices.unit,
        cautions=cautions_there(prices, estimates_of(book), there.finds.values(), full),
        conflicts=there.conflicts,
        acts=tuple(names.line(act) for act in next_acts(found, MOST)),
        hauls=tuple(trading.started(book).values()),
        rounds=_rounds(book),
        earned=earned(book, now.astimezone(dt.UTC), 7 * WEEKS),
        notes=prices.notes,
    )


def _rounds(book: Book) -> tuple[str, ...]:
    """Where the rounds go that somebody is on."""
    going = [s for (s, _), status in sorted(book.facts("round:", "status").items()) if status == "started"]
    return tuple(book.facts(one, "where").get((one, "where"), "") for one in going)


def _pressing(book: Book, prices: Scenario, now: dt.datetime, there: There) -> Iterator[Act]:
    """What can hurt, what cannot be true, and what is due."""
    yield from hazards_in_bins(book, there.bins.values(), prices.grades, prices.cautions, now)
    yield from hazards_in_finds(there.finds.values(), estimates_of(book), prices.cautions, now)
    if there.conflicts:
        yield Act("settle", count=len(there.conflicts))
    yield from not_ended(book, "haul", now)
    yield from not_ended(book, "round", now)
    yield from full_bins(there.bins.values(), prices.grades)
    yield from long_unpaid(book, now)


def _earning(
    book: Book, prices: Scenario, now: dt.datetime, best: Sequence[QueueLine], bins: Iterable[BinNow]
) -> Iterator[Act]:
    """What brings money; nothing where nobody quotes anything."""
    yield from _openings(best)
    said, market = PriceBook.of(book, now.date()), Market.of(prices)
    stock = stock_of(one for one in bins if one.grade in prices.grades)
    yield from calls(said, stock, moves_in(book), prices.hours.wage)
    yield from takers(prices, market, stock)
    if not trading.started(book):
        yield from load(replace(prices, inflow=measured_inflow(book, now.date())))


def _openings(best: Sequence[QueueLine]) -> Iterator[Act]:
    """The best of the bench."""
    for line in best[:FEW]:
        if line.per_hour is not None and not line.conflict:
            yield Act(
                "open",
                line.first,
                of=line.kind,
                count=line.count,
                worth=float_of(line.brings) - line.shut,
                minutes=float_of(line.minutes),
                per_minute=line.per_hour / 60.0,
                days=line.days,
                way=line.way,
            )
