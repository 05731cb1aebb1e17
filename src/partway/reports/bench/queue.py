"""The waiting finds in the order of what a bench hour on them brings today, cut at the hours one has."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from partway.catalogue.cards import CautionCard, cards_by_hazard
from partway.planning.depth.dynamic import Draws
from partway.planning.depth.spread import SEED
from partway.reports.bench.hand import Hand, Spread, spread_of
from partway.reports.bench.values import Ranged, Test, Valued, Values
from partway.things.scenario import Scenario, Works

STEP = 1.3  # finds of a kind whose masses lie within such a factor stand in one line
RANGED = 20  # lines that are given a range, besides all that fit the hours


@dataclass(frozen=True, slots=True)
class Waits:
    """A find that waits: `pieces` are what is left of it, `mass_kg` each or of all that is left; None if unweighed.

    `conflict` says why its figures are in doubt.
    """

    find: str
    kind: str
    works: Works
    count: int
    mass_kg: float | None
    days: int
    pieces: tuple[tuple[str, int], ...]
    partly: bool = False
    conflict: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Puzzle:
    """A find that cannot be reckoned with, and why: kind (not in the catalogue) or rest (nobody knows what is left)."""

    find: str
    kind: str
    name: str
    why: str
    conflict: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class QueueLine:
    """Finds alike. Money and minutes are of each, of all that is left for one partly opened; `fits` in the hours.

    `way`: test (first), open, part, grade, keep or stop; `how` says it in words. `shut` is what each brings without an
    hour at the bench; `per_hour` what an hour adds to that, one's own wage not taken off.
    """

    caution: CautionCard | None
    more_cautions: tuple[str, ...]
    kind: str
    name: str
    works: Works
    finds: tuple[Waits, ...]
    count: int
    mass_kg: tuple[float, float] | None
    partly: bool
    way: str
    how: str
    brings: Spread | float
    shut: float
    shut_how: str
    minutes: Spread | float
    per_hour: float | None
    test: Test | None
    unquoted: tuple[str, ...]
    days: int
    fits: int = 0
    conflict: tuple[str, ...] = ()

    @property
    def first(self) -> str:
        """The find that waits longest."""
        return self.finds[0].find


@dataclass(frozen=True, slots=True)
class Queue:
    """The bench today; cautions of what fits the hours come first.

    `lines` best hour first; the first `now` of them lie at least partly within the hours. `shut` are worth as much left
    as they are, `never` are never opened. `total` is what the finds that fit bring, `used` the minutes they take.
    """

    on: str
    currency: str
    unit: str
    wage: float
    hours: float
    cautions: tuple[CautionCard, ...]
    lines: tuple[QueueLine, ...]
    now: int
    shut: tuple[QueueLine, ...]
    never: tuple[QueueLine, ...]
    puzzles: tuple[Puzzle, ...]
    count: int
    fits: int
    used: float
    total: Spread | None
    extra: float
    notes: tuple[str, ...]


def report_queue(scenario: Scenario, waiting: Iterable[Waits], puzzles: Iterable[Puzzle] = ()) -> Queue:
    """The queue at a scenario's prices, wage and bench hours; its anatomies know every kind that waits."""
    alike = _alike(scenario, waiting)
    hands = [hand_of(scenario, finds) for finds in alike]
    at_prices = Values.at(scenario)
    values = at_prices.of(hands)
    lines = [_line(scenario, finds, values[hand]) for finds, hand in zip(alike, hands, strict=True)]
    of_line = {line.finds: hand for line, hand in zip(lines, hands, strict=True)}
    busy = sorted((n for n in lines if n.per_hour is not None), key=lambda n: (-(n.per_hour or 0.0), n.name, n.first))
    cut, used = _cut(busy, scenario.hours.bench * 60.0)
    now = sum(1 for line in cut if line.fits)
    ranges = [at_prices.range_of(h := of_line[line.finds], values[h]) for line in cut[: max(now, RANGED)]]
    cut = [*(_ranged(line, r) for line, r in zip(cut, ranges, strict=False)), *cut[len(ranges) :]]
    idle = sorted((n for n in lines if n.per_hour is None), key=lambda n: (-float_of(n.brings), n.name, n.first))
    return Queue(
        on=scenario.on.isoformat(),
        currency=scenario.currency,
        unit=scenario.unit,
        wage=scenario.hours.wage,
        hours=scenario.hours.bench,
        cautions=_cautions(scenario, [*cut, *idle], values, of_line),
        lines=tuple(cut),
        now=now,
        shut=tuple(line for line in idle if line.way != "stop"),
        never=tuple(line for line in idle if line.way == "stop"),
        puzzles=tuple(puzzles),
        count=sum(line.count for line in lines),
        fits=sum(line.fits for line in cut),
        used=used,
        total=_total(cut[:now], ranges),
        extra=sum(line.fits * (float_of(line.brings) - line.shut) for line in cut[:now]),
        notes=scenario.notes,
    )


def float_of(value: Spread | float) -> float:
    """What is expected, with or without a range."""
    return value.expected if isinstance(value, Spread) else value


def _alike(scenario: Scenario, waiting: Iterable[Waits]) -> list[tuple[Waits, ...]]:
    """Same kind and condition, unweighed or of about one mass; what was opened stands alone. Longest waiting first."""
    groups: dict[tuple[object, ...], list[Waits]] = {}
    for find in waiting:
        alone = find.find if find.partly else ""
        groups.setdefault((find.kind, find.works, _class(scenario, find), alone), []).append(find)
    return [tuple(sorted(finds, key=lambda f: (-f.days, f.find))) for finds in groups.values()]


def _class(scenario: Scenario, find: Waits) -> int | None:
    """Which step of masses a find is on; None where it was not weighed."""
    if find.mass_kg is None:
        return None
    return round(math.log(find.mass_kg / scenario.anatomies[find.kind].whole.mass.likely, STEP))


def hand_of(scenario: Scenario, finds: Sequence[Waits]) -> Hand:
    """One of them, of their mean mass."""
    one = finds[0]
    mass = None
    if one.mass_kg is not None:
        mass = sum(f.mass_kg * f.count for f in finds if f.mass_kg) / sum(f.count for f in finds)
    if not one.partly:
        return Hand(one.kind, one.works, mass, ((scenario.anatomies[one.kind].whole.id, 1),))
    return Hand(one.kind, one.works, whole_mass(scenario, one.kind, one.pieces, mass), one.pieces)


def whole_mass(scenario: Scenario, kind: str, pieces: Iterable[tuple[str, int]], left_kg: float | None) -> float | None:
    """What the whole weighed if what is left of it weighs so much and the rest is as the catalogue has it."""
    if left_kg is None:
        return None
    anatomy = scenario.anatomies[kind]
    usual = sum(count * anatomy.piece(piece).mass.mean for piece, count in pieces)
    return anatomy.whole.mass.mean * left_kg / usual


def _line(scenario: Scenario, finds: tuple[Waits, ...], value: Valued) -> QueueLine:
    one = finds[0]
    anatomy = scenario.anatomies[one.kind]
    cards = cards_by_hazard(scenario.cautions, [(one.kind, value.cautions)])
    masses = [f.mass_kg for f in finds if f.mass_kg is not None]
    return QueueLine(
        caution=cards[0] if cards else None,
        more_cautions=tuple(card.name for card in cards[1:]),
        kind=one.kind,
        name=anatomy.name,
        works=one.works,
        finds=finds,
        count=1 if one.partly else sum(f.count for f in finds),
        mass_kg=(min(masses), max(masses)) if masses else None,
        partly=one.partly,
        way="test" if value.test else value.way,
        how=value.how,
        brings=value.brings,
        shut=value.shut,
        shut_how=value.shut_how,
        minutes=value.minutes,
        per_hour=value.per_hour,
        test=value.test,
        unquoted=value.unquoted,
        days=one.days,
        conflict=tuple(dict.fromkeys(code for find in finds for code in find.conflict)),
    )


def _ranged(line: QueueLine, found: Ranged) -> QueueLine:
    return replace(line, brings=found.brings, minutes=found.minutes)


def _cut(lines: Sequence[QueueLine], minutes: float) -> tuple[list[QueueLine], float]:
    """How many of each line fit, one line after another, until one does not fit whole; and the minutes that takes."""
    cut, used, full = [], 0.0, False
    for line in lines:
        each = float_of(line.minutes)
        room = line.count if not each else min(line.count, int((minutes - used) / each + 1e-9))
        fits = 0 if full else room
        full = full or fits < line.count
        used += fits * each
        cut.append(replace(line, fits=fits))
    return cut, used


def _cautions(
    scenario: Scenario, lines: Iterable[QueueLine], values: dict[Hand, Valued], hands: dict[tuple[Waits, ...], Hand]
) -> tuple[CautionCard, ...]:
    return cards_by_hazard(scenario.cautions, [(line.kind, values[hands[line.finds]].cautions) for line in lines])


def _total(lines: Sequence[QueueLine], ranges: Sequence[Ranged]) -> Spread | None:
    """All that fits together, each find drawn on its own."""
    if not lines:
        return None
    rng = np.random.default_rng(SEED)
    sums: Draws = np.zeros_like(ranges[0].draws)
    for line, found in zip(lines, ranges, strict=False):
        for _ in range(min(line.fits, 200)):
            sums = sums + rng.permutation(found.draws)
        sums = sums + max(0, line.fits - 200) * found.brings.expected
    return spread_of(sums, sum(line.fits * float_of(line.brings) for line in lines))
