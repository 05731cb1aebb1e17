"""Steps between trips that have an hour limit: a stop moved to another trip, two exchanged, one replaced by a better.

Moving and exchanging stops makes the trips together shorter, which leaves room for one more; replacing brings more
worth at once. They are the steps of Chao, Golden and Wasil, "The team orienteering problem", European Journal of
Operational Research 88, 1996 (one-point movement, two-point exchange; from memory). A stop goes where it takes least
time, and what stays keeps its order.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from partway.planning.tours.orders import Rows, longer

Trip = list[int]
Trips = list[Trip]
LEAST = 1e-9  # hours, and worth
Step = tuple[float, float, Trip, Trip]  # hours more on the first trip and on the second, and the two


@dataclass(frozen=True)
class BetweenTrips:
    """Ways by hours and by cost; `site` is what a stop takes besides, in hours, `worth` what it brings."""

    worth: Mapping[int, float]
    site: Mapping[int, float]
    hours: Rows
    cost: Rows

    def shorter(self, trips: Trips, long: Callable[[Sequence[int]], float], most: float) -> bool:
        """Take one step that makes the trips take less time together, none more than `most`; whether there is one."""
        took = [long(trip) for trip in trips]
        for k, other in itertools.permutations(range(len(trips)), 2):
            for more, there, one, two in self._steps(trips[k], trips[other]):
                if more + there < -LEAST and took[k] + more <= most and took[other] + there <= most:
                    trips[k], trips[other] = one, two
                    return True
        return False

    def _steps(self, trip: Trip, other: Trip) -> Iterator[Step]:
        """Each stop of the first trip on the other one, and in exchange for each of its stops."""
        without = [self._less(other, j) for j in range(len(other))]
        for i, place in enumerate(trip):
            less, left = self._less(trip, i)
            more, at = self._least(other, place)
            yield less, more, left, [*other[:at], place, *other[at:]]
            for j, (gone, rest) in enumerate(without):
                more, at = self._least(rest, place)
                back, where = self._least(left, other[j])
                yield (
                    less + back,
                    gone + more,
                    [*left[:where], other[j], *left[where:]],
                    [*rest[:at], place, *rest[at:]],
                )

    def replaced(self, trips: Trips, out: Sequence[int], room: Sequence[float]) -> bool:
        """Put a place where no trip stops in place of a stop, where that gains most and takes no more than the `room`
        of its trip; whether any gains something.
        """
        best = max((one for k, trip in enumerate(trips) for one in self._others(k, trip, out, room[k])), default=None)
        if best is not None:
            _, k, i, place, at = best
            left = trips[k][:i] + trips[k][i + 1 :]
            trips[k] = [*left[:at], place, *left[at:]]
        return best is not None

    def _others(
        self, k: int, trip: Trip, out: Sequence[int], room: float
    ) -> Iterator[tuple[float, int, int, int, int]]:
        """What each place gains in place of each stop, with the trip, the stop, the place, and where it goes."""
        for i, stop in enumerate(trip):
            less, left = self._less(trip, i)
            saved = longer(self.cost, *_around(trip, i))
            for place in out:
                if self.worth.get(place, 0.0) - self.worth.get(stop, 0.0) + saved <= LEAST:
                    continue
                more, at = self._least(left, place)
                before, after = (0, *left, 0)[at : at + 2]
                paid = longer(self.cost, before, place, after)
                gains = self.worth.get(place, 0.0) - self.worth.get(stop, 0.0) + saved - paid
                if gains > LEAST and less + more <= room:
                    yield gains, k, i, place, at

    def _less(self, trip: Trip, i: int) -> tuple[float, Trip]:
        """How much longer a trip takes (less than 0) without a stop, and what is left of it."""
        took = longer(self.hours, *_around(trip, i)) + self.site.get(trip[i], 0.0)
        return -took, trip[:i] + trip[i + 1 :]

    def _least(self, trip: Trip, place: int) -> tuple[float, int]:
        """How much longer one more stop takes at the least, and where."""
        around, site = (0, *trip, 0), self.site.get(place, 0.0)
        return min((longer(self.hours, around[i], place, around[i + 1]) + site, i) for i in range(len(trip) + 1))


def _around(trip: Trip, i: int) -> tuple[int, int, int]:
    """A stop between the one before it and the one after it."""
    around = (0, *trip, 0)
    return around[i], around[i + 1], around[i + 2]
