"""The tree of visits, tiers and tours, step by step: what is solved, what stays open, what is put back. No solver.

The rules are ours (src/partway/planning/search/tree, after Land and Doig 1960); numbers are told and counted by hand.
"""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from partway.planning.model.fit_cuts import BROKEN
from partway.planning.model.linear import Linear
from partway.planning.search import tree as trees
from partway.planning.search.tree import Bounds, Branch, Tree


def some(**has: Any) -> Any:
    """A tree with these attributes and no others."""
    it = object.__new__(Tree)
    vars(it).update(has)
    return it


def branch(bound: float, number: int = 0, bounds: Bounds | None = None) -> Branch:
    return Branch(-bound, number, bounds or {}, np.array([float(number)]))


class Relaxed:
    """A solver that notes what it is told, and answers with a bound for each time it is asked."""

    def __init__(self, *bounds: float) -> None:
        self.answers = iter(bounds)
        self.told: list[Any] = []

    def bounds(self, bounds: Bounds) -> None:
        self.told.append(dict(bounds))

    def add_row(self, terms: Any, lower: float, upper: float) -> None:
        self.told.append(("row", terms, lower, upper))

    def free_row(self, row: int) -> None:
        self.told.append(("free", row))

    def again(self) -> tuple[float, Any] | None:
        bound = next(self.answers)
        return None if bound == -math.inf else (bound, np.array([bound]))


def linear(columns: int) -> Linear:
    it = Linear()
    for c in range(columns):
        it.column(f"c{c}", 0.0, 9.0)
    return it


def solving(*bounds: float) -> Any:
    of = linear(3)
    return some(
        pooled=SimpleNamespace(linear=of), solver=Relaxed(*bounds), rows=0, changed=set(), solved=0, open=[],
        lower=np.array([0.0, 1.0, 2.0]), upper=np.array([7.0, 8.0, 9.0]),
    )  # fmt: skip


def test_a_part_of_the_tree_is_solved_within_its_own_bounds_and_no_others() -> None:
    """What the part before had changed goes back to where it was."""
    tree = solving(8.0, 7.0, 6.0)
    tree.solve({0: (0.0, 2.0), 1: (3.0, 3.0)})
    second = tree.solve({1: (1.0, 2.0)})
    tree.solve({})
    assert tree.solver.told == [
        {0: (0.0, 2.0), 1: (3.0, 3.0)},
        {0: (0.0, 7.0), 1: (1.0, 2.0)},
        {1: (1.0, 8.0)},
    ]
    assert (second.bound, second.number, second.bounds) == (7.0, 2, {1: (1.0, 2.0)}) and tree.solved == 3


def test_rows_that_were_added_since_are_told_once() -> None:
    tree = solving(8.0, 7.0, -math.inf)
    tree.pooled.linear.row("said", "", [(0, 1.0)], upper=5.0)
    tree.solve({})
    tree.pooled.linear.row("said", "", [(1, 1.0)], lower=2.0)
    tree.solve({})
    assert tree.solve({}) is None, "a part without any point"
    assert tree.solver.told == [
        ("row", [(0, 1.0)], -math.inf, 5.0), {}, ("row", [(1, 1.0)], 2.0, math.inf), {}, {},
    ]  # fmt: skip


def test_what_a_row_proves_leaves_the_tree_without_the_row() -> None:
    tree = solving(8.0, 7.0)
    added_up = iter([9.0, 6.0])
    tree._added_up = lambda: next(added_up)
    assert tree.proved([(0, 2.0)], 3.0) == (9.0, 6.0)
    of = tree.pooled.linear
    assert of.rows == [[(0, 2.0)]] and of.row_upper == [math.inf]
    assert tree.solver.told == [{}, ("row", [(0, 2.0)], -math.inf, 3.0), {}, ("free", 0)]


def test_a_dive_solves_a_part_again_with_the_rows_that_it_breaks() -> None:
    """First a row is broken, then none, and nothing is left to branch on."""
    found = iter([2, 0])
    solved: list[Bounds] = []

    def solve(bounds: Bounds) -> Branch:
        solved.append(bounds)
        return branch(9.0, 1, {3: (1.0, 1.0)})

    tree = some(open=[branch(10.0, 0, {3: (1.0, 1.0)})], solve=solve)
    tree._split = lambda _: []
    tree.fit = SimpleNamespace(add=lambda *_: next(found))
    on = tree.dive(5.0, math.inf)
    assert on is not None and on.number == 1 and solved == [{3: (1.0, 1.0)}]


@pytest.mark.parametrize(("split", "least"), [([0], trees.WORTH_A_ROW), ([], BROKEN)])
def test_rows_that_hardly_move_anything_wait_until_all_is_whole(split: list[int], least: float) -> None:
    asked: list[float] = []
    tree = some(open=[branch(10.0)], _split=lambda _: split, _branch=lambda *_: None)

    def add(_: Any, worth: float) -> int:
        asked.append(worth)
        return 0

    tree.fit = SimpleNamespace(add=add)
    tree.dive(5.0, math.inf)
    assert asked == [least]


def test_a_part_that_is_not_good_enough_any_more_stays_open_and_bounds_what_is_left() -> None:
    """After a branch 4 is left of 10, where better than 5 is looked for; beside it 3 was open already."""
    tree = some(open=[branch(10.0), branch(3.0)], _split=lambda _: [0], _branch=lambda *_: branch(4.0, 7))
    tree.fit = SimpleNamespace(add=lambda *_: 0)
    assert tree.dive(5.0, math.inf) is None
    assert sorted(one.bound for one in tree.open) == [3.0, 4.0] and tree.bound == 4.0


def test_when_time_is_up_the_part_that_was_looked_at_stays_open(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(trees, "time", SimpleNamespace(monotonic=lambda: 8.0))
    tree = some(open=[branch(10.0)])
    assert tree.dive(5.0, 7.0) is None and tree.bound == 10.0


def test_tours_are_split_on_once_all_else_is_whole_and_trips_that_stay_home_never(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Columns 0 and 1 are a visit and a tier, 2 and 3 tours, 4 counts trips that stay home, 5 is a mass."""
    monkeypatch.setattr(trees, "Solver", lambda *_, **__: None)
    monkeypatch.setattr(trees, "FitCuts", lambda _: None)
    monkeypatch.setattr(Tree, "_root", lambda _: None)
    pooled: Any = SimpleNamespace(
        linear=linear(6), tours={0: 2, 1: 3}, idle=4, whole=lambda counts: [True] * 5 + [False] if not counts else []
    )
    tree = Tree(pooled)
    assert [kind.tolist() for kind in tree.kinds] == [[0, 1], [2, 3]]
    assert tree._split(np.array([1.0, 0.5, 0.3, 0.7, 0.5, 0.5])) == [1]
    assert tree._split(np.array([1.0, 0.0, 0.3, 0.7, 0.5, 0.5])) == [3], "of tours the one that is driven most"
    assert tree._split(np.array([1.0, 0.0, 2.0, 1.0, 0.5, 0.5])) == []
