"""The months of the demo, day by day, replayed on a book in memory and handed over at once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import numpy as np

from partway.actions.bins import bins
from partway.actions.books import money
from partway.actions.demo import bench, place
from partway.actions.demo.town import Town
from partway.actions.demo.trade import Trade
from partway.actions.haul import hauls
from partway.actions.home.settings import set_
from partway.actions.recording.context import decides
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.events.effects import RESIDUE
from partway.ledger.events.event import Event
from partway.ledger.fold import standing

WEEKS = 20
SEED = 20260323
SETTINGS = {
    "name": "demo: months at the harbour",
    "currency": "CAD",
    "unit": "lb",
    "division": "10 g",
    "bench": "6",
    "away": "5",
    "trips": "2",
    "wage": "15",
    "storage": "5000 L",
    "payload": "900 lb",
    "volume": "1800 L",
    "cost_per_km": "0.35",
    "kmh": "45",
}
CAPACITY = {"light-iron": "400 L", "copper-2": "20 L", "motors": "60 L", "board-low": "90 L", "wire-cord-plugs": "60 L"}


def demo_months(book: Book, until: dt.datetime, seed: int = SEED, weeks: int = WEEKS) -> int:
    """Fill an empty book with invented weeks that end before `until`; how many events there are.

    The same seed, end and number of weeks give the same events. Raises Refused where the book holds anything.
    """
    _check_empty(book)
    return _fill(book, replayed(until, seed, weeks))  # which takes seconds: others need not wait for it


@decides()
def _fill(book: Book, events: Sequence[Event]) -> int:
    _check_empty(book)
    return book.append(events)


def _check_empty(book: Book) -> None:
    if next(iter(book.newest(1)), None) is not None:
        raise Refused("a workspace that has events", "an empty one: the demo is never mixed with real days", "demo")


def replayed(until: dt.datetime, seed: int, weeks: int) -> list[Event]:
    """The events, in their order."""
    end = until.astimezone(dt.UTC).replace(minute=0, second=0, microsecond=0)
    first = (end - dt.timedelta(weeks=weeks)).replace(hour=8)
    town = Town(np.random.default_rng(seed), first)
    trade = Trade(town)
    _move_in(town, trade)
    for day in range(1, 7 * weeks - 1):
        town.now = first + dt.timedelta(days=day, hours=int(town.rng.integers(0, 3)))
        _day(town, trade, day)
    _last_day(town, trade, end)
    place.rules(town, first.date())
    return list(town.book.recorded())


def _move_in(town: Town, trade: Trade) -> None:
    for name, value in SETTINGS.items():
        set_(town.book, town.context(), name, value)
    trade.introduce()
    for table in trade.tables:
        trade.call(table)
    for grade, capacity in CAPACITY.items():
        bins.add_bin(town.book, town.context(), grade, capacity=capacity)
    bins.add_bin(town.book, town.aside(), RESIDUE)


def _day(town: Town, trade: Trade, day: int) -> None:
    """Mondays prices, Tuesdays and Saturdays the round, three days at the bench, every ninth day a haul."""
    if day % 7 == 0:
        trade.week()
    if day % 7 in (1, 5):
        found = int(town.rng.integers(2, 6))
        bench.collect(town, found)
        money.hours(town.book, town.context(), "collect", 25 * found)
    if day % 7 in (2, 4, 6):
        bench.work(town, int(town.rng.integers(2, 5)))
    if day % 9 == 8:
        with town.apart():
            trade.haul()
    if day % 35 == 34:
        with town.apart():
            trade.mail()
    if day % 28 == 20:
        money.spend(town.book, town.context(), "blades and bits", f"{town.around(8, 14, 30):.2f}", "tools")
        with town.apart():
            _recount(town)
    if day % 45 == 10:
        bench.mistakes(town)


def _recount(town: Town) -> None:
    """The heaviest bin on the scale: not quite what it was down as."""
    heaviest = max(standing.bins(town.book).values(), key=lambda now: now.mg)
    if heaviest.mg:
        kg = heaviest.mg / 1e6 * float(town.rng.normal(1.0, 0.008))
        bins.recount(town.book, town.context(), heaviest.id, town.scale(kg, 50))


def _last_day(town: Town, trade: Trade, end: dt.datetime) -> None:
    """How the demo is met: fresh finds waiting, one half open, a haul under way."""
    town.now = end - dt.timedelta(hours=20)
    bench.collect(town, 6)
    trade.week()
    bench.partly(town)
    town.now = end - dt.timedelta(hours=2)
    hauls.start(town.book, town.context(), ["harbour-yard", "ridge-yard"], "demo: still out")
    set_(town.book, town.context(), "locale", "en_CA")  # the last of all, so that the draws before it stay as they are
    bench.identified(town)
    bench.offers(town)
