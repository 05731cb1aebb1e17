"""A solver's point becomes a decision: what is rounded, what is dust, and which tour is driven. All of it by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from partway.errors import SolverFailed
from partway.planning.model.columns import Columns
from partway.planning.model.extract import extract
from partway.planning.model.milp import MAIL
from partway.planning.tours.tours import Tour

NEAR, FAR, BOTH = (
    Tour((1,), 10.0, 1.0, (0, 1, 0)),
    Tour((2,), 20.0, 2.0, (0, 2, 0)),
    Tour((1, 2), 22.0, 2.5, (0, 1, 2, 0)),
)


def instance(tours: Any = (NEAR, FAR, BOTH), trips: int = 2, wage: float = 6.0) -> Any:
    """Two yards and a mail-in; three openings, of which two give two and one of the only node with one way out."""
    hours = SimpleNamespace(trips=trips, wage=wage)
    tier = SimpleNamespace(low=5.0, high=9.0)
    return SimpleNamespace(
        scenario=SimpleNamespace(hours=hours),
        openings=[None] * 3,
        grade_sales=[None] * 2,
        part_sales=[None] * 2,
        nodes=[SimpleNamespace(found=3), SimpleNamespace(found=0)],
        makers_of=[[(0, 2), (1, 1)], []],
        lots=[SimpleNamespace(buyer=b, tiers=[tier, tier]) for b in range(3)],
        stops=(1, 2, None),
        tours=tours,
        drive_money=lambda tour: 0.5 * tour.km,
    )


def decided(x: dict[int, float], toured: Any = None, of: Any = None, **columns: Any) -> Any:
    """The decision at a point, the other columns 0."""
    point = np.zeros(40)
    for c, value in x.items():
        point[c] = value
    model: Any = SimpleNamespace(instance=instance() if of is None else of, columns=Columns(**columns))
    return extract(model, point, toured)


def test_counts_are_rounded_and_what_has_no_column_is_none() -> None:
    it = decided({0: 1.99995, 1: 3.00005, 2: 1.0}, opened={1: 0}, kept={0: 1}, parts={1: 2}, sold={0: 3})
    assert (it.opened, it.kept, it.parts, it.sold) == ((0, 2, 0), (3, 0), (0, 1), (0, 0))


@pytest.mark.parametrize("kind", ["opened", "sold", "parts", "kept"])
def test_a_count_that_is_not_whole_is_refused(kind: str) -> None:
    assert getattr(decided({0: 1.00009}, **{kind: {0: 0}}), kind)[0] == 1
    with pytest.raises(SolverFailed, match=r"1\.0002 of something that is counted"):
        decided({0: 1.0002}, **{kind: {0: 0}})
    with pytest.raises(SolverFailed):
        decided({0: 0.9998}, **{kind: {0: 0}})


def test_a_piece_with_one_way_out_goes_there_however_many_there_are() -> None:
    """Three found, and two each of the first opening and one each of the second: 3 + 2 x 2 + 5."""
    it = decided({0: 2.0, 1: 5.0, 2: 9.0}, opened={0: 0, 1: 1, 2: 2}, single={0: 1})
    assert it.sold == (0, 12)


def test_whole_pieces_are_counted_as_sold_by_lot_and_trip() -> None:
    blocks = {(0, 0, 0): 0, (0, 1, 1): 1, (1, 2, MAIL): 2, (0, 0, 1): 3}
    it = decided({0: 2.00002, 1: 1.0, 2: 3.0, 4: 1.0}, blocks=blocks, sold={0: 4})
    assert it.blocks == {(0, 0, 0): 2, (0, 1, 1): 1, (1, 2, MAIL): 3}
    assert it.sold == (4, 3)
    with pytest.raises(SolverFailed):
        decided({0: 2.5}, blocks=blocks)


@pytest.mark.parametrize(
    ("x", "kg"),
    [
        (7.0, 7.0),
        (5.0 - 5e-8, 5.0),  # over by the solver's tolerance
        (9.0 + 5e-8, 9.0),
        (5.0 - 2e-7, 5.0 - 2e-7),  # more than that is left for the check to find
        (9.0 + 2e-7, 9.0 + 2e-7),
        (2e-7, 2e-7),
        (1e-7, None),  # dust
        (0.0, None),
    ],
)
def test_a_lot_keeps_inside_its_tier_and_dust_is_none(x: float, kg: float | None) -> None:
    it = decided({0: x}, lots={(2, 1, MAIL): 0})
    assert it.lots == ({} if kg is None else {(2, 1, MAIL): kg})
    it = decided({0: x, 1: x}, downgraded={3: 0}, kept_kg={4: 1})
    assert (it.downgraded, it.kept_kg) == (({}, {}) if kg is None else ({3: x}, {4: x}))


def test_parcels_are_rounded_and_none_are_left_out() -> None:
    assert decided({0: 1.6, 1: 0.4, 2: 2.0}, parcels={(2, 0): 0, (2, 1): 1, (1, 0): 2}).parcels == {
        (2, 0): 2,
        (1, 0): 2,
    }


# --- tours -------------------------------------------------------------------------------------------

TOURS = {(r, k): 10 + 3 * k + r for r in range(3) for k in range(2)}
LOTS = {(0, 0, 0): 20, (1, 0, 0): 21, (0, 0, 1): 22, (1, 0, 1): 23, (2, 0, MAIL): 24}


def driven(x: dict[int, float], **has: Any) -> tuple[Any, ...]:
    """The tours of two trips."""
    found: tuple[Any, ...] = decided(x, tours=TOURS, lots=LOTS, **has).tours
    return found


def test_each_trip_drives_the_tour_that_was_chosen_for_it() -> None:
    assert driven({12: 1.0, 20: 6.0, 21: 6.0, 13: 0.9, 22: 6.0}) == (BOTH, NEAR)
    assert driven({14: 0.6, 23: 6.0, 24: 6.0}) == (None, FAR)
    assert driven({10: 0.5, 20: 6.0}) == (None, None), "half a tour is none"


def test_a_stop_without_a_sale_is_dropped() -> None:
    assert driven({12: 1.0, 20: 6.0}) == (NEAR, None)
    assert driven({12: 1.0, 21: 6.0}) == (FAR, None)
    assert driven({12: 1.0}) == (None, None)
    assert driven({12: 1.0, 24: 6.0}) == (None, None), "what is posted needs no trip"


def test_an_empty_stop_stays_where_it_lies_on_the_only_way_that_is_quick_enough() -> None:
    slow = Tour((1,), 9.0, 3.0, (0, 1, 0))
    assert driven({12: 1.0, 20: 6.0}, of=instance((slow, FAR, BOTH)))[0] == BOTH
    waits = Tour((1,), 9.0, 2.0, (0, 1, 0), wait=0.6)
    assert driven({12: 1.0, 20: 6.0}, of=instance((waits, FAR, BOTH)))[0] == BOTH
    just = Tour((1,), 9.0, 2.5, (0, 1, 0))
    assert driven({12: 1.0, 20: 6.0}, of=instance((just, FAR, BOTH)))[0] == just


def test_of_several_shorter_tours_the_one_that_costs_least_time_included_is_driven() -> None:
    """8 km and 2 hours are 4 + 12, 12 km and 1.5 hours 6 + 9 at 6 an hour; at 1 an hour 6 and 7.50."""
    long, quick = Tour((1,), 8.0, 2.0, (0, 1, 0)), Tour((1,), 12.0, 1.0, (0, 1, 0), wait=0.5)
    of = (NEAR, FAR, BOTH)
    assert driven({12: 1.0, 20: 6.0}, of=instance((*of[1:], BOTH, long, quick), wage=6.0))[0] == quick
    assert driven({12: 1.0, 20: 6.0}, of=instance((*of[1:], BOTH, long, quick), wage=1.0))[0] == long


def test_where_tours_are_not_listed_they_are_given() -> None:
    toured = {0: NEAR, 1: FAR}
    assert decided({20: 6.0}, toured, lots=LOTS).tours == (NEAR, None)
    assert decided({20: 6.0, 23: 6.0}, toured, lots=LOTS).tours == (NEAR, FAR)
    assert decided({20: 6.0, 23: 6.0}, {0: NEAR}, lots=LOTS).tours == (NEAR, None)
    assert decided({20: 6.0}, {}, of=instance(None, trips=1), lots=LOTS).tours == (None,)
