"""The best plan of a tiny scenario by trying everything, for holding the real plan against.

Written from design section 4.3 and the dataclasses of partway.things alone: it shares no code with
planning, neither its instance nor its prices, roads, tours or tiers, and knows no integer programme.
Every whole-number choice is listed (how each single piece ends, which buyers each trip visits and in
what order, which price step each lot takes, how many parcels of each size); only the split of
kilograms, which is continuous, is left to scipy's linear programming, once for each combination that
a plain upper bound cannot rule out.

Good for about three finds of a few pieces, three buyers and two trips.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property, reduce

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

from partway.things.anatomy import Anatomy, Operation, SaleAs
from partway.things.scenario import Buyer, Find, Quote, Scenario

Floats = NDArray[np.float64]
RESIDUE, COPPER, HOME = "residue", "copper-2", "home"
SLACK = 1e-9  # kg, hours: what rounding in the last digits may add up to
MOST_WAYS = 20_000  # combinations of how every piece ends
MOST_CHOICES = 20_000  # combinations of trips, price steps and parcels


class TooLarge(Exception):
    """The scenario has more combinations than this module is meant for."""


def best_total(scenario: Scenario) -> float:
    """The objective of the best plan, in currency units; raises TooLarge."""
    return Search(scenario).best().total


# --- prices ----------------------------------------------------------------------------------------


def refused(scenario: Scenario, buyer: Buyer, grade: str) -> bool:
    """A buyer refuses a grade by its id, by its family or by any of its hazards."""
    it = scenario.grades[grade]
    return any(name in buyer.refuses for name in (it.id, it.family, *it.hazards))


def net_price(buyer: Buyer, quote: Quote) -> float:
    """Price per kg at the PERT mean, for a mail-in less the cheapest postage per kg of a full parcel."""
    return quote.price.mean - min((p.cost / p.up_to_kg for p in buyer.shipping), default=0.0)


@dataclass(frozen=True)
class Prices:
    """What a kilogram of each grade may become, and what it counts for when it is not sold."""

    scenario: Scenario

    @cached_property
    def quoted(self) -> Mapping[str, float]:
        """Best net price of every grade that somebody quotes and takes, whatever the lot."""
        best: dict[str, float] = {}
        for buyer in self.scenario.buyers:
            for quote in buyer.quotes:
                if not refused(self.scenario, buyer, quote.grade):
                    best[quote.grade] = max(best.get(quote.grade, -math.inf), net_price(buyer, quote))
        return best

    def downgrades(self, grade: str) -> tuple[str, ...]:
        """Lower grades that name all hazards of this one and are quoted or lead on to a quoted one."""
        hazards = set(self.scenario.grades[grade].hazards)
        lower = self.scenario.grades[grade].downgrades
        safe = [g for g in lower if hazards <= set(self.scenario.grades[g].hazards)]
        return tuple(g for g in safe if g in self.quoted or self.downgrades(g))

    def reaches(self, grade: str) -> frozenset[str]:
        """The grade itself and everything it may be sold as."""
        return frozenset({grade}).union(*(self.reaches(g) for g in self.downgrades(grade)))

    @cached_property
    def kept(self) -> Mapping[str, float]:
        """Keep factor times the best net price (0 where nobody quotes); at least that of any downgrade."""
        own = {g: self.scenario.keep_factor * self.quoted.get(g, 0.0) for g in self.scenario.grades}
        return {g: max(own[lower] for lower in self.reaches(g)) for g in own}

    @property
    def residue(self) -> float:
        """The kept price of residue, 0 where there is no such grade."""
        return self.kept.get(RESIDUE, 0.0)

    @property
    def copper(self) -> float | None:
        """The best net price of No. 2 copper, sold as itself or as something lower; None if nobody pays."""
        if COPPER not in self.scenario.grades:
            return None
        return max((self.quoted[g] for g in self.reaches(COPPER) if g in self.quoted), default=None)


# --- how pieces end --------------------------------------------------------------------------------

Tally = tuple[tuple[Hashable, float], ...]  # amounts by key, sorted


def tally(*amounts: tuple[Hashable, float]) -> Tally:
    """Amounts added up by key; nothing is left of zeros."""
    total: dict[Hashable, float] = {}
    for key, amount in amounts:
        total[key] = total.get(key, 0.0) + amount
    return tuple(sorted(((k, round(v, 10)) for k, v in total.items() if v), key=repr))


@dataclass(frozen=True, slots=True)
class End:
    """One way for some pieces to end: kg sold by grade, hours at the bench, capped parts, money.

    The money is that of parts, kept pieces and the operations' own costs, without wages.
    """

    kg: Tally = ()
    hours: float = 0.0
    capped: Tally = ()
    money: float = 0.0

    def __add__(self, other: End) -> End:
        """Both together."""
        return End(
            tally(*self.kg, *other.kg),
            round(self.hours + other.hours, 12),
            tally(*self.capped, *other.capped),
            self.money + other.money,
        )


Ends = tuple[End, ...]


def distinct(ends: Iterable[End]) -> Ends:
    """Of ends alike in kilograms, hours and capped parts, the one with the most money."""
    best: dict[tuple[Tally, float, Tally], End] = {}
    for end in ends:
        key = (end.kg, end.hours, end.capped)
        if key not in best or end.money > best[key].money:
            best[key] = end
    return tuple(best.values())


def together(first: Ends, second: Ends) -> Ends:
    """Every end of the one with every end of the other."""
    if len(first) * len(second) > MOST_WAYS:
        raise TooLarge(f"{len(first)} x {len(second)} ways for pieces to end")
    return distinct(a + b for a in first for b in second)


@dataclass
class Bench:
    """All the ways for the pieces of one find to end."""

    scenario: Scenario
    prices: Prices
    find: Find
    known: dict[str, Ends] = field(default_factory=dict)

    @property
    def anatomy(self) -> Anatomy:
        """The anatomy of the find's kind."""
        return self.scenario.anatomies[self.find.kind]

    def ends(self, piece_id: str | None = None) -> Ends:
        """Ends of one piece of that id (the whole find by default)."""
        piece = self.anatomy.pieces[0].id if piece_id is None else piece_id
        if piece not in self.known:
            self.known[piece] = distinct(
                itertools.chain(
                    [End(money=self.kept_value(piece))],
                    (self.sold(piece, sale) for sale in self.sales(piece)),
                    self.by_the_unit(piece),
                    itertools.chain.from_iterable(self.opened(op) for op in self.operations(piece)),
                )
            )
        return self.known[piece]

    def kg(self, piece: str) -> float:
        """Mass at the PERT mean; a weighed find stretches its whole anatomy."""
        scale = 1.0
        if self.find.mass_kg is not None:
            scale = self.find.mass_kg / self.anatomy.pieces[0].mass.mean
        return self.anatomy.piece(piece).mass.mean * scale

    def required(self, piece: str) -> list[Operation]:
        """The operations that have to come before anything else is done to a piece."""
        return [op for op in self.anatomy.operations if op.on == piece and op.required]

    def operations(self, piece: str) -> list[Operation]:
        """The operations that may be done to a piece as it is."""
        return self.required(piece) or [op for op in self.anatomy.operations if op.on == piece]

    def inside(self, piece: str) -> set[str]:
        """Every piece that some way of opening this one would lay bare."""
        direct = {g.piece for op in self.anatomy.operations if op.on == piece for g in op.gives}
        return direct.union(*(self.inside(child) for child in direct))

    def hidden(self, piece: str) -> set[str]:
        """Hazards inside that have to come out before the piece is sold under a silent grade."""
        pieces = [self.anatomy.piece(child) for child in self.inside(piece)]
        hazards = {h for p in pieces for sale in p.sells for h in self.scenario.grades[sale.grade].hazards}
        hazards |= {p.stop for p in pieces if p.stop is not None}
        return {h for h in hazards if h in self.scenario.cautions and self.scenario.cautions[h].out_first}

    def sales(self, piece: str) -> list[SaleAs]:
        """The grades a piece may be sold as while it is still shut."""
        hidden, required = self.hidden(piece), self.required(piece)
        return [
            sale
            for sale in self.anatomy.piece(piece).sells
            if sale.before_required
            or (not required and hidden <= set(self.scenario.grades[sale.grade].hazards))
        ]

    def sold(self, piece: str, sale: SaleAs) -> End:
        """Sold by grade: the share goes to the grade, the rest to residue if there is such a grade."""
        kg = self.kg(piece)
        rest = [(RESIDUE, kg * (1.0 - sale.share))] if RESIDUE in self.scenario.grades else []
        return End(kg=tally((sale.grade, kg * sale.share), *rest))

    def kept_value(self, piece: str) -> float:
        """What a kept piece counts for: its best sale at kept prices, 0 if it may not be sold."""
        kg, kept, rest = self.kg(piece), self.prices.kept, self.prices.residue
        values = [kg * (s.share * kept[s.grade] + (1.0 - s.share) * rest) for s in self.sales(piece)]
        return max(values, default=0.0)

    def by_the_unit(self, piece: str) -> Iterator[End]:
        """Sold as a part: what it brings on average, and what it is worth kept if it does not sell."""
        for i, part in enumerate(self.anatomy.piece(piece).parts):
            unit = self.prices.copper if part.in_copper else 1.0
            if unit is None or (part.needs == "works" and self.find.works != "yes"):
                continue
            sold = unit * (part.price.mean * (1.0 - part.fee) - part.postage)
            money = part.chance * sold + (1.0 - part.chance) * self.kept_value(piece)
            capped = tally(((self.find.kind, piece, i), 1)) if part.most is not None else ()
            yield End(hours=part.minutes.mean / 60.0, capped=capped, money=money)

    def opened(self, op: Operation) -> Ends:
        """Opened by one operation: every combination of ends of everything it gives."""
        units = [self.ends(g.piece) for g in op.gives for _ in range(g.count)]
        run = (End(hours=round(op.minutes.mean / 60.0, 12), money=-op.cost),)
        return reduce(together, units, run)


def all_ends(scenario: Scenario, prices: Prices) -> Ends:
    """Every combination of ends of every find that the bench hours and the parts' caps allow."""
    finds = [Bench(scenario, prices, find).ends() for find in scenario.finds for _ in range(find.count)]
    ends = reduce(together, finds, (End(),))
    return tuple(
        end
        for end in ends
        if end.hours <= scenario.hours.bench + SLACK
        and all(n <= most_units(scenario, *key) for key, n in end.capped)  # type: ignore[misc]
    )


def most_units(scenario: Scenario, kind: str, piece: str, i: int) -> float:
    """The most of one part that a plan may count on, over all finds of its kind."""
    most = scenario.anatomies[kind].piece(piece).parts[i].most
    return math.inf if most is None else most


# --- driving ---------------------------------------------------------------------------------------


def haversine_km(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Great circle between (latitude, longitude) pairs in degrees, mean earth radius 6371.0088 km.

    By the angle between unit vectors, atan2 of cross and dot product, so as not to repeat the formula
    under test.
    """

    def vector(p: tuple[float, float]) -> Floats:
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
    """Ways between home and the buyers driven to."""

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
        km: dict[tuple[str, str], tuple[float, float | None]] = {}
        for a, b in itertools.combinations(at, 2):
            p, q = at[a], at[b]
            if p is not None and q is not None:
                km[a, b] = (haversine_km(p, q) * vehicle.road_factor, None)
        km |= {(HOME, b.id): (b.km, None) for b in buyers if b.km is not None}
        for road in self.scenario.roads:
            if road.start in at and road.end in at:
                km.pop((road.end, road.start), None)
                km[road.start, road.end] = (road.km, road.minutes)
        legs = {
            pair: Drive(d, d / vehicle.kmh if minutes is None else minutes / 60.0)
            for pair, (d, minutes) in km.items()
        }
        return legs | {(b, a): drive for (a, b), drive in legs.items()}

    @cached_property
    def ways(self) -> Mapping[tuple[str, str], Drive]:
        """Between any two places the cheapest chain of legs, whatever it passes; of equals the shorter."""
        places = {place for pair in self.legs for place in pair}
        ways: dict[tuple[str, str], Drive] = {}
        for a, b in itertools.permutations(sorted(places), 2):
            chains = []
            for n in range(len(places) - 1):
                for between in itertools.permutations(places - {a, b}, n):
                    steps = list(itertools.pairwise((a, *between, b)))
                    if all(step in self.legs for step in steps):
                        chains.append(reduce(Drive.__add__, (self.legs[s] for s in steps)))
            if chains:
                ways[a, b] = min(chains, key=lambda d: (round(self.money(d), 9), d.km + d.hours))
        return ways

    def tours(self, buyers: tuple[str, ...]) -> list[Drive]:
        """Every order of visiting these buyers from home and back, less those worse in money and hours."""
        drives = []
        for order in itertools.permutations(buyers):
            steps = itertools.pairwise((HOME, *order, HOME))
            drives.append(reduce(Drive.__add__, (self.ways[s] for s in steps)))
        ranked = sorted(drives, key=lambda d: (self.money(d), d.hours))
        return [d for i, d in enumerate(ranked) if all(d.hours < e.hours for e in ranked[:i])]


# --- trips, lots and parcels -----------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Step:
    """One price step of one buyer and grade: the whole lot of low..high kg at one price."""

    buyer: str
    grade: str
    low: float
    high: float
    price: float


@dataclass(frozen=True, slots=True)
class Lot:
    """A step that a plan commits to, on a trip (None: posted)."""

    step: Step
    trip: int | None


@dataclass(frozen=True, slots=True)
class Choice:
    """Everything about selling that is a whole number: trips made, steps taken, room in the parcels.

    `cost` is that of driving, of time away and of postage.
    """

    trips: int
    lots: tuple[Lot, ...]
    room: Mapping[str, float]
    cost: float


def steps_of(scenario: Scenario, buyer: Buyer) -> dict[str, list[Step]]:
    """The price steps of each grade a buyer takes; a minimum lot lifts the lower end of its step."""
    steps: dict[str, list[Step]] = {}
    for grade in {q.grade for q in buyer.quotes}:
        if refused(scenario, buyer, grade):
            continue
        rows = sorted((q for q in buyer.quotes if q.grade == grade), key=lambda q: q.from_kg)
        ends = [*(q.from_kg for q in rows[1:]), math.inf]
        steps[grade] = [
            Step(buyer.id, grade, max(q.from_kg, q.minimum_kg), end, q.price.mean)
            for q, end in zip(rows, ends, strict=True)
            if max(q.from_kg, q.minimum_kg) <= end
        ]
    return steps


def lots_of(steps: Mapping[str, list[Step]], trip: int | None, grades: set[str]) -> Iterator[tuple[Lot, ...]]:
    """One visit's or posting's lots: for each grade one of its steps, or no lot where each has a lower end."""
    options: list[list[tuple[Lot, ...]]] = []
    for grade, found in steps.items():
        if grade in grades:
            lots: list[tuple[Lot, ...]] = [(Lot(step, trip),) for step in found]
            options.append(lots if any(s.low <= 0.0 for s in found) else [*lots, ()])
    for chosen in itertools.product(*options):
        yield tuple(itertools.chain.from_iterable(chosen))


def parcels_of(buyer: Buyer, most_kg: float) -> list[tuple[float, float]]:
    """(room in kg, cost) for every count of parcels that could be needed, less those that are no better."""
    if not buyer.shipping:
        return [(math.inf, 0.0)]
    counts = [range(math.ceil(most_kg / p.up_to_kg) + 1) for p in buyer.shipping]
    found = sorted(
        (sum(n * p.cost for n, p in zip(ns, buyer.shipping, strict=True)),
         -sum(n * p.up_to_kg for n, p in zip(ns, buyer.shipping, strict=True)))
        for ns in itertools.product(*counts)
    )  # fmt: skip
    useful: list[tuple[float, float]] = []
    for cost, minus_room in found:
        if -minus_room > (useful[-1][0] if useful else 0.0):
            useful.append((-minus_room, cost))
            if -minus_room >= most_kg:
                break
    return useful


@dataclass(frozen=True)
class Selling:
    """All choices of trips, lots and parcels of a scenario."""

    scenario: Scenario
    grades: set[str]  # those that any material may be sold as
    most_kg: float

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
                postage = sum(p[3] for p in post) + self.scenario.hours.wage * sum(p[2] for p in post)
                lots = [list(self.visited(k, trip)) for k, trip in enumerate(trips)] + [p[0] for p in post]
                for chosen in itertools.product(*lots):
                    taken = tuple(itertools.chain.from_iterable(chosen))
                    yield Choice(len(trips), taken, room, cost + postage)

    def trips(self) -> Iterator[tuple[tuple[tuple[str, ...], ...], float, float]]:
        """Sets of buyers for each trip, the hours and the money they take: cheapest orders that fit."""
        yield (), 0.0, 0.0
        if self.scenario.vehicle is None:
            return
        known = Map(self.scenario)
        minutes = {b.id: b.minutes for b in self.scenario.buyers if b.kind != "mail-in"}
        sets = [s for n in range(1, len(minutes) + 1) for s in itertools.combinations(minutes, n)]
        for n in range(1, self.scenario.hours.trips + 1):
            for trips in itertools.combinations_with_replacement(sets, n):
                on_site = sum(minutes[b] for trip in trips for b in trip) / 60.0
                orders = itertools.product(*(known.tours(trip) for trip in trips))
                drives = [reduce(Drive.__add__, order) for order in orders]
                fitting = [d for d in drives if d.hours + on_site <= self.scenario.hours.away + SLACK]
                # With mail that takes time of its own, a quicker order may be needed: keep them all.
                for drive in fitting:
                    cost = known.money(drive) + on_site * self.scenario.hours.wage
                    yield trips, drive.hours + on_site, cost

    def visited(self, k: int, trip: tuple[str, ...]) -> Iterator[tuple[Lot, ...]]:
        """Every set of lots of one trip."""
        buyers = {b.id: b for b in self.scenario.buyers}
        options = [list(lots_of(steps_of(self.scenario, buyers[b]), k, self.grades)) for b in trip]
        for chosen in itertools.product(*options):
            yield tuple(itertools.chain.from_iterable(chosen))

    def posted(self, buyer: Buyer) -> Iterator[tuple[list[tuple[Lot, ...]], float, float, float]]:
        """(sets of lots, room, hours, cost) of nothing posted, and of every count of parcels."""
        yield [()], 0.0, 0.0, 0.0
        lots = [taken for taken in lots_of(steps_of(self.scenario, buyer), None, self.grades) if taken]
        if lots:
            for room, cost in parcels_of(buyer, self.most_kg):
                yield lots, room, buyer.minutes / 60.0, cost


# --- the search ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Best:
    """The best plan found, for a look at what it does."""

    total: float
    end: End
    choice: Choice
    programmes: int


def margin(total: float) -> float:
    """Less than this is no improvement."""
    return 1e-9 * max(1.0, abs(total))


class Search:
    """Every end of the pieces with every choice of selling, the most promising first."""

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        self.prices = Prices(scenario)
        ends = all_ends(scenario, self.prices)
        wage = scenario.hours.wage
        by_kg: dict[Tally, tuple[float, End]] = {}
        for end in ends:
            money = end.money - wage * end.hours
            if end.kg not in by_kg or money > by_kg[end.kg][0]:
                by_kg[end.kg] = (money, end)
        self.ends = [end for _, end in by_kg.values()]
        self.money = np.array([money for money, _ in by_kg.values()])
        direct = {str(g) for kg in by_kg for g, _ in kg} | set(scenario.stock)
        self.grades = sorted(set().union(*(self.prices.reaches(g) for g in direct)))
        stock = np.array([scenario.stock.get(g, 0.0) for g in self.grades])
        self.masses = np.array([[dict(kg).get(g, 0.0) for g in self.grades] for kg in by_kg])
        self.masses = self.masses.reshape(len(by_kg), len(self.grades)) + stock
        self.kept = np.array([self.prices.kept[g] for g in self.grades])
        # becomes[i, j]: whether grade i may be sold as grade j
        self.becomes = np.array([[h in self.prices.reaches(g) for h in self.grades] for g in self.grades])
        self.becomes = self.becomes.reshape(len(self.grades), len(self.grades))
        self.programmes = 0

    def best(self) -> Best:
        """Goes down the upper bounds until the best plan found beats all that is left."""
        most_kg = float(self.masses.sum(axis=1).max(initial=0.0))
        choices = list(Selling(self.scenario, set(self.grades), most_kg).choices())
        if len(choices) > MOST_CHOICES:
            raise TooLarge(f"{len(choices)} ways to sell")
        highest = [float(self.bounds(choice).max()) for choice in choices]
        nothing = self.money + self.masses @ self.kept
        first = int(np.argmax(nothing))
        best = Best(float(nothing[first]), self.ends[first], Choice(0, (), {}, 0.0), 0)
        for c in np.argsort(-np.array(highest)):
            if highest[c] <= best.total + margin(best.total):
                break
            bounds = self.bounds(choices[c])
            for e in np.argsort(-bounds):
                if bounds[e] <= best.total + margin(best.total):
                    break
                total = self.money[e] - choices[c].cost + self.split(choices[c], self.masses[e])
                if total > best.total:
                    best = Best(float(total), self.ends[e], choices[c], 0)
        return Best(best.total, best.end, best.choice, self.programmes)

    def bounds(self, choice: Choice) -> Floats:
        """For every end, more than this choice can bring: each kilogram at its best price, limits apart.

        Of all limits it keeps the payload (filled with whatever gains most over keeping or posting),
        the room in the parcels, and that a lower end needs as much material as it says.
        """
        if not self.grades:
            return np.asarray(self.money - choice.cost)
        kept, posted, driven = (np.full(len(self.grades), -np.inf) for _ in range(3))
        for i in range(len(self.grades)):
            kept[i] = self.kept[self.becomes[i]].max()
        need = np.zeros(len(self.grades))
        for lot in choice.lots:
            j = self.grades.index(lot.step.grade)
            need[j] += lot.step.low
            prices = posted if lot.trip is None else driven
            prices[self.becomes[:, j]] = np.maximum(prices[self.becomes[:, j]], lot.step.price)
        load = math.inf if self.scenario.vehicle is None else self.scenario.vehicle.payload_kg * choice.trips
        room = sum(choice.room.values())
        shut = np.maximum(kept, posted)  # parcels without limit, loads with
        either = self.masses @ shut + self.filled(driven - shut, load)
        apart = self.masses @ kept + self.filled(driven - kept, load) + self.filled(posted - kept, room)
        bound = self.money - choice.cost + np.minimum(either, apart)
        possible = (self.masses @ self.becomes >= need - SLACK).all(axis=1)
        return np.where(possible, bound, -np.inf)

    def filled(self, gain: Floats, room: float) -> Floats:
        """For every end, the most gained by moving `room` kg, the most gainful kilograms first."""
        total, left = np.zeros(len(self.masses)), np.full(len(self.masses), room)
        for g in np.argsort(-gain):
            if gain[g] > 0.0:
                moved = np.minimum(left, self.masses[:, g])
                total += gain[g] * moved
                left = left - moved
        return total

    def split(self, choice: Choice, masses: Floats) -> float:
        """The best money of lots and kept kilograms by linear programming; minus infinity if impossible.

        Unknowns: kg of each lot, of each downgrade, and kept of each grade.
        """
        self.programmes += 1
        if not self.grades:
            return 0.0
        arcs = [(g, h) for g in self.grades for h in self.prices.downgrades(g)]
        n, a, m = len(choice.lots), len(arcs), len(self.grades)
        worth = [lot.step.price for lot in choice.lots] + [0.0] * a + list(self.kept)
        balance = np.zeros((m, n + a + m))
        for i, lot in enumerate(choice.lots):
            balance[self.grades.index(lot.step.grade), i] = 1.0
        for i, (g, h) in enumerate(arcs):
            balance[self.grades.index(g), n + i] += 1.0
            balance[self.grades.index(h), n + i] -= 1.0
        balance[:, n + a :] = np.eye(m)
        rows, limits = self.limits(choice)
        answer = linprog(
            -np.array(worth),
            A_ub=np.hstack([rows, np.zeros((len(rows), a + m))]) if len(rows) else None,
            b_ub=limits if len(rows) else None,
            A_eq=balance,
            b_eq=masses,
            bounds=[(lot.step.low, lot.step.high) for lot in choice.lots] + [(0.0, None)] * (a + m),
        )
        assert answer.status in (0, 2), answer.message
        return -math.inf if answer.status == 2 else -float(answer.fun)

    def limits(self, choice: Choice) -> tuple[Floats, list[float]]:
        """What each trip may weigh and fill, and what goes into each mail-in's parcels."""
        rows: list[list[float]] = []
        limits: list[float] = []
        vehicle = self.scenario.vehicle
        for k in range(choice.trips):
            assert vehicle is not None
            rows.append([float(lot.trip == k) for lot in choice.lots])
            limits.append(vehicle.payload_kg)
            if vehicle.volume_l is not None:
                density = [self.scenario.grades[lot.step.grade].density.mean for lot in choice.lots]
                rows.append([(lot.trip == k) / d for lot, d in zip(choice.lots, density, strict=True)])
                limits.append(vehicle.volume_l)
        for buyer, room in choice.room.items():
            if math.isfinite(room):
                rows.append([float(lot.trip is None and lot.step.buyer == buyer) for lot in choice.lots])
                limits.append(room)
        return np.array(rows).reshape(len(rows), len(choice.lots)), limits
