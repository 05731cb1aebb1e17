"""Better stops near those of a plan: one more or one less on a trip, as long as that makes the relaxation better.

Adding and dropping markets is how a travelling purchaser's route is improved by hand, too (Pearn and Chien, "Improved
solutions for the traveling purchaser problem", Computers and Operations Research 25, 1998). Each try is a relaxation
with its tours fixed; tries are counted, so a busy machine finds the same.
"""

from __future__ import annotations

import itertools
import math
import time
from collections.abc import Iterator

from partway.planning.model.milp import Model
from partway.planning.search.stages import FixedTours
from partway.planning.search.tour_bounds import TourCuts, Toured
from partway.planning.tours.orders import longer
from partway.planning.tours.tours import Tour, driven_by

MOST_TRIES = 80
SLACK = 1e-9  # hours
LEAST = 1e-6  # currency units
TIE = 1e-6  # currency units an hour


class Neighbours:
    """Stops near others; tours here are those of the plan with a stop put in or left out, not the shortest."""

    def __init__(self, model: Model, cuts: TourCuts) -> None:
        self.model, self.cuts = model, cuts
        self.way = (cuts.cost + TIE * cuts.hours).tolist()

    def climbed(self, toured: Toured, seconds: float) -> Toured:
        """The best found from these tours, which may be these."""
        until = time.monotonic() + seconds
        worth, tries, stale = self._worth(toured, seconds), 0, 0
        moves = [key for key in self.model.columns.visits if key[1] >= 0]
        for buyer, k in itertools.cycle(sorted(moves, key=lambda at: (not self._stops(toured, *at), at))):
            if stale >= len(moves) or tries == MOST_TRIES or time.monotonic() > until:
                break
            stale += 1
            new = self._changed(toured, buyer, k)
            if new is None:
                continue
            tries += 1
            value = self._worth(new, max(0.0, until - time.monotonic()))
            if value > worth + LEAST:
                toured, worth, stale = new, value, 0
        return toured

    def _stops(self, toured: Toured, buyer: int, k: int) -> bool:
        return buyer in self.cuts.buyers(toured.get(k))

    def _worth(self, toured: Toured, seconds: float) -> float:
        stops = tuple(self.cuts.buyers(toured[k]) for k in sorted(toured))
        return FixedTours(self.model, self.cuts.fixed(stops, toured)).guess(seconds).objective

    def _changed(self, toured: Toured, buyer: int, k: int) -> Toured | None:
        """With this stop where it was not, or without it; None where that takes too long."""
        tour, place = toured[k], self.cuts.place(buyer)
        order = () if tour is None else tour.stops
        left = tuple(p for p in order if p != place) if place in order else min(self._put_in(order, place))[1]
        new = {**toured, k: driven_by(self.cuts.roads, left, 0) if left else None}
        return new if self._fits(new) else None

    def _put_in(self, order: tuple[int, ...], place: int) -> Iterator[tuple[float, tuple[int, ...]]]:
        for i, (a, b) in enumerate(itertools.pairwise((0, *order, 0))):
            yield longer(self.way, a, place, b), (*order[:i], place, *order[i:])

    def _fits(self, toured: Toured) -> bool:
        hours = self.model.instance.scenario.hours
        long = [self._long(tour) for tour in toured.values()]
        return math.fsum(long) <= hours.away + SLACK and max(long, default=0.0) <= hours.one_trip + SLACK

    def _long(self, tour: Tour | None) -> float:
        site = sum(map(self.model.instance.on_site_hours, self.cuts.buyers(tour)))
        return site + (tour.hours if tour else 0.0)
