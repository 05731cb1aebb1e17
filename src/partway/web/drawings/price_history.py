"""A price history as steps, told apart by dash and mark as well as by colour. In pixels as wide as a phone shows it."""

from __future__ import annotations

import datetime as dt
import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from partway.reports.buyers.price_history import PriceHistory
from partway.web.drawings.axes import ONE_DAY, WIDE, Axis, Tick, Words, around, box_under, day_ticks, room_for
from partway.web.drawings.axes import value_ticks as ticks_of

HEIGHT = 300.0
TOP, FOOT, RIGHT = 12.0, 28.0, 6.0
HUES, DASHES = 5, 6  # colours and dashes in the style sheet
MARKS = (  # drawn around 0, 0
    "M-4 0a4 4 0 1 0 8 0a4 4 0 1 0 -8 0z",
    "M-4 -4h8v8h-8z",
    "M0 -5l5 5l-5 5l-5 -5z",
    "M0 -5l5 9h-10z",
    "M-5 -2h3v-3h4v3h3v4h-3v3h-4v-3h-3z",
    "M0 5l5 -9h-10z",
    "M-5 -3l5 2l5 -2l-3 8h-4z",
)
MARKED = 24  # steps of a line up to which each is marked

Spot = tuple[float, float]
Step = tuple[str, float | None]


@dataclass(frozen=True, slots=True)
class PriceTrace:
    """One buyer's price for lots from `from_kg`: the line's path, and where its mark stands. `place` chooses colour,
    dash and mark.
    """

    buyer: str
    name: str
    from_kg: float
    hue: int
    dash: int
    mark: str
    path: str
    spots: tuple[Spot, ...]


@dataclass(frozen=True, slots=True)
class PriceChart:
    """The lines, the band between the lowest and the highest buyer, and both axes. `base` is the price at the foot."""

    width: float
    height: float
    left: float
    right: float
    foot: float
    base: float
    prices: tuple[Tick, ...]
    days: tuple[Tick, ...]
    words: tuple[float, ...]
    band: str
    lines: tuple[PriceTrace, ...]


@dataclass(frozen=True, slots=True)
class _Plot:
    """The two axes of a drawing."""

    across: Axis
    up: Axis

    def spot(self, day: str, price: float) -> Spot:
        return self.across.at(dt.date.fromisoformat(day).toordinal()), self.up.at(price)


def history_chart(history: PriceHistory, words: Words) -> PriceChart | None:
    """The prices drawn; None where none held in these days."""
    held = [step.price for line in history.lines for step in line.steps if step.price is not None]
    if not held:
        return None
    values = around(held, 5)
    up = Axis(values[0], values[-1], HEIGHT - FOOT, TOP)
    prices = ticks_of(values, up, words)
    left = round(room_for(prices), 2)
    first, end = dt.date.fromisoformat(_start(history)), dt.date.fromisoformat(history.on) + ONE_DAY
    plot = _Plot(Axis(first.toordinal(), end.toordinal(), left, WIDE - RIGHT), up)
    days = day_ticks(plot.across)
    return PriceChart(
        WIDE, HEIGHT, left, WIDE - RIGHT, HEIGHT - FOOT, values[0], prices, days,
        tuple(round(sum(box_under(tick, plot.across)) / 2.0, 2) for tick in days),
        _band(history, plot, end.isoformat()),
        tuple(_trace(history, n, plot, end.isoformat()) for n in range(len(history.lines))),
    )  # fmt: skip


def _start(history: PriceHistory) -> str:
    """The first day with a price."""
    return min(step.on for line in history.lines for step in line.steps if step.price is not None)


def _trace(history: PriceHistory, place: int, plot: _Plot, end: str) -> PriceTrace:
    line = history.lines[place]
    runs = list(_runs([(step.on, step.price) for step in line.steps], end))
    spots = [plot.spot(*step) for run in runs for step in run[:-1]] if len(line.steps) <= MARKED else []
    return PriceTrace(
        line.buyer, line.name, line.from_kg, place % HUES, place % DASHES, MARKS[place % len(MARKS)],
        "".join(_steps(run, plot) for run in runs), tuple(spots),
    )  # fmt: skip


def _runs(steps: Iterable[Step], end: str) -> Iterator[list[tuple[str, float]]]:
    """The stretches in which a price holds, each with its own end as its last step."""
    run: list[tuple[str, float]] = []
    for on, price in itertools.chain(steps, [(end, None)]):
        if price is not None:
            run.append((on, price))
        elif run:
            yield [*run, (on, run[-1][1])]
            run = []


def _steps(run: Sequence[tuple[str, float]], plot: _Plot) -> str:
    """A path that holds each price until the next."""
    spots = [plot.spot(*step) for step in run]
    return f"M{spots[0][0]:g} {spots[0][1]:g}" + "".join(f"H{x:g}V{y:g}" for x, y in spots[1:])


def _band(history: PriceHistory, plot: _Plot, end: str) -> str:
    """Between the lowest and the highest buyer; none where there is one buyer."""
    if len({line.buyer for line in history.lines}) < 2:
        return ""
    lows = _runs([(one.on, one.low) for one in history.between], end)
    highs = _runs([(one.on, one.high) for one in history.between], end)
    return "".join(_around(low, high, plot) for low, high in zip(lows, highs, strict=True))


def _around(low: Sequence[tuple[str, float]], high: Sequence[tuple[str, float]], plot: _Plot) -> str:
    """Along the highest to the right, back along the lowest."""
    back = [plot.spot(*step) for step in low][::-1]
    path = _steps(high, plot) + f"V{back[0][1]:g}"
    return path + "".join(f"V{y:g}H{x:g}" for x, y in back[1:]) + "z"
