"""Scenario to instance: join equal finds, scale their anatomies, drop what may not be sold.

Three kinds of sale never get into an instance, so no solver setting can let them through: by grade
ahead of a required removal, with a hazard still hidden inside, and to a buyer that refuses.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from partway.formulas.resale.demand import nth_sells
from partway.planning.depth.piecewise import Piecewise
from partway.planning.instance.allowed import allowed_on_all, allowed_operations
from partway.planning.instance.blocks import whole_notes
from partway.planning.instance.frozen import Cap, GradeSale, Group, Instance, Lot, Node, Opening, PartSale
from partway.planning.instance.market import Market
from partway.planning.instance.offers import LEAST, ahead, offered_as, ranked, steps
from partway.planning.instance.opening import OpenHours, opening_notes
from partway.planning.instance.room import room_notes
from partway.planning.instance.supply import most_of_each, price_steps, with_downgrades
from partway.planning.instance.tested import planned
from partway.planning.making import all_kept
from partway.planning.tours.fronts import tours
from partway.planning.tours.roads import Roads, measure
from partway.planning.tours.timed import timed_tours
from partway.planning.tours.tours import MOST_EXACT, Tour
from partway.things.anatomy import Anatomy, Part, Piece, SaleAs
from partway.things.buyers import takes
from partway.things.estimate import Estimate
from partway.things.scenario import Find, Hours, Scenario

RESIDUE = "residue"
COPPER = "copper-2"

Draws = NDArray[np.float64]
Amount = TypeVar("Amount", float, Piecewise, Draws)


@all_kept()
def build(scenario: Scenario, like: Instance | None = None) -> Instance:
    """The instance of a scenario; raises BadScenario where a buyer cannot be reached.

    `like` is an instance of the same scenario at other prices, whose roads and tours are reused.
    """
    return InstanceBuilder(scenario, like).instance()


def in_other_hours(instance: Instance, hours: Hours) -> Instance:
    """The instance of the same scenario with other hours. Hours at the bench change nothing else in it."""
    old = instance.scenario.hours
    scenario = replace(instance.scenario, hours=hours)
    same = replace(hours, bench=old.bench) == old
    return replace(instance, scenario=scenario) if same else build(scenario)


def _over_mean(spread: Estimate | None) -> Estimate | None:
    """A range over its mean."""
    return None if spread is None else spread.scaled(1.0 / spread.mean)


def kept_as(kg: float, share: float, grade: Amount, residue: Amount) -> Amount:
    """What a piece is worth kept, from what a kilogram of its grade and of residue is worth kept."""
    return (grade * share + residue * (1.0 - share)) * kg


def copper_price(market: Market) -> float | None:
    """The best price of a kilogram of No. 2 copper; None where nobody quotes it."""
    copper = market.best(COPPER) if COPPER in market.grades else None
    return None if copper is None else copper.price


def part_sale(n: int, node: Node, part: Part, unit: float, chance: float, step: int | None) -> PartSale:
    """The sale by the unit of a node with this number."""
    share = node.piece.share
    income, unsold = chance * part.if_sold * unit * share, (1.0 - chance) * node.kept_value
    return PartSale(n, part, unit, income, part.minutes.mean / 60.0 * share, unsold, chance, step)


def alike(find: Find) -> Find:
    """One of a group of finds that are alike: how likely it is to work is of no matter once that is known."""
    return replace(find, count=1, chance=find.chance if find.works == "unknown" else None)


class InstanceBuilder:
    """Makes the instance of a scenario, `like` another one where roads and tours are its."""

    def __init__(self, scenario: Scenario, like: Instance | None) -> None:
        self.scenario, self.like = scenario, like
        self.market = Market.of(scenario)
        self.opening = OpenHours.of(scenario)
        self.grades: dict[str, int] = {}
        self.nodes: list[Node] = []
        self.openings: list[Opening] = []
        self.grade_sales: list[GradeSale] = []
        self.part_sales: list[PartSale] = []
        self.capped: dict[tuple[str, str, int], list[int]] = defaultdict(list)
        self.stepped: dict[tuple[str, str, int, int], list[int]] = defaultdict(list)
        self.notes = list(scenario.notes)
        self.copper = copper_price(self.market)
        self.allowed = lru_cache(maxsize=None)(self._allowed)

    def instance(self) -> Instance:
        """All of it, from nothing."""
        for grade in self.scenario.stock:
            self._grade(grade)
        groups = self._groups()
        for g, group in enumerate(groups):
            self._add_group(g, group)
        arcs = self._downgrades()
        supply = self._supply(groups, arcs)
        roads = self._roads()
        stops = self._stops(roads)
        tours = self._tours(roads)
        instance = self._assembled(groups, arcs, supply, stops, roads, tours)
        hours = opening_notes(self.scenario, self.opening, tours is not None) if roads is not None else ()
        room = room_notes(self.scenario, self.market.room)
        return replace(instance, notes=(*self.notes, *room, *hours, *whole_notes(instance)))

    def _assembled(
        self,
        groups: tuple[Group, ...],
        arcs: tuple[tuple[int, int], ...],
        supply: list[float],
        stops: tuple[int | None, ...],
        roads: Roads | None,
        tours: tuple[Tour, ...] | None,
    ) -> Instance:
        return Instance(
            scenario=self.scenario,
            market=self.market,
            groups=groups,
            nodes=tuple(self.nodes),
            openings=tuple(self.openings),
            grade_sales=tuple(self.grade_sales),
            part_sales=tuple(self.part_sales),
            caps=self._caps(groups),
            grades=tuple(self.grades),
            stock=tuple(self.scenario.stock.get(g, 0.0) for g in self.grades),
            supply=tuple(supply),
            kept_price=tuple(self.market.kept_price(g) for g in self.grades),
            litres_per_kg=tuple(1.0 / self.scenario.grades[g].density.mean for g in self.grades),
            downgrades=arcs,
            residue=self.grades.get(RESIDUE),
            lots=tuple(self.lots(supply, stops, timed=tours is not None)),
            stops=stops,
            roads=roads,
            tours=tours,
            notes=(),
            opening=self.opening,
        )

    def _grade(self, grade: str) -> int:
        return self.grades.setdefault(grade, len(self.grades))

    def _groups(self) -> tuple[Group, ...]:
        counts: Counter[tuple[Find, int]] = Counter()
        on_offer: Counter[str] = Counter()
        for find in self.scenario.finds:
            one = replace(alike(find), listed=0)
            if find.count > find.listed:
                counts[one, 0] += find.count - find.listed
            part = offered_as(self.scenario.anatomies[find.kind], find.works)
            for rank, count in ranked(find, on_offer[find.kind] + 1, part):
                counts[one, rank] += count
            on_offer[find.kind] += find.listed
        groups = []
        for (find, rank), count in counts.items():
            anatomy = self.scenario.anatomies[find.kind]
            scale = 1.0 if find.mass_kg is None else find.mass_kg / anatomy.whole.mass.mean
            comes_apart = anatomy if rank else planned(anatomy, find)  # what is on offer counts as it was put there
            groups.append(Group(replace(find, count=count), comes_apart, scale, rank))
        return tuple(groups)

    def _add_group(self, g: int, group: Group) -> None:
        anatomy = group.anatomy
        if anatomy.guessed:
            self._note(f"{anatomy.name} is not in the catalogue: what it is worth is a guess from what was said of it.")
        first = len(self.nodes)
        index = {piece.id: first + i for i, piece in enumerate(anatomy.pieces)}
        most, lifted = most_of_each(anatomy, group.find.count), self.scenario.lifted_kg
        allowed = self.allowed(anatomy.kind)
        for piece in anatomy.pieces:
            sales = allowed[piece.of_kind]
            node = index[piece.id]
            one_kg = piece.mass.mean * group.scale
            kg = one_kg * piece.share
            if one_kg <= lifted:
                self._add_grade_sales(node, kg, self._undominated(sales))
            found = group.find.count if piece is anatomy.whole else 0
            kept, chance = self.worth_kept(group, piece, kg)
            self.nodes.append(Node(g, piece, kg, found, most[piece.id], kept, chance))
            if not (group.offer and piece is anatomy.whole):
                for i, part in enumerate(piece.parts):
                    self._add_part(group, node, i, part)
            for op in allowed_operations(anatomy, piece.id):
                gives = tuple((index[give.piece], give.count) for give in op.gives)
                hours = op.minutes.mean / 60.0 * piece.share
                self.openings.append(Opening(g, node, op, gives, hours, op.cost * piece.share))

    def _allowed(self, kind: str) -> Mapping[str, tuple[SaleAs, ...]]:
        return allowed_on_all(self.scenario, self.scenario.anatomies[kind])

    def _undominated(self, sales: Sequence[SaleAs]) -> Sequence[SaleAs]:
        """Drop grades that another sale of the piece can be downgraded to anyway."""
        if len(sales) < 2:
            return sales
        return [
            sale
            for sale in sales
            if not any(
                other.share == sale.share and sale.grade in self.market.below(other.grade)
                for other in sales
                if other is not sale
            )
        ]

    def _add_grade_sales(self, node: int, kg: float, sales: Sequence[SaleAs]) -> None:
        for sale in sales:
            left = kg * (1.0 - sale.share)
            if left > 0.0 and RESIDUE in self.scenario.grades:
                self._grade(RESIDUE)
            self.grade_sales.append(
                GradeSale(node, self._grade(sale.grade), kg * sale.share, left, _over_mean(sale.spread))
            )

    def worth_kept(self, group: Group, piece: Piece, kg: float) -> tuple[float, float]:
        """What a piece is worth kept, and the chance that it sells for that where it is on offer."""
        price, sales = self.market.kept_price, self.allowed(group.anatomy.kind)[piece.of_kind]
        residue = price(RESIDUE) if RESIDUE in self.scenario.grades else 0.0
        kept = max((kept_as(kg, sale.share, price(sale.grade), residue) for sale in sales), default=0.0)
        return self._offered(group, kept) if group.offer and piece is group.anatomy.whole else (kept, 0.0)

    def unit_of(self, part: Part) -> float | None:
        """What 1 in the price of a part is in currency units; None where nobody quotes the copper that it is in."""
        return self.copper if part.in_copper else 1.0

    def _add_part(self, group: Group, node: int, i: int, part: Part) -> None:
        piece = self.nodes[node].piece
        if part.needs == "works" and (piece.works or group.find.works) != "yes":
            return
        unit = self.unit_of(part)
        if unit is None:
            self._note("Parts priced in No. 2 copper are left out: nobody quotes it here.")
            return
        if part.in_copper:
            self._note("Resale prices of parts are rough multiples of No. 2 copper, from memory.")
        kind = self.scenario.anatomies[group.find.kind]
        before, key = ahead(self.scenario, kind, piece.of_kind, part), (kind.kind, piece.of_kind, i)
        most = 0 if before is None else self._most(group.anatomy, piece.id)
        for step, chance in steps(part, before, most):
            self.capped[key].append(len(self.part_sales))
            if step is not None:
                self.stepped[*key, step].append(len(self.part_sales))
            self.part_sales.append(part_sale(node, self.nodes[node], part, unit, chance, step))

    def _most(self, anatomy: Anatomy, piece: str) -> int:
        """The most there can be of a piece, over all finds of the kind: they wait in one row."""
        finds = sum(find.count for find in self.scenario.finds if find.kind == anatomy.kind)
        return most_of_each(anatomy, finds)[piece]

    def _offered(self, group: Group, kept: float) -> tuple[float, float]:
        """What a find on offer is worth kept, and the chance that it sells so; as any other where that is no more."""
        part = offered_as(group.anatomy, group.find.works)
        unit = None if part is None else self.unit_of(part)
        if part is None or unit is None:
            self._note(
                f"On offer without an estimate of what it fetches, planned as if it were not: {group.anatomy.name}."
            )
            return kept, 0.0
        chance = nth_sells(group.offer, part.chance)
        sold = part.if_sold * unit
        return (chance * sold + (1.0 - chance) * kept, chance) if sold > kept and chance >= LEAST else (kept, 0.0)

    def _note(self, note: str) -> None:
        if note not in self.notes:
            self.notes.append(note)

    def _caps(self, groups: tuple[Group, ...]) -> tuple[Cap, ...]:
        caps = []
        for sales in self.capped.values():
            most = self.part_sales[sales[0]].part.most
            if most is not None and most < sum(self._most_sold(s) for s in sales):
                caps.append(Cap(most, tuple(sales)))
        caps += [Cap(1, tuple(sales)) for sales in self.stepped.values() if len(sales) > 1]
        return tuple(caps)

    def _most_sold(self, p: int) -> float:
        node = self.nodes[self.part_sales[p].node]
        return node.most * node.piece.share

    def _downgrades(self) -> tuple[tuple[int, int], ...]:
        arcs = []
        waiting = list(self.grades)
        while waiting:
            grade = waiting.pop()
            for lower in self.market.downgrades(grade):
                if lower not in self.grades:
                    waiting.append(lower)
                arcs.append((self._grade(grade), self._grade(lower)))
        return tuple(arcs)

    def _supply(self, groups: tuple[Group, ...], arcs: tuple[tuple[int, int], ...]) -> list[float]:
        """The most kg of each grade that any plan can have."""
        supply = [self.scenario.stock.get(g, 0.0) for g in self.grades]
        residue = self.grades.get(RESIDUE)
        for sale in self.grade_sales:
            supply[sale.grade] += sale.kg * self.nodes[sale.node].most
            if residue is not None:
                supply[residue] += sale.residue_kg * self.nodes[sale.node].most
        return with_downgrades(supply, arcs)

    def _roads(self) -> Roads | None:
        if self.like is not None:
            return self.like.roads
        if self.scenario.vehicle is None or not any(b.is_visited for b in self.scenario.buyers):
            return None
        roads = measure(self.scenario, self.scenario.vehicle)
        self.notes += roads.notes
        return roads

    def _stops(self, roads: Roads | None) -> tuple[int | None, ...]:
        if roads is None:
            return tuple(None for _ in self.scenario.buyers)
        return tuple(roads.places.index(b.id) if b.is_visited else None for b in self.scenario.buyers)

    def _tours(self, roads: Roads | None) -> tuple[Tour, ...] | None:
        """The tours of every set of stops; None if there are too many places, then the search finds them."""
        if self.like is not None:
            return self.like.tours
        hours, vehicle = self.scenario.hours, self.scenario.vehicle
        if roads is None or vehicle is None or hours.trips == 0:
            return ()
        if len(roads.places) - 1 > MOST_EXACT:
            return None  # legs with cuts instead (`planning/edges`)
        if not roads.complete:
            return None  # so many ways between two places that not all are known: bounded, not listed
        minutes = {b.id: b.minutes for b in self.scenario.buyers}
        on_site = np.array([minutes.get(place, 0.0) / 60.0 for place in roads.places])
        if self.opening.part:
            open_ = {roads.places.index(self.scenario.buyers[b].id): times for b, times in self.opening.part.items()}
            return tuple(timed_tours(roads, vehicle.cost_per_km, on_site, hours.one_trip, self.opening.leave, open_))
        return tuple(tours(roads, vehicle.cost_per_km, hours.wage, on_site, hours.one_trip))

    def lots(self, supply: Sequence[float], stops: tuple[int | None, ...], timed: bool) -> list[Lot]:
        """What each buyer would take of each grade there is; `timed` where tours keep to the hours of who is closed."""
        return [lot for b in range(len(self.scenario.buyers)) for lot in self.lots_of(b, supply, stops, timed)]

    def lots_of(self, b: int, supply: Sequence[float], stops: tuple[int | None, ...], timed: bool) -> Iterator[Lot]:
        """Those of one buyer."""
        buyer = self.scenario.buyers[b]
        if b not in self.opening.closed and (b not in self.opening.part or timed):
            for grade in dict.fromkeys(q.grade for q in buyer.quotes):
                g = self.grades.get(grade)
                if g is None or not takes(buyer, self.scenario.grades[grade]):
                    continue
                if buyer.is_visited and stops[b] is None:
                    continue  # nothing to drive there with
                tiers = price_steps(buyer, grade, min(supply[g], self._most_carried(grade, stops[b])))
                if tiers:
                    yield Lot(b, g, tiers)

    def _most_carried(self, grade: str, stop: int | None) -> float:
        vehicle = self.scenario.vehicle
        if stop is None or vehicle is None:
            return float("inf")
        by_volume = float("inf")
        if vehicle.volume_l is not None:
            by_volume = vehicle.volume_l * self.scenario.grades[grade].density.mean
        return min(vehicle.payload_kg, by_volume)
