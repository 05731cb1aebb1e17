"""The day and the time of day a text names: "monday 3 pm", "this morning at ten", "yesterday at half past two".

What happened is recorded: a time that may be meant in two ways is the one of them that has passed, and asked where both
have.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from partway.spoken.days import SaidDay, day_at
from partway.spoken.numbers import number_at, small_at, word_at
from partway.spoken.tokens import Token
from partway.spoken.tongue import Hearing, Tongue

NOON = 12
MINUTES = 60
Times = tuple[dt.time, ...]


@dataclass(frozen=True, slots=True)
class SaidMoment:
    """The days that were meant, and the times of day, which are empty where none was said. See `passed`."""

    days: tuple[tuple[dt.date, dt.date], ...]
    times: Times
    end: int

    def passed(self, now: dt.datetime) -> tuple[tuple[dt.date, dt.time | None], ...]:
        """Every moment that it may be, without those still to come where others have passed."""
        ways = [(day, time) for day, _ in self.days for time in self.times or (None,)]
        plain = now.replace(tzinfo=None)
        there = [(day, time) for day, time in ways if time is None or dt.datetime.combine(day, time) <= plain]
        return tuple(there or ways)


def moment_at(tokens: Sequence[Token], at: int, today: dt.date, hearing: Hearing) -> SaidMoment | None:
    """The day, the time of today, or both in either order, at a place."""
    said = day_at(tokens, at, today, hearing)
    if said is not None:
        half, after = _half(tokens, said, hearing.tongue)
        found = time_at(tokens, after, hearing, half, dated=True)
        return SaidMoment(said.readings, *(found or ((), after)))
    found = time_at(tokens, at, hearing)
    if found is None:
        return None
    times, end = found
    said = day_at(tokens, end, today, hearing)
    if said is None:
        return SaidMoment(((today, today),), times, end)
    half, end = _half(tokens, said, hearing.tongue)
    return SaidMoment(said.readings, _of_half(times, half), end)


def _half(tokens: Sequence[Token], said: SaidDay, tongue: Tongue) -> tuple[str, int]:
    """Which half of the day is named with it, as in "this morning" or "monday evening", and where that ends."""
    own, behind = word_at(tokens, said.end - 1), word_at(tokens, said.end)
    if behind in tongue.halves:
        return tongue.halves[behind], said.end + 1
    return tongue.halves.get(own, ""), said.end


def time_at(
    tokens: Sequence[Token], at: int, hearing: Hearing, half: str = "", *, dated: bool = False, bare: bool = False
) -> tuple[Times, int] | None:
    """The time of day at a place, in its readings; `half` is the half of its day, where that was said before.

    A bare hour is one only behind "at" or where a time is sure to stand (`bare`), and "15:30", which may be a length of
    time, there or where a day is `dated`.
    """
    tongue = hearing.tongue
    opened = word_at(tokens, at) in tongue.at
    start = at + opened
    if word_at(tokens, start) in tongue.noon:
        return (dt.time(tongue.noon[word_at(tokens, start)]),), start + 1
    written = _clock(tokens, start)
    clock = _past(tokens, start, tongue) or written or _hour(tokens, start, hearing)
    if clock is None:
        return None
    hour, minute, end = clock
    named, after = _am_pm(tokens, end, tongue)
    sharp = word_at(tokens, after) in tongue.sharp
    if not (opened or named or sharp or half or bare or (dated and written)):
        return None
    if hour > NOON or hour == 0:
        times: Times = (dt.time(hour, minute),) if not named else ()
    else:
        times = tuple(dt.time(hour % NOON + more, minute) for more in (0, NOON))
    times = _of_half(times, named or half)
    return (times, after + sharp) if times else None


def _of_half(times: Times, half: str) -> Times:
    """The times in a half of the day; all of them where it is not named."""
    return tuple(one for one in times if not half or (one.hour >= NOON) == (half == "pm"))


def _am_pm(tokens: Sequence[Token], at: int, tongue: Tongue) -> tuple[str, int]:
    """Before or after noon, where it was said: "pm", "p.m."."""
    letters = [word_at(tokens, at + step) for step in range(3)]
    if letters[1:] == [".", "m"] and letters[0] in ("a", "p"):
        return f"{letters[0]}m", at + 3 + (word_at(tokens, at + 3) == ".")
    if letters[0] in tongue.am or letters[0] in tongue.pm:
        return ("am" if letters[0] in tongue.am else "pm"), at + 1
    return "", at


def _clock(tokens: Sequence[Token], at: int) -> tuple[int, int, int] | None:
    """Hours and minutes with a colon: "15:30"."""
    parts = [token.text for token in tokens[at : at + 3]]
    if len(parts) < 3 or parts[1] != ":" or not (parts[0].isdecimal() and parts[2].isdecimal()):
        return None
    if len(parts[0]) > 2 or len(parts[2]) != 2 or int(parts[0]) > 23 or int(parts[2]) >= MINUTES:
        return None
    return int(parts[0]), int(parts[2]), at + 3


def _hour(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[int, int, int] | None:
    """An hour in words or digits, and perhaps minutes: "ten", "3", "three thirty"."""
    hour = small_at(tokens, at, hearing.tongue)
    if hour is None or hour[0] > 23:
        return None
    split = number_at(tokens, at, hearing)
    if split is not None and split[1] == "split" and split[0][0] % 1 * 100 < MINUTES:
        return hour[0], int(split[0][0] % 1 * 100), split[2]
    return hour[0], 0, hour[1]


def _past(tokens: Sequence[Token], at: int, tongue: Tongue) -> tuple[int, int, int] | None:
    """Minutes past or to an hour: "half past three", "ten to four"."""
    word = word_at(tokens, at)
    above, below = tongue.fractions.get(word, (0, 1))
    minutes = (above * MINUTES // below, at + 1) if above else small_at(tokens, at, tongue)
    if minutes is None or not 0 < minutes[0] < MINUTES:
        return None
    way = word_at(tokens, minutes[1])
    hour = small_at(tokens, minutes[1] + 1, tongue) if way in tongue.past or way in tongue.until else None
    if hour is None or not 1 <= hour[0] <= NOON:
        return None
    if way in tongue.past:
        return hour[0], minutes[0], hour[1]
    return (hour[0] - 2) % NOON + 1, MINUTES - minutes[0], hour[1]
