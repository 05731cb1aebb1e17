"""What holdings are worth: one instance for all that are new, remembered as long as prices and wage stay the same.

A queue of 2,000 finds holds some hundred holdings that differ; the next page asks for the same ones again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from partway.planning.depth.dynamic import Draws
from partway.planning.depth.spread import SEED
from partway.planning.instance.room import with_room
from partway.things.anatomy import Anatomy
from partway.things.limits.room import Room
from partway.things.scenario import Buyer, Scenario
from partway.valuing.finds.facts import Span, TestFirst, Use
from partway.valuing.finds.hand import Holding, ValuedHolding, span_of
from partway.valuing.finds.tested import answer_of, tests_first, worth_of_testing
from partway.valuing.finds.together import SolvedTogether, solved_alone, solved_together

MOST = 4000  # holdings remembered for one set of prices
DRAWN_EACH = 200  # finds of a line that are drawn on their own; more of them add their mean


@dataclass(frozen=True, slots=True)
class WorthTesting:
    """A test that is worth its minutes, and what is done with what works and with what does not."""

    first: TestFirst
    if_works: Use
    if_not: Use


@dataclass(frozen=True, slots=True)
class Valued:
    """One holding. `way` is that of `use`, or stop where it stays shut for good.

    `brings` is money before hours, `shut` the same without opening anything (`shut_use`); a `test` that is worth it is
    counted in. `cautions` are hazards of what is done, `unquoted` grades that nobody here prices, so that their pieces
    count as nothing; both by id.
    """

    way: str
    use: Use
    brings: float
    shut: float
    shut_use: Use
    minutes: float
    per_hour: float | None
    test: WorthTesting | None
    cautions: tuple[str, ...]
    unquoted: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Ranged:
    """Money and minutes of one holding with their ranges; `draws` of the money to add up with others.

    `wins` is the share of draws in which this beats leaving it as it is, hours paid at the wage.
    """

    brings: Span
    minutes: Span
    draws: Draws
    wins: float


@dataclass(frozen=True, slots=True)
class _Prices:
    currency: str
    wage: float
    keep_factor: float | None
    room: Room | None
    buyers: tuple[Buyer, ...]


@dataclass(frozen=True, slots=True)
class _Memory:
    """An anatomy beside each value: a value for another one is none."""

    values: dict[Holding, tuple[Anatomy, Valued]] = field(default_factory=dict)
    ranges: dict[Holding, tuple[Anatomy, Ranged]] = field(default_factory=dict)


@lru_cache(maxsize=4)
def _memory(_prices: _Prices) -> _Memory:
    return _Memory()


@dataclass(frozen=True)
class HoldingValues:
    """Values and ranges at one scenario's prices; its anatomies know every kind that is asked for."""

    scenario: Scenario
    memory: _Memory

    @classmethod
    def at(cls, scenario: Scenario) -> HoldingValues:
        """With what is remembered of these prices."""
        scenario = with_room(scenario)
        wage = scenario.hours.wage
        memory = _memory(_Prices(scenario.currency, wage, scenario.keep_factor, scenario.room, scenario.buyers))
        if len(memory.values) > MOST:
            memory.values.clear()
            memory.ranges.clear()
        return cls(scenario, memory)

    def of(self, holdings: Iterable[Holding]) -> dict[Holding, Valued]:
        """Every holding at its best."""
        wanted, known = list(dict.fromkeys(holdings)), self.memory.values
        new = [h for h in wanted if h not in known or not self._same(h, known[h][0])]
        if new:
            solved = solved_together(self.scenario, new)
            for one in new:
                known[one] = (self.scenario.anatomies[one.kind], _valued(solved, one))
        return {one: known[one][1] for one in wanted}

    def range_of(self, holding: Holding, value: Valued) -> Ranged:
        """The range of one holding, from draws with its choices held."""
        known = self.memory.ranges
        if holding not in known or not self._same(holding, known[holding][0]):
            known[holding] = (self.scenario.anatomies[holding.kind], _ranged(self.scenario, holding, value))
        return known[holding][1]

    def _same(self, holding: Holding, anatomy: Anatomy) -> bool:
        now = self.scenario.anatomies[holding.kind]
        return now is anatomy or now == anatomy


def _valued(solved: SolvedTogether, holding: Holding) -> Valued:
    here = solved.hand(holding)
    way, use = best_use(here)
    heaviest = here.heaviest
    return Valued(
        way=way,
        use=use,
        brings=here.brings,
        shut=here.shut,
        shut_use=here.find.use(here.as_it_is(heaviest)[0], heaviest),
        minutes=here.hours * 60.0,
        per_hour=here.per_hour,
        test=_test(here),
        cautions=tuple(dict.fromkeys(_cautions(here))),
        unquoted=tuple(dict.fromkeys(_unquoted(here))),
    )


def _test(here: ValuedHolding) -> WorthTesting | None:
    """A test that is the best thing to do first; None where there is none, or it does not pay."""
    find, root = here.find, here.roots[0][0]
    test = worth_of_testing(find, root) if tests_first(find, root) else None
    if test is None:
        return None
    answers = (answer_of(find, root, said) for said in ("yes", "no"))
    ways = [best_use(ValuedHolding(find, ((node, 1),)))[1] if node is not None else Use("keep") for node in answers]
    return WorthTesting(test, *ways)


def best_use(here: ValuedHolding) -> tuple[str, Use]:
    """What to do, and its way: the first thing that takes time, else what the heaviest is sold as."""
    find, heaviest = here.find, here.heaviest
    for node, _ in here.roots:
        option = find.values.best(node)
        if option.sort in ("open", "part"):
            return option.sort, find.use(option, node)
    option = find.values.best(heaviest)
    return "stop" if find.instance.nodes[heaviest].piece.stop else option.sort, find.use(option, heaviest)


def _cautions(here: ValuedHolding) -> Iterator[str]:
    """Hazards of what is done, in the order they are met: the kind's, its operations', of what stays shut."""
    nodes, openings = here.find.instance.nodes, here.find.instance.openings
    yield from here.anatomy.cautions
    for o, _ in here.runs():
        yield from openings[o].operation.cautions
    for node, _ in here.ends():
        if stop := nodes[node].piece.stop:
            yield stop


def _unquoted(here: ValuedHolding) -> Iterator[str]:
    """Grades of what comes out that nobody here prices."""
    for node, _ in here.ends():
        grades = here.find.grades_of(node)
        if grades and not here.find.is_quoted(node):
            yield grades[0]


def _ranged(scenario: Scenario, holding: Holding, value: Valued) -> Ranged:
    money, hours = solved_alone(scenario, holding).draws()
    wins = float(np.mean(money - scenario.hours.wage * hours > value.shut))
    return Ranged(span_of(money, value.brings), span_of(hours * 60.0, value.minutes), money, wins)


def sum_of(ranged: Iterable[tuple[Ranged, int]]) -> Span:
    """So many of each together, each find drawn on its own."""
    rng = np.random.default_rng(SEED)
    drawn: Draws = np.zeros(1)
    expected = 0.0
    for found, count in ranged:
        for _ in range(min(count, DRAWN_EACH)):
            drawn = drawn + rng.permutation(found.draws)
        drawn = drawn + max(0, count - DRAWN_EACH) * found.brings.expected
        expected += count * found.brings.expected
    return span_of(drawn, expected)
