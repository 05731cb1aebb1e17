"""Bounds on driving for more than twelve places, where tours cannot all be listed, and the tours of a set of stops.

With columns money_k and hours_k for each trip's driving, every plan satisfies, for a set S of places, any
trip k, and x_i = 1 if trip k stops at i:
- legs: driving >= half of what it costs to enter and to leave the stops at the least, sum over i of h_i x_i (only
  home can be on both sides), and driving >= (d(home, i) + d(i, end)) x_i (triangle inequality);
- tours: driving >= T(S) - sum over i in S of p_i (1 - x_i), where T(S) is the shortest tour of S: putting a missing
  place back before the first stop, or as the only one, costs p_i at most (where trips end at home, a trip of its
  own). Where a trip ends elsewhere one that drives nowhere saves d(home, end), too, shared out among the p_i of S.
  This is a logic-based Benders cut (Hooker and Ottosson, Mathematical Programming 96, 2003), exact where the trip's
  stops are S.
- done: a set of stops for which every tour worth driving has been planned is excluded: sum of x over its stops, less
  the sum of x over the others, is at most their number - 1.
The first two hold for hours (of the quickest ways) and for cost, money + wage x hours (of the cheapest ways),
because shortest ways obey the triangle inequality, whichever ways are driven in the end.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import permutations

import numpy as np

from partway.planning.edges.rounds import RoundTrip, shortest_round
from partway.planning.model.linear import Terms
from partway.planning.model.milp import Model
from partway.planning.search.stages import Fixed
from partway.planning.tours.fronts import front
from partway.planning.tours.tours import MOST_EXACT, Matrix, Tour, best_order, driven_by, shortest_tour
from partway.planning.tours.ways import drive_cost

MOST_FRONT = 8  # stops of a trip for which every tour worth driving is listed
MOST_ORDERED = 3
Stops = tuple[frozenset[int], ...]  # buyers visited, by trip
Toured = dict[int, Tour | None]  # by trip


class TourCuts:
    """Adds rows to a model that bound the cost and the hours of driving from below; also finds the tours of a set of
    buyers.
    """

    def __init__(self, model: Model) -> None:
        """Raises ValueError for an instance in which nobody is driven to."""
        roads, vehicle = model.instance.roads, model.instance.scenario.vehicle
        if roads is None or vehicle is None:
            raise ValueError("no trip without a vehicle and a way")
        self.model, self.instance, self.roads = model, model.instance, roads
        self.room = (vehicle.payload_kg, np.inf if vehicle.volume_l is None else vehicle.volume_l)
        self.wage = model.instance.scenario.hours.wage
        self.cost = vehicle.cost_per_km * roads.km + self.wage * roads.hours
        self.hours = roads.quickest()
        self.per_km = vehicle.cost_per_km
        self.cut: set[frozenset[int]] = set()
        self.fronts: dict[frozenset[int], list[Tour | None]] = {}
        self.rounds: dict[tuple[frozenset[int], bool], RoundTrip] = {}

    def place(self, buyer: int) -> int:
        """The place number of a buyer that is driven to."""
        return int(self.instance.stops[buyer] or 0)

    def buyers(self, tour: Tour | None) -> frozenset[int]:
        """The buyers a tour stops at."""
        return frozenset(self.instance.buyer_at[stop] for stop in (tour.stops if tour else ()))

    def tour(self, buyers: Iterable[int]) -> Tour:
        """The cheapest tour of these buyers; ties go to the quicker one. Beyond twelve see `every_tour`."""
        return self._best_order(frozenset(buyers), quickest=False)

    def quickest(self, buyers: Iterable[int]) -> Tour:
        """The quickest tour of these buyers, by the quickest ways."""
        return self._best_order(frozenset(buyers), quickest=True)

    def _best_order(self, buyers: frozenset[int], quickest: bool) -> Tour:
        if len(buyers) > MOST_EXACT:
            order = self._round(buyers, quickest or self.roads.uniform).order
            return driven_by(self.roads, order, -1 if quickest else 0)
        cost = self.hours if quickest else drive_cost(self.roads.km, self.roads.hours, self.per_km, self.wage)
        return best_order(self.roads, cost, self._places(buyers), quickest)

    def _round(self, buyers: frozenset[int], quickest: bool) -> RoundTrip:
        if (buyers, quickest) not in self.rounds:
            way = self.hours if quickest else self.cost
            self.rounds[buyers, quickest] = shortest_round(way, self._places(buyers))
        return self.rounds[buyers, quickest]

    def _places(self, buyers: Iterable[int]) -> list[int]:
        return [self.place(b) for b in sorted(buyers)]

    def front(self, buyers: frozenset[int]) -> list[Tour | None]:
        """The tours of these buyers that no other beats in both cost and hours; [None] for no buyers.

        Above eight buyers only the cheapest and the quickest: the front is listed over subsets.
        """
        if not buyers:
            return [None]
        if buyers not in self.fronts:
            self.fronts[buyers] = [*self._front(buyers)]
        return self.fronts[buyers]

    def _front(self, buyers: frozenset[int]) -> list[Tour]:
        if self.roads.uniform:
            return [self.tour(buyers)]
        if len(buyers) <= MOST_FRONT:
            return front(self.roads, self.per_km, self.wage, self._places(buyers))
        cheapest, quickest = self.tour(buyers), self.quickest(buyers)
        return [cheapest, quickest] if quickest.hours < cheapest.hours else [cheapest]

    def every_tour(self, buyers: frozenset[int]) -> bool:
        """Whether `front` lists every tour of these buyers that the best plan could use."""
        if self.roads.uniform:
            return len(buyers) <= MOST_EXACT or self._round(buyers, True).proven
        return len(buyers) <= MOST_FRONT and self.roads.complete

    def exclude(self, stops: Stops) -> None:
        """Exclude these sets of stops, in whatever order of trips for up to three trips, else only in this order."""
        columns, linear = self.model.columns, self.model.linear
        orders = set(permutations(stops)) if len(stops) <= MOST_ORDERED else {stops}
        for order in orders:
            signs = [(c, 1.0 if b in order[k] else -1.0) for (b, k), c in columns.visits.items() if k >= 0]
            linear.row("excluded", "", signs, upper=sum(len(s) for s in order) - 1.0)

    def add_legs(self) -> None:
        """Rows that bound driving from the start, and the hours of each trip."""
        self._trip_hours()
        columns, linear = self.model.columns, self.model.linear
        for k in columns.tour_money:
            visits = {b: c for (b, trip), c in columns.visits.items() if trip == k}
            for driving, way in self._driving(k):
                half = half_legs(way)
                terms = [(c, -float(half[self.place(b)])) for b, c in visits.items()]
                linear.row("legs", f"{k + 1}", [*driving, *terms], lower=0.0)
                for b, c in visits.items():
                    alone = float(way[0, self.place(b)] + way[self.place(b), 0])
                    linear.row("legs", f"{k + 1}", [*driving, (c, -alone)], lower=0.0)

    def _trip_hours(self) -> None:
        columns, instance = self.model.columns, self.instance
        most = instance.scenario.hours.trip
        for k, driving in columns.tour_hours.items() if most is not None else ():
            visits = [(c, instance.on_site_hours(b)) for (b, trip), c in columns.visits.items() if trip == k]
            self.model.linear.row("trip_hours", f"{k + 1}", [(driving, 1.0), *visits], upper=most or 0.0)

    def add_tours(self, stops: Stops) -> int:
        """Add the tour rows of these sets for every trip. Returns how many sets were new."""
        new = {s for s in stops if s} - self.cut
        self.cut |= new
        columns, linear = self.model.columns, self.model.linear
        for buyers in new:
            for k in columns.tour_money:
                for driving, way in self._driving(k):
                    shortest = self._shortest(buyers, way)
                    nowhere = float(way[0, 0]) / len(buyers)
                    out = {b: put_back(way, self.place(b)) + nowhere for b in buyers}
                    terms = [(columns.visits[b, k], -cost) for b, cost in out.items()]
                    linear.row("tours", f"{k + 1}", [*driving, *terms], lower=shortest - sum(out.values()))
        return len(new)

    def _shortest(self, buyers: frozenset[int], way: Matrix) -> float:
        """No tour of these buyers is shorter."""
        chosen = self._places(buyers)
        if len(chosen) > MOST_EXACT:
            return self._round(buyers, way is self.hours).least
        return shortest_tour(way[np.ix_([0, *chosen], [0, *chosen])])[0]

    def _driving(self, k: int) -> list[tuple[Terms, Matrix]]:
        money, hours = self.model.columns.tour_money[k], self.model.columns.tour_hours[k]
        return [([(money, 1.0), (hours, self.wage)], self.cost), ([(hours, 1.0)], self.hours)]

    def fixed(self, stops: Stops, toured: Toured) -> Fixed:
        """Bounds that make a plan visit these buyers and pay for exactly these tours."""
        columns, fixed = self.model.columns, {}
        for (b, k), c in columns.visits.items():
            if k >= 0:
                fixed[c] = float(b in stops[k])
        for k, tour in toured.items():
            fixed[columns.tour_money[k]] = self.instance.drive_money(tour) if tour else 0.0
            fixed[columns.tour_hours[k]] = tour.hours if tour else 0.0
        return {c: (v, v) for c, v in fixed.items()}


def half_legs(way: Matrix) -> Matrix:
    """Half the least cost of entering and leaving each place, in the unit of `way`; 0 for home."""
    half = np.zeros(len(way))
    for i in range(1, len(way)):
        through = np.delete(way[:, i], i)[:, None] + np.delete(way[i], i)[None, :]
        np.fill_diagonal(through[1:, 1:], np.inf)  # no place but home is on both sides
        half[i] = through.min() / 2.0
    return half


def put_back(way: Matrix, i: int) -> float:
    """The most that it adds to any trip to stop at place i first, or nowhere else, in the unit of `way`."""
    return float(np.delete(way[0, i] + way[i] - way[0], i).max())
