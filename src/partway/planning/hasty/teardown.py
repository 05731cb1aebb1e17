"""What to open by prices alone: the dynamic programme of every find, and one price for the hours at the bench.

With a price for an hour every find is opened on its own (`planning/depth/dynamic` says why that is exact). The price
is the one at which all hours are used: below it too many are, above it too few; finds between the two answers are
opened further one by one, those that gain most by the hour first (Everett, "Generalized Lagrange multiplier method for
solving problems of optimum allocation of resources", Operations Research 11, 1963). Parts sold by the unit are left
out, as how many sell is said for all finds together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from partway.planning.depth.dynamic import bottom_up
from partway.planning.instance.blocks import is_whole
from partway.planning.instance.frozen import Instance
from partway.planning.model.highs import Values

HALVINGS = 12  # of what an hour may be worth, to one part in some thousands of where it began
AS_IT_IS = -1  # in place of an opening


@dataclass(frozen=True)
class Opened:
    """For each node what one brings less its hours' price, its hours, and the opening chosen or AS_IT_IS."""

    price: float  # of an hour
    worth: list[float]
    hours: list[float]
    choice: list[int]
    total: float  # hours of all finds

    def value(self, node: int) -> float:
        """What one brings before its hours are paid."""
        return self.worth[node] + self.price * self.hours[node]


class Teardown:
    """The finds of one instance, asked at several prices."""

    def __init__(self, instance: Instance) -> None:
        self.instance = instance
        sales = instance.grade_sales
        self.kg, self.left = np.array([s.kg for s in sales]), np.array([s.residue_kg for s in sales])
        self.grade = np.array([s.grade for s in sales], dtype=int)
        self.whole = [is_whole(instance, sale) for sale in sales]
        self.order = [n for n in bottom_up(instance) if instance.openings_of[n]]
        self.finds = [n for n, node in enumerate(instance.nodes) if node.found]

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

    def at(self, price: float, as_it_is: Sequence[float]) -> Opened:
        """Every find at its best where an hour costs so much."""
        instance, worth, hours = self.instance, list(as_it_is), [0.0] * len(as_it_is)
        choice = [AS_IT_IS] * len(worth)
        for n in self.order:
            for o in instance.openings_of[n]:
                opening = instance.openings[o]
                brings, took = -opening.cost - price * opening.hours, opening.hours
                for child, count in opening.gives:
                    brings += count * worth[child]
                    took += count * hours[child]
                if brings > worth[n]:
                    worth[n], hours[n], choice[n] = brings, took, o
        total = sum(instance.nodes[n].found * hours[n] for n in self.finds)
        return Opened(price, worth, hours, choice, total)

    def within_hours(self, as_it_is: Sequence[float], near: float | None = None) -> tuple[Opened, Opened]:
        """The answers on both sides of the hours there are: a little too long, and short enough.

        The same twice where all that pays its wage fits. `near`: about what an hour is worth.
        """
        hours = self.instance.scenario.hours
        long = self.at(hours.wage, as_it_is)
        if long.total <= hours.bench:
            return long, long
        high = max(2.0 * hours.wage, 1.0) if near is None else max(near, hours.wage)
        while (short := self.at(high, as_it_is)).total > hours.bench:
            long, high = short, 2.0 * high
        for _ in range(HALVINGS):
            middle = self.at(0.5 * (long.price + short.price), as_it_is)
            long, short = (middle, short) if middle.total > hours.bench else (long, middle)
        return long, short

    def counts(self, long: Opened, short: Opened) -> tuple[list[int], list[int]]:
        """How often each opening is done, and how many of each node stay as they are, within the hours."""
        nodes, left = self.instance.nodes, self.instance.scenario.hours.bench - short.total
        further = {n: long.hours[n] - short.hours[n] for n in self.finds}
        gain = {n: (long.value(n) - short.value(n)) / more for n, more in further.items() if more > 0.0}
        opened, stay = [0] * len(self.instance.openings), [0] * len(nodes)
        longer = dict.fromkeys(self.finds, 0)
        for n in sorted(gain, key=lambda n: -gain[n]):
            longer[n] = min(nodes[n].found, int(left / further[n])) if left > 0.0 else 0
            left -= longer[n] * further[n]
        for n, times in longer.items():
            self._follow(long, n, times, opened, stay)
            self._follow(short, n, nodes[n].found - times, opened, stay)
        return opened, stay

    def _follow(self, by: Opened, node: int, times: int, opened: list[int], stay: list[int]) -> None:
        if not times:
            return
        if by.choice[node] == AS_IT_IS:
            stay[node] += times
            return
        opened[by.choice[node]] += times
        for child, count in self.instance.openings[by.choice[node]].gives:
            self._follow(by, child, count * times, opened, stay)
