"""What one has in hand of a find, at its best depth: a whole one, or the pieces that an earlier opening left."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from partway.planning.depth.dynamic import Draws, Option
from partway.things.anatomy import Anatomy
from partway.things.scenario import Find, Works
from partway.valuing.finds.facts import Span
from partway.valuing.finds.opened import Solved

LOW, HIGH = 10.0, 90.0  # of 100 seeded draws
SHUT = ("keep", "grade")  # what takes no time at the bench


@dataclass(frozen=True, slots=True)
class Holding:
    """What is in hand: (piece, count). `mass_kg` is what the whole weighs or weighed, None where nobody knows.

    `chance` is how likely it is to work where nobody tested it; None: as its kind usually is.
    """

    kind: str
    works: Works
    mass_kg: float | None
    pieces: tuple[tuple[str, int], ...]
    chance: float | None = None

    @property
    def find(self) -> Find:
        """One whole find of that sort."""
        return Find(self.kind, 1, self.works, self.mass_kg, self.chance)


@dataclass(frozen=True)
class ValuedHolding:
    """A holding in a solved instance; `roots` are its pieces as (node, count)."""

    find: Solved
    roots: tuple[tuple[int, int], ...]

    @property
    def anatomy(self) -> Anatomy:
        """How its kind comes apart."""
        return self.find.anatomy(self.roots[0][0])

    @cached_property
    def counts(self) -> dict[int, int]:
        """Every piece that the best choices come by, and how many."""
        return self.find.reached(dict(self.roots))

    @cached_property
    def hours(self) -> float:
        """Bench hours of the best choices."""
        return sum(count * self.find.hours(node) for node, count in self.roots)

    @property
    def brings(self) -> float:
        """Money that comes in, one's own hours not taken off."""
        return sum(count * self.gross(node) for node, count in self.roots)

    @property
    def net(self) -> float:
        """The same with the hours at the bench paid at the wage."""
        return self.brings - self.find.wage * self.hours

    @property
    def shut(self) -> float:
        """Money without an hour at the bench: everything sold or kept as it is."""
        return sum(count * self.as_it_is(node)[1] for node, count in self.roots)

    @property
    def per_hour(self) -> float | None:
        """What a bench hour adds to leaving all of it as it is; None where there is nothing to do."""
        return (self.brings - self.shut) / self.hours if self.hours > 0.0 else None

    def piece_id(self, node: int) -> str:
        """The piece of a node."""
        return self.find.instance.nodes[node].piece.id

    @property
    def heaviest(self) -> int:
        """The heaviest piece in hand."""
        return max((node for node, _ in self.roots), key=self.find.kg)

    def gross(self, node: int) -> float:
        """What one piece brings in the end, hours not taken off."""
        return self.find.worth(node) + self.find.wage * self.find.hours(node)

    def as_it_is(self, node: int) -> tuple[Option, float]:
        """The best for one piece that takes no hour."""
        options = [o for o in self.find.programme.options[node] if o.sort in SHUT]
        worths = [self.find.option(o, node) for o in options]
        best = int(np.argmax(worths))
        return options[best], worths[best]

    def runs(self) -> Iterator[tuple[int, int]]:
        """(opening, times) of the best choices, what is opened first before what comes out of it."""
        for node, count in self.counts.items():
            option = self.find.values.best(node)
            if option.sort == "open":
                yield option.number, count

    def ends(self) -> Iterator[tuple[int, int]]:
        """(node, count) of what stays as it is under the best choices."""
        return ((n, count) for n, count in self.counts.items() if self.find.values.best(n).sort != "open")

    def draws(self) -> Draws:
        """Seeded draws of money (row 0) and hours (row 1) with the choices held."""
        values = self.find.values
        terms = self.find.drawn_terms
        hours = [times * terms.hours[o] for o, times in self.runs()]
        for node, count in self.ends():
            option = values.best(node)
            if option.sort == "part":
                hours.append(count * self.find.hours(node) * (terms.size[node] > 0.0))
        money = sum((count * self.find.drawn[node] for node, count in self.roots), np.zeros(self.find.draws))
        return np.array([money, sum(hours, np.zeros(self.find.draws))])[:, self.in_hand]

    @cached_property
    def in_hand(self) -> NDArray[np.intp]:
        """The draws in which all that is in hand is there: what came out of an answer is there for sure by now."""
        if all(self.find.share(node) == 1.0 for node, _ in self.roots):
            return np.arange(self.find.draws)
        size = self.find.drawn_terms.size
        there = np.flatnonzero(np.all([size[node] > 0.0 for node, _ in self.roots], axis=0))
        return np.resize(there, self.find.draws) if len(there) else np.arange(self.find.draws)


def span_of(draws: Draws, expected: float) -> Span:
    """The range of some draws around what is expected."""
    low, high = np.percentile(draws, [LOW, HIGH])
    return Span(float(low), expected, float(high))
