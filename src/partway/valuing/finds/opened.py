"""Finds solved at a day's prices: what each piece is worth at its best, and what the best choices do with it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from partway.planning.depth.breakeven import Breakevens, margin
from partway.planning.depth.dynamic import DepthTerms, Draws, Option, Programme, Values
from partway.planning.depth.spread import DRAWS, drawn_terms
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.instance.room import with_room
from partway.things.anatomy import Anatomy
from partway.things.scenario import Find, Scenario
from partway.valuing.finds.facts import FlipPrice, Use


@dataclass(frozen=True)
class Solved:
    """The programme solved for the finds of an instance; node 0 is the whole of the first. Hours are paid at the wage.

    `draws` is how many seeded draws its ranges are of. What only some finds have counts in `values` by its share, so
    that they add up; all that is asked here of a piece or an opening is of one that is there.
    """

    instance: Instance
    programme: Programme
    terms: DepthTerms
    values: Values
    draws: int = DRAWS

    @classmethod
    def of(cls, instance: Instance, draws: int = DRAWS) -> Solved:
        """Solve for the expected values."""
        programme = Programme(instance)
        terms = DepthTerms.expected(instance)
        return cls(instance, programme, terms, programme.values(terms), draws)

    @classmethod
    def of_finds(cls, scenario: Scenario, finds: Iterable[Find], draws: int = DRAWS) -> Solved:
        """These finds at the prices of a scenario, in place of its own."""
        return cls.of(build(replace(with_room(scenario), finds=tuple(finds))), draws)

    @cached_property
    def breakevens(self) -> Breakevens:
        """Where its answers turn over."""
        return Breakevens(self.programme, self.terms, self.values)

    @property
    def wage(self) -> float:
        """What an hour is worth at least."""
        return self.instance.scenario.hours.wage

    @property
    def value(self) -> float:
        """Worth of the first find at its best depth."""
        return float(self.values.worth[0, 0])

    @cached_property
    def drawn_terms(self) -> DepthTerms:
        """What it is worth rests on, drawn."""
        return drawn_terms(self.instance, self.draws)

    @cached_property
    def drawn(self) -> Draws:
        """What each piece brings in each draw, hours not paid, the choices of the expected values followed."""
        terms = replace(self.drawn_terms, wage=0.0)
        return self.programme.followed(self.values, terms)

    def anatomy(self, node: int) -> Anatomy:
        """How the find that a piece belongs to comes apart."""
        return self.instance.groups[self.instance.nodes[node].group].anatomy

    def name(self, node: int) -> str:
        """A piece by name; the whole by the name of its kind."""
        piece, anatomy = self.instance.nodes[node].piece, self.anatomy(node)
        return anatomy.name if piece is anatomy.whole else piece.name

    def option(self, option: Option, node: int) -> float:
        """Worth of one option."""
        return float(self.programme.option_value(option, node, self.terms, self.values.worth)[0]) / self.share(node)

    def share(self, node: int) -> float:
        """How many of many finds have a piece."""
        return self.instance.nodes[node].piece.share

    def chance(self, node: int) -> float:
        """How many of the pieces asked about turn out to be this answer; 1 where it is no answer."""
        asked = self.instance.nodes[node].piece.answer_to
        return 1.0 if asked is None else self.share(node) / self.anatomy(node).piece(asked).share

    def asks_best(self, node: int) -> bool:
        """Whether the best thing to do with a piece is to ask about it."""
        option = self.values.best(node)
        operation = self.instance.openings[option.number].operation if option.sort == "open" else None
        return operation is not None and operation.asks and not operation.tests

    def kg(self, node: int) -> float:
        """What one piece weighs."""
        return self.instance.nodes[node].kg / self.share(node)

    def worth(self, node: int) -> float:
        """What one piece is worth at its best."""
        return float(self.values.worth[node, 0]) / self.share(node)

    def best_of(self, node: int, leave_out: Option | None = None, as_is: bool = False) -> tuple[Option, float]:
        """The best option of a node, without one of them or without any opening."""
        options = [o for o in self.programme.options[node] if o != leave_out and not (as_is and o.sort == "open")]
        worths = [self.option(o, node) for o in options]
        best = int(np.argmax(worths))
        return options[best], worths[best]

    def best_without(self, node: int, o: int) -> float:
        """What a node is worth at its best if one of its openings is not run."""
        return self.best_of(node, leave_out=Option("open", o))[1]

    def use(self, option: Option, node: int) -> Use:
        """An option by the names and ids of the catalogue."""
        if option.sort == "grade":
            return Use("grade", grade=self.instance.grades[self.instance.grade_sales[option.number].grade])
        if option.sort == "part":
            part = self.instance.part_sales[option.number].part
            return Use("part", part.name or self.instance.nodes[node].piece.name)
        if option.sort == "open":
            operation = self.instance.openings[option.number].operation
            return Use("open", operation.name, asks=operation.asks, note=operation.note)
        return Use("keep")

    def grades_of(self, node: int) -> tuple[str, ...]:
        """Ids of the grades that a piece may be sold as."""
        return tuple(self.instance.grades[self.instance.grade_sales[s].grade] for s in self.instance.sales_of[node])

    def is_quoted(self, node: int) -> bool:
        """Whether anybody prices a grade that a piece may be sold as."""
        return any(self.instance.market.best(grade) for grade in self.grades_of(node))

    # -- what the best choices come by ----------------------------------------------------------

    def reached(self, start: Mapping[int, int] | None = None) -> dict[int, int]:
        """Nodes that exist under the best choices, and how many of each: from one whole find unless told otherwise.

        What is opened comes before what comes out of it.
        """
        first = dict(start or {0: 1})
        counts = dict.fromkeys(reversed(self._below(first)), 0)
        for node in counts:
            counts[node] += first.get(node, 0)
            for child, count in self._chosen(node):
                counts[child] += count * counts[node]
        return counts

    def _chosen(self, node: int) -> tuple[tuple[int, int], ...]:
        """What the best choice gets out of a node, as (node, count)."""
        option = self.values.best(node)
        return self.instance.openings[option.number].gives if option.sort == "open" else ()

    def _below(self, start: Iterable[int]) -> list[int]:
        """Nodes that the best choices come by, each after all that comes out of it."""
        found: dict[int, None] = {}

        def visit(node: int) -> None:
            if node not in found:
                for child, _ in self._chosen(node):
                    visit(child)
                found[node] = None

        for node in start:
            visit(node)
        return list(found)

    # -- hours, and what they bring -------------------------------------------------------------

    def hours(self, node: int) -> float:
        """Bench hours the best choices spend on one of a node and all below it."""
        option = self.values.best(node)
        if option.sort == "part":
            return self.instance.part_sales[option.number].hours / self.share(node)
        return self.opening_hours(option.number) if option.sort == "open" else 0.0

    def opening_hours(self, o: int) -> float:
        """Bench hours of one operation and the best that follows."""
        opening = self.instance.openings[o]
        here = self.share(opening.node)
        inside = sum(count * self.hours(child) * self.share(child) for child, count in opening.gives)
        return (opening.hours + inside) / here

    def gain(self, o: int) -> float:
        """What one operation and the best that follows is worth above the best other thing to do with its piece."""
        return margin(self.programme, self.terms, self.values, o) / self.share(self.instance.openings[o].node)

    def rate(self, o: int) -> float | None:
        """What an hour of that brings above the other thing, the wage not taken off; None where it takes no time."""
        hours = self.opening_hours(o)
        return self.gain(o) / hours + self.wage if hours > 0.0 else None

    def best_opening(self, node: int) -> int | None:
        """The operation that opens a piece and gains most, whether it is run or not; None where there is none."""
        ways = [o for o in self.instance.openings_of[node] if not self.instance.openings[o].operation.asks]
        return max(ways, key=self.gain, default=None)

    def flip_price(self, o: int) -> FlipPrice | None:
        """The price nearest to today's at which running an operation starts or stops being the best thing to do."""
        flip = self.breakevens.price(o)
        return None if flip is None else FlipPrice.of(flip)
