"""The shortest round trip through more places than a programme over subsets can list: legs as columns, and cuts.

Dantzig, Fulkerson and Johnson, "Solution of a large-scale traveling-salesman problem", Operations Research 2, 1954:
every place has two legs; rows that keep sets of places from closing rounds of their own are added where an answer
breaks them, first to the relaxation, then with whole legs. An order found by exchanges (`tours/orders`) goes ahead, so
there is always a round.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from partway.errors import SolverFailed
from partway.planning.edges.min_cut import Network, components
from partway.planning.model.highs import EXACT, LEAN, Solver, Values
from partway.planning.model.linear import Linear
from partway.planning.tours.orders import Rows, length, round_trip
from partway.planning.tours.tours import Matrix
from partway.planning.tours.ways import least_both_ways, turned_at_home

MOST_ROUNDS = 60  # of cuts, over both stages
BROKEN = 1e-4
SAME = 1e-9  # of the length


@dataclass(frozen=True, slots=True)
class RoundTrip:
    """Places in driving order without home; no round through them is shorter than `least`."""

    order: tuple[int, ...]
    length: float
    least: float

    @property
    def proven(self) -> bool:
        """Whether no round is shorter."""
        return self.least >= self.length - SAME * max(1.0, self.length)


def shortest_round(way: Matrix, places: Sequence[int]) -> RoundTrip:
    """From home (place 0) through all of these places and back.

    Where ways there and back differ between other places than home, too, `least` is of what no round gets below, and
    seldom proves the order.
    """
    rows: Rows = way.tolist()
    order = round_trip(rows, places)
    known = length(rows, order)
    if len(places) <= 2:
        return RoundTrip(tuple(order), known, known)
    try:
        turned = turned_at_home(way)
        found, least = _Rounds(way if turned else least_both_ways(way), [0, *sorted(places)], turned).solve(known)
    except SolverFailed:
        return RoundTrip(tuple(order), known, 0.0)
    found = min(found, found[::-1], key=lambda order: length(rows, order))
    if found and length(rows, found) < known:
        order, known = found, length(rows, found)
    return RoundTrip(tuple(order), known, min(known, least))


class _Rounds:
    def __init__(self, way: Matrix, places: list[int], turned: bool) -> None:
        """`turned`: legs out of home are others than legs back, and have columns of their own."""
        self.places, self.linear = places, Linear()
        self.column: dict[tuple[int, int], int] = {}
        legs = list(itertools.combinations(range(len(places)), 2))
        for a, b in [*legs, *((b, a) for a, b in legs if turned and not a)]:
            cost = -float(way[places[a], places[b]])
            self.column[a, b] = self.linear.column(f"leg({a}.{b})", cost, 1.0, integer=True)
        for a in range(len(places)):
            ends = [(c, 1.0) for leg, c in self.column.items() if a in leg]
            self.linear.row("ends", str(a), ends, 2.0, 2.0)
        if turned:
            self.linear.row("ends", "out", [(c, 1.0) for (a, _), c in self.column.items() if a == 0], 1.0, 1.0)

    def solve(self, known: float) -> tuple[list[int], float]:
        """The order of the shortest round (empty if none was found) and a bound on all of them."""
        rounds = itertools.islice(itertools.count(), MOST_ROUNDS)
        solver, least = Solver(self.linear, relaxed=True), 0.0
        for _ in rounds:
            answer = solver.again()
            if answer is None:
                return [], least
            least = max(least, -answer[0])
            first = len(self.linear.rows)
            if not self._cut(answer[1]):
                break
            for r in range(first, len(self.linear.rows)):
                solver.add_row(self.linear.rows[r], self.linear.row_lower[r], self.linear.row_upper[r])
        for _ in rounds:
            whole = Solver(self.linear, options={**LEAN, **EXACT}).run(cutoff=-known)
            least = max(least, min(known, -whole.bound))
            if whole.x is None:
                return [], known
            if not self._cut(whole.x):
                return self._order(whole.x), least
        return [], least

    def _cut(self, x: Values) -> bool:
        driven = {leg: float(x[c]) for leg, c in self.column.items() if x[c] > BROKEN}
        found = {s for s in components(len(self.places), driven) if 0 not in s} or self._joined(driven)
        for side in found:
            inside = [(c, 1.0) for (a, b), c in self.column.items() if a in side and b in side]
            self.linear.row("joined", "", inside, upper=len(side) - 1.0)
        return bool(found)

    def _joined(self, driven: Mapping[tuple[int, int], float]) -> set[frozenset[int]]:
        network = Network(len(self.places), ((a, b, v) for (a, b), v in driven.items()))
        found: set[frozenset[int]] = set()
        seen: set[int] = set()
        for place in range(1, len(self.places)):
            if place not in seen:
                flow, side = network.cut(place, 0, 2.0 - BROKEN)
                if side and flow < 2.0 - BROKEN:
                    found.add(side)
                    seen |= side
        return found

    def _order(self, x: Values) -> list[int]:
        after: dict[int, list[int]] = {a: [] for a in range(len(self.places))}
        for (a, b), c in self.column.items():
            if x[c] > 0.5:
                after[a].append(b)
                after[b].append(a)
        order, before, here = [], 0, after[0][0]
        while here:
            order.append(self.places[here])
            before, here = here, next(n for n in after[here] if n != before)
        return order
