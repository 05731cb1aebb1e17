"""Rows about places of which a trip has the hours for one only, found where a point breaks them.

Two places are in conflict where even the quickest way past both, with the time at each, takes longer than a trip may.
K is a set of places each two of which are in conflict, v their visits, T the trips made, x(S) the legs that leave a set
S of places without home. A trip stops at one of K at most, and where it does it comes into S and leaves it again:
- one each: v(K) <= T;
- joined: x(S) >= 2 v(K and S). With one place in K this is the row of `cuts`; each more makes it stronger.
Of teams that collect scores, places in conflict and their cliques: Dang, El-Hajj and Moukrim, "A branch-and-cut
algorithm for solving the team orienteering problem", CPAIOR 2013 (from memory); rows about one place in S: Fischetti,
Salazar-Gonzalez and Toth, INFORMS Journal on Computing 10, 1998. A set K is grown from each place that is visited,
always by the one that is visited most; for each K the S
is found that breaks its row most, by a least cut.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations

from partway.planning.edges.legs import SLACK, Leg, Legs
from partway.planning.edges.min_cut import Network
from partway.planning.model.highs import Values
from partway.planning.model.linear import Terms

BROKEN = 1e-3  # of a visit
CLEAR = 0.01  # of a visit: what a row about a set has to gain
Places = frozenset[int]


class ConflictCuts:
    """Finds the rows that a point breaks; none where trips have the hours for any two places."""

    def __init__(self, legs: Legs) -> None:
        self.legs, hours = legs, legs.hours
        self.with_: dict[int, set[int]] = {place: set() for place in legs.visits}
        instance = legs.pooled.model.instance
        most = instance.scenario.hours.one_trip + SLACK
        site = {p: instance.on_site_hours(instance.buyer_at[p]) for p in legs.visits}
        for a, b in combinations(sorted(legs.visits), 2):
            quickest = min(float(hours[0, i] + hours[i, j] + hours[j, 0]) for i, j in ((a, b), (b, a)))
            if quickest + site[a] + site[b] > most:
                self.with_[a].add(b)
                self.with_[b].add(a)
        self.any = any(self.with_.values())

    def broken(self, driven: Mapping[Leg, float], x: Values) -> Iterator[tuple[Terms, float]]:
        """Terms and lower side of each row that x breaks, which are not all there are."""
        visits = {p: float(x[c]) for p, c in self.legs.visits.items() if x[c] > BROKEN} if self.any else {}
        for places in dict.fromkeys(self._grown(seed, visits) for seed in sorted(visits)):
            if sum(visits.get(p, 0.0) for p in places) > float(x[self.legs.made]) + BROKEN:
                yield [(self.legs.made, 1.0), *((self.legs.visits[p], -1.0) for p in sorted(places))], 0.0
            elif len(places) > 1:
                yield from self._joined(places, visits, driven)

    def _joined(
        self, places: Places, visits: Mapping[int, float], driven: Mapping[Leg, float]
    ) -> Iterator[tuple[Terms, float]]:
        """The row that is broken most of those about these places, if one is.

        A source that supplies each of them with twice its visits is cut from home for x(S) + 2 v(K without S).
        """
        source = self.legs.size
        network = Network(source + 1, ((a, b, v) for (a, b), v in driven.items()))
        wanted = {p: 2.0 * visits[p] for p in sorted(places) if p in visits}
        for place, amount in wanted.items():
            network.add(source, place, amount)
        most = sum(wanted.values()) - CLEAR
        flow, side = network.cut(source, 0, most)
        held = side & places
        if held and flow < most:
            yield [*self.legs.crossing(side - {source}), *((self.legs.visits[p], -2.0) for p in sorted(held))], 0.0

    def _grown(self, seed: int, visits: Mapping[int, float]) -> Places:
        """Places each two of which are in conflict, from one of them."""
        places, left = {seed}, set(self.with_[seed])
        while left:
            best = max(sorted(left), key=lambda p: (visits.get(p, 0.0), len(self.with_[p] & left)))
            places.add(best)
            left &= self.with_[best]
        return frozenset(places)
