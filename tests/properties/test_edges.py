"""Legs with cuts: plans without listed tours are worth what trying everything is worth, and no bound lies below that.

The other side is tests/brute.py, which shares no code with planning. The scenarios are those that it can try; here
their tours are not listed, as if there were more than twelve places.
"""

from __future__ import annotations

import dataclasses
import math
from functools import cache
from typing import Any

import numpy as np
import pytest
from brute import tried
from tiny import errands, scenario
from tiny_fees import with_fees
from tiny_ways import detours

from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.model.highs import Solver, SolverAnswer, Values
from partway.planning.model.milp import formulate
from partway.planning.model.pooled import pool
from partway.planning.search.edge_search import EdgeSearch
from partway.planning.search.search import SearchFound, search
from partway.planning.search.tour_bounds import TourCuts
from partway.things.scenario import Scenario

LONG = 600.0
LESS = 0.01  # currency units
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
def test_no_cut_leaves_the_best_plan_out(block: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither the relaxation nor the programme with whole legs is worth less than the best plan; nor is that with the
    columns left out that no plan worth a little less than the best one has.
    """
    monkeypatch.setattr("partway.planning.search.edge_search.ROUNDS_KEPT", 1)
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
        near = edges.whole(LONG, 0.0, best - LESS)
        assert near.x is not None, name
        assert near.objective >= best - slack, name


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


# --- the bound of the relaxation does not rest on the solver's word ------------------------------------


class LiesAboutWorth(Solver):
    """Says that its relaxations are worth 5.00 less than they are."""

    def run(self, *given: Any, **named: Any) -> SolverAnswer:
        answer = super().run(*given, **named)
        return dataclasses.replace(answer, objective=answer.objective - 5.0, bound=answer.bound - 5.0)

    def again(self, seconds: float = math.inf, most: int | None = None) -> tuple[float, Values] | None:
        answer = super().again(seconds, most)
        return None if answer is None else (answer[0] - 5.0, answer[1])


class LiesAboutPrices(LiesAboutWorth):
    """And gives prices that are not those of its answer."""

    def prices(self) -> Values | None:
        right = super().prices()
        return None if right is None else right * np.linspace(0.5, 1.2, len(right))


@pytest.mark.parametrize("liar", [LiesAboutWorth, LiesAboutPrices])
def test_a_solver_that_lies_about_the_relaxation_lowers_no_bound(
    liar: type[Solver], monkeypatch: pytest.MonkeyPatch
) -> None:
    believed = proved = 0
    for name in [*list(DRAWN)[:40], *list(DRAWN)[-10:]]:
        best, instance = best_of(name), unlisted(name)
        if best is None or instance.tours is not None:
            continue
        monkeypatch.setattr("partway.planning.search.edge_search.Solver", liar)
        edges = relaxed(instance)
        proved += math.isfinite(edges.proved)
        if math.isfinite(edges.proved):
            assert edges.bound >= best - CLOSE * max(1.0, abs(best)), name
        monkeypatch.setattr("partway.planning.search.edge_search.proved_bound", lambda *_: math.inf)
        believed += relaxed(instance).bound < best - 1.0
        monkeypatch.undo()
    assert proved >= 25 and believed >= 15


def relaxed(instance: Instance) -> EdgeSearch:
    """Its relaxation, solved with cuts."""
    model = formulate(instance, loose=True)
    cuts = TourCuts(model)
    cuts.add_legs()
    edges = EdgeSearch(pool(model), cuts)
    edges.relax(LONG)
    return edges


def test_what_is_proved_is_what_the_relaxation_is_worth(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("partway.planning.search.edge_search.ROUNDS_KEPT", 1)
    same = 0
    for name in list(DRAWN)[:40]:
        if best_of(name) is None or unlisted(name).tours is not None:
            continue
        proved = relaxed(unlisted(name))
        with monkeypatch.context() as patched:
            patched.setattr("partway.planning.search.edge_search.proved_bound", lambda *_: math.inf)
            said = relaxed(unlisted(name))
        assert proved.bound == pytest.approx(said.bound, rel=1e-6, abs=1e-6), name
        same += math.isfinite(proved.proved)
    assert same >= 20
