"""A bin's mass over some days as a line to draw."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from partway.valuing.bin_age import BinHistory, DayFlow


@dataclass(frozen=True, slots=True)
class Spark:
    """A bin's mass over some days, to draw: each (x, y) a corner of the step line, as shares of width and height.

    y is counted from the top, and the top is `top_kg`; `line` is the same as SVG has it. `days` with movements only.
    """

    since: str
    on: str
    points: tuple[tuple[float, float], ...]
    line: str
    top_kg: float
    in_kg: float
    out_kg: float
    days: tuple[DayFlow, ...]


def spark(of: BinHistory) -> Spark:
    """The line of a bin's history."""
    first = of.on - dt.timedelta(days=of.span)
    points = [(0.0, _height(of.before_kg, of))]
    for day in of.days:
        x = round((dt.date.fromisoformat(day.on) - first).days / of.span, 4)
        points += [(x, points[-1][1]), (x, _height(day.held_kg, of))]
    points.append((1.0, points[-1][1]))
    return Spark(
        since=first.isoformat(),
        on=of.on.isoformat(),
        points=tuple(points),
        line=" ".join(f"{x:g},{y:g}" for x, y in points),
        top_kg=of.top_kg,
        in_kg=sum(day.in_kg for day in of.days),
        out_kg=sum(day.out_kg for day in of.days),
        days=of.days,
    )


def _height(kg: float, of: BinHistory) -> float:
    """A bin that is short is drawn as empty."""
    return round(1.0 - max(0.0, kg) / of.top_kg, 3)
