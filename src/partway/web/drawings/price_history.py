"""A price history as a chart library draws it: steps, told apart by dash and mark as well as by colour."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

from partway.quantities import format_mass_in
from partway.reports.buyers.price_history import At, PriceHistory, SaidPriceLine

COLOURS = ("--copper", "--verdigris", "--iron", "--brass", "--lead")
DASHES = ("solid", "dash", "dot", "dashdot", "longdash", "longdashdot")
MARKS = ("circle", "square", "diamond", "triangle-up", "x", "cross", "star")
MARKED = 60  # steps of a line up to which each is marked

Points = tuple[list[str], list[float | None]]


def history_chart(history: PriceHistory) -> dict[str, Any]:
    """Data and layout; colours are names of the stylesheet's tokens."""
    traces = _range(history) if len({line.buyer for line in history.lines}) > 1 else []
    traces += [_trace(history, line, place) for place, line in enumerate(history.lines)]
    layout = {
        "hovermode": "closest",
        "legend": {"orientation": "h", "y": -0.15, "yanchor": "top", "x": 0},
        "xaxis": {"type": "date", "range": [_start(history), _end(history)]},
        "yaxis": {"title": {"text": f"per {history.unit}"}, "rangemode": "normal", "tickformat": ".2~f"},
    }
    return {"data": traces, "layout": layout}


def _start(history: PriceHistory) -> str:
    """The first day with a price."""
    days = [step.on for line in history.lines for step in line.steps if step.price is not None]
    return min(days, default=history.since)


def _end(history: PriceHistory) -> str:
    """The end of the last day."""
    return (dt.date.fromisoformat(history.on) + dt.timedelta(days=1)).isoformat()


def _range(history: PriceHistory) -> list[dict[str, Any]]:
    """Between the lowest and the highest buyer, as a plain band behind the lines."""
    low = _held([At(one.on, one.low) for one in history.between], _end(history))
    high = _held([At(one.on, one.high) for one in history.between], _end(history))
    line = {"shape": "hv", "width": 0, "color": "--line"}
    shared = {"mode": "lines", "type": "scatter", "hoverinfo": "skip", "line": line}
    return [
        {**shared, "x": low[0], "y": low[1], "showlegend": False},
        {**shared, "x": high[0], "y": high[1], "fill": "tonexty", "fillcolor": "--chosen", "name": "between buyers"},
    ]


def _trace(history: PriceHistory, line: SaidPriceLine, place: int) -> dict[str, Any]:
    x, y = _held(line.steps, _end(history))
    tier = f" from {format_mass_in(line.from_kg, history.unit)}" if line.from_kg else ""
    colour = COLOURS[place % len(COLOURS)]
    return {
        "type": "scatter",
        "mode": "lines+markers" if len(line.steps) <= MARKED else "lines",
        "name": f"{line.name}{tier}",
        "x": x,
        "y": y,
        "line": {"shape": "hv", "width": 2.5, "dash": DASHES[place % len(DASHES)], "color": colour},
        "marker": {"symbol": MARKS[place % len(MARKS)], "size": 8, "color": colour},
    }


def _held(steps: Sequence[At], end: str) -> Points:
    """Corners of a step line: a price that ends is drawn up to its end, one that still holds to the right edge."""
    x: list[str] = []
    y: list[float | None] = []
    held: float | None = None
    for step in steps:
        if step.price is None and held is not None:
            x, y = [*x, step.on], [*y, held]
        if step.price is not None or held is not None:
            x, y = [*x, step.on], [*y, None if step.price is None else round(step.price, 4)]
        held = None if step.price is None else round(step.price, 4)
    return ([*x, end], [*y, held]) if held is not None else (x, y)
