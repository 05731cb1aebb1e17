"""The climb among stops: what it tries, how often, and when whole legs have said their word. By hand, no solver."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest

from partway.planning.model.milp import MAIL
from partway.planning.search import neighbours
from partway.planning.search.cut_search import CutSearch
from partway.planning.search.neighbours import MOST_TRIES, Neighbours
from partway.planning.search.tour_bounds import Toured
from partway.planning.tours.orders import length
from partway.planning.tours.tours import Tour


class Flat(Neighbours):
    """Every change fits and none is better, except those of the buyers named."""

    def __init__(self, buyers: int, *, better: int = -1, there: int = -1, posted: int = -1) -> None:
        visits = [(i, MAIL if i == posted else 0) for i in range(buyers)]
        self.model = cast("Any", SimpleNamespace(columns=SimpleNamespace(visits=visits)))
        self.better, self.there, self.tried = better, there, list[int]()

    def _stops(self, toured: Toured, buyer: int, k: int) -> bool:
        return buyer == self.there

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


def test_leaving_a_stop_out_is_tried_before_another_is_put_in_and_the_post_is_no_stop() -> None:
    some = Flat(5, there=3, posted=1)
    some.climbed({0: None}, 60.0)
    assert some.tried == [3, 0, 2, 4]


# --- one stop more or less ---------------------------------------------------------------------------------


def beside(
    monkeypatch: pytest.MonkeyPatch, way: np.ndarray, away: float = 99.0, one_trip: float = 99.0, site: float = 0.25
) -> Neighbours:
    """Buyers 0, 1, 2 ... at places 1, 2, 3 ...; driving takes these hours and costs as much, a stop a quarter."""

    def driven(_: Any, order: tuple[int, ...], last: int) -> Tour:
        assert last == 0
        return Tour(order, 0.0, length(way.tolist(), order), (0, *order, 0))

    monkeypatch.setattr(neighbours, "driven_by", driven)
    hours = SimpleNamespace(away=away, one_trip=one_trip)
    instance = SimpleNamespace(scenario=SimpleNamespace(hours=hours), on_site_hours=lambda _: site)
    cuts = SimpleNamespace(
        cost=way, hours=way, roads=None, place=lambda b: b + 1,
        buyers=lambda tour: frozenset(p - 1 for p in tour.stops) if tour else frozenset(),
    )  # fmt: skip
    return Neighbours(cast("Any", SimpleNamespace(instance=instance)), cast("Any", cuts))


def tour(way: np.ndarray, *order: int) -> Tour:
    return Tour(order, 0.0, length(way.tolist(), order), (0, *order, 0))


@pytest.mark.parametrize("seed", range(10))
def test_a_stop_more_is_put_where_the_round_is_shortest(monkeypatch: pytest.MonkeyPatch, seed: int) -> None:
    """Ways drawn, others there than back: each position tried."""
    way = np.random.default_rng(seed).uniform(0.5, 4.0, (6, 6))
    for order in ((), (1,), (2, 1), (3, 1, 2)):
        new = beside(monkeypatch, way)._changed({0: tour(way, *order) if order else None, 1: None}, 4, 0)
        assert new is not None and new[1] is None and new[0] is not None
        every = [length(way.tolist(), (*order[:at], 5, *order[at:])) for at in range(len(order) + 1)]
        assert new[0].hours == pytest.approx(min(every)) and sorted(new[0].stops) == sorted((*order, 5))


def test_a_stop_less_leaves_the_others_in_their_order_and_the_last_one_a_trip_that_stays_at_home(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    way = np.abs(np.subtract.outer(np.arange(5.0), np.arange(5.0)))
    some, other = beside(monkeypatch, way), tour(way, 4)
    new = some._changed({0: tour(way, 3, 1, 2), 1: other}, 0, 0)
    assert new is not None and new[0] is not None
    assert (new[0].stops, new[1]) == ((3, 2), other)
    assert some._changed({0: tour(way, 3), 1: other}, 2, 0) == {0: None, 1: other}


@pytest.mark.parametrize(
    ("away", "one_trip", "fits"),
    [(10.75, 99.0, True), (10.7, 99.0, False), (99.0, 6.5, True), (99.0, 6.4, False)],
)
def test_a_change_keeps_to_the_hours_of_a_trip_and_of_all_trips(
    monkeypatch: pytest.MonkeyPatch, away: float, one_trip: float, fits: bool
) -> None:
    """Along a road 1 and 3 take 6 hours and a quarter at each, 2 takes 4 and a quarter: 6.5 and 4.25 are 10.75."""
    way = np.abs(np.subtract.outer(np.arange(5.0), np.arange(5.0)))
    some = beside(monkeypatch, way, away, one_trip)
    new = some._changed({0: tour(way, 1), 1: tour(way, 2)}, 2, 0)
    assert (new is not None) is fits


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
