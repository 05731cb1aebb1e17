"""Trying everything, second part: all tours, trips, lots and parcels (see brute)."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property, reduce

import numpy as np
from brute_pieces import SLACK, after_share, counts, refused
from numpy.typing import NDArray

from partway.things.scenario import Buyer, Quote, Scenario

HOME, END = "home", "end"


def haversine_km(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Great circle between (latitude, longitude) pairs in degrees, mean earth radius 6371.0088 km.

    By the angle between unit vectors, atan2 of cross and dot product, so as not to repeat the formula
    under test.
    """

    def vector(p: tuple[float, float]) -> NDArray[np.float64]:
        lat, lon = math.radians(p[0]), math.radians(p[1])
        return np.array([math.cos(lat) * math.cos(lon), math.cos(lat) * math.sin(lon), math.sin(lat)])

    u, v = vector(a), vector(b)
    return 6371.0088 * math.atan2(float(np.linalg.norm(np.cross(u, v))), float(u @ v))


@dataclass(frozen=True, slots=True)
class Drive:
    """Kilometres and hours at the wheel."""

    km: float
    hours: float

    def __add__(self, other: Drive) -> Drive:
        """One after the other."""
        return Drive(self.km + other.km, self.hours + other.hours)


@dataclass(frozen=True)
class Map:
    """Ways between home, the buyers driven to and where trips end."""

    scenario: Scenario

    def money(self, drive: Drive) -> float:
        """What a drive costs, time included."""
        assert self.scenario.vehicle is not None
        return drive.km * self.scenario.vehicle.cost_per_km + drive.hours * self.scenario.hours.wage

    @cached_property
    def legs(self) -> Mapping[tuple[str, str], Drive]:
        """Direct ways: a road, else kilometres from home, else the straight line times the road factor."""
        vehicle = self.scenario.vehicle
        assert vehicle is not None
        buyers = [b for b in self.scenario.buyers if b.kind != "mail-in"]
        at = {HOME: self.scenario.home} | {b.id: b.at for b in buyers}
        if self.scenario.end is not None:
            at[END] = self.scenario.end.at
        km: dict[tuple[str, str], tuple[float, float | None]] = {}
        for a, b in itertools.permutations(at, 2):
            p, q = at[a], at[b]
            if p is not None and q is not None:
                km[a, b] = (haversine_km(p, q) * vehicle.road_factor, None)
        for buyer in buyers:
            if buyer.km is not None:
                km[HOME, buyer.id] = km[buyer.id, HOME] = (buyer.km, None)
        for road in self.scenario.roads:
            if road.start in at and road.end in at:
                km[road.start, road.end] = (road.km, road.minutes)
                if not road.one_way:
                    km[road.end, road.start] = (road.km, road.minutes)
        return {
            pair: Drive(d, d / vehicle.kmh if minutes is None else minutes / 60.0) for pair, (d, minutes) in km.items()
        }

    @property
    def last(self) -> str:
        """Where a trip ends."""
        return HOME if self.scenario.end is None else END

    @cached_property
    def ways(self) -> Mapping[tuple[str, str], list[Drive]]:
        """Between any two places every chain of legs, whatever it passes, less those worse in money and hours."""
        places = {place for pair in self.legs for place in pair}
        ways: dict[tuple[str, str], list[Drive]] = {}
        for a, b in itertools.permutations(sorted(places), 2):
            chains = []
            for n in range(len(places) - 1):
                for between in itertools.permutations(places - {a, b}, n):
                    steps = list(itertools.pairwise((a, *between, b)))
                    if all(step in self.legs for step in steps):
                        chains.append(reduce(Drive.__add__, (self.legs[s] for s in steps)))
            if chains:
                ways[a, b] = self.unbeaten(chains)
        return ways

    def unbeaten(self, drives: list[Drive]) -> list[Drive]:
        """Those that no other beats in money and hours; of equally dear ones the quicker, then the shorter."""
        ranked = sorted(drives, key=lambda d: (round(self.money(d), 9), d.hours, d.km))
        kept: list[Drive] = []
        for drive in ranked:
            if not kept or drive.hours < kept[-1].hours:
                kept.append(drive)
        return kept

    def tours(self, buyers: tuple[str, ...]) -> list[Drive]:
        """Every order of these buyers, from home to where trips end, by every way, less those worse in both."""
        drives = []
        for order in itertools.permutations(buyers):
            steps = itertools.pairwise((HOME, *order, self.last))
            drives += [reduce(Drive.__add__, legs) for legs in itertools.product(*(self.ways[s] for s in steps))]
        return self.unbeaten(drives)


@dataclass(frozen=True, slots=True)
class Step:
    """One price step of one buyer and grade: the whole lot of low..high kg at one price."""

    buyer: str
    grade: str
    low: float
    high: float
    price: float
    piece_kg: float | None = None  # what one weighs, where pieces are counted
    each: float | None = None  # what one brings, where the price is by the piece
    most_pieces: float = math.inf

    def extra(self, kg: float) -> float:
        """What one piece of this mass brings over its kilograms."""
        return 0.0 if self.each is None else self.each - self.price * kg


@dataclass(frozen=True, slots=True)
class Lot:
    """A step that a plan commits to, on a trip (None: posted)."""

    step: Step
    trip: int | None


@dataclass(frozen=True, slots=True)
class Choice:
    """Everything about selling that is a whole number: trips made, steps taken, room in the parcels.

    `cost` is that of driving, of time away and of postage. `sizes` are those of each buyer's parcels.
    """

    trips: int
    lots: tuple[Lot, ...]
    room: Mapping[str, float]
    cost: float
    sizes: Mapping[str, tuple[float, ...]] = field(default_factory=dict)


def steps_of(scenario: Scenario, buyer: Buyer) -> dict[str, list[Step]]:
    """The price steps of each grade a buyer takes; a minimum lot lifts the lower end of its step."""
    steps: dict[str, list[Step]] = {}
    for grade in {q.grade for q in buyer.quotes}:
        if refused(scenario, buyer, grade):
            continue
        rows = sorted((q for q in buyer.quotes if q.grade == grade), key=lambda q: q.from_kg)
        # A lot of exactly `from` is in the tier that starts there; scales of a ledger tell milligrams apart.
        most = min((q.most_kg for q in rows if q.most_kg is not None), default=math.inf)
        ends = [min(end, most) for end in (*(q.from_kg - 1e-6 for q in rows[1:]), math.inf)]
        steps[grade] = [
            _step(buyer, q, end) for q, end in zip(rows, ends, strict=True) if max(q.from_kg, q.minimum_kg) <= end
        ]
    return steps


def _step(buyer: Buyer, quote: Quote, end: float) -> Step:
    low, price = max(quote.from_kg, quote.minimum_kg), after_share(buyer, quote.price.mean)
    if not counts(quote) or quote.piece_kg is None:
        return Step(buyer.id, quote.grade, low, end, price)
    each = price * quote.piece_kg if quote.each else None
    most = math.inf if quote.most_pieces is None else quote.most_pieces
    return Step(buyer.id, quote.grade, low, end, price, quote.piece_kg, each, most)


def times_on(text: str, weekday: int) -> tuple[float, float] | None:
    """From when to when "mon-fri 08:00-16:30" is open on a day of the week; read apart from the code under test."""
    days, times = text.split(" ")
    names = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
    first, last = names.index(days[:3]), names.index(days[-3:])
    if weekday not in range(first, last + 1):
        return None
    start, end = ([int(part) for part in clock.split(":")] for clock in times.split("-"))
    return start[0] + start[1] / 60.0, end[0] + end[1] / 60.0


def lots_of(
    steps: Mapping[str, list[Step]], trip: int | None, grades: set[str], fee: float
) -> Iterator[tuple[Lot, ...]]:
    """The lots of one visit or posting: a step for each grade, or none where all have a lower end or call for a fee."""
    options: list[list[tuple[Lot, ...]]] = []
    for grade, found in steps.items():
        if grade in grades:
            lots: list[tuple[Lot, ...]] = [(Lot(step, trip),) for step in found]
            free = any(s.low <= 0.0 and not (fee and s.price > 0.0) for s in found)
            options.append(lots if free else [*lots, ()])
    for chosen in itertools.product(*options):
        yield tuple(itertools.chain.from_iterable(chosen))


Parcels = tuple[float, float, tuple[float, ...]]  # room in kg, cost, size of each


def parcels_of(buyer: Buyer, most_kg: float, whole: int) -> list[Parcels]:
    """Every count of parcels that could be needed, less those that are no better; `whole` pieces may be among it."""
    if not buyer.shipping:
        return [(math.inf, 0.0, ())]
    return parcels_for_pieces(buyer, most_kg, whole) if whole else parcels_by_room(buyer, most_kg)


def parcels_for_pieces(buyer: Buyer, most_kg: float, whole: int) -> list[Parcels]:
    """Where pieces go by mail whole, it matters which parcels there are, not only how much they hold.

    One lot of parcels is no better than another that costs no more and has as many of each size or larger.
    """
    sizes = sorted((p.up_to_kg for p in buyer.shipping), reverse=True)
    cost = {p.up_to_kg: p.cost for p in buyer.shipping}
    counts = [range(math.ceil(most_kg / size) + whole + 1) for size in sizes]
    lots = sorted(itertools.product(*counts), key=lambda ns: sum(n * cost[s] for n, s in zip(ns, sizes, strict=True)))
    useful: list[tuple[int, ...]] = []
    for ns in lots:
        upto = tuple(itertools.accumulate(ns))
        if sum(ns) and not any(
            all(m >= n for m, n in zip(itertools.accumulate(ms), upto, strict=True)) for ms in useful
        ):
            useful.append(ns)
            if ns[0] >= math.ceil(most_kg / sizes[0]) + whole:
                break  # everything fits, each piece in a parcel of its own if need be
    found = []
    for ns in useful:
        each = tuple(itertools.chain.from_iterable([s] * n for n, s in zip(ns, sizes, strict=True)))
        found.append((sum(each), sum(cost[s] for s in each), each))
    return found


def takes_whole(buyer: Buyer, kg: float) -> bool:
    """Whether a piece of this mass goes into some parcel; a buyer driven to, or without postage, has none."""
    return kg <= max((p.up_to_kg for p in buyer.shipping), default=math.inf) + SLACK


def packs(pieces: list[float], parcels: tuple[float, ...]) -> bool:
    """Whether all pieces go into the parcels, none of them cut; by trying every parcel for the heaviest."""
    if not pieces:
        return True
    first, *rest = sorted(pieces, reverse=True)
    for size in set(parcels):
        if first <= size + SLACK:
            others = list(parcels)
            others[others.index(size)] = size - first
            if packs(rest, tuple(others)):
                return True
    return False


def parcels_by_room(buyer: Buyer, most_kg: float) -> list[Parcels]:
    """Where everything is loose only room and cost matter."""
    counts = [range(math.ceil(most_kg / p.up_to_kg) + 1) for p in buyer.shipping]
    found = sorted(
        (sum(n * p.cost for n, p in zip(ns, buyer.shipping, strict=True)),
         -sum(n * p.up_to_kg for n, p in zip(ns, buyer.shipping, strict=True)))
        for ns in itertools.product(*counts)
    )  # fmt: skip
    useful: list[Parcels] = []
    for cost, minus_room in found:
        if -minus_room > (useful[-1][0] if useful else 0.0):
            useful.append((-minus_room, cost, ()))
            if -minus_room >= most_kg:
                break
    return useful


@dataclass(frozen=True)
class Selling:
    """All choices of trips, lots and parcels of a scenario."""

    scenario: Scenario
    grades: set[str]  # those that any material may be sold as
    most_kg: float
    whole: frozenset[tuple[str, float]] = frozenset()  # grades each piece loaded whole may be sold as, and its kg
    most_whole: int = 0

    @cached_property
    def steps(self) -> Mapping[str, dict[str, list[Step]]]:
        """The price steps of each buyer, each of them once, so that lots can be told apart by them."""
        return {buyer.id: steps_of(self.scenario, buyer) for buyer in self.scenario.buyers}

    def choices(self) -> Iterator[Choice]:
        """Every one that keeps within the hours away."""
        mailed = [b for b in self.scenario.buyers if b.kind == "mail-in"]
        posts = [list(self.posted(b)) for b in mailed]
        for trips, hours, cost in self.trips():
            for post in itertools.product(*posts):
                away = hours + sum(p[2] for p in post)
                if away > self.scenario.hours.away + SLACK:
                    continue
                room = {b.id: p[1] for b, p in zip(mailed, post, strict=True)}
                sizes = {b.id: p[4] for b, p in zip(mailed, post, strict=True)}
                postage = sum(p[3] for p in post) + self.scenario.hours.wage * sum(p[2] for p in post)
                lots = [list(self.visited(k, trip)) for k, trip in enumerate(trips)] + [p[0] for p in post]
                for chosen in itertools.product(*lots):
                    taken = tuple(itertools.chain.from_iterable(chosen))
                    yield Choice(len(trips), taken, room, cost + postage + self.fees(taken), sizes)

    def fees(self, taken: tuple[Lot, ...]) -> float:
        """The flat fee of every ticket with a lot on it that is paid for."""
        if not any(self.ticket_fees.values()):
            return 0.0
        paid = {(lot.step.buyer, lot.trip) for lot in taken if lot.step.price > 0.0}
        return sum(self.ticket_fees[buyer] for buyer, _ in paid)

    @cached_property
    def ticket_fees(self) -> Mapping[str, float]:
        """What each buyer keeps back of a ticket, whatever is on it."""
        return {buyer.id: buyer.ticket_fee for buyer in self.scenario.buyers}

    def trips(self) -> Iterator[tuple[tuple[tuple[str, ...], ...], float, float]]:
        """Sets of buyers for each trip, the hours and the money they take: cheapest orders that fit."""
        yield (), 0.0, 0.0
        if self.scenario.vehicle is None:
            return
        known = Map(self.scenario)
        minutes = {b.id: b.minutes for b in self.scenario.buyers if b.kind != "mail-in"}
        here = [b for b in minutes if b not in self.partly or self.partly[b]]
        sets = [s for n in range(1, len(here) + 1) for s in itertools.combinations(here, n)]
        for n in range(1, self.scenario.hours.trips + 1):
            for trips in itertools.combinations_with_replacement(sets, n):
                on_site = sum(minutes[b] for trip in trips for b in trip) / 60.0
                if sum(bool(set(trip) & self.partly.keys()) for trip in trips) > 1:
                    continue  # who is open for part of the time is visited by the first trip alone
                orders = itertools.product(*(self.short(self.driven(known, trip), trip) for trip in trips))
                drives = [reduce(Drive.__add__, order) for order in orders]
                fitting = [d for d in drives if d.hours + on_site <= self.scenario.hours.away + SLACK]
                # With mail that takes time of its own, a quicker order may be needed: keep them all.
                for drive in fitting:
                    cost = known.money(drive) + on_site * self.scenario.hours.wage
                    yield trips, drive.hours + on_site, cost

    @cached_property
    def partly(self) -> Mapping[str, list[tuple[float, float]]]:
        """The hours on that day of buyers that are not open for all the time that a plan may be away."""
        hours = self.scenario.hours
        leave = 8.0 if hours.leave is None else hours.leave
        found = {}
        for buyer in self.scenario.buyers:
            today = [times for text in buyer.open if (times := times_on(text, self.scenario.on.weekday()))]
            always = any(start <= leave and end >= leave + hours.away for start, end in today)
            if buyer.open and buyer.kind != "mail-in" and not always:
                found[buyer.id] = today
        return found

    def driven(self, known: Map, trip: tuple[str, ...]) -> list[Drive]:
        """Every order of a trip by every way, less those worse in both; hours count waiting for a stop to open."""
        if not set(trip) & self.partly.keys():
            return known.tours(trip)
        drives = []
        for order in itertools.permutations(trip):
            steps = itertools.pairwise((HOME, *order, known.last))
            for legs in itertools.product(*(known.ways[s] for s in steps)):
                waited = self.waited(order, legs)
                if waited is not None:
                    drive = reduce(Drive.__add__, legs)
                    drives.append(Drive(drive.km, drive.hours + waited))
        return known.unbeaten(drives)

    def waited(self, order: tuple[str, ...], legs: tuple[Drive, ...]) -> float | None:
        """Hours of waiting on one drive; None where a stop is not open long enough any more."""
        hours, minutes = self.scenario.hours, {b.id: b.minutes for b in self.scenario.buyers}
        time, waited = (8.0 if hours.leave is None else hours.leave), 0.0
        for stop, leg in zip(order, legs, strict=False):
            time += leg.hours
            on_site = minutes[stop] / 60.0
            begins = [max(time, start) for start, end in self.partly.get(stop, [(-math.inf, math.inf)])
                      if max(time, start) + on_site <= end + SLACK]  # fmt: skip
            if not begins:
                return None
            waited += min(begins) - time
            time = min(begins) + on_site
        return waited

    def short(self, drives: list[Drive], trip: tuple[str, ...]) -> list[Drive]:
        """Those that keep within the hours of one trip."""
        on_site = sum(b.minutes for b in self.scenario.buyers if b.id in trip) / 60.0
        most = math.inf if self.scenario.hours.trip is None else self.scenario.hours.trip
        return [drive for drive in drives if drive.hours + on_site <= most + SLACK]

    def visited(self, k: int, trip: tuple[str, ...]) -> Iterator[tuple[Lot, ...]]:
        """Every set of lots of one trip."""
        options = [list(lots_of(self.steps[b], k, self.grades, self.ticket_fees[b])) for b in trip]
        for chosen in itertools.product(*options):
            yield tuple(itertools.chain.from_iterable(chosen))

    def posted(self, buyer: Buyer) -> Iterator[tuple[list[tuple[Lot, ...]], float, float, float, tuple[float, ...]]]:
        """(sets of lots, room, hours, cost, parcels) of nothing posted, and of every count of parcels."""
        yield [()], 0.0, 0.0, 0.0, ()
        quoted = {q.grade for q in buyer.quotes}
        whole = any(grade in quoted and takes_whole(buyer, kg) for grade, kg in self.whole)
        lots = [taken for taken in lots_of(self.steps[buyer.id], None, self.grades, buyer.ticket_fee) if taken]
        if lots:
            for room, cost, sizes in parcels_of(buyer, self.most_kg, self.most_whole if whole else 0):
                yield lots, room, buyer.minutes / 60.0, cost, sizes
