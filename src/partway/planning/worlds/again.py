"""The plan made again in single worlds: what one would have decided, had one known.

A world is a scenario whose prices and masses are as drawn there. Minutes stay as they are on average, since nobody
knows them before the work is done.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from partway.errors import PlanUnsound
from partway.planning.check.verify import Checked, verify
from partway.planning.depth.dynamic import Draws
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.search.search import search
from partway.planning.worlds.draws import WorldDraws, draw_worlds
from partway.planning.worlds.fixed import FixedPlan
from partway.planning.worlds.outcome import Worlds
from partway.things.anatomy import Anatomy
from partway.things.estimate import Estimate
from partway.things.scenario import Buyer, Scenario

TIMES = 50  # plans made again
GAP = 1e-3  # of a plan in one world: what is compared with it differs by more
OnWorld = Callable[[int, int], None]  # how many are done, of how many


@dataclass(frozen=True)
class Again:
    """Plans to choose among, the decided one first, and their money (plans, n) in the worlds; luck as it is on average.

    `solved` is in how many worlds the plan was made again: in those the best of all plans is among them. In `same_trip`
    of them it drives to the same places as the decided one.
    """

    worlds: Worlds
    plans: tuple[FixedPlan, ...]
    totals: Draws
    solved: int
    same_trip: int


def plan_again(
    instance: Instance, checked: Checked, seconds: float, times: int = TIMES, on_world: OnWorld | None = None
) -> Again:
    """Plan in the first `times` of the drawn worlds, as far as `seconds` allow."""
    worlds = Worlds(instance, draw_worlds(instance))
    plans, until = [FixedPlan.of(instance, checked)], time.monotonic() + seconds
    for i in range(times):
        if time.monotonic() > until:
            break
        if on_world is not None:
            on_world(i, times)
        plans.append(_planned(instance, worlds.drawn, i, until - time.monotonic()))
    solved = len(plans) - 1
    different = [plan for plan in _different(plans) if plan is plans[0] or worlds.carries(plan)]
    wage = instance.scenario.hours.wage
    totals = [worlds.outcome(plan, lucky=False).total(wage) for plan in different]
    same = sum(set(plan.stops) == set(plans[0].stops) for plan in plans[1:])
    return Again(worlds, tuple(different), np.array(totals), solved, same)


def _different(plans: list[FixedPlan]) -> list[FixedPlan]:
    """The decided plan, and one of each other thing to do, the most frequent first."""
    often = Counter(plan.does for plan in plans[1:])
    one = {plan.does: plan for plan in reversed(plans)}
    others = [one[does] for does, _ in often.most_common() if does != plans[0].does]
    return [plans[0], *others]


def _planned(instance: Instance, drawn: WorldDraws, i: int, seconds: float) -> FixedPlan:
    there = build(scenario_at(instance, drawn, i), like=instance)
    if (there.grades, len(there.nodes), len(there.openings)) != (
        instance.grades,
        len(instance.nodes),
        len(instance.openings),
    ):
        raise PlanUnsound("a plan made again has other grades or pieces than the plan")
    return FixedPlan.of(there, verify(there, search(there, max(0.1, seconds), GAP).decision))


def scenario_at(instance: Instance, drawn: WorldDraws, i: int) -> Scenario:
    """The scenario as it is in one world: nothing in it has a range any more."""
    scenario = instance.scenario
    kinds = {**scenario.anatomies, **_anatomies(instance, drawn, i)}
    buyers = tuple(_quoted(b, drawn, i) for b in scenario.buyers)
    return replace(scenario, buyers=buyers, anatomies=kinds, room=instance.market.room)


def _quoted(buyer: Buyer, drawn: WorldDraws, i: int) -> Buyer:
    quotes = (
        replace(q, price=Estimate.exact(float(drawn.prices[buyer.id, q.grade, q.least_kg][i]))) for q in buyer.quotes
    )
    return replace(buyer, quotes=tuple(quotes))


def _anatomies(instance: Instance, drawn: WorldDraws, i: int) -> dict[str, Anatomy]:
    """Kinds with masses as drawn; by finds that were not weighed, where there are any."""
    size: dict[tuple[str, str], float] = {}
    groups = [instance.groups[node.group] for node in instance.nodes]
    for n in sorted(range(len(groups)), key=lambda n: groups[n].find.mass_kg is None):
        size[groups[n].find.kind, instance.nodes[n].piece.id] = float(drawn.sizes[n, i])
    kinds = {group.find.kind for group in instance.groups}
    return {kind: _drawn(instance.scenario.anatomies[kind], size) for kind in kinds}


def _drawn(anatomy: Anatomy, size: Mapping[tuple[str, str], float]) -> Anatomy:
    masses = ((p, p.mass.mean * size.get((anatomy.kind, p.id), 1.0)) for p in anatomy.pieces)
    return replace(anatomy, pieces=tuple(replace(p, mass=Estimate.exact(kg)) for p, kg in masses))
