"""The programme with its trips pooled: what all trips carry together, not which trip carries it.

Trips are alike, so the sum of a plan's columns over its trips satisfies the sum of each family of rows
(surrogate aggregation over a symmetric index; Glover, "Surrogate constraint duality in mathematical
programming", Operations Research 23, 1975). The pooled programme is therefore a relaxation: its optimum
bounds every plan. It has one copy of each lot instead of one a trip and no two answers that differ only
in the order of the trips, which is what makes the programme with an index for trips slow.

What pooling loses is won back by rows that every plan satisfies: a buyer is brought no more than the trips
that stop there can carry, and the same for sets of buyers (`routing_cuts`). The number of times each
tour is driven is whole here, because whole visits force whole tours only one trip at a time.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from itertools import combinations

import numpy as np

from partway.planning.making import all_kept
from partway.planning.model.highs import Values
from partway.planning.model.linear import Linear, Terms
from partway.planning.model.milp import Model

TRIP_ROWS = ("tier_low", "tier_high", "tier_one", "visit_lot", "ticket", "visit_tour", "one_tour", "payload", "volume")
PIECE_ROWS = ("whole_in_lot", "pieces_in_lot", "most_pieces")
CUT_ROWS = ("legs", "tours", "trip_hours")  # search/tour_bounds.py
PER_TRIP = frozenset((*TRIP_ROWS, *PIECE_ROWS, *CUT_ROWS))


@dataclass
class Pooled:
    """The pooled programme. `counts` marks columns that may be fractions in step one; `idle`: the column of trips that
    stay home.
    """

    model: Model
    linear: Linear
    column: list[int]
    trips: int
    counts: list[bool] = field(default_factory=list)
    tours: dict[int, int] = field(default_factory=dict)
    visits: dict[int, int] = field(default_factory=dict)
    loads: dict[int, list[tuple[int, float]]] = field(default_factory=lambda: defaultdict(list))
    together: dict[tuple[int, int], int] = field(default_factory=dict)
    idle: int = -1

    def whole(self, counts: bool) -> list[bool]:
        """Which columns are integer, with or without the counts of pieces."""
        return [integer and (counts or not c) for integer, c in zip(self.linear.integer, self.counts, strict=True)]

    def chosen(self, x: Values) -> dict[int, int]:
        """How often each tour is driven at x."""
        return {r: n for r, c in self.tours.items() if (n := round(float(x[c])))}


@all_kept()
def pool(model: Model) -> Pooled:
    """The pooled relaxation of a model whose trips are alike."""
    trips = model.instance.scenario.hours.trips
    first, trip = _first_trip(model)
    pooled = Pooled(model, Linear(constant=model.linear.constant), [0] * len(first), trips)
    _columns(pooled, first, trip)
    _rows(pooled, trip)
    _routes(pooled)
    _loads(pooled)
    return pooled


def _first_trip(model: Model) -> tuple[list[int], dict[int, int]]:
    """For each column the same column of the first trip, and its trip if it has one."""
    columns = model.columns
    first, trip = list(range(len(model.linear.names))), {}
    for lots in (columns.lots, columns.lot_taken, columns.blocks):
        for (a, b, k), c in lots.items():
            if k >= 0:
                first[c], trip[c] = lots[a, b, 0], k
    for pairs in (columns.visits, columns.tickets, columns.tours, columns.loose_pieces):
        for (a, k), c in pairs.items():
            if k >= 0:
                first[c], trip[c] = pairs[a, 0], k
    for singles in (columns.tour_money, columns.tour_hours):
        for k, c in singles.items():
            first[c], trip[c] = singles[0], k
    return first, trip


def _columns(pooled: Pooled, first: list[int], trip: dict[int, int]) -> None:
    source, columns = pooled.model.linear, pooled.model.columns
    counted = (columns.opened, columns.sold, columns.parts, columns.kept, columns.blocks, columns.loose_pieces)
    counts = {c for kind in counted for c in kind.values()}
    tours = set(columns.tours.values())
    number = Counter(first)  # who is open for part of the time has the first trip alone
    for c, like in enumerate(first):
        if like == c:
            times = number[c] if c in trip else 1
            whole = source.integer[c] or c in tours
            upper = source.upper[c] * times
            pooled.column[c] = pooled.linear.column(source.names[c], source.objective[c], upper, whole)
            pooled.counts.append(c in counts)
    for c, like in enumerate(first):
        pooled.column[c] = pooled.column[like]


def _rows(pooled: Pooled, trip: dict[int, int]) -> None:
    """Rows of the first trip, their sides times the trips; the other rows as they are."""
    source = pooled.model.linear
    for r, terms in enumerate(source.rows):
        trips = {trip[c] for c, _ in terms if c in trip} if source.row_families[r] in PER_TRIP else set()
        if trips and trips != {0}:
            continue
        times = pooled.trips if trips else 1
        like = {pooled.column[c]: v for c, v in terms}  # equal over the trips, so the last is as good as any
        low, high = (0.0 if side == 0.0 else side * times for side in (source.row_lower[r], source.row_upper[r]))
        row = pooled.linear.row(source.row_families[r], "", like.items(), low, high)
        pooled.linear.row_names[row] = source.row_names[r]


def _routes(pooled: Pooled) -> None:
    """Tours by number; the trips that stay home make every plan's tours add up to the number of trips."""
    columns = pooled.model.columns
    pooled.visits = {b: pooled.column[c] for (b, k), c in columns.visits.items() if k == 0}
    pooled.tours = {r: pooled.column[c] for (r, k), c in columns.tours.items() if k == 0}
    if pooled.tours:
        pooled.idle = pooled.linear.column("idle", 0.0, float(pooled.trips), integer=True)
        pooled.counts.append(False)
        terms: Terms = [(c, 1.0) for c in pooled.tours.values()]
        pooled.linear.row("one_tour", "all", [*terms, (pooled.idle, 1.0)], float(pooled.trips), float(pooled.trips))
    early: Terms = [(c, 1.0) for r, c in pooled.tours.items() if is_first(pooled.model, r)]
    if pooled.trips > 1 and early:
        pooled.linear.row("one_tour", "first", early, upper=1.0)
    if pooled.trips > 1:
        _pairs(pooled)


def is_first(model: Model, tour: int) -> bool:
    """Whether only the first trip may drive a tour, where there are several."""
    return model.instance.scenario.hours.trips > 1 and (tour, 1) not in model.columns.tours


def _pairs(pooled: Pooled) -> None:
    """How often two buyers share a trip; branching on this works far better than on single tours.

    Ryan and Foster, "An integer programming approach to scheduling", 1981.
    """
    instance, tours = pooled.model.instance, pooled.model.instance.tours or ()
    for a, b in combinations(sorted(pooled.visits), 2):
        ends = {instance.stops[a], instance.stops[b]}
        terms: Terms = [(c, -1.0) for r, c in pooled.tours.items() if ends <= set(tours[r].stops)]
        if terms:
            column = pooled.linear.column(f"together({a}.{b})", 0.0, float(pooled.trips), integer=True)
            pooled.together[a, b] = column
            pooled.counts.append(False)
            pooled.linear.row("together", f"{a}.{b}", [(column, 1.0), *terms], 0.0, 0.0)


def _loads(pooled: Pooled) -> None:
    """What is brought to one buyer, and to all, fits the trips that stop there."""
    instance = pooled.model.instance
    for (i, _, k), c in pooled.model.columns.lots.items():
        if k == 0:
            lot = instance.lots[i]
            pooled.loads[lot.buyer].append((pooled.column[c], instance.litres_per_kg[lot.grade]))
    for b in pooled.loads:
        fit_rows(pooled, [b], [(pooled.visits[b], 1.0)] if b in pooled.visits else [])
    fit_rows(pooled, list(pooled.loads), [(c, 1.0) for c in pooled.tours.values()])


def fit_rows(pooled: Pooled, buyers: list[int], trips: Terms, *families: str) -> None:
    """Loads to these buyers <= payload (and volume) x the trips given; the rows are the last ones added.

    Of the families `fit_kg` and `fit_litres` only those named, both where none is.
    """
    vehicle = pooled.model.instance.scenario.vehicle
    if vehicle is None or not trips:
        return
    load = [term for b in buyers for term in pooled.loads[b]]
    name = ".".join(str(b) for b in buyers)
    for family, most, by_litres in (("fit_kg", vehicle.payload_kg, False), ("fit_litres", vehicle.volume_l, True)):
        if most is not None and family in (families or (family,)):
            terms = [(c, litres if by_litres else 1.0) for c, litres in load]
            pooled.linear.row(family, name, [*terms, *((c, -most * n) for c, n in trips)], upper=0.0)


def load_of(pooled: Pooled, x: Values, buyer: int) -> tuple[float, float]:
    """Kilograms and litres brought to a buyer at x."""
    columns = np.array([c for c, _ in pooled.loads[buyer]], dtype=int)
    litres = np.array([v for _, v in pooled.loads[buyer]])
    return float(x[columns].sum()), float((x[columns] * litres).sum())
