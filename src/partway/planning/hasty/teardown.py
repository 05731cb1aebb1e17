"""What to open by prices alone: the dynamic programme of every find, and one price for the hours at the bench.

With a price for an hour every find is opened on its own (`planning/depth/dynamic` says why that is exact). The price
is the one at which all hours are used: below it too many are, above it too few; finds between the two answers are
opened further one by one, those that gain most by the hour first (Everett, "Generalized Lagrange multiplier method for
solving problems of optimum allocation of resources", Operations Research 11, 1963). Parts of which only so many sell
are left out here, as that is said of all finds together (`by_the_unit`).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from partway.planning.depth.dynamic import bottom_up
from partway.planning.hasty.by_the_unit import capped
from partway.planning.instance.blocks import is_whole
from partway.planning.instance.frozen import Instance
from partway.planning.model.highs import Values

HALVINGS = 12  # of what an hour may be worth, to one part in some thousands of where it began
AS_IT_IS = -1  # in place of a way
Way = tuple[int, float, float, tuple[tuple[int, int], ...]]  # its number, money, hours, and what comes out of it


@dataclass(frozen=True)
class Depths:
    """For each node what one brings less its hours' price, its hours, and the way chosen or AS_IT_IS.

    Ways are numbered: the openings, then the part sales.
    """

    price: float  # of an hour
    worth: list[float]
    hours: list[float]
    choice: list[int]
    total: float  # hours of all finds

    def value(self, node: int) -> float:
        """What one brings before its hours are paid."""
        return self.worth[node] + self.price * self.hours[node]


@dataclass(frozen=True)
class Counts:
    """How often each opening is done and each part sold, how many of each node stay as they are, and hours to spare."""

    opened: list[int]
    parts: list[int]
    stay: list[int]
    hours_left: float = 0.0

    @classmethod
    def none(cls, instance: Instance) -> Counts:
        """Of an instance in which nothing was decided yet."""
        return cls([0] * len(instance.openings), [0] * len(instance.part_sales), [0] * len(instance.nodes))


class Teardown:
    """The finds of one instance, asked at several prices."""

    def __init__(self, instance: Instance) -> None:
        self.instance = instance
        sales = instance.grade_sales
        self.kg, self.left = np.array([s.kg for s in sales]), np.array([s.residue_kg for s in sales])
        self.grade = np.array([s.grade for s in sales], dtype=int)
        self.whole = [is_whole(instance, sale) for sale in sales]
        self.ways = self._ways()
        self.order = [n for n in bottom_up(instance) if n in self.ways]
        self.finds = [n for n, node in enumerate(instance.nodes) if node.found]

    def _ways(self) -> dict[int, list[Way]]:
        """What may be done with each node but to leave it as it is."""
        instance, found = self.instance, defaultdict[int, list[Way]](list)
        for o, opening in enumerate(instance.openings):
            found[opening.node].append((o, -opening.cost, opening.hours, opening.gives))
        for p, limited in enumerate(capped(instance)):
            part = instance.part_sales[p]
            if not limited:
                way = len(instance.openings) + p, part.income + part.unsold_value, part.hours, ()
                found[part.node].append(way)
        return dict(found)

    def as_it_is(self, per_kg: Values) -> tuple[list[float], list[int]]:
        """For each node its worth unopened, and the sale that brings it, AS_IT_IS where keeping is better or all."""
        residue = 0.0 if self.instance.residue is None else float(per_kg[self.instance.residue])
        brings = (self.kg * per_kg[self.grade] + self.left * residue).tolist() if len(self.kg) else []
        worth, sale = [], []
        for n, node in enumerate(self.instance.nodes):
            sales = self.instance.sales_of[n]
            whole = [s for s in sales if self.whole[s]]
            best = max(whole or sales, key=lambda s: brings[s], default=AS_IT_IS)
            binned = bool(sales) and not whole and not node.offered
            if best != AS_IT_IS and (binned or brings[best] > node.kept_value):
                worth.append(brings[best])
                sale.append(best)
            else:
                worth.append(node.kept_value)
                sale.append(AS_IT_IS)
        return worth, sale

    def at(self, price: float, as_it_is: Sequence[float]) -> Depths:
        """Every find at its best where an hour costs so much."""
        worth, hours, choice = list(as_it_is), [0.0] * len(as_it_is), [AS_IT_IS] * len(as_it_is)
        for n in self.order:
            for number, money, work, gives in self.ways[n]:
                brings, took = money - price * work, work
                for child, count in gives:
                    brings += count * worth[child]
                    took += count * hours[child]
                if brings > worth[n]:
                    worth[n], hours[n], choice[n] = brings, took, number
        total = sum(self.instance.nodes[n].found * hours[n] for n in self.finds)
        return Depths(price, worth, hours, choice, total)

    def within_hours(self, bench: float, as_it_is: Sequence[float]) -> tuple[Depths, Depths]:
        """The answers on both sides of the hours there are: a little too long, and short enough.

        The same twice where all that pays its wage fits.
        """
        wage = self.instance.scenario.hours.wage
        long, high = self.at(wage, as_it_is), max(2.0 * wage, 1.0)
        if long.total <= bench:
            return long, long
        while (short := self.at(high, as_it_is)).total > bench:
            long, high = short, 2.0 * high
        for _ in range(HALVINGS):
            middle = self.at(0.5 * (long.price + short.price), as_it_is)
            long, short = (middle, short) if middle.total > bench else (long, middle)
        return long, short

    def counts(self, bench: float, long: Depths, short: Depths) -> Counts:
        """What is done with every piece within the hours."""
        nodes, left = self.instance.nodes, bench - short.total
        further = {n: long.hours[n] - short.hours[n] for n in self.finds}
        gain = {n: (long.value(n) - short.value(n)) / more for n, more in further.items() if more > 0.0}
        counts, longer = Counts.none(self.instance), dict.fromkeys(self.finds, 0)
        for n in sorted(gain, key=lambda n: -gain[n]):
            longer[n] = min(nodes[n].found, int(left / further[n])) if left > 0.0 else 0
            left -= longer[n] * further[n]
        for n, times in longer.items():
            self._follow(long, n, times, counts)
            self._follow(short, n, nodes[n].found - times, counts)
        return replace(counts, hours_left=left)

    def _follow(self, by: Depths, node: int, times: int, counts: Counts) -> None:
        way, openings = by.choice[node], self.instance.openings
        if not times:
            return
        if way == AS_IT_IS:
            counts.stay[node] += times
        elif way >= len(openings):
            counts.parts[way - len(openings)] += times
        else:
            counts.opened[way] += times
            for child, count in openings[way].gives:
                self._follow(by, child, count * times, counts)
