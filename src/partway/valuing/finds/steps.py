"""The operations of a holding in working order, what each brings, and why a piece is opened no further."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from partway.planning.depth.dynamic import Option
from partway.valuing.finds.facts import FlipPrice, Use
from partway.valuing.finds.hand import ValuedHolding
from partway.valuing.finds.opened import Solved


@dataclass(frozen=True, slots=True)
class Turns:
    """Where an answer turns over: the nearest wage, and the nearest price of the grade that carries it."""

    wage: float | None
    price: FlipPrice | None


@dataclass(frozen=True, slots=True)
class Stays:
    """Why a piece stays as it is.

    `sort`: stop (never opened: `hazard`), barred (something has to come out first), less (opening it by operation
    `opening` brings less), end (there is no way to open it).
    """

    sort: str
    hazard: str = ""
    opening: int | None = None


@dataclass(frozen=True)
class Steps:
    """A holding as steps."""

    hand: ValuedHolding

    @property
    def find(self) -> Solved:
        """What it was solved in."""
        return self.hand.find

    @cached_property
    def numbers(self) -> dict[int, int]:
        """Which step opens each piece."""
        openings = self.find.instance.openings
        return {openings[o].node: number for number, (o, _) in enumerate(self.hand.runs(), 1)}

    @cached_property
    def _turns(self) -> dict[int, Turns]:
        return {}

    def turns(self, o: int) -> Turns:
        """Where running an operation turns over."""
        if o not in self._turns:
            self._turns[o] = Turns(self.find.breakevens.wage(o), self.find.flip_price(o))
        return self._turns[o]

    def use(self, node: int) -> Use:
        """What the best choices do with a piece."""
        return self.find.use(self.find.values.best(node), node)

    def otherwise(self, o: int) -> Use:
        """What would be done with a piece if an operation were not run on it."""
        node = self.find.instance.openings[o].node
        return self.find.use(self.find.best_of(node, leave_out=Option("open", o))[0], node)

    def left_as_it_is(self) -> tuple[tuple[int, int], ...]:
        """(node, count) of what is in hand and stays as it is, though it may be asked about."""
        return tuple((n, count) for n, count in self.hand.roots if self.use(n).way != "open" or self.use(n).asks)

    def value(self, node: int, count: int) -> float | None:
        """What some of a piece bring before hours; None where it only sells as what nobody here prices."""
        if self.use(node).way == "keep" and not self.find.is_quoted(node):
            return None
        return count * self.hand.gross(node)

    def next_opening(self, node: int) -> int | None:
        """The best operation that is not run on a piece that stays as it is; None where there is none."""
        return None if self.use(node).way == "open" else self.find.best_opening(node)

    def bin_grade(self, node: int) -> str:
        """The grade whose bin a piece goes into: what it sells as, or would if somebody quoted it; "" for none."""
        instance, use = self.find.instance, self.use(node)
        if use.way == "keep" and (sales := instance.sales_of[node]):
            kept = max(sales, key=lambda s: instance.kept_price[instance.grade_sales[s].grade])
            return instance.grades[instance.grade_sales[kept].grade]
        return use.grade

    def why(self, node: int) -> Stays:
        """Why a piece that stays as it is does so."""
        instance, piece = self.find.instance, self.find.instance.nodes[node].piece
        if piece.stop:
            return Stays("stop", hazard=piece.stop)
        o = self.next_opening(node)
        if o is not None:
            return Stays("less", opening=o)
        return Stays("barred" if piece.sells and not instance.sales_of[node] else "end")
