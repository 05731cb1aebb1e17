"""The best plan for fixed tours in two steps, and what each step is asked: by answers told beforehand, no solver.

Worked by hand from what the prices of the rows bound (src/partway/planning/search/stages): the rules are ours.
"""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from partway.planning.model.highs import SolverAnswer
from partway.planning.search import in_haste as haste
from partway.planning.search import stages
from partway.planning.search.branching import Losses
from partway.planning.search.stages import GUESS, NO_TRIES, ROUNDS, FixedTours

TOURS = {0: (1.0, 1.0)}
CHOICES = {1: (1.0, 1.0)}
CORE = {2: (0.0, 0.0)}


def settled(worth: float) -> dict[int, tuple[float, float]]:
    """Marked by what the plans left are worth more than."""
    return {3: (worth, worth)}


def answer(objective: float | None, bound: float = math.inf, status: str = "optimal") -> SolverAnswer:
    x = None if objective is None else np.array([objective])
    return SolverAnswer(status, x, -math.inf if objective is None else objective, bound)


def by_prices(monkeypatch: pytest.MonkeyPatch, bound: float | None, *told: SolverAnswer) -> tuple[Any, list[Any]]:
    """Fixed tours whose relaxation is worth `bound` at the most (None: has no prices); each step answers in turn."""
    it: Any = object.__new__(FixedTours)
    priced = None if bound is None else SimpleNamespace(bound=bound, core=lambda: CORE, settled=settled)
    monkeypatch.setattr(stages, "_prices", lambda *_: priced)
    asked: list[Any] = []
    answers = iter(told)

    def within(fixed: Any, until: float, gap: float, cutoff: float, options: Any = None) -> SolverAnswer:
        asked.append((fixed, cutoff, options))
        return next(answers)

    solver = SimpleNamespace(bounds=lambda _: None, again=lambda: (0.0, None))
    vars(it).update(tours=TOURS, _shrunk=SimpleNamespace(bounds=dict), _within=within, _relaxed=lambda *_: solver)
    return it, asked


@pytest.mark.parametrize("bound", [None, math.inf])
def test_where_prices_say_nothing_there_are_no_two_steps(monkeypatch: pytest.MonkeyPatch, bound: float | None) -> None:
    it, asked = by_prices(monkeypatch, bound)
    assert it._by_prices(9.0, 0.01, -math.inf, {}) is None and not asked


def test_first_what_costs_nothing_to_move_then_what_may_be_better_than_that(monkeypatch: pytest.MonkeyPatch) -> None:
    """90 is found of 100; better by a hundredth is what is worth more than 90.9."""
    it, asked = by_prices(monkeypatch, 100.0, answer(90.0), answer(95.0, 96.0))
    found = it._by_prices(9.0, 0.01, -math.inf, {})
    assert (found.objective, found.bound) == (95.0, 96.0)
    assert asked == [
        ({**TOURS, **CORE}, -math.inf, None),
        ({**TOURS, **settled(90.0 + 0.01 * 90.0)}, 90.0 + 0.01 * 90.0, NO_TRIES),
    ]


@pytest.mark.parametrize(("rest", "bound"), [(85.0, 90.9), (96.0, 96.0), (120.0, 100.0)])
def test_where_nothing_better_is_found_the_first_plan_is_the_best_within_the_gap(
    monkeypatch: pytest.MonkeyPatch, rest: float, bound: float
) -> None:
    """What was looked for is worth more than 90.9, so that no lower bound holds for all plans; none is above 100."""
    it, _ = by_prices(monkeypatch, 100.0, answer(90.0), answer(None, rest, "limit"))
    found = it._by_prices(9.0, 0.01, -math.inf, {})
    assert found.x is not None and (found.objective, found.status) == (90.0, "limit")
    assert found.bound == pytest.approx(bound)


def test_a_first_plan_within_the_gap_of_the_bound_is_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    it, asked = by_prices(monkeypatch, 100.0, answer(99.5))
    found = it._by_prices(9.0, 0.01, -math.inf, {})
    assert found.objective == 99.5 and found.bound == pytest.approx(99.5 * 1.01) and len(asked) == 1


@pytest.mark.parametrize("better", [98.5, None])
def test_where_a_plan_is_known_only_better_ones_are_looked_for(
    monkeypatch: pytest.MonkeyPatch, better: float | None
) -> None:
    it, asked = by_prices(monkeypatch, 100.0, answer(better, 98.9))
    found = it._by_prices(9.0, 0.01, 97.0, {})
    assert asked == [({**TOURS, **settled(97.0 + 0.97)}, 97.0 + 0.97, NO_TRIES)]
    assert (found.x is None) == (better is None) and found.objective == (better or 97.0) and found.bound == 98.9


def test_choices_that_are_known_are_tried_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """Near them a plan is looked for that is worth the bound less seven in ten thousand."""
    it, asked = by_prices(monkeypatch, 100.0, answer(99.95), answer(None, 99.96))
    found = it._by_prices(9.0, 1e-6, -math.inf, CHOICES)
    least = 100.0 - GUESS * 100.0
    assert asked[0] == ({**CHOICES, **TOURS, **settled(least)}, least, None)
    assert asked[1][1] == pytest.approx(99.95 * (1.0 + 1e-6)) and len(asked) == 2
    assert (found.objective, found.bound) == (99.95, 99.96)


@pytest.mark.parametrize("near", [99.9, None])
def test_choices_that_lead_to_no_plan_as_good_as_that_are_given_up(
    monkeypatch: pytest.MonkeyPatch, near: float | None
) -> None:
    it, asked = by_prices(monkeypatch, 100.0, answer(near), answer(90.0), answer(95.0, 96.0))
    found = it._by_prices(9.0, 0.01, -math.inf, CHOICES)
    assert [one[0] for one in asked[1:]] == [{**TOURS, **CORE}, {**TOURS, **settled(90.0 + 0.01 * 90.0)}]
    assert found.objective == 95.0


@pytest.mark.parametrize(("known", "tries"), [(97.0, 2), (99.95, 1)])
def test_choices_are_tried_beside_a_plan_that_is_far_from_the_bound(
    monkeypatch: pytest.MonkeyPatch, known: float, tries: int
) -> None:
    """Far is a thousandth of it. 99.99 near the choices is better than the plan known, and then the one to beat."""
    it, asked = by_prices(monkeypatch, 100.0, *[answer(99.99)] * (tries - 1), answer(None, 99.995))
    found = it._by_prices(9.0, 1e-6, known, CHOICES)
    assert len(asked) == tries
    assert found.objective == (99.99 if tries == 2 else known)


def test_a_try_without_a_plan_leaves_the_one_known_to_beat(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing near the choices, nothing out of the core: 97 and a hundredth more is still what counts."""
    it, asked = by_prices(monkeypatch, 100.0, answer(None), answer(None), answer(None, 99.0))
    found = it._by_prices(9.0, 0.01, 97.0, CHOICES)
    assert asked[-1][1] == 97.0 + 0.97 and found.objective == 97.0


@pytest.mark.parametrize(("broken", "looks"), [(0, 0), (2, 2), (99, ROUNDS)])
def test_rows_that_the_relaxation_breaks_are_added_for_some_rounds(
    monkeypatch: pytest.MonkeyPatch, broken: int, looks: int
) -> None:
    left, solved = [broken], list[int]()

    class Relaxed:
        def __init__(self, *_: Any, **__: Any) -> None: ...

        def bounds(self, _: Any) -> None: ...

        def run(self, _: float) -> SolverAnswer:
            return answer(1.0)

        def with_rows(self, first: int) -> SolverAnswer:
            solved.append(first)
            return answer(1.0)

    def add(_: Any) -> int:
        left[0] -= 1
        return left[0] >= 0

    monkeypatch.setattr(stages, "Solver", Relaxed)
    monkeypatch.setattr(stages, "reach_of_part", lambda *_: SimpleNamespace(add=add))
    it: Any = object.__new__(FixedTours)
    vars(it).update(model=None, _shrunk=SimpleNamespace(linear=SimpleNamespace(rows=[0, 0, 0]), number={}))
    assert it._relaxed({}, 9.0) is not None
    assert solved == [3] * looks


# --- what comes before -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("pieces", "listed", "tried"),
    [(3999, False, False), (4000, False, True), (19999, True, False), (20000, True, True)],
)
def test_only_large_instances_are_planned_in_haste_and_larger_ones_where_tours_are_listed(
    monkeypatch: pytest.MonkeyPatch, pieces: int, listed: bool, tried: bool
) -> None:
    def reached(_: Any) -> Any:
        raise KeyError

    monkeypatch.setattr(haste, "torn_down", reached)
    instance: Any = SimpleNamespace(nodes=range(pieces), tours=() if listed else None)
    if tried:
        with pytest.raises(KeyError):
            haste.in_haste(instance, 1.0)
    else:
        assert haste.in_haste(instance, 1.0) is None


def test_a_column_is_known_once_both_its_sides_were_seen() -> None:
    losses = Losses()
    assert not losses.sure(0)
    losses.learn(0, False, 1.0)
    assert not losses.sure(0)
    losses.learn(1, True, 1.0)
    assert not losses.sure(0)
    losses.learn(0, True, 1.0)
    assert losses.sure(0)
