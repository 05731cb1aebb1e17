"""Legs of trips as columns: how often each two places follow one another, over all trips together.

Added to the pooled programme (`model/pooled`), with x for a leg, v for the visits of a buyer over all trips, T for
the trips made:
- ends: the legs at a buyer are twice its visits, those at home twice T; no buyer is visited more often than T;
- hours: no leg and no visit that takes longer than a trip may with nothing else; no more away than the trips made have;
- driving: money + wage x hours >= what the legs cost by their cheapest ways, hours >= what they take by their quickest.
- directions: where ways out of home are not as long as ways back, and other ways are the same both ways, each leg of
  home has two columns, one out and one back, T in all of each; any other leg stands for both directions.
Together with the cuts of `cuts` every plan keeps to them, so the optimum bounds every plan. With one trip, and one way
worth driving between any two places, whole legs that break no cut are a tour, and driving is what it costs: then the
programme is the plan itself and not only a bound (Laporte, Riera-Ledesma and Salazar-Gonzalez, "A branch-and-cut
algorithm for the undirected traveling purchaser problem", Operations Research 51, 2003).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from itertools import combinations

from partway.planning.model.highs import Values
from partway.planning.model.linear import Terms
from partway.planning.model.pooled import Pooled
from partway.planning.tours.tours import Matrix
from partway.planning.tours.ways import least_both_ways, turned_at_home

DUST = 1e-9
SLACK = 1e-6  # hours: what takes so much longer is no leg of a plan that keeps to its hours
Leg = tuple[int, int]  # place numbers, the lower first; home comes second in a leg back where that has its own column


class Legs:
    """The columns of the legs, by their two places. `visits` are the columns of the places."""

    def __init__(self, pooled: Pooled, cost: Matrix, hours: Matrix) -> None:
        """`cost` and `hours` of every leg in both directions; adds columns and rows to `pooled`.

        Where ways between other places than home differ, too, a leg has no direction and counts what no trip gets
        below (`least_both_ways`).
        """
        self.pooled, self.size, self.turned = pooled, len(cost), turned_at_home(cost, hours)
        self.hours = hours
        if not self.turned:
            cost, hours = least_both_ways(cost), least_both_ways(hours)
        stops = pooled.model.instance.stops
        self.visits = {place: c for b, c in pooled.visits.items() if (place := stops[b]) is not None}
        self.column: dict[Leg, int] = {}
        self.at: dict[int, list[int]] = defaultdict(list)
        self._columns()
        self._too_long(hours)
        self._ends()
        self._driving(cost, hours)

    def _columns(self) -> None:
        trips = float(self.pooled.trips)
        legs = list(combinations([0, *sorted(self.visits)], 2))
        for a, b in [*legs, *((b, a) for a, b in legs if self.turned and not a)]:
            column = self._column(f"leg({a}.{b})", trips if a or self.turned else 2.0 * trips)
            self.column[a, b] = column
            self.at[a].append(column)
            self.at[b].append(column)
        self.made = self._column("trips_made", trips)

    def _too_long(self, hours: Matrix) -> None:
        """Legs, and visits, that no trip has the hours for are not made."""
        instance, upper = self.pooled.model.instance, self.pooled.linear.upper
        most = instance.scenario.hours.one_trip + SLACK
        site = {p: instance.on_site_hours(instance.buyer_at[p]) for p in self.visits} | {0: 0.0}
        for (a, b), c in self.column.items():
            there, back = (float(hours[0, i] + hours[i, j] + hours[j, 0]) for i, j in ((a, b), (b, a)))
            if a and b and min(there, back) + site[a] + site[b] > most:
                upper[c] = 0.0
        for p, c in self.visits.items():
            if float(hours[0, p] + hours[p, 0]) + site[p] > most:
                upper[c] = 0.0

    def _column(self, name: str, upper: float) -> int:
        self.pooled.counts.append(False)
        return self.pooled.linear.column(name, 0.0, upper, integer=True)

    def _ends(self) -> None:
        linear = self.pooled.linear
        for place, visits in {**self.visits, 0: self.made}.items():
            terms: Terms = [(c, 1.0) for c in self.at[place]]
            linear.row("ends", str(place), [*terms, (visits, -2.0)], 0.0, 0.0)
        if self.turned:
            out: Terms = [(c, 1.0) for (a, _), c in self.column.items() if a == 0]
            linear.row("ends", "out", [*out, (self.made, -1.0)], 0.0, 0.0)
        for place, visits in self.visits.items():
            linear.row("made", str(place), [(visits, 1.0), (self.made, -1.0)], upper=0.0)

    def _driving(self, cost: Matrix, hours: Matrix) -> None:
        pooled, columns = self.pooled, self.pooled.model.columns
        money = pooled.column[columns.tour_money[0]]
        long = pooled.column[columns.tour_hours[0]]
        instance = pooled.model.instance
        wage = instance.scenario.hours.wage
        by_cost: Terms = [(c, -float(cost[leg])) for leg, c in self.column.items()]
        by_hours: Terms = [(c, -float(hours[leg])) for leg, c in self.column.items()]
        pooled.linear.row("driving", "money", [(money, 1.0), (long, wage), *by_cost], lower=0.0)
        pooled.linear.row("driving", "hours", [(long, 1.0), *by_hours], lower=0.0)
        away: Terms = [(pooled.visits[b], instance.on_site_hours(b)) for b in pooled.visits]
        most = instance.scenario.hours.one_trip
        pooled.linear.row("made", "hours", [(long, 1.0), *away, (self.made, -most)], upper=0.0)

    def inside(self, places: frozenset[int]) -> list[int]:
        """Columns of the legs between places of a set."""
        return [c for (a, b), c in self.column.items() if a in places and b in places]

    def across(self, places: frozenset[int]) -> list[int]:
        """Columns of the legs that leave a set."""
        return [c for (a, b), c in self.column.items() if (a in places) != (b in places)]

    def crossing(self, places: frozenset[int]) -> Terms:
        """How often legs leave a set: those that do, or where they are fewer, twice the visits less those inside."""
        if 2 * len(places) > self.size:
            return [(c, 1.0) for c in self.across(places)]
        return [*((self.visits[p], 2.0) for p in places), *((c, -2.0) for c in self.inside(places))]

    def driven(self, x: Values) -> Mapping[Leg, float]:
        """Legs that are driven at x, and how often, both directions together."""
        driven: dict[Leg, float] = defaultdict(float)
        for (a, b), c in self.column.items():
            if x[c] > DUST:
                driven[min(a, b), max(a, b)] += float(x[c])
        return driven
