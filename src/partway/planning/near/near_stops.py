"""Better stops of one trip near given ones: one less, one more, one for another, a stretch left out and filled anew.

Dropping, adding and exchanging markets is how a travelling purchaser's route is improved by hand, too (Pearn and Chien,
"Improved solutions for the traveling purchaser problem", Computers and Operations Research 25, 1998; Voss, "Dynamic
tabu search strategies for the traveling purchaser problem", Annals of Operations Research 63, 1996). What stops are
worth is worked out by `StopsWorth` without a programme, so that thousands are tried in a second. Moves are counted, so
a busy machine finds the same.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from partway.planning.near.stops_worth import StopsWorth
from partway.planning.tours.orders import Rows, exchanged, length, longer

LEAST = 1e-6  # currency units: what a move has to bring
SLACK = 1e-9  # hours
Order = tuple[int, ...]  # places


class NearStops:
    """Moves from one trip to others near it."""

    def __init__(self, worth: StopsWorth, way: Rows, hours: Rows, most_hours: float) -> None:
        """`way` is what driving costs, `most_hours` what the trip may take; stops take time, too."""
        self.worth, self.way, self.hours, self.most = worth, way, hours, most_hours
        self.tied = math.isfinite(most_hours)

    def value(self, order: Sequence[int]) -> float:
        """What the stops are worth, less the driving; nothing where that takes too long."""
        if self._long(order) > self.most + SLACK:
            return -math.inf
        return self.worth.of(order) - (length(self.way, order) if order else 0.0)

    def climbed(self, order: Order, work: int) -> Order:
        """The best found from these; `work` is how often a stretch is left out after that."""
        now = best = self._climb(order)
        value = self.value(now)
        for start, size in itertools.islice(_stretches(len(now)), work):
            around = [now[(start + i) % len(now)] for i in range(min(size, len(now)))] if now else []
            tried = self._climb(tuple(p for p in now if p not in around), frozenset(around))
            tried = self._climb(tried)
            if self.value(tried) > value + LEAST:
                now = best = tried
                value = self.value(tried)
        return best

    def _climb(self, order: Order, barred: frozenset[int] = frozenset()) -> Order:
        """Until no move brings anything: shorter moves are looked at first, exchanges where they bring nothing."""
        now, value = order, self.value(order)
        while True:
            near = max(((self.value(o), o) for o in self._one_other(now, barred)), default=(-math.inf, now))
            if near[0] <= value + LEAST and not barred:
                near = next(((v, o) for o in self._exchanged(now) if (v := self.value(o)) > value + LEAST), near)
            if near[0] <= value + LEAST:
                return now
            now = self._shorter(near[1])
            value = self.value(now)

    def _shorter(self, order: Order) -> Order:
        made = tuple(exchanged(self.way, list(order)))
        return made if self.value(made) >= self.value(order) else order

    def _one_other(self, order: Order, barred: frozenset[int]) -> Iterator[Order]:
        for i in range(len(order)):
            yield order[:i] + order[i + 1 :]
        for place in self.worth.places:
            if place not in order and place not in barred:
                yield self._with(order, place)

    def _exchanged(self, order: Order) -> Iterator[Order]:
        for i in range(len(order)):
            left = order[:i] + order[i + 1 :]
            for place in self.worth.places:
                if place not in order:
                    yield self._with(left, place)

    def _with(self, order: Order, place: int) -> Order:
        """With a stop where it makes the way longer by least."""
        around = (0, *order, 0)
        at = min(range(len(order) + 1), key=lambda i: longer(self.way, around[i], place, around[i + 1]))
        return (*order[:at], place, *order[at:])

    def _long(self, order: Sequence[int]) -> float:
        if not self.tied or not order:
            return 0.0
        return length(self.hours, order) + sum(self.worth.site[p] for p in order)


def _stretches(most: int) -> Iterator[tuple[int, int]]:
    """Where a stretch begins and how long it is: on along the trip, longer with each round."""
    for size in itertools.cycle(range(2, max(3, most // 2 + 1))):
        yield from ((start, size) for start in range(0, max(1, most), size))
