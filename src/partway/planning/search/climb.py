"""Better stops near those that are proposed, and near those of a plan, by what can be worked out about them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from partway.planning.model.highs import Values
from partway.planning.model.milp import Model
from partway.planning.model.pooled import Pooled
from partway.planning.near.near_stops import NearStops
from partway.planning.near.stops_worth import StopsWorth
from partway.planning.search.first_stops import there_of
from partway.planning.search.neighbours import Neighbours
from partway.planning.search.tour_bounds import Stops, TourCuts, Toured
from partway.planning.tours.orders import Rows, round_trip

WORK = 20  # stretches of a trip that are left out and filled anew


class Climb:
    """With one trip stops are valued by arithmetic (`near_stops`), with several by relaxations (`neighbours`)."""

    def __init__(self, model: Model, cuts: TourCuts) -> None:
        self.model, self.cuts = model, cuts
        self.trips = model.instance.scenario.hours.trips
        self.way: Rows = cuts.cost.tolist()
        self.near: NearStops | None = None
        self.new = True

    def from_home(self) -> Stops | None:
        """Stops to begin with, before anything is solved: with one trip and nothing to open."""
        self.new = False
        if self.trips != 1 or self.model.instance.groups:
            return None
        self.near = self._counting_on(self.model.instance.supply)
        return self._stops(self.near, (frozenset(),), 0)

    def learn(self, pooled: Pooled, x: Values) -> None:
        """Count on as much of each grade as there is at a point of the pooled relaxation."""
        if self.trips == 1:
            there = there_of(pooled, x)
            self.near = self._counting_on([there[g] for g in range(len(self.model.instance.grades))])

    def _counting_on(self, there: Sequence[float]) -> NearStops:
        instance = self.model.instance
        return NearStops(
            StopsWorth(instance, there), self.way, self.cuts.hours.tolist(), instance.scenario.hours.one_trip
        )

    def proposals(self, proposed: Iterator[Stops]) -> Iterator[Stops]:
        """Those proposed, before each the best near it."""
        for stops in proposed:
            if self.near is not None:
                yield self._stops(self.near, stops, 0)
            yield stops

    def further(self, toured: Toured, seconds: float) -> Stops:
        """The best found near these tours. Only relaxations know what is opened for a stop, and lots that add up."""
        stops = tuple(self.cuts.buyers(toured[k]) for k in range(self.trips))
        if self.near is not None and not self.model.instance.groups:
            return self._stops(self.near, stops, WORK)
        better = Neighbours(self.model, self.cuts).climbed(toured, seconds)
        return tuple(self.cuts.buyers(better[k]) for k in range(self.trips))

    def _stops(self, near: NearStops, stops: Stops, work: int) -> Stops:
        order = round_trip(self.way, sorted(map(self.cuts.place, stops[0])))
        return (frozenset(self.model.instance.buyer_at[p] for p in near.climbed(tuple(order), work)),)
