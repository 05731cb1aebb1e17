"""Axes of a drawn chart: ticks at round numbers or days, as far apart as their words need.

A drawing is WIDE pixels wide where a phone shows it as it is (390 pixels less the margins of a page); elsewhere it is
made larger or smaller as a whole, so that what does not overlap here overlaps nowhere.
"""

from __future__ import annotations

import datetime as dt
import itertools
import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

WIDE = 358.0
SIZE = 13.0  # of the letters
LETTER = 0.64  # of the size, wide on average: as the digits of DejaVu Sans, the widest of the usual system fonts
GAP = 8.0  # between two words
STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)
FROM_NOTHING = 3.0  # a line whose highest is so many times its lowest is drawn from 0
ONE_DAY = dt.timedelta(days=1)
DAYS, MONTHS, YEARS = (1, 2, 7, 14), (1, 2, 3, 6), (1, 2, 5, 10, 20, 50, 100)

Words = Callable[[float, int], str]  # a number with so many decimals, as the reader's locale writes it


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark on an axis, at so many pixels, with its words."""

    at: float
    text: str


@dataclass(frozen=True, slots=True)
class Axis:
    """Values from `low` to `high` along pixels from `start` to `end`."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Where a value is drawn."""
        return round(self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start), 2)


def wide(text: str, size: float = SIZE) -> float:
    """How many pixels a text takes at most."""
    return LETTER * size * len(text)


def round_step(span: float, most: int) -> float:
    """The smallest round step of which at most `most` fill a span."""
    power = 10.0 ** math.floor(math.log10(span / most))
    return next(step * power for step in STEPS if span / (step * power) <= most * (1.0 + 1e-9))


def decimals(step: float) -> int:
    """How many decimals multiples of a step need."""
    return next((digits for digits in range(12) if math.isclose(round(step, digits), step, rel_tol=1e-9)), 12)


def from_nothing(values: Iterable[float], most: int = 4) -> list[float]:
    """Round numbers for bars, which are only right from 0: from there to beyond the longest, below it, too."""
    held = list(values)
    return _rounded(min(0.0, *held, 0.0), max(0.0, *held, 0.0), most)


def around(values: Iterable[float], most: int = 4) -> list[float]:
    """Round numbers for lines, close around them so that a change shows; from 0 where that hides nothing."""
    held = list(values)
    low, high = min(held), max(held)
    if low >= 0.0 and high >= FROM_NOTHING * low:
        low = 0.0
    if high - low < 1e-6 * max(abs(high), 1e-6):  # one price all along: it is drawn in the middle
        pad = abs(high) / 10.0 or 1.0
        low, high = (max(0.0, low - pad) if low >= 0.0 else low - pad), high + pad
    return _rounded(low, high, most)


def _rounded(low: float, high: float, most: int) -> list[float]:
    if high <= low:
        high = low + 1.0
    step = round_step(high - low, most)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return [round(n * step, 12) for n in range(first, last + 1)]


def value_ticks(values: Sequence[float], axis: Axis, words: Words) -> tuple[Tick, ...]:
    """The round numbers of an axis, all with as many decimals as their step needs."""
    digits = decimals(values[1] - values[0])
    return tuple(Tick(axis.at(value), words(value, digits)) for value in values)


def room_for(ticks: Iterable[Tick]) -> float:
    """Pixels beside an axis for the longest of its words."""
    return max(wide(tick.text) for tick in ticks) + GAP


def day_ticks(axis: Axis) -> tuple[Tick, ...]:
    """Round days of an axis that counts days (proleptic Gregorian ordinals), whose words leave room between them."""
    first, last = dt.date.fromordinal(math.ceil(axis.low)), dt.date.fromordinal(math.floor(axis.high))
    for days in _ways(first, last):
        ticks = tuple(_named(days, axis))
        if ticks and _apart(ticks, axis):
            return ticks
    return ()


def _ways(first: dt.date, last: dt.date) -> Iterator[list[dt.date]]:
    """Days to mark, the closest together first."""
    for step in DAYS:
        yield [dt.date.fromordinal(n) for n in range(first.toordinal(), last.toordinal() + 1) if not n % step]
    months = range(first.year * 12 + first.month - 1, last.year * 12 + last.month)
    firsts = [dt.date(n // 12, n % 12 + 1, 1) for n in months]
    for step in MONTHS:
        yield [day for day in firsts if first <= day and not (day.month - 1) % step]
    for step in YEARS:
        yield [day for day in firsts if first <= day and day.month == 1 and not day.year % step]


def _named(days: Sequence[dt.date], axis: Axis) -> Iterator[Tick]:
    """Each day with its words: the year where it is the first of that year on the axis."""
    firsts = all(day.day == 1 for day in days)
    years = firsts and all(day.month == 1 for day in days)
    for before, day in zip([None, *days], days, strict=False):
        new = before is None or before.year != day.year
        month = f"{day:%b}" if firsts else f"{day.day} {day:%b}"
        text = str(day.year) if years else f"{month} {day.year}" if new else month
        yield Tick(axis.at(day.toordinal()), text)


def _apart(ticks: Sequence[Tick], axis: Axis) -> bool:
    """Whether the words stand apart, each in the middle under its tick but for what the ends push inwards."""
    boxes = [box_under(tick, axis) for tick in ticks]
    return all(one[1] + GAP <= other[0] for one, other in itertools.pairwise(boxes))


def box_under(tick: Tick, axis: Axis) -> tuple[float, float]:
    """Left and right of the words under a tick, pushed inwards where they would be cut off."""
    half = wide(tick.text) / 2.0
    middle = min(max(tick.at, half), axis.end - half)
    return middle - half, middle + half
