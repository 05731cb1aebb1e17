"""What things are worth inside one decided plan: prices its lots really fetch, values its pieces really reach."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from partway.planning.check.rules.material import grade_inflow
from partway.planning.decision import Decision
from partway.planning.depth.dynamic import bottom_up
from partway.planning.instance.blocks import downgraded_kg
from partway.planning.instance.counted import left_of_lot
from partway.planning.instance.frozen import Instance


@dataclass(frozen=True)
class Worth:
    """Average worth of a kilogram of each grade and of one of each piece, as this decision disposes of them."""

    instance: Instance
    decision: Decision

    @cached_property
    def per_kg(self) -> tuple[float, ...]:
        """Per grade: what its lots, its downgrades and its kept rest come to per kg.

        A grade the plan has none of counts at the market's value.
        """
        known: dict[int, float] = {}
        for g in range(len(self.instance.grades)):
            self._grade(g, known)
        return tuple(known[g] for g in range(len(self.instance.grades)))

    def _grade(self, g: int, known: dict[int, float]) -> float:
        if g not in known:
            lots = [key for key in self.decision.lots if self.instance.lots[key[0]].grade == g]
            money = sum(left_of_lot(self.instance, self.decision, key) for key in lots)
            mass = sum(self.decision.lots[key] for key in lots)
            kept = self.decision.kept_kg.get(g, 0.0)
            money += kept * self.instance.kept_price[g]
            mass += kept
            for d, kg in self.downgraded.items():
                upper, lower = self.instance.downgrades[d]
                if upper == g:
                    money += kg * self._grade(lower, known)
                    mass += kg
            known[g] = money / mass if mass > 1e-9 else self.instance.market.value(self.instance.grades[g])
        return known[g]

    @cached_property
    def downgraded(self) -> Mapping[int, float]:
        """Kilograms on each downgrade, pieces loaded whole with the rest."""
        return downgraded_kg(self.instance, self.decision)

    @cached_property
    def inflow(self) -> tuple[float, ...]:
        """Kilograms per grade from stock and opened material."""
        return tuple(grade_inflow(self.instance, self.decision))

    @cached_property
    def of_node(self) -> tuple[float, ...]:
        """Per node: what one of it brings on average along the ways this decision takes, hours paid at the wage."""
        worth = [0.0] * len(self.instance.nodes)
        for n in bottom_up(self.instance):
            worth[n] = self._node(n, worth)
        return tuple(worth)

    def _node(self, n: int, worth: list[float]) -> float:
        instance, decision = self.instance, self.decision
        total, count = decision.kept[n] * instance.nodes[n].kept_value, decision.kept[n]
        for s in instance.sales_of[n]:
            total += decision.sold[s] * self.as_grade(s)
            count += decision.sold[s]
        for p in instance.parts_of[n]:
            total += decision.parts[p] * self.as_part(p)
            count += decision.parts[p]
        for o in instance.openings_of[n]:
            total += decision.opened[o] * self.opened(o, worth)
            count += decision.opened[o]
        return total / count if count else self.unopened(n)

    def as_grade(self, s: int) -> float:
        """One piece sold by grade at this plan's prices."""
        sale = self.instance.grade_sales[s]
        value = sale.kg * self.per_kg[sale.grade]
        if sale.residue_kg and self.instance.residue is not None:
            value += sale.residue_kg * self.per_kg[self.instance.residue]
        return value

    def as_part(self, p: int) -> float:
        """One unit of a part, its hours paid."""
        sale = self.instance.part_sales[p]
        return sale.income + sale.unsold_value - self.instance.scenario.hours.wage * sale.hours

    def unopened(self, n: int) -> float:
        """One piece at its best without opening it: by grade or kept."""
        ways = [self.as_grade(s) for s in self.instance.sales_of[n]]
        return max([self.instance.nodes[n].kept_value, *ways])

    def opened(self, o: int, worth: list[float] | tuple[float, ...]) -> float:
        """One run of an opening, its own hours and cost paid."""
        opening = self.instance.openings[o]
        value = sum(count * worth[child] for child, count in opening.gives)
        return value - self.instance.scenario.hours.wage * opening.hours - opening.cost

    @cached_property
    def hours_below(self) -> tuple[float, ...]:
        """Per node: bench hours one of it takes on average along the ways this decision takes."""
        hours = [0.0] * len(self.instance.nodes)
        for n in bottom_up(self.instance):
            decision, instance = self.decision, self.instance
            total, count = 0.0, decision.kept[n] + sum(decision.sold[s] for s in instance.sales_of[n])
            for p in instance.parts_of[n]:
                total += decision.parts[p] * instance.part_sales[p].hours
                count += decision.parts[p]
            for o in instance.openings_of[n]:
                total += decision.opened[o] * self.hours_of(o, hours)
                count += decision.opened[o]
            hours[n] = total / count if count else 0.0
        return tuple(hours)

    def hours_of(self, o: int, hours: list[float] | tuple[float, ...]) -> float:
        """Bench hours of one run and of what this decision does with its pieces afterwards."""
        opening = self.instance.openings[o]
        return opening.hours + sum(count * hours[child] for child, count in opening.gives)

    def gain(self, o: int) -> float:
        """What one run of an opening brings above the best without it."""
        return self.opened(o, self.of_node) - self.unopened(self.instance.openings[o].node)

    def per_hour(self, o: int) -> float | None:
        """Money per bench hour behind that, the wage not taken off; None where it takes no time."""
        hours = self.hours_of(o, self.hours_below)
        return self.gain(o) / hours + self.instance.scenario.hours.wage if hours > 0 else None

    @cached_property
    def by_find(self) -> tuple[tuple[int, ...], ...]:
        """Openings that are run: best money per hour first, find by find, those of one find in working order."""
        groups: dict[int, list[int]] = {}
        for o in self._working_order():
            groups.setdefault(self.instance.openings[o].group, []).append(o)
        return tuple(map(tuple, sorted(groups.values(), key=lambda group: -(self.per_hour(group[0]) or 0.0))))

    def _working_order(self) -> list[int]:
        used = [o for o, times in enumerate(self.decision.opened) if times]
        depth = {n: 0 for n, node in enumerate(self.instance.nodes) if node.found}
        waiting = list(depth)
        while waiting:
            n = waiting.pop(0)
            for o in self.instance.openings_of[n]:
                for child, _ in self.instance.openings[o].gives:
                    if depth.get(child, -1) < depth[n] + 1:
                        depth[child] = depth[n] + 1
                        waiting.append(child)
        return sorted(used, key=lambda o: (depth[self.instance.openings[o].node], o))
