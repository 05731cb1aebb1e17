"""Collecting rounds: which finds are of which round, what a round earned by the hour, which one to go on next."""

from __future__ import annotations

import datetime as dt
import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from partway.formulas.statistics.agreement import drawn_to, next_one
from partway.ledger.book import Book
from partway.ledger.days import day_of
from partway.ledger.events.kinds import Found, Round

LATEST = 150  # rounds that tell how far off what is foretold may be
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


@dataclass(frozen=True, slots=True)
class RoundMade:
    """A round; one under way has neither end nor minutes. `finds` are those of it, `left` what was left standing."""

    round: str
    where: str
    who: str
    begun: dt.datetime
    ended: dt.datetime | None
    minutes: int | None
    km: Decimal | None
    left: tuple[str, ...]
    note: str
    finds: tuple[str, ...] = ()


def rounds_made(book: Book) -> tuple[RoundMade, ...]:
    """All rounds, as last heard of, the latest first, with their finds.

    A find says itself of which round it is; one that does not is of the round that its finder was on at that time.
    """
    voided = book.voided()
    said: dict[str, list[tuple[dt.datetime, str, Round]]] = defaultdict(list)
    events = [e for e in book.events(("round",)) if e.id not in voided and isinstance(e.what, Round)]
    for event in sorted(events, key=lambda event: event.position):
        if isinstance(event.what, Round):
            said[event.what.round].append((event.happened, event.who, event.what))
    made = [_made(name, words) for name, words in said.items()]
    if not made:
        return ()
    found: dict[str, list[str]] = defaultdict(list)
    since = min(one.begun for one in made)
    for event in book.events(("found",), since=since):
        if event.id not in voided and isinstance(event.what, Found):
            of = event.what.round or _during(made, event.who, event.happened)
            if of:
                found[of].append(event.what.find)
    done = [_with(one, tuple(found[one.round])) for one in made]
    return tuple(sorted(done, key=lambda one: (one.begun, one.round), reverse=True))


def _made(name: str, words: Sequence[tuple[dt.datetime, str, Round]]) -> RoundMade:
    (first, who, begun), (last, _, what) = words[0], words[-1]
    over = what.status == "ended"
    minutes = what.minutes if over else None
    start = last - dt.timedelta(minutes=minutes) if minutes is not None else first
    where = what.where or begun.where
    return RoundMade(name, where, who, start, last if over else None, minutes, what.km, what.left, what.note)


def _during(made: Iterable[RoundMade], who: str, at: dt.datetime) -> str:
    """The round that somebody was on at a time, "" for none. Finds of one that is not over say so themselves."""
    return next((o.round for o in made if o.who == who and o.ended and o.begun <= at <= o.ended), "")


def _with(one: RoundMade, finds: tuple[str, ...]) -> RoundMade:
    return replace(one, finds=finds)


@dataclass(frozen=True, slots=True)
class RoundEarned:
    """What a round came to: what its finds `brought` (parts sold, what came out of them at its price) and what is still
    `waiting` at the bench, bench time paid at one's wage; less fuel. `per_hour` is by the hour of the round itself,
    None where no minutes are known. `unknown_km`: no fuel could be counted.
    """

    made: RoundMade
    brought: float
    waiting: float
    fuel: float
    net: float
    per_hour: float | None
    unknown_km: bool


@dataclass(frozen=True, slots=True)
class FindMoney:
    """What one find brought so far and what of it still waits, both with bench time paid."""

    brought: float
    waiting: float


def earned_by(made: Iterable[RoundMade], money: Mapping[str, FindMoney], cost_per_km: float) -> tuple[RoundEarned, ...]:
    """Rounds that are over, in money."""
    found = []
    for one in made:
        if one.ended is None:
            continue
        brought = math.fsum(money[find].brought for find in one.finds if find in money)
        waiting = math.fsum(money[find].waiting for find in one.finds if find in money)
        fuel = float(one.km or 0) * cost_per_km
        net = brought + waiting - fuel
        per_hour = net * 60.0 / one.minutes if one.minutes else None
        found.append(RoundEarned(one, brought, waiting, fuel, net, per_hour, one.km is None))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class PlaceDay:
    """Rounds of a place on a weekday: how many there were, what one brings by the hour and how long it takes.

    `per_hour` is drawn towards what the place and the weekday bring as a whole where there were few; `low` to `high`
    holds 8 of 10 next ones, None where fewer than two rounds were ever timed. `fits` says that it takes no more than
    the hours there are; None where nobody said how many.
    """

    place: str
    weekday: str
    rounds: int
    of_place: int
    per_hour: float
    low: float | None
    high: float | None
    minutes: float
    net: float
    fits: bool | None = None


def place_key(where: str) -> str:
    """What a place is known by, however it was typed."""
    return " ".join(where.casefold().split())


def place_days(
    earned: Sequence[RoundEarned], zone: dt.tzinfo | None, weekday: int | None = None, hours: float | None = None
) -> tuple[PlaceDay, ...]:
    """Places by weekday, best hour first, those that fit the hours before the others; of one `weekday` every place,
    also where no round was on that day.
    """
    timed = [one for one in earned if one.per_hour is not None and one.made.minutes and place_key(one.made.where)]
    if not timed:
        return ()
    pool = _Pool.of(timed, zone)
    pairs = {(place, day) for place, day, _, _ in pool.rows}
    if weekday is not None:
        pairs = {(place, weekday) for place in pool.names}
    found = [pool.line(place, day, hours) for place, day in pairs]
    return tuple(sorted(found, key=lambda one: (one.fits is False, -one.per_hour, one.place, one.weekday)))


@dataclass(frozen=True)
class _Pool:
    """Rounds as (place, weekday, per hour, minutes); means of all, of each place and of each weekday.

    `apart` is by how much each of the last rounds missed what the others foretold of it.
    """

    rows: tuple[tuple[str, int, float, float], ...]
    names: Mapping[str, str]
    apart: tuple[float, ...]

    @classmethod
    def of(cls, timed: Sequence[RoundEarned], zone: dt.tzinfo | None) -> _Pool:
        rows, names = [], {}
        for one in sorted(timed, key=lambda one: one.made.begun):
            place = place_key(one.made.where)
            names[place] = one.made.where.strip()
            rows.append(
                (place, day_of(one.made.begun, zone).weekday(), one.per_hour or 0.0, float(one.made.minutes or 0))
            )
        return cls(tuple(rows), names, tuple(_misses(rows[-LATEST:])))

    def mean(self, place: str, day: int) -> float:
        """By the hour: place and weekday drawn to all, both together drawn to their sum, all by the hours they took."""
        every = _rate(self.rows)
        of_place, of_day = (self._drawn(one, every) for one in (self._of(place), self._of(day=day)))
        return self._drawn(self._of(place, day), of_place + of_day - every)

    def _of(self, place: str | None = None, day: int | None = None) -> list[tuple[str, int, float, float]]:
        return [row for row in self.rows if place in (None, row[0]) and day in (None, row[1])]

    def _drawn(self, rows: Sequence[tuple[str, int, float, float]], known: float) -> float:
        return drawn_to(_rate(rows) if rows else known, float(len(rows)), known)

    def line(self, place: str, day: int, hours: float | None) -> PlaceDay:
        """A place on a weekday."""
        here, of_place = self._of(place, day), self._of(place)
        rate, took = self.mean(place, day), [row[3] for row in of_place]
        minutes = math.fsum(took) / len(took)
        span = next_one(rate, self.apart)
        return PlaceDay(
            place=self.names[place],
            weekday=WEEKDAYS[day],
            rounds=len(here),
            of_place=len(of_place),
            per_hour=rate,
            low=span[0] if span else None,
            high=span[1] if span else None,
            minutes=minutes,
            net=rate * minutes / 60.0,
            fits=None if hours is None else minutes <= hours * 60.0,
        )


def _misses(rows: Sequence[tuple[str, int, float, float]]) -> Iterable[float]:
    """Each round less what the others foretell of it."""
    for n, (place, day, rate, _) in enumerate(rows):
        others = (*rows[:n], *rows[n + 1 :])
        if others:
            yield rate - _Pool(others, {}, ()).mean(place, day)


def _rate(rows: Sequence[tuple[str, int, float, float]]) -> float:
    """Money by the hour of some rounds together: a long one counts for more than a short one."""
    return math.fsum(rate * minutes for _, _, rate, minutes in rows) / math.fsum(minutes for *_, minutes in rows)
