"""What one more of each column of a programme is worth: the only place where prices enter it.

Rows and bounds say what may be done and have no price in them, so a programme is taken to other prices by this alone
(`planning/learned`).
"""

from __future__ import annotations

from collections.abc import Iterator

from partway.planning.instance.counted import more_for_one
from partway.planning.instance.frozen import Instance
from partway.planning.model.columns import Columns


def costs(instance: Instance, columns: Columns, size: int) -> list[float]:
    """The objective of a programme with so many columns, in currency units; 0 for those that are worth nothing."""
    found = [0.0] * size
    for worth in (_at_the_bench, _of_lots, _of_trips):
        for column, money in worth(instance, columns):
            found[column] = money
    return found


Worth = Iterator[tuple[int, float]]


def _at_the_bench(instance: Instance, columns: Columns) -> Worth:
    """Opening a piece, selling it by the unit, keeping it."""
    wage, nodes, parts = instance.scenario.hours.wage, instance.nodes, instance.part_sales
    for o, column in columns.opened.items():
        opening = instance.openings[o]
        yield column, -opening.cost - wage * opening.hours
    for p, column in columns.parts.items():
        part = parts[p]
        yield column, part.income + part.unsold_value - wage * part.hours
    for n, column in columns.kept.items():
        yield column, nodes[n].kept_value


def _of_lots(instance: Instance, columns: Columns) -> Worth:
    """Kilograms sold and kept, and what a piece sold by the piece leaves beyond its kilograms."""
    for (i, t, _), column in columns.lots.items():
        yield column, instance.lots[i].tiers[t].price
    for (s, i, _), column in columns.blocks.items():
        yield column, more_for_one(instance, s, i)
    for g, column in columns.kept_kg.items():
        yield column, instance.kept_price[g]


def _of_trips(instance: Instance, columns: Columns) -> Worth:
    """Time on site, flat fees, driving and parcels."""
    wage, buyers = instance.scenario.hours.wage, instance.buyers
    for (b, _), column in columns.visits.items():
        yield column, -wage * instance.on_site_hours(b)
    for (b, _), column in columns.tickets.items():
        yield column, -buyers[b].ticket_fee
    for (r, _), column in columns.tours.items():
        tour = (instance.tours or ())[r]
        yield column, -instance.drive_money(tour) - wage * tour.spent
    for column in columns.tour_money.values():
        yield column, -1.0
    for column in columns.tour_hours.values():
        yield column, -wage
    for (b, step), column in columns.parcels.items():
        yield column, -buyers[b].shipping[step].cost
