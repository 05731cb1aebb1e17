"""What hands are worth: one instance for all that are new, remembered as long as prices and wage stay the same.

A queue of 2,000 finds holds some hundred hands that differ; the next page asks for the same ones again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from partway.planning.depth.dynamic import Draws, Programme, Terms
from partway.planning.depth.spread import DRAWS, SEED
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.reports.bench.depths import Opened, tested
from partway.reports.bench.hand import Hand, InHand, Spread, spoken, spread_of
from partway.things.anatomy import Anatomy
from partway.things.scenario import Buyer, Find, Scenario, Works

BESIDES = ("residue", "copper-2")  # what is left over, and what part prices are counted in
MOST = 4000  # hands remembered for one set of prices


@dataclass(frozen=True, slots=True)
class Test:
    """Finding out first if it works: minutes, the chance that it does, and what knowing gains on average."""

    minutes: float
    chance: float
    gain: float
    if_works: str
    if_not: str


@dataclass(frozen=True, slots=True)
class Valued:
    """One hand. `way`: open, part, grade, keep or stop; `how` says it in words.

    `brings` is money before hours, `shut` the same without opening anything, `shut_how` in words; a test that is worth
    it is counted in.
    `unquoted` are grades that nobody here prices, so that their pieces count as nothing.
    """

    way: str
    how: str
    brings: float
    shut: float
    shut_how: str
    minutes: float
    per_hour: float | None
    test: Test | None
    cautions: tuple[str, ...]
    unquoted: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Ranged:
    """Money and minutes of one hand with their ranges; `draws` of the money to add up with others.

    `wins` is the share of draws in which this beats leaving it as it is, hours paid at the wage.
    """

    brings: Spread
    minutes: Spread
    draws: Draws
    wins: float


@dataclass(frozen=True, slots=True)
class _Prices:
    currency: str
    wage: float
    keep_factor: float
    buyers: tuple[Buyer, ...]


@dataclass(frozen=True, slots=True)
class _Memory:
    """An anatomy beside each value: a value for another one is none."""

    values: dict[Hand, tuple[Anatomy, Valued]] = field(default_factory=dict)
    ranges: dict[Hand, tuple[Anatomy, Ranged]] = field(default_factory=dict)


@lru_cache(maxsize=4)
def _memory(_prices: _Prices) -> _Memory:
    return _Memory()


@dataclass(frozen=True)
class Values:
    """Values and ranges at one scenario's prices; its anatomies know every kind that is asked for."""

    scenario: Scenario
    memory: _Memory

    @classmethod
    def at(cls, scenario: Scenario) -> Values:
        """With what is remembered of these prices."""
        memory = _memory(_Prices(scenario.currency, scenario.hours.wage, scenario.keep_factor, scenario.buyers))
        if len(memory.values) > MOST:
            memory.values.clear()
            memory.ranges.clear()
        return cls(scenario, memory)

    def of(self, hands: Iterable[Hand]) -> dict[Hand, Valued]:
        """Every hand at its best."""
        wanted, known = list(dict.fromkeys(hands)), self.memory.values
        new = [h for h in wanted if h not in known or not self._same(h, known[h][0])]
        if new:
            opened = solved_together(self.scenario, [world for hand in new for world in worlds(hand)])
            for hand in new:
                known[hand] = (self.scenario.anatomies[hand.kind], _valued(opened, hand))
        return {hand: known[hand][1] for hand in wanted}

    def range_of(self, hand: Hand, value: Valued) -> Ranged:
        """The range of one hand, from draws with its choices held."""
        known = self.memory.ranges
        if hand not in known or not self._same(hand, known[hand][0]):
            known[hand] = (self.scenario.anatomies[hand.kind], _ranged(self.scenario, hand, value))
        return known[hand][1]

    def _same(self, hand: Hand, anatomy: Anatomy) -> bool:
        now = self.scenario.anatomies[hand.kind]
        return now is anatomy or now == anatomy


def worlds(hand: Hand) -> tuple[Hand, ...]:
    """The hand itself; where nobody knows if it works, also as if it did and as if it did not."""
    if hand.works != "unknown":
        return (hand,)
    return hand, replace(hand, works="yes"), replace(hand, works="no")


Key = tuple[str, Works, float | None]


@dataclass(frozen=True)
class Solved:
    """Hands by kind, condition and mass: each with its solved instance and the node of its whole."""

    views: dict[Key, tuple[Opened, int]]

    def hand(self, hand: Hand) -> InHand:
        """A hand of one of them. KeyError where there is no such one."""
        opened, first = self.views[hand.kind, hand.works, hand.mass_kg]
        instance = opened.instance
        pieces = instance.groups[instance.nodes[first].group].anatomy.pieces
        index = {piece.id: first + i for i, piece in enumerate(pieces)}
        return InHand(opened, tuple((index[piece], count) for piece, count in hand.pieces))


def solved(scenario: Scenario, hand: Hand) -> InHand:
    """The best of one hand, in an instance of its own."""
    instance = _built(scenario, [Find(hand.kind, 1, hand.works, hand.mass_kg)])
    return Solved({(hand.kind, hand.works, hand.mass_kg): (Opened.of(instance), 0)}).hand(hand)


def solved_together(scenario: Scenario, hands: Iterable[Hand]) -> Solved:
    """The best of many hands at once: one instance of each kind and condition, their masses as its draws."""
    masses: dict[tuple[str, Works], list[float | None]] = {}
    for hand in dict.fromkeys(hands):
        masses.setdefault((hand.kind, hand.works), []).append(hand.mass_kg)
    instance = _built(scenario, [Find(kind, 1, works) for kind, works in masses])
    firsts: dict[tuple[str, Works], int] = {}
    for n, node in enumerate(instance.nodes):
        find = instance.groups[node.group].find
        firsts.setdefault((find.kind, find.works), n)
    opened = _by_mass(instance, masses)
    views = {(k, w, mg): (opened[i], firsts[k, w]) for (k, w), row in masses.items() for i, mg in enumerate(row)}
    return Solved(views)


def _by_mass(instance: Instance, masses: dict[tuple[str, Works], list[float | None]]) -> list[Opened]:
    """One view of the same instance for each column of masses: the first of every kind, the second, and so on."""
    most = max(map(len, masses.values()))
    size = np.ones((len(instance.nodes), most))
    for n, node in enumerate(instance.nodes):
        group = instance.groups[node.group]
        for i, mass in enumerate(masses[group.find.kind, group.find.works]):
            size[n, i] = 1.0 if mass is None else mass / group.anatomy.whole.mass.mean
    programme, terms = Programme(instance), Terms.expected(instance)
    values = programme.values(replace(terms, size=size))
    return [
        Opened(
            instance,
            programme,
            replace(terms, size=size[:, [i]]),
            replace(values, worth=values.worth[:, [i]], choice=values.choice[:, [i]]),
        )
        for i in range(most)
    ]


def _built(scenario: Scenario, finds: list[Find]) -> Instance:
    """An instance of finds alone: no roads, no stock, and only quotes that can matter to them."""
    sold = {s.grade for f in finds for piece in scenario.anatomies[f.kind].pieces for s in piece.sells}
    sold |= {grade for grade in BESIDES if grade in scenario.grades}
    waiting = list(sold)
    while waiting:
        lower = [g for g in scenario.grades[waiting.pop()].downgrades if g not in sold]
        sold.update(lower)
        waiting += lower
    buyers = tuple(replace(b, quotes=tuple(q for q in b.quotes if q.grade in sold)) for b in scenario.buyers)
    return build(replace(scenario, finds=tuple(finds), buyers=buyers, stock={}, vehicle=None))


def _valued(opened: Solved, hand: Hand) -> Valued:
    here, *known = (opened.hand(world) for world in worlds(hand))
    test = _test(here, known)
    way, how = verdict(here)
    value = Valued(
        way=way,
        how=how,
        brings=here.brings,
        shut=here.shut,
        shut_how=_left_alone(here),
        minutes=here.hours * 60.0,
        per_hour=here.per_hour,
        test=test,
        cautions=tuple(dict.fromkeys(_cautions(here, known if test else []))),
        unquoted=tuple(dict.fromkeys(unquoted(here))),
    )
    return value if test is None else _tested(value, test, known)


def _tested(value: Valued, test: Test, known: list[InHand]) -> Valued:
    """The same with the test run first: both outcomes by their chance."""
    works, fails = known
    brings = test.chance * works.brings + (1.0 - test.chance) * fails.brings
    hours = test.minutes / 60.0 + test.chance * works.hours + (1.0 - test.chance) * fails.hours
    shut = test.chance * works.shut + (1.0 - test.chance) * fails.shut
    return replace(value, brings=brings, shut=shut, minutes=hours * 60.0, per_hour=(brings - shut) / hours)


def _test(here: InHand, known: list[InHand]) -> Test | None:
    """A test that is worth its minutes; None where nobody needs one, nobody knows the odds, or it does not pay."""
    anatomy, piece = here.anatomy, here.find.instance.nodes[here.roots[0][0]].piece
    if not known or piece is not anatomy.whole:
        return None
    test = tested(anatomy, here.find.wage, *(hand.brings - hand.find.wage * hand.hours for hand in (here, *known)))
    if test is None or not test.worth_it:
        return None
    return Test(test.minutes, test.chance_works, test.gain, verdict(known[0])[1], verdict(known[1])[1])


def verdict(here: InHand) -> tuple[str, str]:
    """What to do, as a way and in words: the first thing that takes time, else what the heaviest is sold as."""
    find = here.find
    for node, _ in here.roots:
        option = find.values.best(node)
        if option.sort in ("open", "part"):
            return option.sort, here.words(option, node)
    heaviest = max((node for node, _ in here.roots), key=lambda n: find.instance.nodes[n].kg)
    option = find.values.best(heaviest)
    return "stop" if find.instance.nodes[heaviest].piece.stop else option.sort, here.words(option, heaviest)


def _left_alone(here: InHand) -> str:
    """What becomes of the heaviest piece in hand without an hour at the bench."""
    heaviest = max((node for node, _ in here.roots), key=lambda n: here.find.instance.nodes[n].kg)
    return here.words(here.as_it_is(heaviest)[0], heaviest)


def _cautions(here: InHand, known: list[InHand]) -> Iterator[str]:
    """Hazards of what is done, in the order they are met: the kind's, its operations', of what stays shut."""
    nodes, openings = here.find.instance.nodes, here.find.instance.openings
    yield from here.anatomy.cautions
    for hand in (here, *known):
        for o, _ in hand.runs():
            yield from openings[o].operation.cautions
        for node, _ in hand.ends():
            if stop := nodes[node].piece.stop:
                yield stop


def unquoted(here: InHand) -> Iterator[str]:
    """Grades of what comes out that nobody here prices, by name."""
    instance = here.find.instance
    for node, _ in here.ends():
        sales = [instance.grades[instance.grade_sales[s].grade] for s in instance.sales_of[node]]
        if sales and not any(instance.market.best(grade) for grade in sales):
            yield spoken(instance.scenario, sales[0])


def _ranged(scenario: Scenario, hand: Hand, value: Valued) -> Ranged:
    draws = _draws(scenario, hand)
    if value.test is not None:
        draws = _mixed(scenario, hand, value.test)
    money, hours = draws
    wins = float(np.mean(money - scenario.hours.wage * hours > value.shut))
    return Ranged(spread_of(money, value.brings), spread_of(hours * 60.0, value.minutes), money, wins)


def _draws(scenario: Scenario, hand: Hand) -> Draws:
    return solved(scenario, hand).draws()


def _mixed(scenario: Scenario, hand: Hand, test: Test) -> Draws:
    """Draws of a find that is tested first: it works in as many of them as it is likely to."""
    _, works, fails = (_draws(scenario, world) for world in worlds(hand))
    luck = np.random.default_rng(SEED).random(DRAWS) < test.chance
    mixed: Draws = np.where(luck, works, fails)
    mixed[1] += test.minutes / 60.0
    return mixed
