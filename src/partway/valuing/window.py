"""A window of months and what the ledger says of it, asked once and shared by the pages of the books."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from partway.ledger.book import Book
from partway.ledger.days import day_of, local, start_of
from partway.ledger.fold.period import Moved, Posted

INSTANT = dt.timedelta(microseconds=1)


@dataclass(frozen=True, slots=True)
class WindowStep:
    """A month, or a year of a long window: `first` is its first day, `since` None for all that was before `until`."""

    first: dt.date
    since: dt.datetime | None
    until: dt.datetime
    moved: Moved


@dataclass(frozen=True, slots=True)
class Window:
    """What moved by step, what was posted and how many openings there were; `months` 0 for the whole ledger."""

    months: int
    now: dt.datetime
    steps: tuple[WindowStep, ...]
    posted: tuple[Posted, ...]
    openings: dict[str, int]

    @property
    def end(self) -> dt.datetime:
        """Just after now, in UTC: in a zone's own time an hour that comes twice would count once."""
        return self.now.astimezone(dt.UTC) + INSTANT

    @property
    def since(self) -> dt.date | None:
        """The first day, None for all there is."""
        return self.steps[0].first if self.months else None

    @property
    def moved(self) -> Moved:
        """Mass of the whole window by source, target and grade."""
        sums: Counter[tuple[str, str, str]] = Counter()
        for step in self.steps:
            sums.update(step.moved)
        return sums


def window(book: Book, now: dt.datetime, months: int) -> Window:
    """The last so many months with this one, as they begin in the zone of `now`; 0 for the whole ledger, by years."""
    zone, end = now.tzinfo, now.astimezone(dt.UTC) + INSTANT
    since = start_of(months_up_to(now, months)[0], zone) if months else None
    posted = book.posted(since, end)
    firsts = months_up_to(now, months) if months else _years(now, posted)
    # Of the whole ledger the first year has all that came before it, too.
    asked = [since, *(start_of(first, zone) for first in firsts[1:]), end]
    steps = [
        WindowStep(first, since, until or end, book.moved(since, until))
        for first, (since, until) in zip(firsts, pairwise(asked), strict=True)
    ]
    return Window(months, now, tuple(steps), tuple(posted), dict(book.openings(since, end)))


def month_of(book: Book, now: dt.datetime, first: dt.date) -> Window:
    """The month that begins on `first`, in the zone of `now`: all of it, or what there is of the one not over yet."""
    return _between(book, now, [first], (first + dt.timedelta(days=31)).replace(day=1))


def year_of(book: Book, now: dt.datetime, year: int) -> Window:
    """A year by its months, in the zone of `now`: all of them, or those that have begun."""
    firsts = [dt.date(year, month, 1) for month in range(1, 13)]
    begun = [first for first in firsts if first <= day_of(now, now.tzinfo)] or firsts[:1]
    return _between(book, now, begun, dt.date(year + 1, 1, 1))


def _between(book: Book, now: dt.datetime, firsts: Sequence[dt.date], after: dt.date) -> Window:
    """Months that are over, and of the last one what there is up to `now`; its own `now` is its last moment."""
    zone = now.tzinfo
    until = min(start_of(after, zone), now.astimezone(dt.UTC) + INSTANT)
    asked = [*(start_of(first, zone) for first in firsts), until]
    steps = [
        WindowStep(f, since, end, book.moved(since, end))
        for f, (since, end) in zip(firsts, pairwise(asked), strict=True)
    ]
    posted, openings = book.posted(asked[0], until), book.openings(asked[0], until)
    return Window(len(firsts), local(until - INSTANT, zone), tuple(steps), tuple(posted), dict(openings))


def _years(now: dt.datetime, posted: Sequence[Posted]) -> Sequence[dt.date]:
    first = day_of(posted[0].happened, now.tzinfo).year if posted else now.year
    return [dt.date(year, 1, 1) for year in range(first, now.year + 1)]


def months_up_to(now: dt.datetime, months: int) -> Sequence[dt.date]:
    """The first days of the last so many months, this one counted, oldest first."""
    count = now.year * 12 + now.month - 1
    return [dt.date(n // 12, n % 12 + 1, 1) for n in range(count - months + 1, count + 1)]
