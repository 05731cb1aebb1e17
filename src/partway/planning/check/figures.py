"""Checks that the figures of an instance follow from its scenario; done for every plan."""

from __future__ import annotations

import math
from collections import Counter

from partway.errors import PlanUnsound
from partway.planning.check.keeping import Keeping
from partway.planning.check.tried import check_tests
from partway.planning.instance.frozen import GradeSale, Instance, Node, PartSale
from partway.planning.instance.market import Market
from partway.things.anatomy import Part, SaleAs

RESIDUE = "residue"
COPPER = "copper-2"


def check_figures(instance: Instance) -> None:
    """Masses, hours, incomes and keep values, each from its own formula.

    Raises PlanUnsound on the first that differs.
    """
    market = Market.of(instance.scenario)
    check_tests(instance)
    _finds(instance)
    keeping = Keeping(instance.scenario)
    _keeping(instance, keeping)
    for node in instance.nodes:
        group = instance.groups[node.group]
        _same(node.kg, node.piece.mass.mean * group.scale * node.piece.share, "the mass of", node.piece.id)
        _same(node.kept_value, offered_or_kept(instance, keeping, market, node), "the keep value of", node.piece.id)
    for sale in instance.grade_sales:
        _sale(instance, sale)
    for opening in instance.openings:
        share, name = instance.nodes[opening.node].piece.share, opening.operation.id
        _same(opening.hours, opening.operation.minutes.mean / 60.0 * share, "the hours of", name)
        _same(opening.cost, opening.operation.cost * share, "the cost of", name)
    for part in instance.part_sales:
        _part(instance, market, part)


def _same(given: float, expected: float, *what: str) -> None:
    """`what` is said in words only where they differ: they seldom do, and there are thousands."""
    if not math.isclose(given, expected, rel_tol=1e-9, abs_tol=1e-9):
        name = " ".join(what)
        raise PlanUnsound(f"the plan failed its own check: {name} is {given:g}, by its formula {expected:g}")


def _finds(instance: Instance) -> None:
    there: Counter[str] = Counter()
    for node in instance.nodes:
        there[instance.groups[node.group].find.kind] += node.found
    for kind in {find.kind for find in instance.scenario.finds}:
        counted = sum(find.count for find in instance.scenario.finds if find.kind == kind)
        _same(there[kind], counted, f"the number of finds of {kind}")
        listed = sum(find.listed for find in instance.scenario.finds if find.kind == kind)
        offered = [g for g in instance.groups if g.find.kind == kind and g.offer]
        _same(sum(g.find.count for g in offered), listed, f"the number of finds of {kind} on offer")
        last = 0
        for group in sorted(offered, key=lambda group: group.offer):  # each waits for those before it
            _same(group.offer, last + 1, f"the place of {kind} among those on offer")
            last += group.find.count
    for group in instance.groups:
        mass = group.find.mass_kg
        _same(
            group.scale,
            1.0 if mass is None else mass / group.anatomy.whole.mass.mean,
            "the scale of",
            group.find.kind,
        )


def _keeping(instance: Instance, keeping: Keeping) -> None:
    for g, grade in enumerate(instance.grades):
        _same(instance.kept_price[g], keeping.price(grade), f"the keep price of {grade}")
        _same(instance.stock[g], instance.scenario.stock.get(grade, 0.0), f"the stock of {grade}")


def _kept_value(instance: Instance, keeping: Keeping, node: Node) -> float:
    """Best permitted sale as it is, at keep prices."""
    residue = keeping.price(RESIDUE) if RESIDUE in instance.scenario.grades else 0.0
    allowed, kg = keeping.allowed(instance.groups[node.group].anatomy)[node.piece.id], node.kg
    return max((kg * (s.share * keeping.price(s.grade) + (1.0 - s.share) * residue) for s in allowed), default=0.0)


def offered_or_kept(instance: Instance, keeping: Keeping, market: Market, node: Node) -> float:
    """What a piece is worth kept; a find that is on offer may sell instead, if enough buyers come."""
    kept, group = _kept_value(instance, keeping, node), instance.groups[node.group]
    if not node.offered:
        return kept
    fit = [part for part in node.piece.parts if part.needs != "works" or group.find.works == "yes"]
    if not (group.offer and fit and node.piece.id == group.anatomy.pieces[0].id):
        raise PlanUnsound(f"the plan failed its own check: {node.piece.id} is not on offer")
    part = max(fit, key=lambda part: (part.needs == "works", part.chance * part.if_sold))
    _same(node.offered, row_chance(group.offer, part.chance), f"the chance that {node.piece.id} on offer sells")
    sold = _unit(market, part) * (part.price.mean * (1.0 - part.fee) - part.postage)
    return node.offered * sold + (1.0 - node.offered) * kept


def _unit(market: Market, part: Part) -> float:
    copper = market.best(COPPER) if part.in_copper else None
    return (copper.price if copper is not None else math.nan) if part.in_copper else 1.0


def _chance(instance: Instance, sale: PartSale) -> float:
    """The chance of one unit more than are on offer before it: that so many buyers come."""
    scenario, node = instance.scenario, instance.nodes[sale.node]
    anatomy, part = scenario.anatomies[instance.groups[node.group].find.kind], sale.part
    said = scenario.listed.get((anatomy.kind, node.piece.of_kind, part.name))
    there = said or 0
    if node.piece.of_kind == anatomy.pieces[0].id:
        for find in scenario.finds:
            fit = [p for p in node.piece.parts if p.needs != "works" or find.works == "yes"]
            if find.kind == anatomy.kind and fit:
                first = max(fit, key=lambda p: (p.needs == "works", p.chance * p.if_sold))
                there += find.listed if first == part else 0
    alike = part.chance in (0.0, 1.0) or (said is None and not there)
    if alike != (sale.step is None):
        raise PlanUnsound(f"the plan failed its own check: {node.piece.id} is sold as if none were on offer")
    return part.chance if sale.step is None else row_chance(there + sale.step + 1, part.chance)


def row_chance(place: int, chance: float) -> float:
    """That the one at a place of the row sells: what so many sell on average less what one fewer does."""
    if chance == 1.0:
        return 1.0
    mean = -math.log(1.0 - chance)

    def sold(n: int) -> float:
        buyers = mean * math.sqrt(n)
        each = [math.exp(-buyers) * buyers**k / math.factorial(k) for k in range(n)]
        return math.fsum(k * p for k, p in enumerate(each)) + n * (1.0 - math.fsum(each))

    return max(0.0, min(sold(n) - sold(n - 1) for n in range(1, place + 1)))


def _sale(instance: Instance, sale: GradeSale) -> None:
    node = instance.nodes[sale.node]
    grade = instance.grades[sale.grade]
    if not any(way.grade == grade and _is(sale, way, node.kg) for way in node.piece.sells):
        raise PlanUnsound(f"the plan failed its own check: {node.piece.id} does not sell so")


def _is(sale: GradeSale, way: SaleAs, kg: float) -> bool:
    return math.isclose(sale.kg, kg * way.share, rel_tol=1e-9) and math.isclose(
        sale.residue_kg, kg * (1.0 - way.share), rel_tol=1e-9, abs_tol=1e-12
    )


def _part(instance: Instance, market: Market, sale: PartSale) -> None:
    """Income is chance * (price * (1 - fee) - postage), in money or in No. 2 copper; what stays unsold is kept."""
    node, part = instance.nodes[sale.node], sale.part
    unit = _unit(market, part)
    name = part.name or node.piece.id
    _same(sale.unit, unit, "the unit of the price of", name)
    share, chance = node.piece.share, _chance(instance, sale)
    _same(sale.chance, chance, "the chance that", name, "sells")
    income = share * chance * unit * (part.price.mean * (1.0 - part.fee) - part.postage)
    _same(sale.income, income, "what", name, "brings")
    _same(sale.unsold_value, (1.0 - chance) * node.kept_value, "what an unsold", node.piece.id, "is worth")
    _same(sale.hours, part.minutes.mean / 60.0 * share, "the hours to sell", node.piece.id)
    works = node.piece.works or instance.groups[node.group].find.works
    if node.offered and node.found:
        raise PlanUnsound(f"the plan failed its own check: {node.piece.id} is on offer already")
    if part not in node.piece.parts or (part.needs == "works" and works != "yes"):
        raise PlanUnsound(f"the plan failed its own check: {node.piece.id} may not be sold as that part")
