"""From a solved find to what it brings at the curb: money with its range, minutes, the way, mass and space."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

import numpy as np

from partway.planning.depth.dynamic import Draws, Option
from partway.planning.depth.spread import DRAWS, SEED, drawn_terms
from partway.planning.instance.frozen import Group
from partway.reports.bench.depths import DUST, Opened
from partway.reports.curb.curb import EndLine, Money, Outlet, Size, Way, World
from partway.things.anatomy import Anatomy, Piece
from partway.things.buyers import buyer_name
from partway.things.scenario import Scenario

HANDLING = 4.0  # minutes to load one thing and unload it again (common practice, no source)
HEAVY_HANDLING = 10.0  # the same where one person had better not lift it alone (common practice, no source)
HEAVY = "heavy-lift"
HALF = 0.5
OUTLETS: dict[str, Outlet] = {"grade": "grade", "part": "part", "keep": "keep"}


def handling(anatomy: Anatomy) -> float:
    """Minutes to load one and to unload it."""
    return HEAVY_HANDLING if HEAVY in anatomy.cautions else HANDLING


def shut(anatomy: Anatomy) -> Piece | None:
    """The piece that stays shut and is most of the find, so that the find as good as goes whole; None if none is."""
    found = [p for p in anatomy.pieces if p.stop and p.mass.mean >= HALF * anatomy.whole.mass.mean]
    return max(found, key=lambda piece: piece.mass.mean, default=None)


@dataclass(frozen=True)
class Solved:
    """Finds solved together or alone, with draws of what they bring."""

    find: Opened
    draws: int = DRAWS

    @cached_property
    def drawn(self) -> Draws:
        """What each piece brings in each draw, hours not paid, the choices of the expected values followed."""
        terms = replace(drawn_terms(self.find.instance, self.draws), wage=0.0)
        return self.find.programme.followed(self.find.values, terms)

    def each(self) -> tuple[Worth, ...]:
        """One for each group of finds."""
        return tuple(Worth(self, i) for i, node in enumerate(self.find.instance.nodes) if node.found)


@dataclass(frozen=True)
class Worth:
    """One find of those solved: `root` is its whole."""

    solved: Solved
    root: int = 0

    @property
    def find(self) -> Opened:
        """The programme it was solved in."""
        return self.solved.find

    @property
    def group(self) -> Group:
        """Its kind, condition and mass."""
        instance = self.find.instance
        return instance.groups[instance.nodes[self.root].group]

    @property
    def value(self) -> float:
        """Worth at the best depth, bench paid at the wage."""
        return float(self.find.values.worth[self.root, 0])

    @property
    def bench_hours(self) -> float:
        """Hours at the bench under the best choices."""
        return self.find.hours(self.root)

    @property
    def carrying(self) -> float:
        """The wage of loading and unloading it."""
        return handling(self.group.anatomy) / 60.0 * self.find.wage

    @property
    def net(self) -> float:
        """Worth with bench and handling paid."""
        return self.value - self.carrying

    @property
    def brings(self) -> float:
        """Expected money, hours not paid."""
        return self.value + self.bench_hours * self.find.wage

    def world(self) -> World:
        """Its figures as it is, how it is done left out."""
        bench = self.bench_hours * 60.0
        known = (self.brings, bench, bench + handling(self.group.anatomy), self.net)
        return _world(self.group.find.works, self.solved.drawn[self.root], known)

    def net_at(self, grade: str, price: float) -> float:
        """The same net with the best quote of a grade at another price per kg."""
        return self.find.breakevens.by_price(grade).of(self.root).at(price) - self.carrying


def tested(if_works: Worth, if_not: Worth) -> World | None:
    """An unknown find tested first: each way by its chance, the test's minutes at the bench.

    None where the catalogue knows no chance or minutes, or where testing earns nothing.
    """
    anatomy = if_not.group.anatomy
    if anatomy.works is None or anatomy.test_minutes is None:
        return None
    chance, minutes = anatomy.works, anatomy.test_minutes.mean

    def mixed(yes: float, no: float) -> float:
        return chance * yes + (1.0 - chance) * no

    net = mixed(if_works.net, if_not.net) - minutes / 60.0 * if_not.find.wage
    if net <= if_not.net + DUST:
        return None
    lucky = np.random.default_rng(SEED).random(if_not.solved.draws) < chance
    drawn = np.where(lucky, if_works.solved.drawn[if_works.root], if_not.solved.drawn[if_not.root])
    bench = mixed(if_works.bench_hours, if_not.bench_hours) * 60.0 + minutes
    known = (mixed(if_works.brings, if_not.brings), bench, bench + handling(anatomy), net)
    return _world("tested", drawn, known)


def _world(
    works: Literal["yes", "no", "unknown", "tested"],
    drawn: Draws,
    known: tuple[float, float, float, float],
) -> World:
    brings, bench, minutes, net = known
    low, high = np.percentile(drawn, [10.0, 90.0])
    # The mean may lie outside: a part that seldom sells brings its mean only now and then.
    return World(works, Money(float(low), brings, float(high)), minutes, bench, brings / minutes * 60.0, net)


def way_of(find: Opened) -> Way:
    """What is opened, in order, and where every piece ends, the most money first."""
    reached = find.reached()
    chosen = [(node, find.values.best(node)) for node in reversed(find.programme.order) if node in reached]
    operations = [find.instance.openings[o.number].operation for _, o in chosen if o.sort == "open"]
    ends = [_end(find, node, reached[node], option) for node, option in chosen if option.sort != "open"]
    tools = dict.fromkeys(tool for operation in operations for tool in operation.tools)
    return Way(
        tuple(operation.name for operation in operations),
        tuple(tools),
        tuple(sorted(ends, key=lambda end: -end.value)),
    )


def _end(find: Opened, node: int, count: int, option: Option) -> EndLine:
    instance = find.instance
    piece = instance.nodes[node].piece
    to, buyer, value = "", "", float(find.values.worth[node, 0])
    if option.sort == "grade":
        grade = instance.grades[instance.grade_sales[option.number].grade]
        offer = instance.market.best(grade)
        to = instance.scenario.grades[offer.grade if offer else grade].name
        buyer = _buyer_name(instance.scenario, offer.buyer) if offer else ""
    elif option.sort == "part":
        sale = instance.part_sales[option.number]
        to, value = sale.part.name or piece.name, value + sale.hours * find.wage
    return EndLine(
        piece=piece.id,
        name=instance.groups[0].anatomy.name if node == 0 else piece.name,
        count=count,
        mass_kg=instance.nodes[node].kg * count,
        outlet="stop" if piece.stop and option.sort == "keep" else OUTLETS[option.sort],
        to=to,
        buyer=buyer,
        value=value * count,
    )


def size_of(scenario: Scenario, anatomy: Anatomy) -> Size:
    """Mass with its range, and the space it takes as the grade it would ride as."""
    mass = anatomy.whole.mass
    grade = rides_as(anatomy)
    if grade is None:
        return Size(mass.low, mass.mean, mass.high, None, "", "")
    litres = mass.mean / scenario.grades[grade].density.mean
    return Size(mass.low, mass.mean, mass.high, litres, grade, scenario.grades[grade].name)


def rides_as(anatomy: Anatomy) -> str | None:
    """The first grade the whole is sold as; where it has none, that of the heaviest piece it opens into."""
    piece, seen = anatomy.whole, {anatomy.whole.id}
    while not piece.sells:
        inside = [anatomy.piece(give.piece) for op in anatomy.operations_on(piece.id) for give in op.gives]
        inside = [p for p in inside if p.id not in seen]
        if not inside:
            return None
        piece = max(inside, key=lambda p: p.mass.mean)
        seen.add(piece.id)
    return piece.sells[0].grade


def taker(find: Opened, grade: str) -> str:
    """Who takes a grade: a drop-off before anyone else, then the best price; "" for nobody."""
    scenario = find.instance.scenario
    offers = find.instance.market.offers.get(grade, ())
    kinds = {buyer.id: buyer.kind for buyer in scenario.buyers}
    first = sorted(offers, key=lambda offer: kinds[offer.buyer] != "drop-off")
    return _buyer_name(scenario, first[0].buyer) if first else ""


def quoted(worth: Worth) -> bool:
    """Whether anybody quotes anything in it, or it holds a part that can be priced."""
    instance = worth.find.instance
    group = instance.nodes[worth.root].group
    if any(instance.nodes[part.node].group == group for part in instance.part_sales):
        return True
    nodes = [n for n, node in enumerate(instance.nodes) if node.group == group]
    own = {instance.grade_sales[s].grade for n in nodes for s in instance.sales_of[n]}
    return any(instance.market.best(instance.grades[g]) for g in own if g != instance.residue)


def unquoted(find: Opened) -> tuple[str, ...]:
    """Names of the grades that pieces which open no further have, and that nobody here quotes; the heaviest first."""
    instance = find.instance
    heaviest: dict[str, float] = {}
    for i, node in enumerate(instance.nodes):
        names = [instance.grades[instance.grade_sales[s].grade] for s in instance.sales_of[i]]
        if instance.openings_of[i] or any(instance.market.best(name) for name in names):
            continue
        for name in names[:1]:
            heaviest[name] = max(heaviest.get(name, 0.0), node.kg)
    ranked = sorted(heaviest, key=lambda name: -heaviest[name])
    return tuple(instance.scenario.grades[name].name for name in ranked)


def _buyer_name(scenario: Scenario, buyer: str) -> str:
    return next((buyer_name(b.id, b.name) for b in scenario.buyers if b.id == buyer), buyer)
