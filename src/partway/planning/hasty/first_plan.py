"""A plan within a second or two where the whole programme takes longer than that to make and to solve.

What is opened and sold by the unit is decided by prices alone (`teardown`, `by_the_unit`, `bin_prices`). What comes of
it is hauled by a search of its own, of bins and of finds that are worth more in a load than kept, with the trips, tiers
and parcels of any plan. The search for the best plan begins anew, so what is lost here is lost for some seconds only.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from partway.planning.decision import Decision
from partway.planning.hasty.bin_prices import BinPrices
from partway.planning.hasty.by_the_unit import sold_by_the_unit
from partway.planning.hasty.teardown import AS_IT_IS, Counts, Teardown
from partway.planning.instance.frozen import GradeSale, Instance, Node
from partway.planning.instance.supply import with_downgrades
from partway.planning.making import all_kept


@dataclass(frozen=True)
class TornDown:
    """What is opened, binned by grade, and left as it is; `haul` is the instance of the bins and of what rides whole.

    `ridden`: for each sale of `haul`, the sale it is here.
    """

    instance: Instance
    opened: tuple[int, ...]
    parts: tuple[int, ...]
    binned: tuple[int, ...]
    kept: tuple[int, ...]
    haul: Instance
    ridden: tuple[int, ...]

    def whole_plan(self, haul: Decision) -> Decision:
        """The plan of everything, from the decision about the haul."""
        sold, kept = list(self.binned), list(self.kept)
        for s, times in zip(self.ridden, haul.sold, strict=True):
            sold[s] += times
            kept[self.instance.grade_sales[s].node] -= times
        blocks = {(self.ridden[s], i, k): times for (s, i, k), times in haul.blocks.items()}
        return replace(haul, opened=self.opened, sold=tuple(sold), parts=self.parts, kept=tuple(kept), blocks=blocks)


@all_kept()
def torn_down(instance: Instance) -> TornDown:
    """Open what pays at the best prices there are, then once more with the price of a load that this leads to."""
    finds, prices = Teardown(instance), BinPrices(instance)
    load, bench = 0.0, instance.scenario.hours.bench
    for last in (False, True):
        worth, sale = finds.as_it_is(prices.at(load))
        long, short = finds.within_hours(bench, worth)
        counts = finds.counts(bench, long, short)
        spare = counts.hours_left + instance.scenario.hours.bench - bench if last else bench
        some = sold_by_the_unit(instance, counts.stay, worth, short.price, spare)
        load = prices.load(_supply(instance, counts.stay, sale))
        bench = max(0.0, bench - sum(n * part.hours for n, part in zip(some, instance.part_sales, strict=True)))
    parts = tuple(a + b for a, b in zip(counts.parts, some, strict=True))
    return _divided(instance, finds, replace(counts, parts=list(parts)), sale)


def _supply(instance: Instance, stay: list[int], sale: list[int]) -> list[float]:
    """Kilograms of each grade that are there or could be loaded whole."""
    kg = list(instance.stock)
    for times, s in zip(stay, sale, strict=True):
        if times and s != AS_IT_IS:
            for grade, each in instance.flows(instance.grade_sales[s]):
                kg[grade] += times * each
    return kg


def _divided(instance: Instance, finds: Teardown, counts: Counts, sale: list[int]) -> TornDown:
    binned, kept, ridden = [0] * len(instance.grade_sales), [0] * len(instance.nodes), list[int]()
    nodes, sales = list[Node](), list[GradeSale]()
    for n, times in enumerate(counts.stay):
        if sale[n] != AS_IT_IS and not finds.whole[sale[n]]:
            binned[sale[n]] = times
            continue
        kept[n] = times
        if times and sale[n] != AS_IT_IS:
            ride = [s for s in instance.sales_of[n] if finds.whole[s]]
            sales += [replace(instance.grade_sales[s], node=len(nodes)) for s in ride]
            nodes.append(replace(instance.nodes[n], found=times, most=times))
            ridden += ride
    haul = _haul(instance, binned, nodes, sales)
    opened, parts = tuple(counts.opened), tuple(counts.parts)
    return TornDown(instance, opened, parts, tuple(binned), tuple(kept), haul, tuple(ridden))


def _haul(instance: Instance, binned: list[int], nodes: list[Node], sales: list[GradeSale]) -> Instance:
    stock = list(instance.stock)
    for sale, times in zip(instance.grade_sales, binned, strict=True):
        if times:
            for grade, kg in instance.flows(sale):
                stock[grade] += times * kg
    supply = list(stock)
    for sale in sales:
        for grade, kg in instance.flows(sale):
            supply[grade] += nodes[sale.node].found * kg
    return replace(
        instance,
        nodes=tuple(nodes),
        openings=(),
        grade_sales=tuple(sales),
        part_sales=(),
        caps=(),
        stock=tuple(stock),
        supply=tuple(with_downgrades(supply, instance.downgrades)),
    )
