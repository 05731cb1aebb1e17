"""The day a text names: "monday", "nov 20", "the 20th of november", "3 days ago", "last week", 2026-03-14.

What happened is recorded, so days lie in the past: "nov 20" is the last one that is not to come.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from partway.spoken.numbers import phrase_end, small_at, word_at
from partway.spoken.tokens import Token
from partway.spoken.tongue import Hearing, Tongue

WEEK = 7
LEAP = 8  # years in which a 29 February comes again for sure


@dataclass(frozen=True, slots=True)
class SaidDay:
    """The days that were meant, from the first to the last of them; several readings where it has to be asked which."""

    readings: tuple[tuple[dt.date, dt.date], ...]
    end: int


def day_at(tokens: Sequence[Token], at: int, today: dt.date, hearing: Hearing) -> SaidDay | None:
    """The day or days named at a place, seen from `today`."""
    tongue = hearing.tongue
    for phrase, ago in sorted(tongue.today.items(), key=lambda pair: -len(pair[0])):
        end = phrase_end(tokens, at, (phrase,))
        if end is not None:
            return _one(today - dt.timedelta(days=ago), end)
    start = at + 1 if word_at(tokens, at) in tongue.on else at
    return (
        _iso(tokens, start)
        or _weekday(tokens, start, today, tongue)
        or _ago(tokens, start, today, tongue)
        or _month_day(tokens, start, today, tongue)
        or _slashed(tokens, start, today)
    )


def _one(day: dt.date | None, end: int) -> SaidDay | None:
    return SaidDay(((day, day),), end) if day is not None else None


def _digits(tokens: Sequence[Token], at: int, most: int) -> int | None:
    """A numeral of at most so many digits."""
    token = tokens[at] if 0 <= at < len(tokens) else None
    plain = token is not None and token.kind == "number" and token.text.isdecimal() and len(token.text) <= most
    return int(token.text) if token is not None and plain else None


def _iso(tokens: Sequence[Token], at: int) -> SaidDay | None:
    """Year, month and day with dashes."""
    year, month, day = (_digits(tokens, at + step, most) for step, most in ((0, 4), (2, 2), (4, 2)))
    dashes = [token.text for token in tokens[at + 1 : at + 4 : 2]]
    if year is None or month is None or day is None or dashes != ["-", "-"] or year < 1000:
        return None
    return _one(_date(year, month, day), at + 5)


def _date(year: int, month: int, day: int) -> dt.date | None:
    try:
        return dt.date(year, month, day)
    except ValueError:
        return None


def _weekday(tokens: Sequence[Token], at: int, today: dt.date, tongue: Tongue) -> SaidDay | None:
    """The last "monday"; asked on a Monday, and of "last monday" said later in the same week, which one it was."""
    last = word_at(tokens, at) in tongue.last
    word = word_at(tokens, at + last)
    if last and word in tongue.weeks:
        first = today - dt.timedelta(days=today.weekday() + WEEK)
        return SaidDay(((first, first + dt.timedelta(days=WEEK - 1)),), at + 2)
    if word not in tongue.weekdays:
        return None
    end = at + last + 1
    if end < len(tokens) and tokens[end].text == "." and tokens[end].start == tokens[end - 1].end:
        end += 1
    back = (today.weekday() - tongue.weekdays[word]) % WEEK
    same_week = tongue.weekdays[word] <= today.weekday()
    backs = (back, back + WEEK) if back == 0 or (last and same_week) else (back,)
    if last and back == 0:
        backs = (WEEK,)
    days = tuple(today - dt.timedelta(days=ago) for ago in backs)
    return SaidDay(tuple((day, day) for day in days), end)


def _ago(tokens: Sequence[Token], at: int, today: dt.date, tongue: Tongue) -> SaidDay | None:
    """So many days or weeks ago."""
    number = (1, at + 1) if word_at(tokens, at) in tongue.one else small_at(tokens, at, tongue)
    if number is None or word_at(tokens, number[1] + 1) not in tongue.ago:
        return None
    word = word_at(tokens, number[1])
    days = number[0] * (1 if word in tongue.days else WEEK if word in tongue.weeks else 0)
    return _one(today - dt.timedelta(days=days), number[1] + 2) if days else None


def _month_day(tokens: Sequence[Token], at: int, today: dt.date, tongue: Tongue) -> SaidDay | None:
    """A month by its name with a day before or behind it, and perhaps a year."""
    month = tongue.months.get(word_at(tokens, at))
    if month is not None:
        dotted = at + 1 < len(tokens) and tokens[at + 1].text == "."
        day = _nth(tokens, at + 2 if dotted else at + 1, tongue)
        return _in_year(tokens, month, day[0], day[1], today) if day else None
    day = _nth(tokens, at, tongue)
    if day is None:
        return None
    named = day[1] + 1 if word_at(tokens, day[1]) in tongue.of else day[1]
    month = tongue.months.get(word_at(tokens, named))
    return _in_year(tokens, month, day[0], named + 1, today) if month is not None else None


def _nth(tokens: Sequence[Token], at: int, tongue: Tongue) -> tuple[int, int] | None:
    """A day of a month: "20", "20th", "twenty"."""
    found = small_at(tokens, at, tongue)
    if found is None or not 1 <= found[0] <= 31:
        return None
    return found[0], found[1] + (word_at(tokens, found[1]) in tongue.nth)


def _in_year(tokens: Sequence[Token], month: int, day: int, end: int, today: dt.date) -> SaidDay | None:
    """With the year that stands behind it, or else in the last year in which it is not to come."""
    dotted = end < len(tokens) and tokens[end].text in {",", "."}
    year = _digits(tokens, end + dotted, 4)
    if year is not None and 1900 <= year <= 2999:
        return _one(_date(year, month, day), end + dotted + 1)
    tried = (_date(today.year - back, month, day) for back in range(LEAP + 1) if today.year > back)
    return _one(next((date for date in tried if date is not None and date <= today), None), end)


def _slashed(tokens: Sequence[Token], at: int, today: dt.date) -> SaidDay | None:
    """Two numbers with a slash: a day and a month, whichever comes first; asked about where both ways are a day."""
    first, _, second = (tokens[at].text if at < len(tokens) else "").partition("/")
    if not (first.isdecimal() and second.isdecimal() and len(first) <= 2 and len(second) <= 2):
        return None
    ways = ((int(first), int(second)), (int(second), int(first)))
    found = [_in_year((), month, day, 0, today) for month, day in dict.fromkeys(ways)]
    readings = tuple(dict.fromkeys(one.readings[0] for one in found if one is not None))
    return SaidDay(readings, at + 1) if readings else None
