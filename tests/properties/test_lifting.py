"""Which things to lift: no other choice within what is left brings more."""

from __future__ import annotations

from itertools import combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from partway.valuing.trips.lifting import MOST, RoomLeft, ThingInSight, what_to_lift

amounts = st.integers(0, 60).map(float)
things = st.lists(
    st.builds(
        ThingInSight,
        st.just("thing"),
        st.integers(-20, 100).map(float),
        amounts,
        st.none() | amounts,
        st.integers(1, 10).map(float),
    ),
    max_size=9,
)
rooms = st.builds(RoomLeft, st.none() | amounts, st.none() | amounts, st.none() | amounts)


def fits(chosen: list[ThingInSight], room: RoomLeft) -> bool:
    sums = (sum(t.kg for t in chosen), sum(t.litres or 0.0 for t in chosen), sum(t.minutes for t in chosen))
    lefts = (room.kg, room.litres, room.minutes)
    return all(left is None or took <= left + 1e-9 for took, left in zip(sums, lefts, strict=True))


@settings(max_examples=300, deadline=None)
@given(things, rooms)
def test_no_choice_brings_more(seen: list[ThingInSight], room: RoomLeft) -> None:
    """Against all choices there are, one by one."""
    choices = ([t for t, take in zip(seen, takes, strict=True) if take] for takes in product((0, 1), repeat=len(seen)))
    best = max(sum(t.net for t in chosen) for chosen in choices if fits(chosen, room))
    found = what_to_lift(seen, room)
    assert found.net == pytest.approx(best)
    assert fits([seen[n] for n in found.chosen], room)
    assert len(set(found.chosen)) == len(found.chosen)
    assert all(seen[n].net > 0 for n in found.chosen)


@settings(max_examples=100, deadline=None)
@given(things, rooms)
def test_what_brings_most_of_the_scarce_is_lifted_first(seen: list[ThingInSight], room: RoomLeft) -> None:
    found = what_to_lift(seen, room)
    pays = [t for t in seen if t.net > 0]
    assert (found.scarce is None) == fits(pays, room)
    if found.scarce is not None:
        rates = [seen[n].net / need if (need := seen[n].of(found.scarce)) else float("inf") for n in found.chosen]
        assert rates == sorted(rates, reverse=True)


def test_a_published_knapsack() -> None:
    """P01 of the data sets of J. Burkardt, KNAPSACK_01: 309 at a capacity of 165 (check 30)."""
    profits = (92, 57, 49, 68, 60, 43, 67, 84, 87, 72)
    weights = (23, 31, 29, 44, 53, 38, 63, 85, 89, 82)
    seen = [ThingInSight("item", float(p), float(w), None, 1.0) for p, w in zip(profits, weights, strict=True)]
    for room in (RoomLeft(kg=165.0), RoomLeft(kg=165.0, litres=9.0, minutes=10.0)):
        found = what_to_lift(seen, room)
        assert (found.net, found.scarce, sorted(found.chosen)) == (309.0, "kg", [0, 1, 2, 3, 5])
    three = [pick for pick in combinations(range(10), 3) if sum(weights[n] for n in pick) <= 165]
    assert what_to_lift(seen, RoomLeft(kg=165.0, minutes=3.0)).net == max(
        sum(profits[n] for n in pick) for pick in three
    )


def test_as_many_as_may_be_named_are_weighed_up_for_certain() -> None:
    """Twenty things whose worth hangs on their mass and space alike, the hardest sort: the answer of a programme by
    mass and litres in whole numbers, worked out beside.
    """
    seen = [
        ThingInSight(f"{n}", 10.0 + (7 * n) % 23 + 5, float(5 + (7 * n) % 23), float(5 + (11 * n) % 19), 4.0)
        for n in range(MOST)
    ]
    room = RoomLeft(kg=150.0, litres=120.0)
    best: dict[tuple[int, int], float] = {(0, 0): 0.0}
    for t in seen:
        for (kg, litres), value in list(best.items()):
            at = (kg + int(t.kg), litres + int(t.litres or 0))
            if at[0] <= 150 and at[1] <= 120 and best.get(at, -1.0) < value + t.net:
                best[at] = value + t.net
    assert what_to_lift(seen, room).net == pytest.approx(max(best.values()))
