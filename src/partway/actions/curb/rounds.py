"""Collecting rounds: set out, come home, or say afterwards when one was; and what rounds earned."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from decimal import Decimal

from partway.actions.curb.on_round import under_way
from partway.actions.home.distances import km as km_typed
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides, record, when
from partway.actions.recording.describe import Say
from partway.actions.recording.naming import next_name
from partway.display import length_of_time
from partway.errors import BadQuantity, Refused
from partway.ledger.book import Book
from partway.ledger.days import local, moments
from partway.ledger.events.kinds import Round
from partway.quantities import shown
from partway.reports.called import Called
from partway.spoken import Hearing, read_day
from partway.spoken.texts import dated, moment_text
from partway.valuing.trips.rounds import RoundMade

KM_MOST = Decimal(2_000)
LEFT_MOST = 50  # things left standing that one round names
CLOCK = re.compile(r"([01]?[0-9]|2[0-3]):([0-5][0-9])")
HOURS_MOST = 24


@dataclass(frozen=True, slots=True)
class RoundResult:
    """A round set out on or over; `left` is what was left standing."""

    round: str
    status: str
    where: str
    minutes: int | None = None
    km: Decimal | None = None
    left: tuple[str, ...] = ()

    def words(self, say: Say) -> Iterator[str]:
        """Its lines."""
        told = [self.where] if self.where else []
        told += [f"{length_of_time(self.minutes)}"] if self.minutes is not None else []
        told += [say.km(self.km)] if self.km is not None else []
        yield f"{self.round} {self.status}: {', '.join(told)}" if told else f"{self.round} {self.status}"
        if self.left:
            yield f"  left standing: {', '.join(self.left)}"

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "Home again from harbour street: 45 min, 12 km"."""
        if self.status == "started":
            return f"Set out{f' to {self.where}' if self.where else ''}"
        told = [f"{length_of_time(self.minutes)}"] if self.minutes is not None else []
        told += [say.km(self.km)] if self.km is not None else []
        return f"Home again{f' from {self.where}' if self.where else ''}{': ' if told else ''}{', '.join(told)}"


@decides()
def start_round(book: Book, context: Context, where: str, note: str = "") -> Recorded[RoundResult]:
    """Set out on a round to a place; finds recorded until it is over belong to it."""
    what = Round(_next(book, context), "started", _place(where), note=reading.text(note, "note"))
    return record(book, context, [what], RoundResult(what.round, "started", what.where))


@decides()
def end_round(
    book: Book,
    context: Context,
    round: str | None = None,  # noqa: A002 (its name on the command line)
    km: str | None = None,
    left: str | Sequence[str] = (),
    note: str = "",
) -> Recorded[RoundResult]:
    """Home again: the round named, by default the one under way; `km` home to home, `left` what was left standing."""
    now = under_way(book, context, round)
    if context.time < now.begun:
        begun = local(now.begun, context.clock().tzinfo)
        first = moment_text(begun.date(), begun.time(), context.clock().date())
        raise Refused("a time before it began", f"{first} or later", "on")
    return _over(book, context, now.round, now.where, now.begun, km, left, note)


@decides()
def past_round(
    book: Book,
    context: Context,
    where: str,
    begin: str,
    end: str,
    km: str | None = None,
    left: str | Sequence[str] = (),
    note: str = "",
) -> Recorded[RoundResult]:
    """A round said afterwards: from one time to another, of the day it is said to have been on."""
    begun, ended = (_time(context, text, name) for text, name in ((begin, "begin"), (end, "end")))
    if ended <= begun:
        raise Refused(shown(end), f"a time after {begin}; a day before it where midnight lies between", "end")
    if ended - begun > dt.timedelta(hours=HOURS_MOST):
        raise Refused(f"{begin} to {end}", f"at most {HOURS_MOST} hours", "end")
    then = replace(context, happened=ended)
    return _over(book, then, _next(book, context), _place(where), begun, km, left, note)


def _over(
    book: Book,
    context: Context,
    name: str,
    where: str,
    begun: dt.datetime,
    km: str | None,
    left: str | Sequence[str],
    note: str,
) -> Recorded[RoundResult]:
    minutes = round((context.time - begun).total_seconds() / 60.0)
    what = Round(
        name,
        "ended",
        where,
        minutes,
        None if km is None or not str(km).strip() else km_typed(book, str(km), "km", KM_MOST),
        _left(left),
        reading.text(note, "note"),
    )
    result = RoundResult(name, "ended", where, minutes, what.km, what.left)
    return record(book, context, [what], result)


def _next(book: Book, context: Context) -> str:
    return next_name(book, "round", f"round-{context.mark}")


def _place(where: str) -> str:
    """Where it went, which has to say something: rounds are told apart by it."""
    if not where.strip():
        raise Refused("no place", 'where the round goes, such as "west streets"', "where")
    return reading.text(" ".join(where.split()), "where")


def _left(left: str | Sequence[str]) -> tuple[str, ...]:
    """Things left standing: a list, or words with commas between."""
    given = left.split(",") if isinstance(left, str) else left
    things = tuple(reading.text(one, "left") for one in given if one.strip())
    if len(things) > LEFT_MOST:
        raise Refused(f"{len(things)} things", f"at most {LEFT_MOST}", "left")
    return things


def _time(context: Context, text: str, where: str) -> dt.datetime:
    """A time of day on the day that is spoken of, or a day with its time. Raises Refused."""
    clock = CLOCK.fullmatch(text.strip())
    if clock is None:
        return _moment(context, text, where)
    shown_time = dt.datetime.combine(context.day, dt.time(int(clock[1]), int(clock[2])))
    found = moments(shown_time, context.clock().tzinfo)
    if not found:
        raise Refused(shown(text), "a time that the clock showed that day", where)
    return local(found[0], context.clock().tzinfo)


def _moment(context: Context, text: str, where: str) -> dt.datetime:
    """A time in words, "six ten am" or "yesterday at half past seven"; where it names no day, of the one spoken of."""
    now = context.clock()
    with suppress(BadQuantity):
        read_day(text, now.date(), Hearing(), where)
        raise Refused(shown(text), 'a time, such as 18:10 or "2026-03-14 18:10"', where)
    return when(text, min(now, dt.datetime.combine(context.day, dt.time.max, now.tzinfo)), where)


def round_line(one: RoundMade, zone: dt.tzinfo | None) -> str:
    """A round in a line: when, where, how long."""
    begun = local(one.begun, zone)
    until = f" to {local(one.ended, zone):%H:%M}" if one.ended else ", under way"
    return f"{one.where or 'nowhere named'}, {dated(begun.date())} at {begun:%H:%M}{until}"
