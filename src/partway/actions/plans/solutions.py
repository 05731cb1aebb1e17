"""A line of a plan as a question about one price, best plans as answers, and what they count with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from partway.actions.plans.flips import AtPrice
from partway.planning.check.verify import Checked, verify
from partway.planning.decision import Decision
from partway.planning.instance.frozen import Instance
from partway.planning.learned.memory import LearnedSearch
from partway.planning.search.search import search

GAP = 1e-6

Drop = Callable[[Instance], Instance]
Uses = Callable[[Instance, Decision], bool]


@dataclass(frozen=True, slots=True)
class Solution:
    """A best plan: what was decided and checked, whether it was proven best, and what its search learned."""

    checked: Checked
    proven: bool
    learned: LearnedSearch | None = None

    @property
    def objective(self) -> float:
        """What it is worth."""
        return self.checked.money.total


def solved(instance: Instance, seconds: float, known: LearnedSearch | None = None) -> Solution:
    """The best checked plan of an instance; `known` is what a search at other prices learned."""
    found = search(instance, seconds, GAP, known=known)
    return Solution(verify(instance, found.decision), found.optimal, found.learned)


@dataclass(frozen=True, slots=True)
class Flip:
    """The price found; None where no price looked at does it. `exact` is False where it could not be confirmed."""

    price: float | None
    exact: bool


@dataclass(frozen=True)
class PriceQuestion:
    """What is asked about: `drop` takes the line out of an instance, `uses` says whether a decision has it.

    `at` gives the scenario with the price moved, `today` is that price, and `low` to `high` are the prices looked at.
    """

    instance: Instance
    at: AtPrice
    drop: Drop
    uses: Uses
    today: float
    low: float
    high: float


def is_convex(instance: Instance) -> bool:
    """Whether no part that is priced in copper costs more postage than it brings: such a part loses as copper rises."""
    return not any(sale.part.in_copper and sale.brings < 0.0 for sale in instance.part_sales)


def figures_of(instance: Instance) -> object:
    """All prices that a plan of an instance counts with."""
    tiers = tuple(tier.price for lot in instance.lots for tier in lot.tiers)
    parts = tuple((sale.income, sale.unsold_value) for sale in instance.part_sales)
    return instance.kept_price, tuple(node.kept_value for node in instance.nodes), tiers, parts
