"""What one find brings at the curb: money with its range, minutes with loading and unloading, mass and space."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from partway.planning.depth.dynamic import Draws
from partway.planning.instance.frozen import Group
from partway.planning.instance.room import rides_as
from partway.things.anatomy import Anatomy, Known, Piece
from partway.things.scenario import Scenario
from partway.valuing.finds.estimated import ESTIMATE, estimated_in
from partway.valuing.finds.facts import Span, TestFirst
from partway.valuing.finds.hand import ValuedHolding, span_of
from partway.valuing.finds.opened import Solved
from partway.valuing.finds.tested import answer_of, tests_first, worth_of_testing

HANDLING = 4.0  # minutes to load one thing and unload it again (common practice, no source)
HEAVY_HANDLING = 10.0  # the same where one person had better not lift it alone (common practice, no source)
HEAVY = "heavy-lift"
HALF = 0.5


@dataclass(frozen=True, slots=True)
class World:
    """One state of the find. `money` is before hours; `minutes` are at the bench and to load and unload; `net` has them
    paid at the wage.

    `works` "tested" is an unknown find that is tested first, then taken either way, by its chances.
    """

    works: Literal["yes", "no", "unknown", "tested"]
    money: Span
    minutes: float
    bench_minutes: float
    per_hour: float
    net: float


@dataclass(frozen=True, slots=True)
class Size:
    """Of the whole thing. `litres` is an estimate: its mass by the bulk density of the grade it would ride as.

    None where no grade is known for it.
    """

    low_kg: float
    kg: float
    high_kg: float
    litres: float | None
    grade: str
    grade_name: str


def handling(anatomy: Anatomy) -> float:
    """Minutes to load one and to unload it."""
    return HEAVY_HANDLING if HEAVY in anatomy.cautions else HANDLING


def shut_piece(anatomy: Anatomy) -> Piece | None:
    """The piece that stays shut and is most of the find, so that the find as good as goes whole; None if none is."""
    sure = [piece for piece in anatomy.pieces if piece.share == 1.0]  # an answer keeps shut only what it is true of
    found = [p for p in sure if p.stop and p.mass.mean >= HALF * anatomy.whole.mass.mean]
    return max(found, key=lambda piece: piece.mass.mean, default=None)


@dataclass(frozen=True)
class Lifted:
    """One find of those solved, lifted at the curb: `root` is its whole, or the whole as a test says that it is."""

    find: Solved
    root: int = 0

    @classmethod
    def each(cls, find: Solved) -> tuple[Lifted, ...]:
        """One for each group of finds that were solved together."""
        return tuple(cls(find, i) for i, node in enumerate(find.instance.nodes) if node.found)

    def as_tested(self, works: Known) -> Lifted | None:
        """The same once a test said whether it works; None where there is no test of it, or none says so."""
        node = answer_of(self.find, self.root, works)
        return None if node is None else Lifted(self.find, node)

    @property
    def test(self) -> TestFirst | None:
        """What testing it first gains; None where there is no test of it."""
        return worth_of_testing(self.find, self.root)

    @cached_property
    def hand(self) -> ValuedHolding:
        """One whole find in hand."""
        return ValuedHolding(self.find, ((self.root, 1),))

    @property
    def group(self) -> Group:
        """Its kind, condition and mass."""
        instance = self.find.instance
        return instance.groups[instance.nodes[self.root].group]

    @property
    def anatomy(self) -> Anatomy:
        """How its kind comes apart."""
        return self.group.anatomy

    @property
    def carrying(self) -> float:
        """The wage of loading and unloading it, and the room it takes until it is hauled."""
        return handling(self.anatomy) / 60.0 * self.find.wage + self.room

    @property
    def room(self) -> float:
        """What the room costs that it takes as it rides, from the shed to whoever it goes to."""
        instance, grade = self.find.instance, rides_as(self.anatomy)
        return 0.0 if grade is None else instance.market.room_price(grade) * instance.nodes[self.root].kg

    @property
    def net(self) -> float:
        """Worth with bench, handling and room paid."""
        return self.hand.net - self.carrying

    @property
    def drawn(self) -> Draws:
        """What it brings in each draw, hours not paid; as tested, in the draws in which it is so."""
        drawn: Draws = self.find.drawn[self.root][self.hand.in_hand]
        return drawn

    def world(self) -> World:
        """Its figures as it is, how it is done left out."""
        bench = self.hand.hours * 60.0
        minutes = bench + handling(self.anatomy)
        brings = self.hand.brings
        return World(self.state, span_of(self.drawn, brings), minutes, bench, brings / minutes * 60.0, self.net)

    @property
    def state(self) -> Literal["yes", "no", "unknown", "tested"]:
        """Whether it works, as far as that is known when the first thing is done with it."""
        if tests_first(self.find, self.root):
            return "tested"
        return self.find.instance.nodes[self.root].piece.works or self.group.find.works

    def net_at(self, grade: str, price: float) -> float:
        """The same net with the best quote of a grade at another price per kg."""
        share = self.find.share(self.root)
        return self.find.breakevens.by_price(grade).of(self.root).at(price) / share - self.carrying

    @property
    def estimated(self) -> tuple[str, ...]:
        """Ids of the grades in it whose price nobody quoted, and that are estimated from one."""
        return estimated_in(self.find.instance, self.find.instance.nodes[self.root].group)

    @property
    def quoted(self) -> bool:
        """Whether anybody quotes anything in it, or it holds a part that can be priced."""
        instance = self.find.instance
        nodes = instance.nodes_of[instance.nodes[self.root].group]
        if any(instance.parts_of[n] for n in nodes):
            return True
        own = {instance.grade_sales[s].grade for n in nodes for s in instance.sales_of[n]}
        return any(instance.market.best(instance.grades[g]) for g in own if g != instance.residue)


def size_of(scenario: Scenario, anatomy: Anatomy) -> Size:
    """Mass with its range, and the space it takes as the grade it would ride as."""
    mass = anatomy.whole.mass
    grade = rides_as(anatomy)
    if grade is None:
        return Size(mass.low, mass.mean, mass.high, None, "", "")
    litres = mass.mean / scenario.grades[grade].density.mean
    return Size(mass.low, mass.mean, mass.high, litres, grade, scenario.grades[grade].name)


def taker(find: Solved, grade: str) -> str:
    """The id of who takes a grade: a drop-off before anyone else, then the best price; "" for nobody."""
    offers = find.instance.market.offers.get(grade, ())
    kinds = {buyer.id: buyer.kind for buyer in find.instance.scenario.buyers}
    offers = tuple(offer for offer in offers if offer.buyer != ESTIMATE)  # nobody's
    first = sorted(offers, key=lambda offer: kinds[offer.buyer] != "drop-off")
    return first[0].buyer if first else ""


def unquoted(find: Solved) -> tuple[str, ...]:
    """Ids of the grades that pieces which open no further have, and that nobody here quotes; the heaviest first."""
    instance = find.instance
    heaviest: dict[str, float] = {}
    for i, node in enumerate(instance.nodes):
        grades = find.grades_of(i)
        if grades and not instance.openings_of[i] and not find.is_quoted(i):
            heaviest[grades[0]] = max(heaviest.get(grades[0], 0.0), node.kg)
    return tuple(sorted(heaviest, key=lambda grade: -heaviest[grade]))
