"""The frozen instance that one plan is computed from: indexed, in kg, hours and currency units.

Built once by `planning.instance.build`; the model, the check and the report all read it and never change it.
Indexes point into the tuples of `Instance`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from partway.planning.instance.market import Market
from partway.planning.instance.opening import OpenHours
from partway.planning.tours.roads import Roads
from partway.planning.tours.tours import Tour
from partway.things.anatomy import Anatomy, Operation, Part, Piece
from partway.things.buyers import takes
from partway.things.estimate import Estimate
from partway.things.scenario import Buyer, Find, Quote, Scenario


@dataclass(frozen=True, slots=True)
class Group:
    """Finds that are alike: same kind, condition and mass. `scale` stretches the anatomy to their mass.

    `anatomy` is that of their kind, with the test of them where nobody knows if they work. `offer`: it is on offer
    whole, the first, second, third ... of its kind; 0 where it is not.
    """

    find: Find
    anatomy: Anatomy
    scale: float
    offer: int = 0


@dataclass(frozen=True, slots=True)
class Node:
    """One piece of one group: `kg` each at the PERT mean, `found` of them to begin with.

    Of a piece that an answer stands for, or one out of it, everything counts for the share of finds that have it: its
    kg, what its parts bring, and the hours and cost of opening it. `offered` is the chance that it sells by the unit if
    it is kept, as it is on offer already; its kept value counts that.
    """

    group: int
    piece: Piece
    kg: float
    found: int
    most: int
    kept_value: float
    offered: float = 0.0

    @property
    def one_kg(self) -> float:
        """What one that is there weighs, however few finds have it."""
        return self.kg / self.piece.share


@dataclass(frozen=True, slots=True)
class Opening:
    """One operation of one group: opens one `node` into `gives` (node, count) for `hours` at the bench and `cost`."""

    group: int
    node: int
    operation: Operation
    gives: tuple[tuple[int, int], ...]
    hours: float
    cost: float


@dataclass(frozen=True, slots=True)
class GradeSale:
    """One node as one grade: `kg` reach the grade, `residue_kg` become residue.

    `spread` is the range of the share that reaches it over its PERT mean, where that is a guess.
    """

    node: int
    grade: int
    kg: float
    residue_kg: float
    spread: Estimate | None = None


@dataclass(frozen=True, slots=True)
class PartSale:
    """One node sold by the unit: expected `income`, `hours` to list and pack, and what it is worth if it does not sell.

    `chance` that it sells; where a number of others is on offer before it, `step` counts from 0 those that the plan
    adds, each a sale of its own. `unit`: what 1 in the part's price is in currency: 1, or the best price of a kg of
    No. 2 copper.
    """

    node: int
    part: Part
    unit: float
    income: float
    hours: float
    unsold_value: float
    chance: float
    step: int | None = None

    @property
    def brings(self) -> float:
        """What one unit brings on average, in the unit of its price."""
        return self.chance * self.part.if_sold

    @property
    def asked(self) -> float:
        """The price asked for one, in currency units."""
        return self.part.price.mean * self.unit


@dataclass(frozen=True, slots=True)
class Cap:
    """At most `most` units of one part, or of one step of it, in one plan, over all groups of its kind.

    What only some finds have counts by its share.
    """

    most: int
    sales: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Tier:
    """A lot of `low..high` kg leaves `price` per kg, the whole of it: that of this quote, less the buyer's share."""

    low: float
    high: float
    price: float
    quote: Quote


@dataclass(frozen=True, slots=True)
class Lot:
    """What one buyer would take of one grade."""

    buyer: int
    grade: int
    tiers: tuple[Tier, ...]

    @property
    def has_steps(self) -> bool:
        """Whether the lot's size decides its price, which takes a yes-or-no variable."""
        return len(self.tiers) > 1 or self.tiers[0].low > 0.0


@dataclass(frozen=True)
class Instance:
    """All numbers of one plan. `stops[b]` is the place number of buyer b, None for a mail-in."""

    scenario: Scenario
    market: Market
    groups: tuple[Group, ...]
    nodes: tuple[Node, ...]
    openings: tuple[Opening, ...]
    grade_sales: tuple[GradeSale, ...]
    part_sales: tuple[PartSale, ...]
    caps: tuple[Cap, ...]
    grades: tuple[str, ...]
    stock: tuple[float, ...]
    supply: tuple[float, ...]
    kept_price: tuple[float, ...]
    litres_per_kg: tuple[float, ...]
    downgrades: tuple[tuple[int, int], ...]
    residue: int | None
    lots: tuple[Lot, ...]
    stops: tuple[int | None, ...]
    roads: Roads | None
    tours: tuple[Tour, ...] | None
    notes: tuple[str, ...]
    opening: OpenHours = field(default_factory=OpenHours)

    @property
    def buyers(self) -> tuple[Buyer, ...]:
        """The scenario's buyers, in its order; lots and stops index them."""
        return self.scenario.buyers

    @cached_property
    def buyer_at(self) -> Mapping[int, int]:
        """Buyer index by place number."""
        return {stop: b for b, stop in enumerate(self.stops) if stop is not None}

    @cached_property
    def nodes_of(self) -> tuple[tuple[int, ...], ...]:
        """Nodes of each group."""
        return _by(len(self.groups), [node.group for node in self.nodes])

    @cached_property
    def openings_of(self) -> tuple[tuple[int, ...], ...]:
        """Openings that open each node."""
        return _by(len(self.nodes), [o.node for o in self.openings])

    @cached_property
    def makers_of(self) -> tuple[tuple[tuple[int, int], ...], ...]:
        """(opening, count) pairs that yield each node."""
        made: list[list[tuple[int, int]]] = [[] for _ in self.nodes]
        for o, opening in enumerate(self.openings):
            for node, count in opening.gives:
                made[node].append((o, count))
        return tuple(map(tuple, made))

    @cached_property
    def sales_of(self) -> tuple[tuple[int, ...], ...]:
        """Grade sales open to each node."""
        return _by(len(self.nodes), [s.node for s in self.grade_sales])

    @cached_property
    def parts_of(self) -> tuple[tuple[int, ...], ...]:
        """Part sales open to each node."""
        return _by(len(self.nodes), [p.node for p in self.part_sales])

    @cached_property
    def uncut(self) -> frozenset[int]:
        """Nodes whose pieces ride whole: whole finds, and what is above the scenario's mass."""
        limit = self.scenario.whole_above_kg
        return frozenset(n for n, node in enumerate(self.nodes) if node.one_kg > limit or self._is_find(node))

    def _is_find(self, node: Node) -> bool:
        """Whether a piece is the whole find, also where a question about it was answered."""
        anatomy = self.groups[node.group].anatomy
        return anatomy.in_hand(node.piece.id) is anatomy.whole

    def one_kg(self, sale: GradeSale) -> float:
        """What reaches its grade of one piece that is there, however few finds have it."""
        return sale.kg / self.nodes[sale.node].piece.share

    def units(self, p: int) -> float:
        """How many units one part sale is of many: the share of finds that have the piece."""
        return self.nodes[self.part_sales[p].node].piece.share

    @cached_property
    def counted(self) -> frozenset[str]:
        """Grades whose pieces some buyer counts: they go whole, however light."""
        grades = self.scenario.grades
        return frozenset(q.grade for b in self.buyers for q in b.quotes if q.counted and takes(b, grades[q.grade]))

    def trips_to(self, buyer: int) -> range:
        """The trips that may stop at a buyer."""
        return self.opening.visits_on(buyer, self.scenario.hours.trips)

    def share_of(self, s: int) -> float:
        """How many of many finds have the piece of a sale."""
        return self.nodes[self.grade_sales[s].node].piece.share

    def flows(self, sale: GradeSale) -> tuple[tuple[int, float], ...]:
        """The grades one sold piece reaches and the kg of each: its own, and residue for the rest."""
        if sale.residue_kg and self.residue is not None:
            return (sale.grade, sale.kg), (self.residue, sale.residue_kg)
        return ((sale.grade, sale.kg),)

    def drive_money(self, tour: Tour) -> float:
        """What a tour costs besides its time, in currency units."""
        vehicle = self.scenario.vehicle
        return tour.km * vehicle.cost_per_km if vehicle is not None else 0.0

    def on_site_hours(self, buyer: int) -> float:
        """Hours one visit takes at the buyer (for a mail-in: to pack and post one lot)."""
        return self.buyers[buyer].minutes / 60.0


def _by(count: int, numbers: list[int]) -> tuple[tuple[int, ...], ...]:
    """Which of a list have each number below `count`."""
    found: list[list[int]] = [[] for _ in range(count)]
    for i, number in enumerate(numbers):
        found[number].append(i)
    return tuple(map(tuple, found))
