"""The search where tours are not listed: what is tried next, what counts as better, what is settled. No solver.

Answers are told beforehand; the rules are ours (src/partway/planning/search/cut_search and climb).
"""

from __future__ import annotations

import heapq
import math
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from partway.planning.model.highs import SolverAnswer
from partway.planning.search import climb as climbs
from partway.planning.search import cut_search
from partway.planning.search.climb import WORK, Climb
from partway.planning.search.cut_search import FEW, CutSearch

STOPS = (frozenset({1}),)
OTHERS = (frozenset({2}),)


def searching(**has: Any) -> tuple[Any, list[str]]:
    """A search past its first steps, that notes what it takes."""
    it: Any = object.__new__(CutSearch)
    taken: list[str] = []
    for name in ("_quick", "_first", "_climb", "_best", "_tighter", "_whole", "_by_edges"):
        vars(it)[name] = lambda *_, name=name: taken.append(name)
    facts: dict[str, Any] = {
        "climb": SimpleNamespace(new=False), "proposals": iter(()), "large": False, "tried": set(), "planned": None,
        "climbed": False, "ranked": [], "settled": False, "tight": False, "edges_over": False, "gap": 0.01,
    }  # fmt: skip
    vars(it).update({**facts, **has})
    return it, taken


RANKED = [(-5.0, 1, STOPS)]
TRIED = {(frozenset({n}),) for n in range(100, 100 + FEW)}


@pytest.mark.parametrize(
    ("has", "takes"),
    [
        ({"climb": SimpleNamespace(new=True, from_home=lambda: STOPS)}, "_quick"),
        ({"climb": SimpleNamespace(new=True, from_home=lambda: None), "proposals": iter([STOPS])}, "_quick"),
        ({"proposals": iter([STOPS]), "planned": {}, "ranked": RANKED}, "_quick"),
        ({"proposals": iter([STOPS]), "tried": {STOPS}, "planned": {}, "ranked": RANKED}, "_climb"),
        ({"proposals": iter([STOPS]), "tried": TRIED, "planned": {}, "ranked": RANKED}, "_climb"),
        ({"proposals": iter([STOPS]), "tried": TRIED, "large": True}, "_quick"),
        ({"planned": {}, "climbed": True, "ranked": RANKED}, "_best"),
        ({"planned": {}, "large": True, "ranked": RANKED}, "_best"),
        ({"planned": {}, "large": True, "ranked": RANKED, "settled": True}, "_best"),
        ({"ranked": RANKED, "settled": True}, "_tighter"),
        ({"large": True}, None),
        ({}, "_tighter"),
        ({"tight": True}, "_by_edges"),
        ({"tight": True, "edges_over": True}, "_whole"),
    ],
)
def test_what_is_done_next(has: dict[str, Any], takes: str | None) -> None:
    it, taken = searching(**{**has, "ranked": [*has.get("ranked", ())]})
    it.step(1.0, 1.0)
    assert taken == ([] if takes is None else [takes])


@pytest.mark.parametrize(
    ("large", "settled", "ranked", "over"),
    [(True, True, [], True), (True, True, RANKED, False), (True, False, [], False), (False, True, [], False)],
)
def test_only_a_large_search_ends_before_its_time(large: bool, settled: bool, ranked: list[Any], over: bool) -> None:
    assert searching(large=large, settled=settled, ranked=ranked)[0].exhausted is over


@pytest.mark.parametrize(
    ("objective", "bound", "first"), [(99.5, 100.0, False), (98.0, 100.0, True), (-math.inf, 1.0, True)]
)
def test_a_known_plan_that_is_good_enough_needs_no_first_one(objective: float, bound: float, first: bool) -> None:
    it, taken = searching(proposals=None, bound=math.inf, edges=SimpleNamespace(relax=lambda _: None, bound=bound))
    it._shares = lambda _: iter(())
    it.step(objective, 1.0)
    assert taken == ["_first"] * first and it.bound == bound


class Steps:
    """Fixed tours that answer as told."""

    def __init__(self, worth: float, nearest: float | None, best: SolverAnswer | None = None) -> None:
        self.tours, self.worth, self.told, self.asked = {0: (1.0, 1.0)}, worth, nearest, list[tuple[str, float]]()
        self.answer = best

    def guess(self, _: float) -> SolverAnswer:
        return SolverAnswer("optimal", None, -math.inf, self.worth)

    def nearest(self, _: float, gap: float, least: float) -> SolverAnswer:
        self.asked.append(("nearest", least))
        x = None if self.told is None else np.array([self.told])
        return SolverAnswer("optimal", x, -math.inf if self.told is None else self.told, self.worth)


@pytest.mark.parametrize(
    ("worth", "nearest", "better"),
    [(12.0, 11.0, True), (12.0, 10.0, False), (12.0, 9.0, False), (12.0, None, False), (10.0, 11.0, False)],
)
def test_a_quick_plan_is_taken_where_it_is_better_than_the_one_known(
    monkeypatch: pytest.MonkeyPatch, worth: float, nearest: float | None, better: bool
) -> None:
    """10 is known. Stops of which no plan is worth more are not planned, but ranked with the others."""
    steps = Steps(worth, nearest)
    monkeypatch.setattr(cut_search, "FixedTours", lambda *_: steps)
    it, _ = searching(model=None, cuts=SimpleNamespace(fixed=lambda *_: {}))
    del it._quick
    it._toured = lambda _: {0: None}
    found = it._quick(STOPS, 10.0, 1.0)
    assert (found is not None) is better and (it.planned is not None) is better
    assert it.ranked == [(-worth, 1, STOPS)] and it.tried == {STOPS}
    assert len(steps.asked) == (worth > 10.0)


def test_stops_are_settled_by_the_worst_bound_of_all_their_tours(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two trips of two and one ways to drive: bounds of 12 and 11, plans of 10.5 and 10.8."""
    answers = iter([(10.5, 12.0), (10.8, 11.0)])
    asked: list[float] = []

    def best(_: float, gap: float, objective: float) -> SolverAnswer:
        asked.append(objective)
        worth, bound = next(answers)
        return SolverAnswer("optimal", np.array([worth]), worth, bound)

    monkeypatch.setattr(cut_search, "FixedTours", lambda *_: SimpleNamespace(best=best, tours={}))
    fronts = {STOPS[0]: ["slow", "quick"], OTHERS[0]: ["only"]}
    it, _ = searching(model=None, cuts=SimpleNamespace(fixed=lambda *_: {}, front=fronts.get), done=5.0)
    del it._best
    found = it._best((*STOPS, *OTHERS), 10.0, 9.0)
    assert found is not None and found[0].tolist() == [10.8] and found[2] == {0: "quick", 1: "only"}
    assert it.done == 12.0 and asked == [10.0, 10.5]


@pytest.mark.parametrize(("away", "one_trip", "takes"), [(9.0, 5.0, "cheap"), (8.9, 5.0, "quick"), (9.0, 4.9, "quick")])
def test_the_quickest_tours_are_driven_where_the_cheapest_take_too_long(
    away: float, one_trip: float, takes: str
) -> None:
    """5 and 4 hours with a quarter at each of their stops, or half as long."""
    tours = {(s, name): SimpleNamespace(hours=hours, name=name) for s, name, hours in (
        (STOPS[0], "cheap", 4.75), (STOPS[0], "quick", 2.0), (OTHERS[0], "cheap", 3.75), (OTHERS[0], "quick", 2.0)
    )}  # fmt: skip
    hours = SimpleNamespace(away=away, one_trip=one_trip)
    instance = SimpleNamespace(scenario=SimpleNamespace(hours=hours), on_site_hours=lambda _: 0.25)
    front: Any = lambda s: [tours[s, "cheap"], tours[s, "quick"]]  # noqa: E731
    it, _ = searching(model=SimpleNamespace(instance=instance), cuts=SimpleNamespace(front=front))
    assert {tour.name for tour in it._toured((*STOPS, *OTHERS)).values()} == {takes}


@pytest.mark.parametrize(("listed", "done"), [(True, 5.0), (False, 11.0)])
def test_with_one_trip_stops_that_whole_legs_chose_are_excluded_once_they_are_planned(
    listed: bool, done: float
) -> None:
    """Where not every tour of theirs was planned, their bound is what is known of them."""
    excluded: list[frozenset[int]] = []
    answer = SolverAnswer("optimal", np.array([1.0]), 10.9, 11.0)
    edges = SimpleNamespace(whole=lambda *_: answer, trips=lambda _: STOPS, exclude=excluded.append)
    it, taken = searching(edges=edges, trips=1, done=5.0, bound=99.0, edges_over=False)
    del it._by_edges
    it._listed = lambda _: listed
    it._by_edges(10.0, 1.0)
    assert (excluded, taken, it.edges_over, it.done, it.bound) == ([STOPS[0]], ["_best"], False, done, 11.0)


@pytest.mark.parametrize(
    ("objective", "target"), [(200.0, 201.0), (-200.0, -199.0), (0.5, 0.505), (-math.inf, -math.inf)]
)
def test_what_is_looked_for_is_better_by_half_the_gap(objective: float, target: float) -> None:
    assert searching()[0]._target(objective) == pytest.approx(target)


def test_the_best_ranked_is_planned_first() -> None:
    ranked: list[Any] = []
    for n, (bound, stops) in enumerate(((5.0, STOPS), (9.0, OTHERS))):
        heapq.heappush(ranked, (-bound, n, stops))
    it, _ = searching(ranked=ranked)
    planned: list[Any] = []
    it._best = lambda stops, *_: planned.append(stops)
    it.step(1.0, 1.0)
    assert planned == [OTHERS] and it.settled


# --- the climb ---------------------------------------------------------------------------------------------


def climbing(trips: int, groups: int, near: Any = None) -> Any:
    it: Any = object.__new__(Climb)
    instance = SimpleNamespace(groups=range(groups), supply=(1.0, 2.0))
    vars(it).update(
        model=SimpleNamespace(instance=instance), trips=trips, near=near, new=True,
        cuts=SimpleNamespace(buyers=frozenset), _counting_on=lambda there: ("near", there),
        _stops=lambda near, stops, work: (near, stops, work),
    )  # fmt: skip
    return it


@pytest.mark.parametrize(("trips", "groups", "begins"), [(1, 0, True), (1, 2, False), (2, 0, False)])
def test_a_climb_begins_at_home_with_one_trip_and_nothing_to_open(trips: int, groups: int, begins: bool) -> None:
    it = climbing(trips, groups)
    near = ("near", (1.0, 2.0))
    assert it.from_home() == ((near, (frozenset(),), 0) if begins else None)
    assert it.new is False and it.near == (near if begins else None)


def test_before_each_proposal_the_best_near_it_is_tried() -> None:
    assert [*climbing(1, 0, "near").proposals(iter([STOPS, OTHERS]))] == [
        ("near", STOPS, 0), STOPS, ("near", OTHERS, 0), OTHERS,
    ]  # fmt: skip
    assert [*climbing(2, 0).proposals(iter([STOPS]))] == [STOPS]


@pytest.mark.parametrize(("near", "groups", "by_arithmetic"), [("near", 0, True), ("near", 2, False), (None, 0, False)])
def test_stops_near_a_plan_are_valued_by_arithmetic_where_nothing_is_opened(
    monkeypatch: pytest.MonkeyPatch, near: str | None, groups: int, by_arithmetic: bool
) -> None:
    monkeypatch.setattr(climbs, "Neighbours", lambda *_: SimpleNamespace(climbed=lambda *_: {0: (7,)}))
    found = climbing(1, groups, near).further({0: (1,)}, 1.0)
    assert found == (("near", STOPS, WORK) if by_arithmetic else (frozenset({7}),))


def test_what_was_learned_of_the_relaxation_is_how_much_there_is_of_each_grade(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(climbs, "there_of", lambda *_: {1: 4.0, 0: 3.0})
    for trips, near in ((1, ("near", [3.0, 4.0])), (2, None)):
        it = climbing(trips, 0)
        it.model.instance.grades = ["iron", "board"]
        it.learn(None, None)
        assert it.near == near
