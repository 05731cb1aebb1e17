"""Decisions with published answers: tours, a knapsack, a closure (checks 27, 28 and 30)."""

from __future__ import annotations

import datetime as dt
import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import maximum_flow

from partway.planning.check.verify import Checked, verify
from partway.planning.instance.build import build
from partway.planning.search.search import search
from partway.planning.tours.tours import shortest_tour
from partway.things.anatomy import Anatomy, Gives, Operation, Part, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Quote, Scenario, Vehicle

DAY = dt.date(2026, 3, 14)
exact = Estimate.exact

# --- 28: tours -------------------------------------------------------------------------------------
# TSPLIB 95 (G. Reinelt, University of Heidelberg): data files burma14.tsp, ulysses16.tsp and gr17.tsp,
# optimal lengths from its list "Best known solutions for symmetric TSPs".

# Degrees and minutes written as DDD.MM, latitude and longitude, in the order of the file.
BURMA14 = """
16.47 96.10  16.47 94.44  20.09 92.54  22.39 93.37  25.23 97.24  22.00 96.05  20.47 97.02
17.20 96.29  16.30 97.38  14.05 98.12  16.53 97.38  21.52 95.59  19.41 97.13  20.09 94.55
"""
ULYSSES16 = """
38.24 20.42  39.57 26.15  40.56 25.32  36.26 23.12  33.48 10.54  37.56 12.19  38.42 13.11  37.52 20.44
41.23  9.10  41.17 13.05  36.08 -5.21  38.47 15.13  38.15 15.35  37.51 15.17  35.49 14.32  39.36 19.56
"""
# Lower triangle with its diagonal, row by row.
GR17 = """
0
633 0
257 390 0
91 661 228 0
412 227 169 383 0
150 488 112 120 267 0
80 572 196 77 351 63 0
134 530 154 105 309 34 29 0
259 555 372 175 338 264 232 249 0
505 289 262 476 196 360 444 402 495 0
353 282 110 324 61 208 292 250 352 154 0
324 638 437 240 421 329 297 314 95 578 435 0
70 567 191 27 346 83 47 68 189 439 287 254 0
211 466 74 182 243 105 150 108 326 336 184 391 145 0
268 420 53 239 199 123 207 165 383 240 140 448 202 57 0
246 745 472 237 528 364 332 349 202 685 542 157 289 426 483 0
121 518 142 84 297 35 29 36 236 390 238 301 55 96 153 336 0
"""


def geographic(text: str) -> NDArray[np.float64]:
    """Whole-kilometre distances by TSPLIB's rule GEO, with its own PI 3.141592 and R 6378.388.

    Source: Reinelt, "TSPLIB 95", section 2 (distance functions, geographical distance): the decimals are
    minutes, the length is cut off after adding 1.
    """

    def radians(x: float) -> float:
        degrees = int(x)
        return 3.141592 * (degrees + 5.0 * (x - degrees) / 3.0) / 180.0

    angles = [radians(float(x)) for x in text.split()]
    points = list(zip(angles[::2], angles[1::2], strict=True))
    length = np.zeros((len(points), len(points)))
    for i, (lat_a, lon_a) in enumerate(points):
        for j, (lat_b, lon_b) in enumerate(points[:i]):
            q1, q2, q3 = math.cos(lon_a - lon_b), math.cos(lat_a - lat_b), math.cos(lat_a + lat_b)
            angle = math.acos(0.5 * ((1.0 + q1) * q2 - (1.0 - q1) * q3))
            length[i, j] = length[j, i] = int(6378.388 * angle + 1.0)
    return length


def triangle(text: str) -> NDArray[np.float64]:
    """A symmetric matrix from its lower triangle."""
    rows = [[float(x) for x in line.split()] for line in text.strip().splitlines()]
    length = np.zeros((len(rows), len(rows)))
    for i, row in enumerate(rows):
        length[i, : i + 1] = length[: i + 1, i] = row
    return length


@pytest.mark.parametrize(
    ("length", "places", "optimum"),
    [
        pytest.param(geographic(BURMA14), 14, 3323, id="burma14"),
        pytest.param(geographic(ULYSSES16), 16, 6859, id="ulysses16"),
        pytest.param(triangle(GR17), 17, 2085, id="gr17"),
    ],
)
def test_28_shortest_tours_of_tsplib(length: NDArray[np.float64], places: int, optimum: int) -> None:
    assert len(length) == places
    total, order = shortest_tour(length)
    assert total == optimum
    assert sorted(order) == list(range(1, places))
    assert sum(length[a, b] for a, b in itertools.pairwise((0, *order, 0))) == optimum


# --- 30: a knapsack --------------------------------------------------------------------------------
# Data set p01 of "KNAPSACK_01: data for the 0/1 knapsack problem", J. Burkardt, Florida State University:
# optimum 309. The relaxation 309.018868 = 266 + 38 x 60/53 and the shadow price 60/53 follow by hand: items
# 1 to 4 fill 127 of 165, the fifth, with the next best ratio, fills the rest.
PROFITS = (92, 57, 49, 68, 60, 43, 67, 84, 87, 72)
WEIGHTS = (23, 31, 29, 44, 53, 38, 63, 85, 89, 82)
CAPACITY = 165


def best(scenario: Scenario) -> Checked:
    """The checked optimal plan."""
    instance = build(scenario)
    found = search(instance, seconds=30.0, gap=1e-9)
    assert found.optimal
    return verify(instance, found.decision)


def scene(
    buyers: tuple[Buyer, ...],
    anatomies: dict[str, Anatomy],
    grades: dict[str, Grade],
    bench: float,
    payload: float,
) -> Scenario:
    """One find of each kind, hours that cost nothing, nothing kept is worth anything."""
    return Scenario(
        name="published",
        currency="EUR",
        on=DAY,
        hours=Hours(bench=bench, away=100.0, wage=0.0),
        vehicle=Vehicle(payload, None, 1.0, 50.0),
        buyers=buyers,
        finds=tuple(Find(kind) for kind in anatomies),
        stock={},
        grades=grades,
        anatomies=anatomies,
        keep_factor=0.0,
    )


def knapsack_by_payload(payload: float, whole_lots: bool) -> Scenario:
    """Each item a find of its own grade and mass; a minimum lot of that mass keeps it from being split."""
    names = [f"item {i}" for i in range(len(WEIGHTS))]
    grades = {name: Grade(name, name, "item", exact(1.0)) for name in names}
    quotes, anatomies = [], {}
    for name, profit, weight in zip(names, PROFITS, WEIGHTS, strict=True):
        quotes.append(Quote(name, exact(profit / weight), DAY, minimum_kg=weight if whole_lots else 0.0))
        anatomies[name] = Anatomy(name, name, (Piece("whole", name, exact(weight), (SaleAs(name),)),))
    yard = Buyer("yard", "yard", km=0.0, quotes=tuple(quotes))
    return scene((yard,), anatomies, grades, 0.0, payload)


def test_30_knapsack_by_payload() -> None:
    plan = best(knapsack_by_payload(CAPACITY, whole_lots=True))
    assert plan.money.total == pytest.approx(309.0, abs=1e-6)
    assert plan.money.sales == pytest.approx(309.0, abs=1e-6)


def test_30_knapsack_by_bench_minutes() -> None:
    anatomies = {}
    for i, (profit, weight) in enumerate(zip(PROFITS, WEIGHTS, strict=True)):
        part = Part(exact(profit), chance=1.0, minutes=exact(weight))
        piece = Piece("whole", "item", exact(1.0), (), (part,))
        anatomies[f"item {i}"] = Anatomy(f"item {i}", "item", (piece,))
    plan = best(scene((), anatomies, {}, CAPACITY / 60.0, 1.0))
    assert plan.money.parts == plan.money.total == pytest.approx(309.0, abs=1e-9)
    assert plan.bench_hours == pytest.approx(CAPACITY / 60.0), "the published choice weighs exactly 165"
    assert plan.decision.parts == (1, 1, 1, 1, 0, 1, 0, 0, 0, 0)


def test_30_knapsack_of_finds_needs_no_minimum_lots() -> None:
    # Finds are loaded whole, so the published whole-number optimum holds without a lot that keeps them from being cut.
    plan = best(knapsack_by_payload(CAPACITY, whole_lots=False))
    assert plan.money.total == pytest.approx(309.0, abs=1e-6)


def binned(it: Scenario) -> Scenario:
    """The same material as stock in bins: that can be divided."""
    return replace(it, finds=(), stock={f"item {i}": float(weight) for i, weight in enumerate(WEIGHTS)})


def test_30_relaxation_where_lots_may_be_split() -> None:
    # Kilograms of a grade can be divided, so without minimum lots the plan is the relaxation itself.
    total = best(binned(knapsack_by_payload(CAPACITY, whole_lots=False))).money.total
    assert total == pytest.approx(309.018868, abs=5e-7)
    one_more = best(binned(knapsack_by_payload(CAPACITY + 1, whole_lots=False))).money.total
    assert one_more - total == pytest.approx(60 / 53, abs=1e-6)


# --- 27: a closure ---------------------------------------------------------------------------------
# The project selection example of the article "Max-flow min-cut theorem" (Wikipedia): three projects earn
# 100, 200 and 150, three machines cost 200, 100 and 50; the minimum cut is 250, so the most to earn is 200.
REVENUES = (100, 200, 150)
COSTS = (200, 100, 50)
NEEDS = ((0, 1), (1,), (2,))


def test_27_closure_by_minimum_cut() -> None:
    n, m = len(REVENUES), len(COSTS)
    source, sink = n + m, n + m + 1
    capacity = np.zeros((n + m + 2, n + m + 2), dtype=np.int32)
    capacity[source, :n] = REVENUES
    capacity[n : n + m, sink] = COSTS
    for project, machines in enumerate(NEEDS):
        for machine in machines:
            capacity[project, n + machine] = 10_000
    cut = maximum_flow(csr_array(capacity), source, sink).flow_value
    assert cut == 250
    assert sum(REVENUES) - cut == 200


def test_27_closure_as_a_plan() -> None:
    """A machine is a drive to its buyer, a project a find whose pieces sell at all the buyers it needs.

    Opening costs more than all but the last of its pieces bring, so it pays only with every one sold.
    All buyers lie beyond home from each other, so the cost of a trip is the sum of its drives.
    """
    names = ("q1", "q2", "q3")
    grades: dict[str, Grade] = {}
    anatomies: dict[str, Anatomy] = {}
    quotes: dict[str, list[Quote]] = {name: [] for name in names}
    for p, (revenue, machines) in enumerate(zip(REVENUES, NEEDS, strict=True)):
        pieces = [Piece("whole", "whole", exact(float(len(machines))))]
        for machine in machines:
            grade = f"p{p + 1} at {names[machine]}"
            grades[grade] = Grade(grade, grade, "piece", exact(1.0))
            quotes[names[machine]].append(Quote(grade, exact(1000.0 + revenue / len(machines)), DAY))
            pieces.append(Piece(grade, grade, exact(1.0), (SaleAs(grade),)))
        gives = tuple(Gives(piece.id) for piece in pieces[1:])
        opening = Operation("open", "open", "whole", exact(0.0), gives, cost=1000.0 * len(machines))
        anatomies[f"p{p + 1}"] = Anatomy(f"p{p + 1}", "project", tuple(pieces), (opening,))
    buyers = tuple(
        Buyer(name, "yard", km=cost / 2.0, quotes=tuple(quotes[name])) for name, cost in zip(names, COSTS, strict=True)
    )
    plan = best(scene(buyers, anatomies, grades, 1.0, 100.0))
    assert plan.money.total == pytest.approx(200.0, abs=1e-6)
    assert plan.money.driving == pytest.approx(-150.0, abs=1e-9), "machines q2 and q3"
    assert plan.decision.opened == (0, 1, 1), "projects p2 and p3"
