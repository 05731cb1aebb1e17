"""Rows about how many trips a load takes, found at points of two or three places: worked out by hand.

That rows hold for every real trip is in tests/properties/test_cuts_hold; here is that they are found, and as strong as
they are said to be. Capacity cuts: Laporte and others 1985; of whole trips: Nemhauser and Wolsey 1990.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from edge_points import crossing, legs, point, short

from partway.planning.edges.load_cuts import LoadCuts, LoadLimit, _parts

# --- loads -----------------------------------------------------------------------------------------------

LOT = 50  # columns of what is brought: LOT + place


def room(most: float, loads: dict[int, float], supply: float = 1e6) -> tuple[LoadLimit, dict[int, float]]:
    """One measure of which a vehicle holds so much; each place takes no more than what it is brought here."""
    it = LoadLimit(most, supply=[supply])
    for place, load in loads.items():
        it.terms[place].append((LOT + place, 1.0))
        it.grades[place][0] = load
    return it, loads


def load_cuts(size: int, rooms: list[LoadLimit], trips: int = 2, grades: list[LoadLimit] | None = None) -> LoadCuts:
    it = object.__new__(LoadCuts)
    pooled: Any = SimpleNamespace(trips=trips)
    vars(it).update(legs=legs(size), pooled=pooled, rooms=rooms, grades=grades or [])
    return it


def loaded(x: np.ndarray, loads: dict[int, float]) -> np.ndarray:
    for place, load in loads.items():
        x[LOT + place] = load
    return x


def test_places_take_no_more_of_a_grade_than_there_is() -> None:
    it = LoadLimit(100.0, supply=[60.0, 100.0])
    it.grades[1].update({0: 30.0, 1: 20.0})
    it.grades[2].update({0: 50.0})
    assert it.limit(frozenset({1})) == 50.0
    assert it.limit(frozenset({1, 2})) == 80.0  # 60 of the 80 that they would take, and 20


@pytest.mark.parametrize(
    ("most", "expected"), [(250.0, (3, 0.5, 250.0)), (200.0, (2, 1.0, 200.0)), (20.0, (1, 0.2, 20.0))]
)
def test_the_most_takes_whole_trips_and_a_part(most: float, expected: tuple[int, float, float]) -> None:
    assert _parts(room(100.0, {1: most})[0], frozenset({1})) == pytest.approx(expected)


@pytest.mark.parametrize(("loads", "broken"), [({1: 60.0, 2: 80.0}, True), ({1: 60.0, 2: 40.0}, False)])
def test_more_than_a_load_takes_more_than_a_trip(loads: dict[int, float], broken: bool) -> None:
    """One trip past both places, of 100 kg: 140 kg are 1.4 trips, 2.8 legs of the set, where 2 are driven."""
    it, _ = room(100.0, loads)
    driven = {(0, 1): 1.0, (1, 2): 1.0, (0, 2): 1.0}
    x = loaded(point(1.0, {1: 1.0, 2: 1.0}, driven), loads)
    rows = list(load_cuts(3, [it], trips=1).broken(driven, x))
    assert bool(rows) is broken
    for row in rows:
        assert row == ([*crossing(frozenset({1, 2}), 3), (LOT + 1, -0.02), (LOT + 2, -0.02)], 0.0)
        assert short(row, x) == pytest.approx(0.8)


def test_a_single_grade_is_held_to_all_there_is_of_it() -> None:
    """Of 50 kg all is sold at 1, which half a trip goes past: one leg where two are needed."""
    it, loads = room(50.0, {1: 50.0, 2: 0.0})
    driven = {(0, 1): 0.5, (0, 2): 1.5, (1, 2): 0.5}
    x = loaded(point(1.0, {1: 0.5, 2: 1.0}, driven), loads)
    (row,) = load_cuts(3, [], grades=[it]).of_grades(driven, x)
    assert row == ([*crossing(frozenset({1}), 3), (LOT + 1, -0.04)], 0.0)
    assert short(row, x) == pytest.approx(1.0)


def test_a_load_and_a_fifth_take_two_trips() -> None:
    """120 kg to two places, of 100 a trip, by 1.2 trips: half of the legs is at least 2 - (120 - L) / 20."""
    it, loads = room(100.0, {1: 60.0, 2: 60.0})
    driven = {(0, 1): 1.2, (1, 2): 1.0, (0, 2): 1.2}
    x = loaded(point(1.2, {1: 1.1, 2: 1.1}, driven), loads)
    (row,) = load_cuts(3, [it]).broken(driven, x)
    terms, least = row
    assert dict(terms) == pytest.approx(dict([*crossing(frozenset({1, 2}), 3), (LOT + 1, -0.1), (LOT + 2, -0.1)]))
    assert least == pytest.approx(4.0 - 0.1 * 120.0)
    assert short(row, x) == pytest.approx(1.6), "two trips are four legs; 2.4 are driven"
    assert not list(load_cuts(3, [it], trips=1).broken(driven, x)), "with one trip no such row is looked for"
    whole = loaded(point(2.0, {1: 2.0, 2: 2.0}, driven := {(0, 1): 2.0, (1, 2): 2.0, (0, 2): 2.0}), loads)
    assert not list(load_cuts(3, [it]).broken(driven, whole))


def test_a_set_grows_by_the_place_that_is_joined_to_it_most() -> None:
    """From 1 by 3 (0.7), then 2 (0.3 to 1 and 0.2 to 3). Of 30 kg a trip each place takes 20.

    Short of whole trips: one for 20 kg; 2 for 40, 2 for 60; less half of the legs that leave.
    """
    it, loads = room(30.0, {1: 20.0, 2: 20.0, 3: 20.0})
    near = {1: {0: 1.0, 2: 0.3, 3: 0.7}, 2: {0: 1.5, 1: 0.3, 3: 0.2}, 3: {0: 1.1, 1: 0.7, 2: 0.2}, 0: {}}
    found = list(load_cuts(4, [it])._grown(1, near, it, loads))
    assert [set(places) for _, places in found] == [{1}, {1, 3}, {1, 2, 3}]
    assert [one for one, _ in found] == pytest.approx([1.0 - 2.0 / 2, 2.0 - 2.6 / 2, 2.0 - 3.6 / 2])


def test_what_may_be_brought_counts_lots_that_are_driven_their_largest_step_and_all_trips() -> None:
    """Two steps of grade 0 at place 1, up to 10 and 30 kg, grade 1 there and at 2; one lot by post, one of trip 2.

    Of grade 2, which both take, there is none.
    """
    steps = [[10.0, 30.0], [5.0], [7.0], [9.0], [6.0], [6.0]]
    instance = SimpleNamespace(
        scenario=SimpleNamespace(vehicle=SimpleNamespace(payload_kg=100.0, volume_l=200.0)),
        lots=[
            SimpleNamespace(grade=g, buyer=b, tiers=[SimpleNamespace(high=high) for high in steps[i]])
            for i, (g, b) in enumerate([(0, 0), (1, 0), (1, 1), (0, 2), (2, 0), (2, 1)])
        ],
        stops=[1, 2, None], supply=[50.0, 8.0, 0.0], litres_per_kg=[2.0, 4.0, 1.0],
        grades=["iron", "board", "tin"],
    )  # fmt: skip
    columns = {(0, 1, 0): 1, (0, 0, 0): 0, (1, 0, 0): 2, (2, 0, 0): 3, (3, 0, -1): 4, (0, 1, 1): 5}
    columns |= {(4, 0, 0): 6, (5, 0, 0): 7}
    model = SimpleNamespace(instance=instance, columns=SimpleNamespace(lots=columns))
    pooled = SimpleNamespace(model=model, trips=3, column={c: 60 + c for c in columns.values()})
    it = LoadCuts(legs(3, pooled=pooled))
    kilograms, litres = it.rooms
    assert (kilograms.most, kilograms.supply, litres.most, litres.supply) == (
        100.0,
        [50.0, 8.0, 0.0],
        200.0,
        [100.0, 32.0, 0.0],
    )
    assert dict(kilograms.terms) == {1: [(61, 1.0), (60, 1.0), (62, 1.0), (66, 1.0)], 2: [(63, 1.0), (67, 1.0)]}
    assert dict(litres.terms) == {1: [(61, 2.0), (60, 2.0), (62, 4.0), (66, 1.0)], 2: [(63, 4.0), (67, 1.0)]}
    assert dict(kilograms.grades) == {1: {0: 90.0, 1: 15.0, 2: 18.0}, 2: {1: 21.0, 2: 18.0}}
    assert dict(litres.grades) == {1: {0: 180.0, 1: 60.0, 2: 18.0}, 2: {1: 84.0, 2: 18.0}}
    (board,) = it.grades  # iron goes to one place alone, and of tin there is none
    assert board.most == 8.0 and dict(board.terms) == {1: [(62, 1.0)], 2: [(63, 1.0)]}
