"""Rows that legs of real trips keep to, found where a point breaks them.

For any set S of places without home, any b in S, and x(S) the legs that leave S: x(S) >= 2 v_b, as every trip that
stops at b comes into S and leaves it again (Dantzig, Fulkerson and Johnson, "Solution of a large-scale
traveling-salesman problem", Operations Research 2, 1954; for stops that are chosen: Fischetti, Salazar-Gonzalez and
Toth, INFORMS Journal on Computing 10, 1998). A set that breaks it is a side of a least cut between b and home: the one
nearest to b and the one nearest to home, for every b, since solving again costs far more than looking. What loads say
of S is in `load_cuts`, what the hours of a trip say in `conflicts`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import chain, islice

from partway.planning.edges.conflicts import ConflictCuts
from partway.planning.edges.legs import Leg, Legs
from partway.planning.edges.load_cuts import LoadCuts
from partway.planning.edges.min_cut import Network
from partway.planning.model.highs import Values
from partway.planning.model.linear import Terms

BROKEN = 1e-3  # of a visit
CLEAR = 0.05  # broken by so much first: rows that hardly move anything are left for later
MOST = 40  # rows a round
MOST_JOINED, MOST_OF_GRADES = 100, 15  # the same of places, and of single grades, those that are broken most
IDLE = 1e-3  # so far inside of a row x does not touch it
FAMILIES = frozenset(("joined", "conflicts", "loads"))
Cut = tuple[frozenset[int], int]  # a set of places, and the one in it that joins it to home


class Cuts:
    """Finds cuts of the legs and adds their rows."""

    def __init__(self, legs: Legs) -> None:
        self.legs, self.linear = legs, legs.pooled.linear
        self.loads, self.conflicts = LoadCuts(legs), ConflictCuts(legs)

    def add(self, x: Values) -> int:
        """Add rows that x breaks; how many. None are added only where x breaks no row of the first kind."""
        driven, rows = self.legs.driven(x), len(self.linear.rows)
        found = self._joined(driven, x, CLEAR) or self._joined(driven, x, BROKEN)
        for cut in found:
            self._row(*cut)
        for terms, least in islice(self.conflicts.broken(driven, x), MOST):
            self.linear.row("conflicts", "", terms, lower=least)
        for terms, least in chain(islice(self.loads.broken(driven, x), MOST), self._of_grades(driven, x)):
            self.linear.row("loads", "", terms, lower=least)
        return len(self.linear.rows) - rows

    def idle(self, x: Values) -> list[int]:
        """Numbers of the rows added here that x is well inside of."""
        linear = self.linear
        return [
            r
            for r, family in enumerate(linear.row_families)
            if family in FAMILIES and _short((linear.rows[r], linear.row_lower[r]), x) > IDLE
        ]

    def _of_grades(self, driven: Mapping[Leg, float], x: Values) -> list[tuple[Terms, float]]:
        """The rows of single grades that x breaks most."""
        return sorted(self.loads.of_grades(driven, x), key=lambda row: _short(row, x))[:MOST_OF_GRADES]

    def _visits(self, x: Values) -> dict[int, float]:
        return {place: float(x[c]) for place, c in self.legs.visits.items() if x[c] > BROKEN}

    def _joined(self, driven: Mapping[Leg, float], x: Values, least: float) -> list[Cut]:
        return list(islice(dict.fromkeys(self._least_cuts(driven, x, least)), MOST_JOINED))

    def _least_cuts(self, driven: Mapping[Leg, float], x: Values, least: float) -> Iterator[Cut]:
        visits = self._visits(x)
        network = Network(self.legs.size, ((a, b, v) for (a, b), v in driven.items()))
        for place in sorted(visits, key=lambda p: -visits[p]):
            needed = 2.0 * visits[place] - least
            flow, sides = network.nearest(place, 0, needed)
            if flow < needed:
                # the larger side has places without legs, too, of which some are nobody's to visit
                yield from (_most_visited(side.intersection(self.legs.visits), visits) for side in sides)

    def _row(self, places: frozenset[int], stop: int) -> None:
        self.linear.row("joined", "", [*self.legs.crossing(places), (self.legs.visits[stop], -2.0)], lower=0.0)


def _short(row: tuple[Terms, float], x: Values) -> float:
    """How far x is above the lower side of a row."""
    terms, least = row
    return sum(value * float(x[c]) for c, value in terms) - least


def _most_visited(places: frozenset[int], visits: Mapping[int, float]) -> Cut:
    return places, max(sorted(places), key=lambda p: visits.get(p, 0.0))
