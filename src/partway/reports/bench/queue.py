"""The waiting finds in the order of what a bench hour on them brings today, cut at the hours one has."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from partway.catalogue.cards import CautionCard, cards_by_hazard
from partway.reports.bench.valued import TestLine, ValueLine
from partway.things.scenario import Scenario, Works
from partway.valuing.finds.facts import Span
from partway.valuing.finds.hands import HoldingValues, Ranged, Valued, sum_of
from partway.valuing.finds.waiting import Unvalued, WaitingFind, alike, holding_of, that_fit

RANGED = 20  # lines that are given a range, besides all that fit the hours


@dataclass(frozen=True, slots=True)
class QueueLine:
    """Finds alike. Money and minutes are of each, of all that is left for one partly opened; `fits` in the hours.

    `way`: test (first), open, part, grade, keep or stop; `how` says it in words. `shut` is what each brings without an
    hour at the bench; `per_hour` what an hour adds to that, one's own wage not taken off. `note` is what the catalogue
    says about the first operation.
    """

    caution: CautionCard | None
    more_cautions: tuple[str, ...]
    kind: str
    name: str
    works: Works
    finds: tuple[WaitingFind, ...]
    count: int
    mass_kg: tuple[float, float] | None
    partly: bool
    way: str
    how: str
    brings: Span | float
    shut: float
    shut_how: str
    minutes: Span | float
    per_hour: float | None
    test: TestLine | None
    unquoted: tuple[str, ...]
    days: int
    fits: int = 0
    conflict: tuple[str, ...] = ()
    note: str = ""

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
    puzzles: tuple[Unvalued, ...]
    count: int
    fits: int
    used: float
    total: Span | None
    extra: float
    notes: tuple[str, ...]


def report_queue(scenario: Scenario, waiting: Iterable[WaitingFind], puzzles: Iterable[Unvalued] = ()) -> Queue:
    """The queue at a scenario's prices, wage and bench hours; its anatomies know every kind that waits."""
    groups = alike(scenario, waiting)
    hands = [holding_of(scenario, finds) for finds in groups]
    at_prices = HoldingValues.at(scenario)
    values = at_prices.of(hands)
    lines = [_line(scenario, finds, values[hand]) for finds, hand in zip(groups, hands, strict=True)]
    of_line = {line.finds: hand for line, hand in zip(lines, hands, strict=True)}
    cut, used = _cut(_best_first(lines), scenario.hours.bench * 60.0)
    now = sum(1 for line in cut if line.fits)
    ranges = [at_prices.range_of(h := of_line[line.finds], values[h]) for line in cut[: max(now, RANGED)]]
    cut = [*(_ranged(line, r) for line, r in zip(cut, ranges, strict=False)), *cut[len(ranges) :]]
    idle = sorted((n for n in lines if n.per_hour is None), key=lambda n: (-float_of(n.brings), n.name, n.first))
    hazards = [(line.kind, values[of_line[line.finds]].cautions) for line in (*cut, *idle)]
    return Queue(
        on=scenario.on.isoformat(),
        currency=scenario.currency,
        unit=scenario.unit,
        wage=scenario.hours.wage,
        hours=scenario.hours.bench,
        cautions=cards_by_hazard(scenario.cautions, hazards),
        lines=tuple(cut),
        now=now,
        shut=tuple(line for line in idle if line.way != "stop"),
        never=tuple(line for line in idle if line.way == "stop"),
        puzzles=tuple(puzzles),
        count=sum(line.count for line in lines),
        fits=sum(line.fits for line in cut),
        used=used,
        total=sum_of((r, line.fits) for line, r in zip(cut[:now], ranges, strict=False)) if now else None,
        extra=sum(line.fits * (float_of(line.brings) - line.shut) for line in cut[:now]),
        notes=scenario.notes,
    )


def best_of_bench(scenario: Scenario, waiting: Iterable[WaitingFind], few: int) -> tuple[QueueLine, ...]:
    """The first few lines of the queue, without their ranges: quicker, for who asks only what comes first."""
    groups = alike(scenario, waiting)
    hands = [holding_of(scenario, finds) for finds in groups]
    values = HoldingValues.at(scenario).of(hands)
    busy = [(finds, values[hand]) for finds, hand in zip(groups, hands, strict=True)]
    lines = [_line(scenario, *one) for one in busy if one[1].per_hour is not None]
    return tuple(_best_first(lines)[:few])


def _best_first(lines: Iterable[QueueLine]) -> list[QueueLine]:
    """Those that are worth bench time, the best hour first."""
    busy = [line for line in lines if line.per_hour is not None]
    return sorted(busy, key=lambda n: (-(n.per_hour or 0.0), n.name, n.first))


def float_of(value: Span | float) -> float:
    """What is expected, with or without a range."""
    return value.expected if isinstance(value, Span) else value


def _line(scenario: Scenario, finds: tuple[WaitingFind, ...], value: Valued) -> QueueLine:
    one = finds[0]
    anatomy = scenario.anatomies[one.kind]
    cards, said = cards_by_hazard(scenario.cautions, [(one.kind, value.cautions)]), ValueLine.of(value, scenario)
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
        how=said.how,
        brings=value.brings,
        shut=value.shut,
        shut_how=said.shut_how,
        minutes=value.minutes,
        per_hour=value.per_hour,
        test=said.test,
        unquoted=said.unquoted,
        days=one.days,
        conflict=tuple(dict.fromkeys(code for find in finds for code in find.conflict)),
        note=said.note,
    )


def _ranged(line: QueueLine, found: Ranged) -> QueueLine:
    return replace(line, brings=found.brings, minutes=found.minutes)


def _cut(lines: Sequence[QueueLine], minutes: float) -> tuple[list[QueueLine], float]:
    """How many of each line fit the hours; and the minutes that takes."""
    fit, used = that_fit([(line.count, float_of(line.minutes)) for line in lines], minutes)
    return [replace(line, fits=fits) for line, fits in zip(lines, fit, strict=True)], used
