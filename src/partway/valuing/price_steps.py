"""Steps of a price over days: held until the next word, spread between buyers, thinned to what a chart can show."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

COLUMNS = 240  # steps apart that a chart on a phone can show


@dataclass(frozen=True, slots=True)
class PriceStep:
    """From `day` (proleptic Gregorian ordinal) on the price is `value`; None: nobody takes it, or nobody said."""

    day: int
    value: float | None


@dataclass(frozen=True, slots=True)
class PriceSpread:
    """From `day` on the lowest and the highest price of those that hold, and of how many buyers."""

    day: int
    low: float | None
    high: float | None
    buyers: int


def window(steps: Sequence[PriceStep], first: int, last: int) -> list[PriceStep]:
    """The steps of some days, what held on the first of them included; of several on a day the last one counts."""
    held, inside = None, {}
    for step in steps:
        if step.day <= first:
            held = step.value
        elif step.day <= last:
            inside[step.day] = step
    return [PriceStep(first, held), *inside.values()]


def thinned(steps: Sequence[PriceStep], columns: int = COLUMNS) -> list[PriceStep]:
    """At most four steps for each column of days: its first, last, lowest and highest, so that the drawing is the same.

    (Jugel, Jerzak, Hackenbroich and Markl, "M4: a visualization-oriented time series data aggregation", VLDB 2014;
    from memory, unverified.) Steps that end a price are kept as the first or last of their column.
    """
    if len(steps) <= columns:
        return list(steps)
    kept: dict[int, PriceStep] = {}
    for column in _columns(steps, columns):
        priced = [step for step in column if step.value is not None]
        ends = [column[0], column[-1]]
        if priced:
            ends += [min(priced, key=_value), max(priced, key=_value)]
        kept |= {step.day: step for step in ends}
    return [kept[day] for day in sorted(kept)]


def _columns(steps: Sequence[PriceStep], columns: int) -> Iterable[list[PriceStep]]:
    first, days = steps[0].day, steps[-1].day - steps[0].day + 1
    found: dict[int, list[PriceStep]] = {}
    for step in steps:
        found.setdefault((step.day - first) * columns // days, []).append(step)
    return found.values()


def _value(step: PriceStep) -> float:
    return step.value if step.value is not None else 0.0


def spread(lines: Mapping[str, Sequence[PriceStep]]) -> list[PriceSpread]:
    """What lies between the buyers on each day that one of their prices changes."""
    changes: dict[int, list[tuple[str, float | None]]] = {}
    for buyer, steps in lines.items():
        for step in steps:
            changes.setdefault(step.day, []).append((buyer, step.value))
    held: dict[str, float | None] = {}
    found = []
    for day in sorted(changes):
        held |= dict(changes[day])
        prices = [price for price in held.values() if price is not None]
        found.append(PriceSpread(day, min(prices, default=None), max(prices, default=None), len(prices)))
    return found


def thinned_spread(spreads: Sequence[PriceSpread], columns: int = COLUMNS) -> list[PriceSpread]:
    """One step for each column of days, with the lowest and highest that held in it, from the column's start on."""
    if len(spreads) <= columns:
        return list(spreads)
    first, days = spreads[0].day, spreads[-1].day - spreads[0].day + 1
    found: dict[int, list[PriceSpread]] = {}
    for one in spreads:
        found.setdefault((one.day - first) * columns // days, []).append(one)
    before, result = spreads[0], []
    for column in found.values():
        within = column if column[0] is before else [before, *column]  # what held when the column began
        lows = [one.low for one in within if one.low is not None]
        highs = [one.high for one in within if one.high is not None]
        buyers = max(one.buyers for one in within)
        result.append(PriceSpread(column[0].day, min(lows, default=None), max(highs, default=None), buyers))
        before = column[-1]
    return result
