"""The relaxation with cuts, round by round, and trips that whole legs make: by answers told beforehand, no solver."""

from __future__ import annotations

import math
from itertools import count
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from partway.planning.model.highs import SolverAnswer
from partway.planning.model.linear import Linear
from partway.planning.search import edge_search
from partway.planning.search.edge_search import FEW, ROUNDS_KEPT, EdgeSearch

POINT = np.array([0.0])


def relaxing(monkeypatch: pytest.MonkeyPatch, bounds: Any, cuts: int = 1) -> tuple[Any, list[int]]:
    """A relaxation that is worth 100 and then these, each time with so many cuts that are broken."""
    monkeypatch.setattr(edge_search, "add_reach", lambda *_: 0)
    it: Any = object.__new__(EdgeSearch)
    left, answers, let_go = [cuts], iter(bounds), list[int]()

    def add(_: Any) -> int:
        left[0] -= 1
        return left[0] >= 0

    it._again = lambda *_: (next(answers), POINT)
    it._let_go = lambda _: let_go.append(cuts - left[0])
    vars(it).update(
        solver=SimpleNamespace(
            run=lambda _: SolverAnswer("optimal", POINT, 100.0, 100.0), prices=lambda: None, simplex_steps=7
        ),
        cuts=SimpleNamespace(add=add), pooled=SimpleNamespace(linear=Linear()), bound=math.inf, proved=math.inf,
        prices=None, longest=0,
    )  # fmt: skip
    return it, let_go


def test_rounds_of_cuts_end_where_none_is_broken(monkeypatch: pytest.MonkeyPatch) -> None:
    it, _ = relaxing(monkeypatch, [90.0, 80.0, 70.0], cuts=2)
    it.relax(60.0)
    assert it.bound == 80.0 and it.longest == 7


def test_after_a_few_rounds_in_a_row_that_bring_nothing_there_is_no_other(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two that bring nothing, one that does, then as many as are allowed."""
    it, _ = relaxing(monkeypatch, [100.0, 100.0, 90.0, *[90.0] * FEW, 50.0], cuts=99)
    it.relax(60.0)
    assert it.bound == 90.0


def test_beyond_sixty_rounds_the_last_ten_bounds_have_to_bring_a_hundredth_of_all(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Sixty rounds bring 1 each, the next 0.02: after nine of these the last ten bounds lie 0.18 apart, of 60.18."""
    bounds = [*(100.0 - n for n in range(1, 61)), *(40.0 - 0.02 * n for n in range(1, 99))]
    it, _ = relaxing(monkeypatch, bounds, cuts=999)
    it.relax(60.0, edge_search.MORE_ROUNDS)
    assert it.bound == pytest.approx(40.0 - 9 * 0.02)


def test_rows_that_the_point_does_not_touch_are_let_go_every_few_rounds(monkeypatch: pytest.MonkeyPatch) -> None:
    it, let_go = relaxing(monkeypatch, (100.0 - n for n in count(1)), cuts=99)
    it.relax(60.0, 3 * ROUNDS_KEPT - 1)
    assert let_go == [ROUNDS_KEPT, 2 * ROUNDS_KEPT]
    assert it.bound == 100.0 - (3 * ROUNDS_KEPT - 1)


@pytest.mark.parametrize(("families", "expected"), [((), [95.0, 95.0, 93.0]), (("excluded",), [90.0, 90.0, 90.0])])
def test_the_bound_is_the_least_that_prices_have_proved(
    monkeypatch: pytest.MonkeyPatch, families: tuple[str, ...], expected: list[float]
) -> None:
    """Not the solver's 90. With stops excluded prices prove nothing of all plans."""
    proofs = iter([95.0, 97.0, 93.0])
    monkeypatch.setattr(edge_search, "proved_bound", lambda *_: next(proofs))
    it, _ = relaxing(monkeypatch, [])
    for family in families:
        it.pooled.linear.column("c", 0.0, 1.0)
        it.pooled.linear.row(family, "", [(0, 1.0)], upper=1.0)

    def relax(*_: Any) -> None:
        it.bound, it.prices = min(it.bound, 90.0), POINT

    it._relax = relax
    found = []
    for _ in range(3):
        it.relax(1.0)
        found.append(it.bound)
    assert found == expected


def searched(driven: dict[tuple[int, int], float], trips: int) -> Any:
    """Legs as they are driven; the buyer at place 1 is 10, at 2 it is 20, ..."""
    it: Any = object.__new__(EdgeSearch)
    instance = SimpleNamespace(buyer_at={p: 10 * p for p in range(1, 8)})
    vars(it).update(
        legs=SimpleNamespace(driven=lambda _: driven),
        pooled=SimpleNamespace(trips=trips, model=SimpleNamespace(instance=instance)),
    )
    return it


def test_whole_legs_fall_apart_into_trips_in_the_order_of_their_stops_those_at_home_last() -> None:
    """Home, 3, 4 and back; home and 1 there and back; a leg that is hardly driven is none."""
    driven = {(0, 3): 1.0, (3, 4): 0.9999, (0, 4): 1.0, (0, 1): 2.0, (1, 2): 0.4}
    assert searched(driven, 3).trips(POINT) == (frozenset({10}), frozenset({30, 40}), frozenset())
    assert searched({}, 2).trips(POINT) == (frozenset(), frozenset())


def test_what_is_excluded_is_just_one_choice_of_stops() -> None:
    """Of three buyers the first and the third: 1 + 1 of 2 is too much, and any other choice is not."""
    linear = Linear()
    for c in range(3):
        linear.column(f"c{c}", 0.0, 1.0)
    it: Any = object.__new__(EdgeSearch)
    it.pooled = SimpleNamespace(visits={0: 0, 1: 1, 2: 2}, linear=linear)
    it.exclude(frozenset({0, 2}))
    (terms,), (most,) = linear.rows, linear.row_upper
    over = [n for n in range(8) if sum(a * (n >> c & 1) for c, a in terms) > most]
    assert over == [0b101] and linear.row_families == ["excluded"]


@pytest.mark.parametrize(
    ("value", "feasible", "tried"),
    [(1.0, {1.0}, [1.0]), (1.0, {0.0, 2.0}, [1.0, 0.0]), (1.0, {2.0}, [1.0, 0.0, 2.0]), (0.0, {1.0}, [0.0, -1.0, 1.0])],
)
def test_a_visit_is_as_whole_as_it_can_be_or_one_less_or_one_more(
    value: float, feasible: set[float], tried: list[float]
) -> None:
    """Fewer than none are not solved for. Where the answer breaks cuts it is solved again with them."""
    bounds: list[float] = []
    solved = [0]

    def again(_: int) -> Any:
        solved[0] += 1
        return (1.0, POINT + bounds[-1]) if bounds[-1] in feasible else None

    it: Any = object.__new__(EdgeSearch)
    it._again = again
    vars(it).update(
        solver=SimpleNamespace(bounds=lambda b: bounds.append(b[3][0])),
        longest=0,
        cuts=SimpleNamespace(add=lambda _: 2),
    )
    found = it._rounded(3, value)
    assert bounds == tried and found.tolist() == [tried[-1]]
    assert solved[0] == sum(one >= 0.0 for one in tried) + 1
