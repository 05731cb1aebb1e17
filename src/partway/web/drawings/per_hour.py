"""Money for an hour by month, as bars from 0. In pixels of a drawing as wide as a phone shows it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from partway.reports.books.per_hour import MonthLine
from partway.web.drawings.axes import WIDE, Axis, Tick, Words, from_nothing, room_for, value_ticks, wide

HEIGHT = 208.0
TOP, FOOT = 20.0, 40.0  # above the bars, and below them for the months and their years
THICK = 0.62  # of a month's width that its bar takes
LESS = 5.0  # between a bar and its number


@dataclass(frozen=True, slots=True)
class MonthBar:
    """A month: its bar (left, top, width, height; below 0 it hangs from there), and its number over it; `whole` is
    False for the month that is not over. `number` is empty where there is no room for it, `height` None without hours.
    """

    month: str
    year: str
    middle: float
    left: float
    top: float
    width: float
    height: float | None
    number: str
    number_y: float
    per_hour: float | None
    whole: bool


@dataclass(frozen=True, slots=True)
class MonthsChart:
    """The bars, the round numbers beside them and where 0 is."""

    width: float
    height: float
    left: float
    nothing: float
    ticks: tuple[Tick, ...]
    bars: tuple[MonthBar, ...]


def months_chart(months: Sequence[MonthLine], words: Words) -> MonthsChart | None:
    """Money for an hour by month; None where no month has hours."""
    known = [line.per_hour for line in months if line.per_hour is not None]
    if not known:
        return None
    values = from_nothing(known)
    axis = Axis(values[0], values[-1], HEIGHT - FOOT, TOP)
    ticks = value_ticks(values, axis, words)
    left = room_for(ticks)
    each = (WIDE - left) / len(months)
    numbered = all(wide(words(value, 2)) <= each for value in known)
    bars = tuple(
        _bar(line, months[n - 1] if n else None, left + n * each, each, axis, words if numbered else None)
        for n, line in enumerate(months)
    )
    return MonthsChart(WIDE, HEIGHT, round(left, 2), axis.at(0.0), ticks, bars)


def _bar(
    line: MonthLine, before: MonthLine | None, left: float, each: float, axis: Axis, words: Words | None
) -> MonthBar:
    thick, money = each * THICK, line.per_hour
    top = axis.at(max(money or 0.0, 0.0))
    foot = axis.at(min(money or 0.0, 0.0))
    return MonthBar(
        month=f"{line.first:%b}" if wide("Jan") <= each else f"{line.first:%b}"[0],
        year=str(line.first.year) if before is None or before.first.year != line.first.year else "",
        middle=round(left + each / 2.0, 2),
        left=round(left + (each - thick) / 2.0, 2),
        top=top,
        width=round(thick, 2),
        height=None if money is None else round(foot - top, 2),
        number="" if money is None or words is None else words(money, 2),
        number_y=round(top - LESS, 2),
        per_hour=money,
        whole=line.whole,
    )
