"""Many holdings solved at once: one instance of each kind and condition, their masses as its draws."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from partway.planning.depth.dynamic import DepthTerms, Programme
from partway.planning.instance.build import alike, build
from partway.planning.instance.frozen import Instance
from partway.planning.instance.room import with_room
from partway.things.scenario import Find, Scenario, Works
from partway.valuing.finds.hand import Holding, ValuedHolding
from partway.valuing.finds.opened import Solved

BESIDES = ("residue", "copper-2")  # what is left over, and what part prices are counted in

Sort = tuple[str, Works, float | None]  # kind, condition, chance to work
Key = tuple[Sort, float | None]  # and mass


@dataclass(frozen=True)
class SolvedTogether:
    """Holdings by kind, condition, chance and mass: each with its solved instance and the node of its whole."""

    views: dict[Key, tuple[Solved, int]]

    def hand(self, holding: Holding) -> ValuedHolding:
        """One of them, valued. KeyError where there is no such one."""
        solved, first = self.views[_sort(holding.find), holding.mass_kg]
        index = {piece.id: first + i for i, piece in enumerate(solved.anatomy(first).pieces)}
        return ValuedHolding(solved, tuple((index[piece], count) for piece, count in holding.pieces))


def solved_alone(scenario: Scenario, holding: Holding) -> ValuedHolding:
    """The best of one holding, in an instance of its own."""
    instance = _built(scenario, [holding.find])
    return SolvedTogether({(_sort(holding.find), holding.mass_kg): (Solved.of(instance), 0)}).hand(holding)


def solved_together(scenario: Scenario, holdings: Iterable[Holding]) -> SolvedTogether:
    """The best of many holdings at once."""
    masses: dict[Sort, dict[float | None, int]] = {}
    for holding in holdings:
        row = masses.setdefault(_sort(holding.find), {})
        row.setdefault(holding.mass_kg, len(row))
    instance = _built(scenario, [Find(kind, 1, works, None, chance) for kind, works, chance in masses])
    firsts: dict[Sort, int] = {}
    for n, node in enumerate(instance.nodes):
        firsts.setdefault(_sort(instance.groups[node.group].find), n)
    solved = _by_mass(instance, masses)
    views = {(sort, mass): (solved[i], firsts[sort]) for sort, row in masses.items() for mass, i in row.items()}
    return SolvedTogether(views)


def _sort(find: Find) -> Sort:
    one = alike(find)
    return one.kind, one.works, one.chance


def _by_mass(instance: Instance, masses: Mapping[Sort, Collection[float | None]]) -> list[Solved]:
    """One view of the same instance for each column of masses: the first of every kind, the second, and so on."""
    most = max(map(len, masses.values()))
    size = np.ones((len(instance.nodes), most))
    for n, node in enumerate(instance.nodes):
        group = instance.groups[node.group]
        for i, mass in enumerate(masses[_sort(group.find)]):
            size[n, i] = 1.0 if mass is None else mass / group.anatomy.whole.mass.mean
    programme, terms = Programme(instance), DepthTerms.expected(instance)
    values = programme.values(replace(terms, size=size))
    return [
        Solved(
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
    return build(replace(with_room(scenario), finds=tuple(finds), buyers=buyers, stock={}, vehicle=None))
