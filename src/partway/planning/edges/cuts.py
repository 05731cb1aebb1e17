"""Rows that legs of real trips keep to, found where a point breaks them.

For any set S of places without home, any b in S, and x(S) the legs that leave S: x(S) >= 2 v_b, as every trip that
stops at b comes into S and leaves it again (Dantzig, Fulkerson and Johnson, "Solution of a large-scale
traveling-salesman problem", Operations Research 2, 1954; for stops that are chosen: Fischetti, Salazar-Gonzalez and
Toth, INFORMS Journal on Computing 10, 1998). A set that breaks it is the smaller side of a least cut between b and
home. What loads say of S is in `load_cuts`, what the hours of a trip say in `conflicts`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import chain, islice

from partway.planning.edges.conflicts import ConflictCuts
from partway.planning.edges.legs import Leg, Legs
from partway.planning.edges.load_cuts import LoadCuts
from partway.planning.edges.min_cut import Network, components
from partway.planning.model.highs import Values

BROKEN = 1e-3  # of a visit
CLEAR = 0.05  # broken by so much first: rows that hardly move anything are left for later
MOST = 40  # rows a round
Cut = tuple[frozenset[int], int]  # a set of places, and the one in it that joins it to home


class Cuts:
    """Finds cuts of the legs and adds their rows."""

    def __init__(self, legs: Legs) -> None:
        self.legs, self.linear = legs, legs.pooled.linear
        self.loads, self.conflicts = LoadCuts(legs), ConflictCuts(legs)

    def add(self, x: Values) -> int:
        """Add rows that x breaks; how many. None are added only where x breaks no row of the first kind."""
        driven, rows = self.legs.driven(x), len(self.linear.rows)
        found = self._apart(driven, x) or self._joined(driven, x, CLEAR) or self._joined(driven, x, BROKEN)
        for cut in found:
            self._row(*cut)
        for terms, least in islice(self.conflicts.broken(driven, x), MOST):
            self.linear.row("conflicts", "", terms, lower=least)
        loads = islice(self.loads.broken(driven, x), MOST)
        for terms, least in loads if found else chain(loads, self.loads.of_grades(driven, x)):
            self.linear.row("loads", "", terms, lower=least)
        return len(self.linear.rows) - rows

    def _visits(self, x: Values) -> dict[int, float]:
        return {place: float(x[c]) for place, c in self.legs.visits.items() if x[c] > BROKEN}

    def _apart(self, driven: Mapping[Leg, float], x: Values) -> list[Cut]:
        """Sets that no leg joins to home."""
        visits = self._visits(x)
        sets = [places for places in components(self.legs.size, driven) if 0 not in places]
        return [_most_visited(places, visits) for places in sets if any(p in visits for p in places)]

    def _joined(self, driven: Mapping[Leg, float], x: Values, least: float) -> list[Cut]:
        return list(islice(self._least_cuts(driven, x, least), MOST))

    def _least_cuts(self, driven: Mapping[Leg, float], x: Values, least: float) -> Iterator[Cut]:
        visits = self._visits(x)
        network = Network(self.legs.size, ((a, b, v) for (a, b), v in driven.items()))
        seen: set[int] = set()
        for place in sorted(visits, key=lambda p: -visits[p]):
            if place in seen:
                continue
            needed = 2.0 * visits[place] - least
            flow, side = network.cut(place, 0, needed)
            if flow < needed and side:
                seen |= side
                yield _most_visited(side, visits)

    def _row(self, places: frozenset[int], stop: int) -> None:
        self.linear.row("joined", "", [*self.legs.crossing(places), (self.legs.visits[stop], -2.0)], lower=0.0)


def _most_visited(places: frozenset[int], visits: Mapping[int, float]) -> Cut:
    return places, max(sorted(places), key=lambda p: visits.get(p, 0.0))
