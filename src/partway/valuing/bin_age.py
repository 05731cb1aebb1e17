"""How a bin came to hold what it holds: age first in first out, mass by day, and the last changes."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from uuid import UUID

from partway.ledger.days import day_of, days_between
from partway.ledger.fold.history import Flow
from partway.quantities import MG_PER_KG

DAYS = 60  # that a bin's history goes back, and as far as the age of what is in it is looked up for all bins


@dataclass(frozen=True, slots=True)
class DayFlow:
    """What went in and out of a bin on a day, and what it held at its end."""

    on: str
    in_kg: float
    out_kg: float
    held_kg: float


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


@dataclass(frozen=True, slots=True)
class Change:
    """One event in a bin: `what` opened, recounted, moved or ticketed; `change_kg` below 0 for what went out.

    `other` is where it came from or went: a find, a bin, a buyer, loss or outside.
    """

    on: str
    what: str
    change_kg: float
    other: str


def by_bin(flows: Iterable[Flow]) -> dict[str, list[Flow]]:
    """The flows of each bin; one between two bins counts for both."""
    found: dict[str, list[Flow]] = defaultdict(list)
    for flow in flows:
        for place in {flow.move.source, flow.move.target}:
            if place.startswith("bin:"):
                found[place[4:]].append(flow)
    return found


def age(flows: Sequence[Flow], bin_id: str, mg: int, now: dt.datetime) -> int | None:
    """Days since the oldest that is still in the bin went in, first in first out; None where that is longer ago."""
    left, place = mg, f"bin:{bin_id}"
    for flow in reversed(flows):
        if flow.move.target == place:
            left -= flow.move.mg
            if left <= 0:
                return max(0, days_between(flow.happened, now, now.tzinfo))
    return None


def spark(flows: Sequence[Flow], bin_id: str, mg: int, now: dt.datetime, days: int = DAYS) -> Spark:
    """The mass of a bin that holds `mg` now over the last `days`, worked out backwards from it."""
    on, place = now.date(), f"bin:{bin_id}"
    ins, outs = _by_day(flows, place, now, on - dt.timedelta(days=days))
    held, end_of = mg, {}
    for back in range(days + 1):
        day = on - dt.timedelta(days=back)
        end_of[day] = held
        held -= ins.get(day, 0) - outs.get(day, 0)
    moved = sorted({*ins, *outs} & set(end_of))
    levels = [held, *(end_of[day] for day in moved), mg]
    top = max(*levels, 1)
    points = _corners(held, [((days - (on - day).days) / days, end_of[day]) for day in moved], top)
    return Spark(
        since=(on - dt.timedelta(days=days)).isoformat(),
        on=on.isoformat(),
        points=points,
        line=" ".join(f"{x:g},{y:g}" for x, y in points),
        top_kg=top / MG_PER_KG,
        in_kg=sum(ins[day] for day in moved) / MG_PER_KG,
        out_kg=sum(outs[day] for day in moved) / MG_PER_KG,
        days=tuple(
            DayFlow(day.isoformat(), ins[day] / MG_PER_KG, outs[day] / MG_PER_KG, end_of[day] / MG_PER_KG)
            for day in moved
        ),
    )


def _by_day(
    flows: Sequence[Flow], place: str, now: dt.datetime, since: dt.date
) -> tuple[dict[dt.date, int], dict[dt.date, int]]:
    ins: dict[dt.date, int] = defaultdict(int)
    outs: dict[dt.date, int] = defaultdict(int)
    for flow in flows:
        day = min(day_of(flow.happened, now.tzinfo), now.date())
        if day >= since:
            ins[day] += flow.move.mg if flow.move.target == place else 0
            outs[day] += flow.move.mg if flow.move.source == place else 0
    return ins, outs


def _corners(held: int, steps: list[tuple[float, int]], top: int) -> tuple[tuple[float, float], ...]:
    """The step line from the left edge to the right one; a bin that is short is drawn as empty."""
    points = [(0.0, _height(held, top))]
    for x, mg in steps:
        points += [(round(x, 4), points[-1][1]), (round(x, 4), _height(mg, top))]
    return (*points, (1.0, points[-1][1]))


def _height(mg: int, top: int) -> float:
    return round(1.0 - max(0, mg) / top, 3)


def changes(flows: Sequence[Flow], bin_id: str, now: dt.datetime, most: int) -> tuple[Change, ...]:
    """The last changes, the latest first; what one event moved between the bin and another place is one change."""
    place, sums = f"bin:{bin_id}", defaultdict[tuple[dt.datetime, UUID, str, str], int](int)
    for flow in flows:
        into = flow.move.target == place
        other = flow.move.source if into else flow.move.target
        key = (flow.happened, flow.event, flow.kind, other)
        sums[key] += flow.move.mg if into else -flow.move.mg
    latest = sorted(sums, reverse=True)[:most]
    return tuple(
        Change(day_of(key[0], now.tzinfo).isoformat(), key[2], sums[key] / MG_PER_KG, key[3]) for key in latest
    )
