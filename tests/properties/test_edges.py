"""Legs with cuts: plans without listed tours are worth what trying everything is worth, and no bound lies below that.

The other side is tests/brute.py, which shares no code with planning. The scenarios are those that it can try; here
their tours are not listed, as if there were more than twelve places.
"""

from __future__ import annotations

import dataclasses
import math
from functools import cache

import pytest
from brute import tried
from tiny import errands, scenario
from tiny_fees import with_fees
from tiny_ways import detours

from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.model.milp import formulate
from partway.planning.model.pooled import pool
from partway.planning.search.edge_search import EdgeSearch
from partway.planning.search.search import SearchFound, search
from partway.planning.search.tour_bounds import TourCuts
from partway.things.scenario import Scenario

LONG = 600.0
CLOSE = 1e-6  # of the objective, or of one currency unit
DRAWN = {
    **{f"tiny-{seed}": (scenario, seed) for seed in range(600, 640)},
    **{f"errands-{seed}": (errands, seed) for seed in range(100, 125)},
    **{f"detours-{seed}": (detours, seed) for seed in range(200, 215)},
    **{f"fees-{seed}": (with_fees, seed) for seed in range(300, 330)},
}


@cache
def best_of(name: str) -> float | None:
    """The best total by trying everything; None where nobody is driven to or that would take too long."""
    it = drawn(name)
    if it.vehicle is None or not any(b.is_visited for b in it.buyers) or not it.hours.trips:
        return None
    return tried(it)


def drawn(name: str) -> Scenario:
    """The scenario of a name."""
    make, seed = DRAWN[name]
    return make(seed)


def unlisted(name: str) -> Instance:
    """Its instance, with no tours listed. Where somebody is open for part of the day they have to be."""
    instance = build(drawn(name))
    return instance if instance.opening.part else dataclasses.replace(instance, tours=None)


@cache
def planned(name: str) -> SearchFound:
    """Its plan, closed as far as it goes."""
    return search(unlisted(name), LONG, 1e-8)


@pytest.mark.parametrize("block", range(8))
def test_plans_by_legs_are_worth_what_trying_everything_is_worth(block: int) -> None:
    for name in list(DRAWN)[block::8]:
        best = best_of(name)
        if best is None:
            continue
        instance = unlisted(name)
        found = planned(name)
        assert verify(instance, found.decision).money.total == pytest.approx(found.objective, abs=1e-6)
        assert found.objective == pytest.approx(best, abs=CLOSE * max(1.0, abs(best))), name
        assert found.bound >= best - CLOSE * max(1.0, abs(best)), name
        assert found.optimal, name


@pytest.mark.parametrize("block", range(4))
def test_no_cut_leaves_the_best_plan_out(block: int) -> None:
    """Neither the relaxation nor the programme with whole legs is worth less than the best plan."""
    for name in list(DRAWN)[block::4]:
        best = best_of(name)
        instance = unlisted(name)
        if best is None or instance.tours is not None:
            continue
        slack = CLOSE * max(1.0, abs(best))
        model = formulate(instance)
        tours = TourCuts(model)
        tours.add_legs()
        edges = EdgeSearch(pool(model), tours)
        edges.relax(LONG)
        assert edges.bound >= best - slack, name
        assert edges.whole(LONG, 0.0, -math.inf).bound >= best - slack, name


def test_enough_of_them_drive_to_several_places() -> None:
    """At least 25 that were tried drive, and 10 of them stop twice on a trip or drive twice."""
    driving, several = 0, 0
    for name in DRAWN:
        if best_of(name) is not None:
            tours = [tour for tour in planned(name).decision.tours if tour]
            driving += bool(tours)
            several += len(tours) > 1 or any(len(tour.stops) > 1 for tour in tours)
    assert driving >= 25
    assert several >= 10
