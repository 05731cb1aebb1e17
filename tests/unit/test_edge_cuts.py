"""Rows about legs of trips and places in conflict, found at points of two or three places: worked out by hand.

That rows hold for every real trip is in tests/properties/test_cuts_hold; here is that they are found, and as strong as
they are said to be. Of teams that collect scores: Dang and others 2013 (from memory); sets that are joined: Fischetti
and others 1998.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from edge_points import MADE, VISIT, crossing, legs, point, short

from partway.planning.edges.conflicts import ConflictCuts
from partway.planning.edges.cuts import MOST, MOST_OF_GRADES, Cuts, _most_visited
from partway.planning.model.linear import Linear

# --- conflicts -------------------------------------------------------------------------------------------


def conflicts(most: float, hours: list[list[float]], site: float = 0.25) -> ConflictCuts:
    """Home and places with these hours between them; each stop takes `site`, a trip may take `most`."""
    size = len(hours)
    instance = SimpleNamespace(
        scenario=SimpleNamespace(hours=SimpleNamespace(one_trip=most)),
        on_site_hours=lambda _: site,
        buyer_at={p: p for p in range(1, size)},
    )
    pooled = SimpleNamespace(model=SimpleNamespace(instance=instance))
    return ConflictCuts(legs(size, hours=np.array(hours), pooled=pooled))


LINE = [[0.0, 1.0, 1.0, 1.0], [1.0, 0.0, 0.5, 2.0], [1.0, 0.5, 0.0, 2.0], [1.0, 2.0, 2.0, 0.0]]
ONE_WAY = [[0.0, 1.0, 3.0], [3.0, 0.0, 0.5], [1.0, 0.5, 0.0]]  # 0-1-2-0 takes 2.5 h, 0-2-1-0 6.5 h


@pytest.mark.parametrize(
    ("most", "expected"),
    [(4.5, []), (4.49, [(1, 3), (2, 3)]), (3.0, [(1, 3), (2, 3)]), (2.99, [(1, 2), (1, 3), (2, 3)])],
)
def test_places_are_in_conflict_where_the_quickest_way_past_both_takes_too_long(
    most: float, expected: list[tuple[int, int]]
) -> None:
    """Past 1 and 2: 1 + 0.5 + 1 and two stops of 0.25 are 3.0 hours; past 3 and another 4.5."""
    found = conflicts(most, LINE)
    assert [(a, b) for a in found.with_ for b in sorted(found.with_[a]) if a < b] == expected
    assert all(a in found.with_[b] for a in found.with_ for b in found.with_[a])
    assert found.any is bool(expected)
    for way in (ONE_WAY, np.transpose(ONE_WAY).tolist()):
        assert conflicts(3.0, way).any is False and conflicts(2.99, way).any is True


def test_no_more_of_places_in_conflict_are_visited_than_trips_are_made() -> None:
    """Three places each two of which are in conflict, 0.6 of a visit each, and one trip: 1.8 visits of 1."""
    found = conflicts(2.9, LINE)
    x = point(1.0, {1: 0.6, 2: 0.6, 3: 0.6}, {})
    (row,) = found.broken({}, x)
    assert row == ([(MADE, 1.0), (VISIT + 1, -1.0), (VISIT + 2, -1.0), (VISIT + 3, -1.0)], 0.0)
    assert short(row, x) == pytest.approx(0.8)
    assert not list(conflicts(9.0, LINE).broken({}, x)), "where trips have the hours there is no such row"


@pytest.mark.parametrize(("between", "broken"), [(0.5, True), (0.1, True), (0.0, False)])
@pytest.mark.parametrize(("most", "a", "b"), [(2.9, 1, 2), (3.0, 1, 3)])
def test_a_trip_comes_into_a_set_and_leaves_it_for_each_of_the_places_in_conflict(
    between: float, broken: bool, most: float, a: int, b: int
) -> None:
    """Half a visit at each of two: two legs of the set are needed. What is driven between them is missing twice."""
    driven = {(0, a): 1.0 - between, (0, b): 1.0 - between, (a, b): between}
    x = point(1.0, {a: 0.5, b: 0.5}, driven)
    rows = list(conflicts(most, LINE).broken(driven, x))
    assert bool(rows) is broken
    for row in rows:
        assert row == ([*crossing(frozenset({a, b}), 4), (VISIT + a, -2.0), (VISIT + b, -2.0)], 0.0)
        assert short(row, x) == pytest.approx(2.0 * between)


def test_of_places_in_conflict_only_those_without_legs_enough_are_in_the_row() -> None:
    """Half a visit at 1 and at 2, which takes a leg each; two go to 1 and none to 2."""
    x = point(1.0, {1: 0.5, 2: 0.5}, driven := {(0, 1): 2.0})
    (row,) = conflicts(2.9, LINE).broken(driven, x)
    assert row == ([*crossing(frozenset({2}), 4), (VISIT + 2, -2.0)], 0.0)


def test_of_places_visited_as_often_the_one_that_leaves_most_to_join_is_next() -> None:
    found = object.__new__(ConflictCuts)
    found.with_ = {1: {2, 3, 4}, 2: {1}, 3: {1, 4}, 4: {1, 3}}
    assert found._grown(1, dict.fromkeys(found.with_, 0.5)) == {1, 3, 4}


@pytest.mark.parametrize(
    ("visits", "expected"),
    [
        ({1: 0.1, 2: 0.5, 3: 0.5, 4: 0.9}, {1, 4}),  # the one visited most, which is in conflict with nobody else
        ({1: 0.1, 2: 0.5, 3: 0.5, 4: 0.1}, {1, 2, 3}),
        ({}, {1, 2, 3}),
    ],
)
def test_places_in_conflict_are_gathered_by_what_is_visited_most(visits: dict[int, float], expected: set[int]) -> None:
    found = object.__new__(ConflictCuts)
    found.with_ = {1: {2, 3, 4}, 2: {1, 3}, 3: {1, 2}, 4: {1}}
    assert found._grown(1, visits) == expected


# --- which rows are added, and which are dropped again -----------------------------------------------------


def test_rows_that_a_point_is_well_inside_of_are_idle() -> None:
    it, linear = object.__new__(Cuts), Linear()
    for _ in range(2):
        linear.column("x", 0.0, 9.0)
    for family, least in (("joined", 2.0), ("loads", 1.0), ("made", 0.0), ("conflicts", 1.9985), ("conflicts", 1.9995)):
        linear.row(family, "", [(0, 1.0), (1, 2.0)], lower=least)
    it.linear = linear
    assert it.idle(np.array([1.0, 0.5])) == [1, 3], "at 2 the first row and, nearly, the last are touched"


def test_a_set_is_joined_to_home_by_its_place_that_is_visited_most() -> None:
    assert _most_visited(frozenset({1, 2, 3}), {1: 0.4, 2: 0.9, 4: 1.0}) == (frozenset({1, 2, 3}), 2)
    assert _most_visited(frozenset({3, 1}), {}) == (frozenset({1, 3}), 1)


@pytest.mark.parametrize(("legs_of_3", "expected"), [(0.6, [3]), (1.96, [1, 3]), (2.0, [1])])
def test_rows_that_hardly_move_anything_are_added_only_where_no_other_is_broken(
    legs_of_3: float, expected: list[int]
) -> None:
    """Places 1 and 3 are visited once each, which takes two legs; 1.98 go to the first."""
    driven = {(0, 1): 1.98, (0, 3): legs_of_3}
    nothing: Any = SimpleNamespace(broken=lambda *_: [], of_grades=lambda *_: [])
    linear, some = Linear(), legs(4, driven=lambda _: driven)
    del some.visits[2]
    it = object.__new__(Cuts)
    vars(it).update(legs=some, linear=linear, loads=nothing, conflicts=nothing)
    assert it.add(point(1.0, {1: 1.0, 3: 1.0}, driven)) == len(expected)
    assert linear.rows == [[*crossing(frozenset({p}), 4), (VISIT + p, -2.0)] for p in expected]
    assert set(linear.row_lower) == {0.0} and set(linear.row_families) == {"joined"}


def test_of_rows_about_single_grades_those_that_are_broken_most_are_added() -> None:
    """Forty, the later the worse; of the others as many as there are up to forty a round."""
    linear, x = Linear(), np.ones(1)
    grades = [([(0, 1.0)], 1.0 + n) for n in range(40)]
    rooms = [([(0, 2.0)], 3.0)] * 50
    it = object.__new__(Cuts)
    vars(it).update(
        legs=legs(2, driven=lambda _: {}), linear=linear, conflicts=SimpleNamespace(broken=lambda *_: rooms),
        loads=SimpleNamespace(broken=lambda *_: rooms, of_grades=lambda *_: grades),
    )  # fmt: skip
    linear.column("x", 0.0, 9.0)
    it.legs.visits = {}
    assert it.add(x) == 2 * MOST + MOST_OF_GRADES
    assert linear.row_families == ["conflicts"] * MOST + ["loads"] * (MOST + MOST_OF_GRADES)
    assert linear.row_lower[2 * MOST :] == [40.0 - n for n in range(MOST_OF_GRADES)]
