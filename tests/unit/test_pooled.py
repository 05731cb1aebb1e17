"""Trips taken together: which rows and columns become of those of one trip, and the rows that win back what that loses.

Numbers by hand on one rich situation (40 kg and 150 litres a trip, two trips); that no plan breaks a row is tried with
the best plans of drawn scenarios. Rows: docs/model.md; reach are the (l, S) inequalities of Barany, Van Roy and Wolsey,
Management Science 30, 1984.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
import tiny
from planned import rich_scenario

from partway.planning.instance.build import build
from partway.planning.model.fit_cuts import FitCuts
from partway.planning.model.highs import EXACT, Solver, Values
from partway.planning.model.linear import Linear
from partway.planning.model.milp import formulate
from partway.planning.model.pooled import Pooled, load_of, pool
from partway.planning.model.routing_cuts import Inflow, _reach, add_reach

INFINITY = float("inf")


@cache
def rich(trips: int = 2) -> Pooled:
    """The pooled programme of the rich situation."""
    it = rich_scenario()
    return pool(formulate(build(replace(it, hours=replace(it.hours, trips=trips)))))


def row(it: Pooled, name: str) -> tuple[dict[str, float], float, float]:
    """One row by the names of its columns, with its sides."""
    linear = it.linear
    r = linear.row_names.index(name)
    return {linear.names[c]: v for c, v in linear.rows[r]}, linear.row_lower[r], linear.row_upper[r]


def upper(it: Pooled) -> dict[str, float]:
    """The upper bound of each column."""
    return dict(zip(it.linear.names, it.linear.upper, strict=True))


def test_what_each_trip_has_there_is_so_many_times_and_the_rest_once() -> None:
    most = upper(rich())
    assert {name: most[name] for name in most if name.startswith(("visit", "lot", "tour", "kg"))} == pytest.approx({
        **{f"visit({b}.1)": 2.0 for b in ("yard", "refiner", "depot")}, "visit(boards)": 1.0,
        "kg(yard.copper-light.1.1)": 2 * 9.999999, "kg(yard.copper-light.2.1)": 46.0, "kg(yard.iron.1.1)": 80.0,
        "kg(refiner.aluminium.1.1)": 12.0, "kg(boards.board.1)": 5.0, "kg(depot.pack.1.1)": 3.0,
        "lot(yard.copper-light.1.1)": 2.0, "lot(yard.copper-light.2.1)": 2.0, "lot(refiner.aluminium.1.1)": 2.0,
        **dict.fromkeys((name for name in most if name.startswith("tour")), 2.0),
    })  # fmt: skip
    assert sum(name.startswith("tour") for name in most) == 7
    assert (most["open(drill.1.whole.out)"], most["kept(iron)"], most["idle"]) == (3.0, 64.5, 2.0)
    assert most["together(0.1)"] == 2.0
    assert not any(name.endswith((".2)", ".2")) and ("visit" in name or "kg(" in name) for name in most)


def test_rows_of_a_trip_have_their_sides_so_many_times() -> None:
    it = rich()
    lots = {"kg(yard.copper-light.1.1)", "kg(yard.copper-light.2.1)", "kg(yard.iron.1.1)"}
    loads = lots | {"kg(refiner.aluminium.1.1)", "kg(depot.pack.1.1)"}
    assert row(it, "payload(1)") == (dict.fromkeys(loads, 1.0), -INFINITY, 80.0)
    assert row(it, "volume(1)")[1:] == (-INFINITY, 300.0)
    tours = {name: 1.0 for name in it.linear.names if name.startswith("tour(")}
    assert row(it, "one_tour(1)") == (tours, -INFINITY, 2.0)
    assert row(it, "one_tour(all)") == ({**tours, "idle": 1.0}, 2.0, 2.0)
    assert row(it, "visit_lot(yard.iron.1.1)") == ({"kg(yard.iron.1.1)": 1.0, "visit(yard.1)": -40.0}, -INFINITY, 0.0)
    assert row(it, "bench_hours")[2] == 1.0 and row(it, "away_hours")[2] == 4.0
    assert row(it, "grades(copper-2)")[1:] == (-20.0, -20.0), "there is as much whatever the trips"
    assert not any(name.startswith(("payload(2", "visit_tour(yard.2")) for name in it.linear.row_names)


def test_two_buyers_share_a_trip_as_often_as_a_tour_has_both() -> None:
    it = rich()
    assert sorted(it.together) == [(0, 1), (0, 3), (1, 3)]
    both = [name for name in it.linear.names if name.startswith("tour(") and "yard" in name and "depot" in name]
    assert len(both) == 2
    assert row(it, "together(0.3)") == ({"together(0.3)": 1.0, **dict.fromkeys(both, -1.0)}, 0.0, 0.0)


def test_loads_fit_the_trips_that_stop_there_and_all_trips_there_are() -> None:
    it = rich()
    lots = ("kg(yard.copper-light.1.1)", "kg(yard.copper-light.2.1)", "kg(yard.iron.1.1)")
    assert row(it, "fit_kg(0)") == ({**dict.fromkeys(lots, 1.0), "visit(yard.1)": -40.0}, -INFINITY, 0.0)
    litres = {lots[0]: 1.0, lots[1]: 1.0, lots[2]: 2.0, "visit(yard.1)": -150.0}
    terms, low, high = row(it, "fit_litres(0)")
    assert terms == pytest.approx(litres) and (low, high) == (-INFINITY, 0.0)
    terms, low, high = row(it, "fit_kg(0.1.3)")
    assert (low, high) == (-INFINITY, 0.0)
    assert {v for name, v in terms.items() if name.startswith("tour(")} == {-40.0}
    assert sum(name.startswith("tour(") for name in terms) == 7 and sum(name.startswith("kg(") for name in terms) == 5


def test_one_trip_has_no_pairs_and_nothing_twice() -> None:
    it = rich(1)
    assert (
        not it.together and upper(it)["visit(yard.1)" if "visit(yard.1)" in it.linear.names else "visit(yard)"] == 1.0
    )
    assert upper(it)["idle"] == 1.0
    assert not any(family == "together" for family in it.linear.row_families)


def test_which_columns_are_whole() -> None:
    """Tours are, whatever they are in one trip; counts of pieces only where they are asked for."""
    it = rich()
    named = dict(zip(it.linear.names, it.whole(counts=False), strict=True))
    assert all(
        yes == name.startswith(("visit", "lot", "tour", "parcels", "idle", "together")) for name, yes in named.items()
    )
    counted = dict(zip(it.linear.names, it.whole(counts=True), strict=True))
    assert {name for name in named if counted[name] and not named[name]} == {
        "open(drill.1.whole.out)", "open(drill.1.body.open)", "part(drill.1.body.0)",
    }  # fmt: skip
    assert it.idle == it.linear.names.index("idle") and len(it.counts) == len(it.linear.names)


def test_tours_that_are_driven_and_what_is_brought_to_a_buyer_at_a_point() -> None:
    it = rich()
    x = np.zeros(len(it.linear.names))
    x[it.tours[2]], x[it.tours[4]], x[it.tours[5]] = 1.9999, 0.4, 1.0
    assert it.chosen(x) == {2: 2, 5: 1}
    for name, kg in (("kg(yard.copper-light.2.1)", 7.0), ("kg(yard.iron.1.1)", 4.0), ("kg(depot.pack.1.1)", 3.0)):
        x[it.linear.names.index(name)] = kg
    assert load_of(it, x, 0) == (11.0, 15.0) and load_of(it, x, 3)[1] == pytest.approx(2.0)


# --- no plan breaks a row ----------------------------------------------------------------------------


def summed(it: Pooled, x: Values) -> Values:
    """A point of the whole programme as a point of the pooled one: the sum over its trips."""
    found = np.zeros(len(it.linear.names))
    np.add.at(found, np.array(it.column), x)
    tours = it.model.instance.tours or ()
    for (a, b), c in it.together.items():
        ends = {it.model.instance.stops[a], it.model.instance.stops[b]}
        found[c] = sum(found[it.tours[r]] for r in it.tours if ends <= set(tours[r].stops))
    if it.tours:
        found[it.idle] = it.trips - sum(found[c] for c in it.tours.values())
    return found


@pytest.mark.parametrize("seed", range(12))
def test_a_plan_of_several_trips_keeps_all_rows_when_they_are_added_up(seed: int) -> None:
    it = tiny.scenario(seed)
    model = formulate(build(replace(it, hours=replace(it.hours, trips=2, away=max(4.0, it.hours.away)))))
    answer = Solver(model.linear, options=EXACT).run()
    assert answer.x is not None
    pooled = pool(model)
    point = summed(pooled, answer.x)
    relaxed = Solver(pooled.linear, relaxed=True).run()
    assert relaxed.x is not None and relaxed.objective >= answer.objective - 1e-6
    add_reach(pooled, relaxed.x)
    FitCuts(pooled).add(relaxed.x)
    assert pooled.linear.value(point.tolist()) == pytest.approx(answer.objective, abs=1e-6)
    for terms, low, high in zip(pooled.linear.rows, pooled.linear.row_lower, pooled.linear.row_upper, strict=True):
        assert low - 1e-6 <= sum(v * point[c] for c, v in terms) <= high + 1e-6
    assert (point <= np.array(pooled.linear.upper) + 1e-6).all()


# --- reach -------------------------------------------------------------------------------------------


def reach(kg: float, yes: float, inflow: tuple[float, float]) -> list[Any]:
    """The row that a lot of so many kg breaks: 20 kg in stock, up to 3 of one piece and 4 of another at half a kg."""
    it = Linear()
    for most in (99.0, 1.0, 3.0, 4.0):
        it.column("", 0.0, most)
    x = np.array([kg, yes, *inflow])
    _reach(it, x, 0, 1, Inflow.of(it, 20.0, [(2, 1.0), (3, 0.5)]))
    return list(zip(it.rows, it.row_lower, it.row_upper, strict=True))


@pytest.mark.parametrize(
    ("inflow", "others", "most", "right"),
    [
        ((2.0, 1.0), [(3, -0.5)], 23.0, 12.0),  # 2 is more than half of 3: counted whole, 1 is no half of 4
        ((1.0, 3.0), [(2, -1.0)], 22.0, 12.0),
        ((2.0, 3.0), [], 25.0, 12.5),
        ((1.5, 2.0), [(2, -1.0), (3, -0.5)], 20.0, 12.5),  # just half: either way is the same here
    ],
)
def test_what_is_sold_of_a_grade_came_from_somewhere(
    inflow: tuple[float, float], others: list[tuple[int, float]], most: float, right: float
) -> None:
    """With half a yes: half of the stock and of what is counted whole, and all of the others."""
    assert reach(right + 1.1e-3 * right, 0.5, inflow) == [([(0, 1.0), (1, -most), *others], -INFINITY, 0.0)]
    assert reach(right + 0.9e-3 * right, 0.5, inflow) == []
    assert reach(right, 0.5, inflow) == []


def test_a_row_that_is_next_to_nothing_is_broken_by_a_thousandth() -> None:
    assert reach(0.0011, 0.0, (0.0, 0.0)) and not reach(0.0009, 0.0, (0.0, 0.0))
    assert not reach(23.5, 1.5, (1.0, 1.0)), "more than one yes: the whole of what came in is no more than the stock"
    assert reach(33.0, 1.5, (1.0, 1.0)), "20 times one and a half, and one and a half"


def test_reach_rows_are_added_where_a_relaxation_breaks_them_and_bring_its_bound_down() -> None:
    it = pool(formulate(build(tiny.scenario(10))))
    before = Solver(it.linear, relaxed=True).run()
    assert before.x is not None
    count = add_reach(it, before.x)
    families = it.linear.row_families[-count:] if count else []
    assert families == ["reach"] * count and count > 0
    after = Solver(it.linear, relaxed=True).run()
    assert after.objective < before.objective
    assert add_reach(it, before.x) == count, "those of the same point are the same again"
