"""Which stops to make where hours do not allow all of them: trips that are worth most, found by local search.

The orienteering problem (Tsiligirides, "Heuristic methods applied to orienteering", J. Operational Research Society
35, 1984) for one trip or several: stops that are worth least for their time are dropped until the trips fit, then stops
are put in where they fit and bring most for their time, and orders are shortened. Then stretches of stops are taken
out, in turn at every place and of every length, and the rest is filled again (iterated local search: Vansteenwegen,
Souffriau, Vanden Berghe and Van Oudheusden, Computers and Operations Research 36, 2009). The work is counted, not
timed, so a busy machine finds the same.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from partway.planning.tours.between import BetweenTrips
from partway.planning.tours.orders import Rows, exchanged, length, longer

SLACK = 1e-9  # hours
LEAST = 1e-9  # of worth, and of hours that a rate is by
Trips = list[list[int]]


@dataclass(frozen=True)
class Chosen:
    """Places with what a stop there is worth and how long it takes, and ways between them; home is place 0.

    `away` and `one_trip` are the most hours of all trips together and of each, `cost` what driving costs.
    """

    worth: Mapping[int, float]
    site: Mapping[int, float]
    hours: Rows
    cost: Rows
    away: float
    one_trip: float

    def best(self, trips: Trips, work: int) -> Trips:
        """Trips that fit, from these; `work` is how often a stretch is taken out."""
        now = self._filled(self.dropped(trips))
        best, worth = now, self.value(now)
        for stretch in itertools.islice(_stretches(now), work):
            now = self._filled(self._without(now, *stretch), {p for t in self._taken(now, *stretch) for p in t})
            now = self._filled(now)
            value = self.value(now)
            if value > worth + LEAST:
                best, worth = now, value
        return best

    def fits(self, trips: Trips) -> bool:
        """Whether each trip and all of them fit the hours."""
        long = [self.long(trip) for trip in trips]
        return max(long, default=0.0) <= self.one_trip + SLACK and sum(long) <= self.away + SLACK

    def value(self, trips: Trips) -> float:
        """What the stops are worth, less the driving."""
        return sum(self.worth.get(p, 0.0) for t in trips for p in t) - sum(length(self.cost, t) for t in trips if t)

    def long(self, trip: Sequence[int]) -> float:
        """Hours of one trip with its stops."""
        return length(self.hours, trip) + sum(self.site.get(p, 0.0) for p in trip) if trip else 0.0

    def dropped(self, trips: Trips) -> Trips:
        """Without the stops that are worth least for their time, until each trip fits and all of them do."""
        trips = [exchanged(self.hours, list(trip)) for trip in trips]
        while True:
            if self.fits(trips):
                return trips
            over = [k for k, trip in enumerate(trips) if self.long(trip) > self.one_trip + SLACK]
            among = over or range(len(trips))
            k, i = min(((k, i) for k in among for i in range(len(trips[k]))), key=lambda at: self._rate(trips, *at))
            trips[k] = trips[k][:i] + trips[k][i + 1 :]

    def _rate(self, trips: Trips, k: int, i: int) -> tuple[float, int]:
        trip = trips[k]
        before, here, after = (0, *trip)[i], trip[i], (*trip, 0)[i + 1]
        return self.worth.get(here, 0.0) / max(self._more(before, here, after), LEAST), here

    def _more(self, before: int, here: int, after: int) -> float:
        return longer(self.hours, before, here, after) + self.site.get(here, 0.0)

    def _filled(self, trips: Trips, barred: set[int] | None = None) -> Trips:
        """With stops put in where they fit and pay, and trips shortened, until neither brings more."""
        trips = [list(trip) for trip in trips]
        while True:
            self._put_in(trips, barred or set())
            shorter = [exchanged(self.hours, trip) for trip in trips]
            while self._between.shorter(shorter, self.long, self.one_trip + SLACK):
                pass
            if sum(map(self.long, shorter)) < sum(map(self.long, trips)) - SLACK:
                trips = shorter
            elif len(trips) == 1 or not self._replaced(trips, barred or set()):
                return trips

    def _replaced(self, trips: Trips, barred: set[int]) -> bool:
        long = [self.long(trip) for trip in trips]
        left = self.away - sum(long)
        out = sorted(self.worth.keys() - barred - {p for trip in trips for p in trip})
        return self._between.replaced(trips, out, [min(left, self.one_trip - took) + SLACK for took in long])

    @cached_property
    def _between(self) -> BetweenTrips:
        return BetweenTrips(self.worth, self.site, self.hours, self.cost)

    def _put_in(self, trips: Trips, barred: set[int]) -> None:
        while True:
            long = [self.long(trip) for trip in trips]
            left = self.away - sum(long) + SLACK
            out = self.worth.keys() - barred - {p for trip in trips for p in trip}
            found = (
                self._place(trip, min(left, self.one_trip - long[k] + SLACK), p, k)
                for p in sorted(out)
                for k, trip in enumerate(trips)
            )
            best = max((one for one in found if one), default=None)
            if best is None:
                return
            _, place, k, at = best
            trips[k].insert(at, place)

    def _place(self, trip: list[int], room: float, place: int, k: int) -> tuple[float, int, int, int] | None:
        """Where on a trip a stop costs least time: its worth by the hour, the place, the trip and where."""
        hours, at = min((self._more(a, place, b), i) for i, (a, b) in enumerate(itertools.pairwise((0, *trip, 0))))
        around = (0, *trip, 0)[at : at + 2]
        cost = longer(self.cost, around[0], place, around[1])
        gain = self.worth[place] - cost
        return (gain / max(hours, LEAST), place, k, at) if hours <= room and gain > LEAST else None

    def _taken(self, trips: Trips, start: int, size: int) -> Trips:
        return [[p for i, p in enumerate(trip) if (i - start) % max(len(trip), 1) < size] for trip in trips]

    def _without(self, trips: Trips, start: int, size: int) -> Trips:
        return [[p for i, p in enumerate(trip) if (i - start) % max(len(trip), 1) >= size] for trip in trips]


def _stretches(trips: Trips) -> Iterator[tuple[int, int]]:
    """Where a stretch begins and how long it is: on and on along the trips, longer with each round."""
    start, most = 0, max((len(trip) for trip in trips), default=0)
    for size in itertools.cycle(range(1, max(2, most // 2 + 1))):
        yield start, size
        start += size
