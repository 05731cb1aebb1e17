"""Many holdings solved at once: one instance of each kind and condition, their masses as its draws."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from partway.planning.depth.dynamic import DepthTerms, Programme
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.instance.room import with_room
from partway.things.scenario import Find, Scenario, Works
from partway.valuing.finds.hand import Holding, ValuedHolding
from partway.valuing.finds.opened import Solved

BESIDES = ("residue", "copper-2")  # what is left over, and what part prices are counted in

Key = tuple[str, Works, float | None]


@dataclass(frozen=True)
class SolvedTogether:
    """Holdings by kind, condition and mass: each with its solved instance and the node of its whole."""

    views: dict[Key, tuple[Solved, int]]

    def hand(self, holding: Holding) -> ValuedHolding:
        """One of them, valued. KeyError where there is no such one."""
        solved, first = self.views[holding.kind, holding.works, holding.mass_kg]
        index = {piece.id: first + i for i, piece in enumerate(solved.anatomy(first).pieces)}
        return ValuedHolding(solved, tuple((index[piece], count) for piece, count in holding.pieces))


def solved_alone(scenario: Scenario, holding: Holding) -> ValuedHolding:
    """The best of one holding, in an instance of its own."""
    instance = _built(scenario, [Find(holding.kind, 1, holding.works, holding.mass_kg)])
    return SolvedTogether({(holding.kind, holding.works, holding.mass_kg): (Solved.of(instance), 0)}).hand(holding)


def solved_together(scenario: Scenario, holdings: Iterable[Holding]) -> SolvedTogether:
    """The best of many holdings at once."""
    masses: dict[tuple[str, Works], list[float | None]] = {}
    for holding in dict.fromkeys(holdings):
        masses.setdefault((holding.kind, holding.works), []).append(holding.mass_kg)
    instance = _built(scenario, [Find(kind, 1, works) for kind, works in masses])
    firsts: dict[tuple[str, Works], int] = {}
    for n, node in enumerate(instance.nodes):
        find = instance.groups[node.group].find
        firsts.setdefault((find.kind, find.works), n)
    solved = _by_mass(instance, masses)
    views = {(k, w, mg): (solved[i], firsts[k, w]) for (k, w), row in masses.items() for i, mg in enumerate(row)}
    return SolvedTogether(views)


def _by_mass(instance: Instance, masses: dict[tuple[str, Works], list[float | None]]) -> list[Solved]:
    """One view of the same instance for each column of masses: the first of every kind, the second, and so on."""
    most = max(map(len, masses.values()))
    size = np.ones((len(instance.nodes), most))
    for n, node in enumerate(instance.nodes):
        group = instance.groups[node.group]
        for i, mass in enumerate(masses[group.find.kind, group.find.works]):
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
