"""What people do without an app: everything whole, everything opened, or a good hand's habits.

A good hand knows by feel what is worth opening: the best choices at the prices of the first week, each price and each
time misjudged by a factor that never changes. Nobody here looks at prices again, except for the yard of the day.
"""

from __future__ import annotations

from dataclasses import replace
from math import exp

from year_app import BENCH, COST_PER_KM, PAYLOAD_KG, SHED_L, VOLUME_L, WAGE, scenario
from year_shed import Shed
from year_things import Thing
from year_truth import MG, drawn
from year_work import Act

from partway.planning.instance.allowed import allowed_operations, allowed_sales
from partway.planning.instance.build import build
from partway.planning.tours.tours import Tour
from partway.things.anatomy import Anatomy
from partway.things.estimate import Estimate
from partway.things.scenario import Find, Scenario
from partway.valuing.finds.curb import Lifted, handling
from partway.valuing.finds.opened import Solved

GO_LITRES, GO_KG = 1100.0, 250.0  # in the bins, of what one yard takes: then it is time to go
STOP_LITRES = 200.0  # of what goes to the tip or the depot: then they lie on the way
PARCEL_KG = 12.0
JUDGED = 0.4  # standard deviation of the logarithm of what is misjudged
WORTH_TESTING = 22.0  # what a working thing must fetch to be plugged in at all
MOST_OFFERED = 2  # of a kind at a time
YARDS = ("harbour", "ridge", "quarry")
Rule = dict[str, Act]  # by piece


class Habits:
    """`way`: whole, opened, habits (nothing is tested, so nothing is sold as working) or tests."""

    def __init__(self, shed: Shed, way: str) -> None:
        self.shed, self.way = shed, way
        guesses = {kind: it.guess for kind, it in shed.truth.kinds.items()}
        start = scenario(guesses, shed.market.buyers(dict.fromkeys(shed.market.keys, 0)), 0)
        self.start, self.tours = start, _tours(start)
        self.wanted: dict[str, bool] = {}
        self.rules: dict[str, Rule] = {}
        for kind, guess in guesses.items():
            self.wanted[kind], self.rules[kind] = self._rule(kind, guess)

    # -- what is done with a kind ---------------------------------------------------------------

    def _rule(self, kind: str, guess: Anatomy) -> tuple[bool, Rule]:
        if self.way == "whole":
            return bool(allowed_sales(self.start, guess, guess.whole.id)), {}
        if self.way == "opened":
            return True, {p.id: ("open", _deepest(guess, p.id)) for p in guess.pieces if _deepest(guess, p.id)}
        one = Lifted(Solved.of_finds(self._misjudged(kind), [Find(kind, 1, "no")], 8))
        rule: Rule = {}
        for n, node in enumerate(one.find.instance.nodes):
            option = one.find.values.best(n)
            if option.sort == "open":
                rule[node.piece.id] = ("open", one.find.instance.openings[option.number].operation.id)
            elif option.sort == "part":
                rule[node.piece.id] = ("part", str(node.piece.parts.index(_part(one, option.number))))
        return one.net > 0.0, rule

    def _misjudged(self, kind: str) -> Scenario:
        """The first week's scenario as this hand feels it: prices and times off by a factor each."""
        rng = drawn(self.shed.truth.seed, "feel", kind)
        buyers = tuple(
            replace(b, quotes=tuple(replace(q, price=_felt(q.price, rng.standard_normal())) for q in b.quotes))
            for b in self.start.buyers
        )
        guess = self.start.anatomies[kind]
        ops = tuple(replace(op, minutes=_felt(op.minutes, rng.standard_normal())) for op in guess.operations)
        return replace(self.start, buyers=buyers, anatomies={kind: replace(guess, operations=ops)}, vehicle=None)

    # -- the round ------------------------------------------------------------------------------

    def round(self, things: tuple[Thing, ...]) -> None:
        """Lift what one always lifts, while there is room."""
        kg, litres, full = 0.0, 0.0, self.shed.litres()
        for thing in things:
            takes = self.shed.litres_of(thing.kind, thing.mg)
            fits = kg + thing.mg / MG <= PAYLOAD_KG and litres + takes <= VOLUME_L and full + takes <= SHED_L
            if fits and (self.wanted[thing.kind] or (self.way == "tests" and self._pays_working(thing.kind))):
                self.shed.lift(thing, handling(self.start.anatomies[thing.kind]))
                kg, litres, full = kg + thing.mg / MG, litres + takes, full + takes

    def _pays_working(self, kind: str) -> bool:
        """Whether a working one fetches enough, as the catalogue has it."""
        guess = self.start.anatomies[kind]
        copper = self.shed.market.best("copper-2", 0)
        brings = [p.price.mean * copper for p in guess.whole.parts if p.needs == "works"]
        return bool(brings) and guess.test_minutes is not None and max(brings) >= WORTH_TESTING

    # -- the week -------------------------------------------------------------------------------

    def work(self) -> None:
        """At the bench until the hours are up, then to a yard where there is a load."""
        for thing in list(self.shed.things):
            if self.shed.bench >= BENCH:
                break
            self._one(thing)
        self._go()

    def _one(self, thing: Thing) -> None:
        rule, whole = self.rules[thing.kind], self.start.anatomies[thing.kind].whole
        if self.way == "tests" and thing.known == "unknown" and self._pays_working(thing.kind):
            self.shed.test(thing)
        if thing.known == "yes":
            offered = sum(one.thing.kind == thing.kind and one.piece == whole.id for one in self.shed.listed)
            part = next(i for i, p in enumerate(whole.parts) if p.needs == "works")
            if offered < MOST_OFFERED:
                self.shed.take_apart(thing, lambda _t, _p: ("part", str(part)))
                return
        self.shed.take_apart(thing, lambda _t, piece: rule.get(piece, ("bin", "")))

    def _go(self) -> None:
        shed = self.shed
        loads = {yard: self._load(yard, set()) for yard in YARDS}
        worth = {yard: self._worth(yard, load) for yard, load in loads.items()}
        yard = max(YARDS, key=lambda y: worth[y] - self._trip((y,)))
        full = self._litres(loads[yard]) >= GO_LITRES or sum(loads[yard].values()) / MG >= GO_KG
        stops = (yard,) if full and worth[yard] > self._trip((yard,)) else ()
        rubbish = tuple(b for b in ("tip", "depot") if self._litres(self._load(b, set())) >= STOP_LITRES)
        stops = (*stops, *rubbish) if stops or shed.litres() > 0.8 * SHED_L else ()
        if stops:
            self._drive(stops)
        posted = self._load("boards", set())
        if sum(posted.values()) / MG >= PARCEL_KG:
            mass = self._sell("boards", posted, 1.0)
            shed.pay(-17.0 * -(-mass // (20 * MG)), "postage")
            shed.work(10.0 / 60.0, "away")

    def _drive(self, stops: tuple[str, ...]) -> None:
        tour, kg, litres, taken = self._tour(stops), PAYLOAD_KG, VOLUME_L, set[str]()
        for buyer in stops:
            load = self._load(buyer, taken)
            share = min(1.0, kg * MG / max(1, sum(load.values())), litres / max(1e-9, self._litres(load)))
            kg, litres = kg - share * sum(load.values()) / MG, litres - share * self._litres(load)
            self._sell(buyer, load, share)
            taken |= load.keys()
        on_site = sum(b.minutes for b in self.start.buyers if b.id in stops) / 60.0
        self.shed.pay(-tour.km * COST_PER_KM, "driving")
        self.shed.work(tour.hours + on_site, "away")
        self.shed.counts["hauls"] += 1

    def _sell(self, buyer: str, load: dict[str, int], share: float) -> int:
        mass = 0
        for grade, mg in load.items():
            moved = int(mg * share)
            price = self.shed.market.price(buyer, grade, self.shed.week, moved / MG)
            if price is not None and moved:
                self.shed.bins[grade] -= moved
                self.shed.gone_mg[buyer] += moved
                self.shed.pay(price * moved / MG, f"sold {buyer}")
                mass += moved
        return mass

    def _load(self, buyer: str, taken: set[str]) -> dict[str, int]:
        """What of the bins a buyer takes."""
        quoted = {g for b, g in self.shed.market.keys if b == buyer}
        return {g: mg for g, mg in self.shed.bins.items() if mg and g in quoted and g not in taken}

    def _worth(self, buyer: str, load: dict[str, int]) -> float:
        prices = {g: self.shed.market.price(buyer, g, self.shed.week, mg / MG) or 0.0 for g, mg in load.items()}
        return sum(mg / MG * prices[g] for g, mg in load.items())

    def _litres(self, load: dict[str, int]) -> float:
        return sum(mg / MG / self.start.grades[g].density.mean for g, mg in load.items())

    def _tour(self, stops: tuple[str, ...]) -> Tour:
        return self.tours[frozenset(stops)]

    def _trip(self, stops: tuple[str, ...]) -> float:
        tour = self._tour(stops)
        return tour.km * COST_PER_KM + WAGE * tour.hours


def _tours(start: Scenario) -> dict[frozenset[str], Tour]:
    instance = build(replace(start, finds=(), stock={"light-iron": 1.0}, hours=replace(start.hours, away=99.0)))
    names = {stop: instance.buyers[b].id for stop, b in instance.buyer_at.items()}
    return {frozenset(names[s] for s in tour.stops): tour for tour in instance.tours or ()}


def _felt(estimate: Estimate, z: float) -> Estimate:
    return Estimate.exact(estimate.mean * exp(JUDGED * z))


def _deepest(guess: Anatomy, piece: str) -> str:
    """The operation that gives most pieces; none behind a stop."""
    ways = [op for op in allowed_operations(guess, piece) if not op.asks]
    return max(ways, key=lambda op: sum(give.count for give in op.gives)).id if ways else ""


def _part(one: Lifted, number: int) -> object:
    return one.find.instance.part_sales[number].part
