"""Rows that say how many trips a load takes, found where a point breaks them.

For any set S of places without home, x(S) the legs that leave it, Q what a vehicle holds and L what is brought to S:
- loads: x(S) / 2 >= L / Q, as no trip brings S more than it holds (fractional capacity cuts of vehicle routing:
  Laporte, Nobert and Desrochers, Operations Research 33, 1985). A node that supplies each place with 2 / Q times its
  load is cut from home for less than all of that supply just where some S breaks its row.
- whole trips: x(S) / 2 is whole, and no more than U can be brought to S. So with f the fraction of U / Q,
  x(S) / 2 >= ceil(U / Q) - (U - L) / (Q f) (mixed-integer rounding: Nemhauser and Wolsey, Mathematical Programming 46,
  1990). Where all of U is brought this is the rounded capacity cut. Sets are grown from each place, always by the
  neighbour that is joined to them most; that finds some that are broken, not all.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from partway.planning.edges.legs import Leg, Legs
from partway.planning.edges.min_cut import Network
from partway.planning.model.highs import Values
from partway.planning.model.linear import Terms

BROKEN = 1e-3  # of a trip
CLEAR = 0.02  # of a trip: what a row about whole trips has to gain
LEAST_PART = 0.05  # of a trip: with less the row's numbers spread too far

Places = frozenset[int]


@dataclass
class LoadLimit:
    """What one measure of the load, kilograms or litres, has to do with each place."""

    most: float  # a vehicle holds so much
    terms: dict[int, list[tuple[int, float]]] = field(default_factory=lambda: defaultdict(list))
    grades: dict[int, dict[int, float]] = field(default_factory=lambda: defaultdict(dict))
    supply: list[float] = field(default_factory=list)

    def load(self, x: Values, place: int) -> float:
        """What is brought to a place at x."""
        return sum(a * float(x[c]) for c, a in self.terms[place])

    def limit(self, places: Places) -> float:
        """No plan brings these places more."""
        taken: dict[int, float] = defaultdict(float)
        for place in places:
            for grade, most in self.grades[place].items():
                taken[grade] += most
        return sum(min(self.supply[grade], most) for grade, most in taken.items())


class LoadCuts:
    """Finds the rows that a point breaks. `rooms` are kilograms and, where the vehicle has a volume, litres."""

    def __init__(self, legs: Legs) -> None:
        self.legs, self.pooled = legs, legs.pooled
        vehicle = self.pooled.model.instance.scenario.vehicle
        mosts = (vehicle.payload_kg, vehicle.volume_l) if vehicle is not None else (None, None)
        self.rooms = [self._room(most, bool(litres)) for litres, most in enumerate(mosts) if most is not None]
        self.grades = self._grades()

    def _grades(self) -> list[LoadLimit]:
        """One for each grade that is sold in more than one place: all there is of it fits one trip."""
        instance = self.pooled.model.instance
        found: dict[int, LoadLimit] = {}
        for (i, _, k), c in self.pooled.model.columns.lots.items():
            lot = instance.lots[i]
            place, most = instance.stops[lot.buyer], instance.supply[lot.grade]
            if k == 0 and place is not None and most > 0.0:
                found.setdefault(lot.grade, LoadLimit(most)).terms[place].append((self.pooled.column[c], 1.0))
        return [one for one in found.values() if len(one.terms) > 1]

    def _room(self, most: float, by_litres: bool) -> LoadLimit:
        instance, room = self.pooled.model.instance, LoadLimit(most)
        size = [instance.litres_per_kg[g] if by_litres else 1.0 for g in range(len(instance.grades))]
        room.supply = [kg * size[g] for g, kg in enumerate(instance.supply)]
        for (i, t, k), c in self.pooled.model.columns.lots.items():
            lot = instance.lots[i]
            place = instance.stops[lot.buyer]
            if k == 0 and place is not None:
                room.terms[place].append((self.pooled.column[c], size[lot.grade]))
                high = lot.tiers[t].high * size[lot.grade] * self.pooled.trips
                room.grades[place][lot.grade] = max(high, room.grades[place].get(lot.grade, 0.0))
        return room

    def broken(self, driven: Mapping[Leg, float], x: Values) -> Iterator[tuple[Terms, float]]:
        """Terms and lower side of each row that x breaks, which are not all there are."""
        for room in self.rooms:
            loads = {place: room.load(x, place) for place in list(room.terms)}
            side = self._least_cut(driven, room, loads)
            if side:
                yield self._row(side, room, 2.0 / room.most, 0.0)
            if self.pooled.trips > 1:
                yield from self._whole_trips(driven, room, loads)

    def of_grades(self, driven: Mapping[Leg, float], x: Values) -> Iterator[tuple[Terms, float]]:
        """The same of one grade at a time."""
        for grade in self.grades:
            side = self._least_cut(driven, grade, {place: grade.load(x, place) for place in grade.terms})
            if side:
                yield self._row(side, grade, 2.0 / grade.most, 0.0)

    def _least_cut(self, driven: Mapping[Leg, float], room: LoadLimit, loads: Mapping[int, float]) -> Places:
        wanted = {place: 2.0 * load / room.most for place, load in loads.items()}
        supply, total = self.legs.size, sum(wanted.values())
        if total <= BROKEN:
            return frozenset()
        network = Network(supply + 1, ((a, b, v) for (a, b), v in driven.items()))
        for place, amount in wanted.items():
            network.add(supply, place, amount)
        flow, side = network.cut(supply, 0, total - BROKEN)
        return side - {supply} if flow < total - BROKEN else frozenset()

    def _row(self, places: Places, room: LoadLimit, per_unit: float, least: float) -> tuple[Terms, float]:
        load = [(c, -per_unit * a) for p in sorted(places) for c, a in room.terms[p]]
        return [*self.legs.crossing(places), *load], least

    def _whole_trips(
        self, driven: Mapping[Leg, float], room: LoadLimit, loads: Mapping[int, float]
    ) -> Iterator[tuple[Terms, float]]:
        near: dict[int, dict[int, float]] = defaultdict(dict)
        for (a, b), v in driven.items():
            near[a][b] = near[b][a] = v
        seen: set[Places] = set()
        for seed in sorted(place for place, load in loads.items() if load > BROKEN * room.most):
            short, places = max(self._grown(seed, near, room, loads), key=lambda one: one[0], default=(0.0, None))
            if places is not None and short > CLEAR and places not in seen:
                seen.add(places)
                whole, part, most = _parts(room, places)
                per_unit = 2.0 / (room.most * part)
                yield self._row(places, room, per_unit, 2.0 * whole - per_unit * most)

    def _grown(
        self, seed: int, near: Mapping[int, Mapping[int, float]], room: LoadLimit, loads: Mapping[int, float]
    ) -> Iterator[tuple[float, Places]]:
        """Sets that grow from a place, with the trips that each is short of."""
        places, joined, across, load = {seed}, dict(near[seed]), sum(near[seed].values()), loads[seed]
        while True:
            held = frozenset(places)
            whole, part, most = _parts(room, held)
            if part > LEAST_PART:
                yield whole - (most - load) / (room.most * part) - across / 2.0, held
            inside = {p: v for p, v in joined.items() if p not in places and p}
            if not inside:
                return
            best = max(sorted(inside), key=lambda p: inside[p])
            across += sum(near[best].values()) - 2.0 * inside[best]
            load += loads.get(best, 0.0)
            places.add(best)
            for p, v in near[best].items():
                joined[p] = joined.get(p, 0.0) + v


def _parts(room: LoadLimit, places: Places) -> tuple[int, float, float]:
    """Trips that the most takes, the part of a trip that is above a whole number of them, and the most itself."""
    most = room.limit(places)
    whole = math.ceil(most / room.most)
    return whole, most / room.most - (whole - 1), most
