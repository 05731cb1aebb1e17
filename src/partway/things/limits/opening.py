"""Opening hours as people say them, "mon-fri 08:00-16:30", and when a buyer is open on a day."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
EXAMPLE = '"mon-fri 08:00-16:30", "sat 08:00-12:00"'
_DAY = f"(?:{'|'.join(DAYS)})"
_TEXT = re.compile(rf"({_DAY}(?:-{_DAY})?(?:, ?{_DAY}(?:-{_DAY})?)*) (\S+) ?- ?(\S+)")
_CLOCK = re.compile(r"([0-9]{1,2}):([0-9]{2})")
Windows = tuple[tuple[float, float], ...]  # hours of the day, from and to, in order


def clock(text: str) -> float:
    """Hours since midnight of a time such as "08:30". Raises ValueError."""
    match = _CLOCK.fullmatch(text.strip())
    hours = int(match[1]) + int(match[2]) / 60.0 if match and int(match[2]) < 60 else -1.0
    if not 0.0 <= hours <= 24.0:
        raise ValueError(text)
    return hours


def clock_text(hours: float) -> str:
    """A time of the day as it is said: 8.5 is 08:30."""
    minutes = round(hours * 60.0)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def read_opening(text: str) -> tuple[frozenset[int], float, float]:
    """The days of the week (0 is Monday), and from when to when, in hours of the day. Raises ValueError."""
    match = _TEXT.fullmatch(" ".join(text.lower().split()))
    if match is None:
        raise ValueError(text)
    start, end = clock(match[2]), clock(match[3])
    if start >= end:
        raise ValueError(text)
    return frozenset(day for part in match[1].split(",") for day in _days(part.strip())), start, end


def _days(text: str) -> Iterable[int]:
    first, _, last = text.partition("-")
    start, end = DAYS.index(first), DAYS.index(last or first)
    return (day % 7 for day in range(start, end + 1 if end >= start else end + 8))


def open_on(said: Iterable[str], day: dt.date) -> Windows:
    """When it is open on a day; hours that touch are one. Nothing where it is closed."""
    hours = sorted((start, end) for days, start, end in map(read_opening, said) if day.weekday() in days)
    found: list[tuple[float, float]] = []
    for start, end in hours:
        if found and start <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], end))
        else:
            found.append((start, end))
    return tuple(found)


def next_open(said: Iterable[str], after: dt.date) -> dt.date | None:
    """The first day after another on which it is open; None where it never is."""
    texts = tuple(said)
    days = (after + dt.timedelta(days=n) for n in range(1, 8))
    return next((day for day in days if open_on(texts, day)), None)
