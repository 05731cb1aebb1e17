"""How far to open a find: dynamic programme over its AND/OR graph, for one find or many draws at once.

value(piece) = max(best as it is, max over operations of the sum of the pieces' values - hours * wage - cost)

An acyclic AND/OR graph has its optimum by one sweep from the leaves: Martelli and Montanari,
"Additive AND/OR graphs", IJCAI 1973; its linear programme has the same value, because the graph's
hyperarcs each have one head: Gallo, Longo, Pallottino and Nguyen, "Directed hypergraphs and
applications", Discrete Applied Mathematics 42, 1993.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from partway.planning.instance.frozen import Instance

Draws = NDArray[np.float64]
Choices = NDArray[np.int16]


@dataclass(frozen=True)
class DepthTerms:
    """What the programme is computed from; every array broadcasts to (rows, n) draws.

    `size` (nodes, n) is a piece's mass over its PERT mean; `per_kg` (grades, n) what a kilogram is worth;
    `kept_per_kg` (grades, n) the same when kept; `hours` (openings, n) at the bench; `income` (part sales, n)
    what one unit of a part brings; `wage` is one number or one a draw. `reach` (grade sales, n) is how much of a piece
    reaches a grade over what is counted on, None where no share is a guess.
    """

    size: Draws
    per_kg: Draws
    kept_per_kg: Draws
    hours: Draws
    income: Draws
    wage: float | Draws
    reach: Draws | None = None

    def highest(self, amounts: Sequence[Draws]) -> Draws:
        """The best of some amounts, draw by draw."""
        best: Draws = np.maximum.reduce(np.broadcast_arrays(*amounts))
        return best

    @classmethod
    def expected(cls, instance: Instance, wage: float | None = None) -> DepthTerms:
        """Everything at its PERT mean, as one draw.

        What nobody quotes counts as nothing here: a find takes its room whether it is opened or not, and who looks at
        one find alone takes that off once (valuing.finds.curb).
        """
        market = instance.market
        quoted = [market.best(g) is not None for g in instance.grades]
        return cls(
            size=np.ones((len(instance.nodes), 1)),
            per_kg=_column([market.value(g) if q else 0.0 for g, q in zip(instance.grades, quoted, strict=True)]),
            kept_per_kg=_column([k if q else 0.0 for k, q in zip(instance.kept_price, quoted, strict=True)]),
            hours=_column([o.hours for o in instance.openings]),
            income=_column([p.income for p in instance.part_sales]),
            wage=instance.scenario.hours.wage if wage is None else wage,
        )


def _column(values: Sequence[float]) -> Draws:
    return np.array(values, dtype=float).reshape(-1, 1)


@dataclass(frozen=True, slots=True)
class Option:
    """One thing to do with a piece. `number` counts within its sort; keeping has number 0."""

    sort: str  # keep | grade | part | open
    number: int


@dataclass(frozen=True)
class Values:
    """Value of every node at its best, shape (nodes, n), and which of `options[node]` attains it."""

    instance: Instance
    worth: Draws
    choice: Choices
    options: tuple[tuple[Option, ...], ...]

    def best(self, node: int, draw: int = 0) -> Option:
        """The option chosen for a node."""
        return self.options[node][int(self.choice[node, draw])]


def options_of(instance: Instance) -> tuple[tuple[Option, ...], ...]:
    """All that may be done with each node. What leaves it as it is comes first, so that ties go to less work."""
    return tuple(
        (
            Option("keep", 0),
            *(Option("grade", s) for s in instance.sales_of[n]),
            *(Option("part", p) for p in instance.parts_of[n]),
            *(Option("open", o) for o in instance.openings_of[n]),
        )
        for n in range(len(instance.nodes))
    )


def bottom_up(instance: Instance) -> list[int]:
    """Nodes in an order in which every node comes after all that its openings give."""
    order: list[int] = []
    seen: set[int] = set()

    def visit(n: int) -> None:
        if n in seen:
            return
        seen.add(n)
        for o in instance.openings_of[n]:
            for child, _ in instance.openings[o].gives:
                visit(child)
        order.append(n)

    for n in range(len(instance.nodes)):
        visit(n)
    return order


class Programme:
    """The programme of one instance, compiled once and evaluated for many draws."""

    def __init__(self, instance: Instance) -> None:
        self.instance = instance
        self.options = options_of(instance)

    @cached_property
    def order(self) -> list[int]:
        """Leaves first."""
        return bottom_up(self.instance)

    def values(self, terms: DepthTerms) -> Values:
        """The best of every node for every draw: O(options) array operations."""
        n = max(a.shape[1] for a in (terms.size, terms.per_kg, terms.kept_per_kg, terms.hours, terms.income))
        nodes = len(self.instance.nodes)
        worth, choice = np.zeros((nodes, n)), np.zeros((nodes, n), dtype=np.int16)
        for node in self.order:
            best = np.full(n, -np.inf)
            for i, option in enumerate(self.options[node]):
                value = self.option_value(option, node, terms, worth)
                better = value > best + 1e-12
                best = np.where(better, value, best)
                choice[node][better] = i
            worth[node] = best
        return Values(self.instance, worth, choice, self.options)

    def option_value(self, option: Option, node: int, terms: DepthTerms, worth: Draws) -> Draws:
        """What one option of a node is worth, given the worth of the nodes below it."""
        if option.sort == "keep":
            return self._kept(node, terms)
        if option.sort == "grade":
            return self._sold(option.number, node, terms, terms.per_kg)
        if option.sort == "part":
            sale = self.instance.part_sales[option.number]
            unsold = (1.0 - sale.chance) * self._kept(node, terms)
            return np.asarray(terms.income[option.number] + unsold - terms.wage * sale.hours)
        opening = self.instance.openings[option.number]
        value = -terms.wage * terms.hours[option.number] - opening.cost
        for child, count in opening.gives:
            value = value + count * worth[child]
        return np.asarray(value)

    def _kept(self, node: int, terms: DepthTerms) -> Draws:
        sales = [self._sold(s, node, terms, terms.kept_per_kg) for s in self.instance.sales_of[node]]
        # Grades dropped as dominated are worth no more kept, so the ones left give the same maximum.
        kept = terms.highest(sales) if sales else np.zeros(1)
        return np.maximum(kept, self.instance.nodes[node].kept_value) if self.instance.nodes[node].offered else kept

    def _sold(self, s: int, node: int, terms: DepthTerms, per_kg: Draws) -> Draws:
        sale, size = self.instance.grade_sales[s], terms.size[node]
        reached = sale.kg if terms.reach is None else sale.kg * terms.reach[s]
        value = reached * size * per_kg[sale.grade]
        if sale.residue_kg and self.instance.residue is not None:
            value = value + (sale.kg + sale.residue_kg - reached) * size * per_kg[self.instance.residue]
        return np.asarray(value)

    def followed(self, values: Values, terms: DepthTerms) -> Draws:
        """What the choices made in draw 0 of `values` bring under other terms, shape (nodes, n)."""
        n = max(a.shape[1] for a in (terms.size, terms.per_kg, terms.kept_per_kg, terms.hours, terms.income))
        worth = np.zeros((len(self.instance.nodes), n))
        for node in self.order:
            worth[node] = self.option_value(values.best(node), node, terms, worth)
        return worth
