"""The climb among stops: how many it tries, and when whole legs have said their word. By counting, no solver."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

import pytest

from partway.planning.search.cut_search import CutSearch
from partway.planning.search.neighbours import MOST_TRIES, Neighbours
from partway.planning.search.tour_bounds import Toured


class Flat(Neighbours):
    """Every change fits and none is better, except those of the buyers named."""

    def __init__(self, buyers: int, *, better: int = -1) -> None:
        self.model = cast("Any", SimpleNamespace(columns=SimpleNamespace(visits=[(i, 0) for i in range(buyers)])))
        self.better, self.tried = better, list[int]()

    def _stops(self, toured: Toured, buyer: int, k: int) -> bool:
        return False

    def _changed(self, toured: Toured, buyer: int, k: int) -> Toured | None:
        self.tried.append(buyer)
        return toured

    def _worth(self, toured: Toured, seconds: float) -> float:
        return 1.0 if self.tried and self.tried[-1] == self.better and self.tried.count(self.better) == 1 else 0.0


@pytest.mark.parametrize("more", [0, 1, 20])
def test_so_many_changes_are_tried_and_no_more(more: int) -> None:
    some = Flat(MOST_TRIES + more)
    some.climbed({0: None}, 60.0)
    assert some.tried == list(range(MOST_TRIES))


def test_where_no_change_helps_each_is_tried_once_and_after_one_that_does_each_once_more() -> None:
    few = Flat(7)
    few.climbed({0: None}, 60.0)
    assert few.tried == list(range(7))
    better = Flat(7, better=4)
    better.climbed({0: None}, 60.0)
    assert better.tried == [*range(5), 5, 6, *range(5)]


@pytest.mark.parametrize(("trips", "over"), [(1, False), (2, True), (3, True)])
def test_whole_legs_that_find_nothing_better_are_asked_again_for_one_trip_only(trips: int, over: bool) -> None:
    """With one trip they say more once stops are excluded; with several the whole programme is next."""
    nothing = SimpleNamespace(x=None, objective=0.0, bound=5.0)
    bounds: list[float] = []
    search = SimpleNamespace(
        trips=trips, gap=0.01, done=-1.0, edges_over=None, _target=float, _bounded=bounds.append,
        edges=SimpleNamespace(whole=lambda *_: nothing),
    )  # fmt: skip
    assert CutSearch._by_edges(cast("Any", search), 3.0, 1.0) is None
    assert search.edges_over is over and bounds == [5.0]
