"""The instance of a scenario at other prices, out of the one that was planned: what no price touches is kept.

A price changes what is worth keeping, what a lot pays, what parts in copper bring and who buys at all; pieces, masses,
hours, roads and tours stay. What changes is worked out by the same functions as in `build`, and `check/figures` holds
every figure to the scenario's own prices, whichever way it came about.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from partway.planning.instance.blocks import whole_notes
from partway.planning.instance.build import RESIDUE, InstanceBuilder, build, copper_price, part_sale
from partway.planning.instance.frozen import Instance, Lot, Node, PartSale
from partway.planning.learned.prices import differ_in_prices
from partway.things.scenario import Scenario


def rebuilt(like: Instance, scenario: Scenario) -> Instance:
    """What `build` makes of a scenario; `like` was made by it, too, and nothing was taken out of it since.

    It is made from nothing where more than prices is different, or where a grade has found its first buyer or lost its
    last: then pieces may be sold as other grades. Raises BadScenario where a buyer cannot be reached.
    """
    same = (like.scenario.hours, like.scenario.notes) == (scenario.hours, scenario.notes)
    if not same or not differ_in_prices(like.scenario, scenario):
        return build(scenario)
    maker = InstanceBuilder(scenario, like)
    quoted = maker.market.leads_to_quote == like.market.leads_to_quote
    if not quoted or (maker.copper is None) != (copper_price(like.market) is None):
        return build(scenario)
    return _Rebuilt(like, maker).instance()


class _Rebuilt:
    def __init__(self, like: Instance, maker: InstanceBuilder) -> None:
        self.like, self.maker = like, maker
        maker.grades = {grade: g for g, grade in enumerate(like.grades)}
        now, then = maker.market.kept_price, like.market.kept_price
        self.moved = frozenset(grade for grade in maker.scenario.grades if now(grade) != then(grade))

    def instance(self) -> Instance:
        like, maker = self.like, self.maker
        nodes = tuple(map(self._node, like.nodes))
        made = replace(
            like,
            scenario=maker.scenario,
            market=maker.market,
            nodes=nodes,
            part_sales=tuple(self._part(sale, nodes[sale.node]) for sale in like.part_sales),
            kept_price=tuple(map(maker.market.kept_price, like.grades)),
            lots=tuple(lot for b in range(len(like.buyers)) for lot in self._lots(b)),
        )
        same = [(lot.buyer, lot.grade) for lot in made.lots] == [(lot.buyer, lot.grade) for lot in like.lots]
        return made if same else replace(made, notes=self._notes(made))

    def _node(self, node: Node) -> Node:
        """A piece with what it is worth kept today; the same where no grade it sells as moved and it is on no offer."""
        group, piece = self.like.groups[node.group], node.piece
        moved = RESIDUE in self.moved or any(sale.grade in self.moved for sale in piece.sells)
        if not moved and not group.offer:
            return node
        kept, chance = self.maker.worth_kept(group, piece, node.kg)
        if (kept, chance) == (node.kept_value, node.offered):
            return node
        return Node(node.group, piece, node.kg, node.found, node.most, kept, chance)  # as quick as `replace` is slow

    def _lots(self, b: int) -> Iterable[Lot]:
        """What a buyer would take: as it was where it says what it said."""
        like = self.like
        if self.maker.scenario.buyers[b] == like.buyers[b]:
            return (lot for lot in like.lots if lot.buyer == b)
        return self.maker.lots_of(b, like.supply, like.stops, timed=like.tours is not None)

    def _part(self, sale: PartSale, node: Node) -> PartSale:
        unit = self.maker.unit_of(sale.part)
        if node is self.like.nodes[sale.node] and unit == sale.unit:
            return sale
        return part_sale(sale.node, node, sale.part, sale.unit if unit is None else unit, sale.chance, sale.step)

    def _notes(self, made: Instance) -> tuple[str, ...]:
        """As they were, but for what is too large for any lot: it is said last."""
        others = len(self.like.notes) - len(whole_notes(self.like))
        return (*self.like.notes[:others], *whole_notes(made))
