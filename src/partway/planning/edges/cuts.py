"""Rows that legs of real trips keep to, found where a point breaks them.

For any set S of places without home, any b in S, with x(S) the legs that leave S and Q what a vehicle holds:
- joined: x(S) >= 2 v_b. Every trip that stops at b comes into S and leaves it again (Dantzig, Fulkerson and Johnson,
  "Solution of a large-scale traveling-salesman problem", Operations Research 2, 1954; for stops that are chosen:
  Fischetti, Salazar-Gonzalez and Toth, INFORMS Journal on Computing 10, 1998);
- loads: x(S) >= 2 (kg brought to S) / Q, and the same in litres: no trip brings S more than it holds (fractional
  capacity cuts of vehicle routing: Laporte, Nobert and Desrochers, Operations Research 33, 1985).
The first kind is found by a least cut between home and b. So is the second: a node that supplies each place with
2 / Q times its load is cut from home for less than all of that supply just where some S breaks its row.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from partway.planning.edges.legs import Leg, Legs
from partway.planning.edges.min_cut import Network, components
from partway.planning.model.highs import Values
from partway.planning.model.linear import Terms
from partway.planning.model.pooled import load_of

BROKEN = 1e-3  # of a visit
CLEAR = 0.05  # broken by so much first: rows that hardly move anything are left for later
MOST = 40  # rows a round


@dataclass(frozen=True, slots=True)
class Cut:
    """A set of places, and the place that joins it to home, or 0 where it is the load that does."""

    places: frozenset[int]
    stop: int
    by_litres: bool = False


class Cuts:
    """Finds cuts of the legs and adds their rows; remembers those added."""

    def __init__(self, legs: Legs) -> None:
        self.legs, self.pooled = legs, legs.pooled
        self.known: set[Cut] = set()
        vehicle = self.pooled.model.instance.scenario.vehicle
        self.room: tuple[float | None, float | None] = (None, None)
        if vehicle is not None:
            self.room = vehicle.payload_kg, vehicle.volume_l

    def add(self, x: Values) -> int:
        """Add the rows that x breaks; how many."""
        driven = self.legs.driven(x)
        found = self._new(self._apart(driven, x)) or self._new(self._joined(driven, x, CLEAR))
        found = found or self._new(self._joined(driven, x, BROKEN))
        found += self._new(self._loads(driven, x))
        for cut in found:
            self._row(cut)
        return len(found)

    def _new(self, cuts: Iterator[Cut]) -> list[Cut]:
        found: list[Cut] = []
        for cut in cuts:
            if cut not in self.known:
                self.known.add(cut)
                found.append(cut)
                if len(found) == MOST:
                    break
        return found

    def _visits(self, x: Values) -> dict[int, float]:
        return {place: float(x[c]) for place, c in self.legs.visits.items() if x[c] > BROKEN}

    def _most_visited(self, places: frozenset[int], visits: Mapping[int, float]) -> Cut:
        return Cut(places, max(sorted(places), key=lambda p: visits.get(p, 0.0)))

    def _apart(self, driven: Mapping[Leg, float], x: Values) -> Iterator[Cut]:
        """Sets that no leg joins to home."""
        visits = self._visits(x)
        for places in components(self.legs.size, driven):
            if 0 not in places and any(visits.get(p, 0.0) > BROKEN for p in places):
                yield self._most_visited(places, visits)

    def _joined(self, driven: Mapping[Leg, float], x: Values, least: float) -> Iterator[Cut]:
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
                yield self._most_visited(side, visits)

    def _loads(self, driven: Mapping[Leg, float], x: Values) -> Iterator[Cut]:
        stops = self.pooled.model.instance.stops
        loads = {place: load_of(self.pooled, x, b) for b in self.pooled.loads if (place := stops[b]) is not None}
        for litres, most in enumerate(self.room):
            wanted = {p: 2.0 * load[litres] / most for p, load in loads.items()} if most else {}
            if sum(wanted.values()) <= BROKEN:
                continue
            supply = self.legs.size
            network = Network(supply + 1, ((a, b, v) for (a, b), v in driven.items()))
            for place, amount in wanted.items():
                network.add(supply, place, amount)
            enough = sum(wanted.values()) - BROKEN
            flow, side = network.cut(supply, 0, enough)
            if flow < enough and len(side) > 1:
                yield Cut(side - {supply}, 0, bool(litres))

    def _row(self, cut: Cut) -> None:
        linear, legs = self.pooled.linear, self.legs
        if not cut.stop:
            linear.row("loads", "", self._load_terms(cut), lower=0.0)
        elif 2 * len(cut.places) > legs.size:
            across: Terms = [(c, 1.0) for c in legs.across(cut.places)]
            linear.row("joined", "", [*across, (legs.visits[cut.stop], -2.0)], lower=0.0)
        else:  # the same by the legs inside, of which there are fewer
            inside: Terms = [(c, 1.0) for c in legs.inside(cut.places)]
            visits: Terms = [(legs.visits[p], -1.0) for p in cut.places if p != cut.stop]
            linear.row("joined", "", [*inside, *visits], upper=0.0)

    def _load_terms(self, cut: Cut) -> Terms:
        pooled = self.pooled
        most = self.room[cut.by_litres] or 1.0
        terms: Terms = [(c, 1.0) for c in self.legs.across(cut.places)]
        for place in cut.places:
            loads = pooled.loads.get(pooled.model.instance.buyer_at[place], ())
            terms += [(c, -2.0 * (litres if cut.by_litres else 1.0) / most) for c, litres in loads]
        return terms
