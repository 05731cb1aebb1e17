"""Trying everything, first part: what kilograms are worth and all the ways for pieces to end (see brute)."""

from __future__ import annotations

import itertools
import math
from collections.abc import Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache

import brute_room

from partway.things.anatomy import Anatomy, Operation, Part, SaleAs
from partway.things.scenario import Buyer, Find, Quote, Scenario

RESIDUE, COPPER = "residue", "copper-2"
SLACK = 1e-9  # kg, hours: what rounding in the last digits may add up to
MOST_WAYS = 20_000  # combinations of how every piece ends


class TooLarge(Exception):
    """The scenario has more combinations than trying everything is meant for."""


def refused(scenario: Scenario, buyer: Buyer, grade: str) -> bool:
    """A buyer refuses a grade by its id, by its family or by any of its hazards."""
    it = scenario.grades[grade]
    return any(name in buyer.refuses for name in (it.id, it.family, *it.hazards))


def counts(quote: Quote) -> bool:
    """Whether a price is by the piece, or holds for so many pieces."""
    return quote.piece_kg is not None and (quote.each or quote.most_pieces is not None)


def after_share(buyer: Buyer, price: float) -> float:
    """What a price leaves; who pays to be rid of something pays all of it."""
    return price if price <= 0.0 else price - buyer.ticket_share * price


def net_price(buyer: Buyer, quote: Quote) -> float:
    """Price per kg at the PERT mean less the buyer's share, for a mail-in less what posting costs in full parcels."""
    return after_share(buyer, quote.price.mean) - min((p.cost / p.up_to_kg for p in buyer.shipping), default=0.0)


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

    @cached_property
    def _lower(self) -> dict[str, tuple[str, ...]]:
        return {}

    @cached_property
    def _reached(self) -> dict[str, frozenset[str]]:
        return {}

    def downgrades(self, grade: str) -> tuple[str, ...]:
        """Lower grades that name all hazards of this one and are quoted or lead on to a quoted one."""
        if grade not in self._lower:
            hazards = set(self.scenario.grades[grade].hazards)
            lower = self.scenario.grades[grade].downgrades
            safe = [g for g in lower if hazards <= set(self.scenario.grades[g].hazards)]
            self._lower[grade] = tuple(g for g in safe if g in self.quoted or self.downgrades(g))
        return self._lower[grade]

    def reaches(self, grade: str) -> frozenset[str]:
        """The grade itself and everything it may be sold as."""
        if grade not in self._reached:
            lower = (self.reaches(g) for g in self.downgrades(grade))
            self._reached[grade] = frozenset({grade}).union(*lower)
        return self._reached[grade]

    @cached_property
    def kept(self) -> Mapping[str, float]:
        """What each grade is worth kept; at least that of any downgrade.

        Keep factor times the best net price (0 where nobody quotes); without one, by the room there is (brute_room).
        """
        factor = self.scenario.keep_factor
        if factor is None:
            own = brute_room.kept(self.scenario)
        else:
            own = {g: factor * self.quoted.get(g, 0.0) for g in self.scenario.grades}
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


Tally = tuple[tuple[Hashable, float], ...]  # amounts by key, sorted


def tally(*amounts: tuple[Hashable, float]) -> Tally:
    """Amounts added up by key; nothing is left of zeros."""
    total: dict[Hashable, float] = {}
    for key, amount in amounts:
        total[key] = total.get(key, 0.0) + amount
    return tuple(sorted(((k, round(v, 10)) for k, v in total.items() if v), key=repr))


@lru_cache(maxsize=2**14)
def added(one: Tally, other: Tally) -> Tally:
    """Two tallies as one; the same two meet again and again, whatever else differs."""
    return tally(*one, *other) if one and other else one or other


@dataclass(frozen=True, slots=True)
class End:
    """One way for some pieces to end: kg sold by grade, hours at the bench, capped parts, money, and what rides whole.

    The money is that of parts, kept pieces and the operations' own costs, without wages. `whole` lists the grade and
    kilograms of each piece that has to be loaded in one piece, which `kg` leaves out.
    """

    kg: Tally = ()
    hours: float = 0.0
    capped: Tally = ()
    money: float = 0.0
    whole: tuple[tuple[str, float], ...] = ()


Ends = tuple[End, ...]


@dataclass(frozen=True, slots=True)
class Barred:
    """One thing that must not be done, for what a plan is worth without it.

    A lot is (buyer, grade); an opening (kind, condition, mass, piece, operation); a part (kind, piece, name).
    """

    lot: tuple[str, str] | None = None
    opening: tuple[str, str, float | None, str, str] | None = None
    part: tuple[str, str, str] | None = None

    def selling(self, scenario: Scenario) -> Scenario:
        """The scenario to sell in: without the lot's quotes. What is kept counts as in the other one."""
        buyers = tuple(
            replace(b, quotes=tuple(q for q in b.quotes if (b.id, q.grade) != self.lot)) for b in scenario.buyers
        )
        return replace(scenario, buyers=buyers)


NOTHING_BARRED = Barred()


def distinct(ends: Iterable[End]) -> Ends:
    """Of ends alike in kilograms, whole pieces, hours and capped parts, the one with the most money."""
    best: dict[Hashable, End] = {}
    for end in ends:
        key = (end.kg, end.whole, end.hours, end.capped)
        if key not in best or end.money > best[key].money:
            best[key] = end
    return tuple(best.values())


def together(first: Ends, second: Ends) -> Ends:
    """Every end of the one with every end of the other."""
    if len(first) * len(second) > MOST_WAYS:
        raise TooLarge(f"{len(first)} x {len(second)} ways for pieces to end")
    best: dict[tuple[Tally, float, Tally, tuple[tuple[str, float], ...]], float] = {}
    for a, b in itertools.product(first, second):
        whole = tuple(sorted(a.whole + b.whole)) if a.whole and b.whole else a.whole or b.whole
        key = (added(a.kg, b.kg), round(a.hours + b.hours, 12), added(a.capped, b.capped), whole)
        money = a.money + b.money
        if key not in best or money > best[key]:
            best[key] = money
    return tuple(End(kg, hours, capped, money, whole) for (kg, hours, capped, whole), money in best.items())


@dataclass
class Bench:
    """All the ways for the pieces of one find to end."""

    scenario: Scenario
    prices: Prices
    find: Find
    barred: Barred = NOTHING_BARRED
    offer: int = 0  # on offer whole already, so many being on offer with it that wait no longer than it does
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
                    (self.sold(piece, sale) for sale in self.sales(piece) if self.lifted(piece)),
                    self.by_the_unit(piece),
                    self.tested() if piece == self.anatomy.pieces[0].id else (),
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
        allowed = self.required(piece) or [op for op in self.anatomy.operations if op.on == piece]
        it = self.find
        return [op for op in allowed if (it.kind, it.works, it.mass_kg, piece, op.id) != self.barred.opening]

    def inside(self, piece: str) -> set[str]:
        """Every piece that some way of opening this one would lay bare."""
        direct = {g.piece for op in self.anatomy.operations if op.on == piece for g in op.gives}
        return direct.union(*(self.inside(child) for child in direct))

    def hidden(self, piece: str) -> set[str]:
        """Hazards it is or holds that have to come out first: no grade silent about them may be used."""
        pieces = [self.anatomy.piece(child) for child in {piece} | self.inside(piece)]
        hazards = {h for p in pieces for sale in p.sells for h in self.scenario.grades[sale.grade].hazards}
        hazards |= {p.stop for p in pieces if p.stop is not None}
        return {h for h in hazards if h in self.scenario.cautions and self.scenario.cautions[h].out_first}

    def sales(self, piece: str) -> list[SaleAs]:
        """The grades a piece may be sold as while it is still shut."""
        hidden, required = self.hidden(piece), self.required(piece)
        return [
            sale
            for sale in self.anatomy.piece(piece).sells
            if sale.before_required or (not required and hidden <= set(self.scenario.grades[sale.grade].hazards))
        ]

    def sold(self, piece: str, sale: SaleAs) -> End:
        """Sold by grade: the share goes to the grade, the rest to residue if there is such a grade."""
        kg = self.kg(piece)
        rest = [(RESIDUE, kg * (1.0 - sale.share))] if RESIDUE in self.scenario.grades else []
        if self.is_whole(piece) or self.is_counted(sale.grade):
            return End(kg=tally(*rest), whole=((sale.grade, round(kg * sale.share, 10)),))
        return End(kg=tally((sale.grade, kg * sale.share), *rest))

    def is_whole(self, piece: str) -> bool:
        """Nobody cuts up a find to fill a load, nor a piece above 25 kg or the mass that the scenario states."""
        vehicle = self.scenario.vehicle
        limit = 25.0 if vehicle is None else vehicle.whole_above_kg
        return piece == self.anatomy.pieces[0].id or self.kg(piece) > limit

    def is_counted(self, grade: str) -> bool:
        """Whether somebody who takes a grade counts its pieces."""
        quotes = [q for b in self.scenario.buyers for q in b.quotes if not refused(self.scenario, b, q.grade)]
        return any(q.grade == grade and counts(q) for q in quotes)

    def lifted(self, piece: str) -> bool:
        """Whether it can be carried off: by one person up to a mass, by more of them whatever it weighs."""
        vehicle = self.scenario.vehicle
        alone = vehicle is not None and vehicle.lift_kg is not None and self.scenario.hours.helpers == 0
        return not alone or self.kg(piece) <= vehicle.lift_kg  # type: ignore[union-attr,operator]

    def kept_value(self, piece: str) -> float:
        """What a kept piece counts for: its best sale at kept prices, 0 if it may not be sold."""
        kg, kept, rest = self.kg(piece), self.prices.kept, self.prices.residue
        values = [kg * (s.share * kept[s.grade] + (1.0 - s.share) * rest) for s in self.sales(piece)]
        return self.waiting(piece, max(values, default=0.0))

    def waiting(self, piece: str, kept: float) -> float:
        """What is on offer sells if as many buyers come as wait for one; where that is too unlikely it is just kept."""
        part = offered_as(self.anatomy, self.find.works) if self.offer and piece == self.anatomy.pieces[0].id else None
        unit = None if part is None else self.prices.copper if part.in_copper else 1.0
        if part is None or unit is None:
            return kept
        chance, sold = buyers_come(self.offer, part.chance), unit * after_fees(part)
        return max(kept, chance * sold + (1.0 - chance) * kept) if chance >= HOPELESS else kept

    def by_the_unit(self, piece: str) -> Iterator[End]:
        """Sold as a part: what it brings on average, and what it is worth kept if it does not sell."""
        name = self.anatomy.piece(piece).name
        for i, part in enumerate(self.anatomy.piece(piece).parts):
            if (self.find.kind, piece, part.name or name) == self.barred.part:
                continue
            unit = self.prices.copper if part.in_copper else 1.0
            if unit is None or (part.needs == "works" and self.find.works != "yes"):
                continue
            if self.offer and piece == self.anatomy.pieces[0].id:
                continue  # it is on offer already
            for place, chance in self.places(piece, part):
                money = chance * unit * after_fees(part) + (1.0 - chance) * self.kept_value(piece)
                key = self.find.kind, piece, i
                capped: list[tuple[Hashable, float]] = [(key, 1)] if part.most is not None else []
                capped += [((*key, place), 1)] if place else []
                yield End(hours=part.minutes.mean / 60.0, capped=tally(*capped), money=money)

    def places(self, piece: str, part: Part) -> list[tuple[int, float]]:
        """The places in the row of those on offer that one more may take, with its chance; 0 where there is no row."""
        it = self.scenario
        there = it.listed.get((self.find.kind, piece, part.name))
        waiting = 0
        if piece == self.anatomy.pieces[0].id:
            finds = [f for f in it.finds if f.kind == self.find.kind]
            waiting = sum(f.listed for f in finds if offered_as(self.anatomy, f.works) == part)
        if part.chance in (0.0, 1.0) or (there is None and waiting == 0):
            return [(0, part.chance)]
        found = []
        place = waiting + (there or 0) + 1
        while (chance := buyers_come(place, part.chance)) >= HOPELESS and place <= SIDE_BY_SIDE:
            found.append((place, chance))
            place += 1
        return found

    def tested(self) -> Ends:
        """Tested first: the find as one that works and as one that does not, each ended in any way, by their chances.

        All that can be done with one that works is tried, also what the plan leaves out as had without the test.
        """
        chance, minutes = self.anatomy.works, self.anatomy.test_minutes
        if self.find.works != "unknown" or chance is None or minutes is None or self.offer:
            return ()  # what is on offer counts as it was put there
        yes, no = (Bench(self.scenario, self.prices, replace(self.find, works=w)).ends() for w in ("yes", "no"))
        run = (End(hours=round(minutes.mean / 60.0, 12)),)
        return all_together([run, shares(yes, chance), shares(no, 1.0 - chance)])

    def opened(self, op: Operation) -> Ends:
        """Opened by one operation: every combination of ends of everything it gives."""
        units = [self.ends(g.piece) for g in op.gives for _ in range(g.count)]
        run = (End(hours=round(op.minutes.mean / 60.0, 12), money=-op.cost),)
        return all_together([run, *units])


def shares(ends: Ends, share: float) -> Ends:
    """Ends of what only a share of finds comes to."""
    return tuple(
        End(
            kg=tally(*((g, kg * share) for g, kg in end.kg)),
            hours=end.hours * share,
            capped=tally(*((part, n * share) for part, n in end.capped)),
            money=end.money * share,
            whole=tuple((g, round(kg * share, 10)) for g, kg in end.whole),
        )
        for end in ends
    )


def all_together(units: Iterable[Ends]) -> Ends:
    """Every combination of one end of each."""
    ends: Ends = (End(),)
    for unit in units:
        ends = together(ends, unit)
    return ends


SIDE_BY_SIDE = 12
HOPELESS = 0.01  # less likely than this to sell, nothing is put on offer


def after_fees(part: Part) -> float:
    """What one that sells brings."""
    return part.price.mean * (1.0 - part.fee) - part.postage


def offered_as(anatomy: Anatomy, works: str) -> Part | None:
    """What a whole find is on offer as: what needs it to work goes before all else, then what brings most."""
    fit = [p for p in anatomy.pieces[0].parts if p.needs != "works" or works == "yes"]
    return max(fit, key=lambda p: (p.needs == "works", p.chance * after_fees(p)), default=None)


def buyers_come(n: int, chance: float) -> float:
    """That the n-th in a row sells: buyers come as a Poisson process, for n alike as many times more as its root says.

    Of N buyers and k things min(N, k) are sold; the n-th adds what n sell over what n - 1 do, no more than any before.
    """
    if chance == 1.0:
        return 1.0

    def sold(k: int) -> float:
        mean = -math.log(1.0 - chance) * k**0.5
        term, total, rest = math.exp(-mean), 0.0, 1.0
        for buyers in range(k):
            total += buyers * term
            rest -= term
            term *= mean / (buyers + 1)
        return total + k * rest

    return min(sold(k) - sold(k - 1) for k in range(1, n + 1))


def all_ends(scenario: Scenario, prices: Prices, barred: Barred = NOTHING_BARRED) -> Ends:
    """Every combination of ends of every find that the bench hours and the parts' caps allow.

    What is too much for some of the finds is too much for all of them, so it is left out as soon as it is.
    """
    ends: Ends = (End(),)
    places: dict[str, int] = {}
    for find in scenario.finds:
        alone = allowed(scenario, Bench(scenario, prices, find, barred).ends())
        for _ in range(find.count - find.listed):
            ends = allowed(scenario, together(ends, alone))
        for _ in range(find.listed):
            places[find.kind] = places.get(find.kind, 0) + 1
            waits = Bench(scenario, prices, find, barred, places[find.kind])
            ends = allowed(scenario, together(ends, allowed(scenario, waits.ends())))
    return ends


def allowed(scenario: Scenario, ends: Ends) -> Ends:
    """Those that keep within the bench hours and the parts' caps."""
    most = scenario.hours.bench + SLACK
    return tuple(
        end
        for end in ends
        if end.hours <= most and all(n <= most_units(scenario, *key) + SLACK for key, n in end.capped)  # type: ignore[misc]
    )


def most_units(scenario: Scenario, kind: str, piece: str, i: int, place: int = 0) -> float:
    """The most of one part that a plan may count on, over all finds of its kind; one at each place of a row."""
    if place:
        return 1.0
    most = scenario.anatomies[kind].piece(piece).parts[i].most
    return math.inf if most is None else most
