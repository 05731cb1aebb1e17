"""What one has in hand of a find, at its best depth: a whole one, or the pieces that an earlier opening left."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from partway.planning.depth.dynamic import Draws, Option
from partway.planning.depth.spread import drawn_terms
from partway.reports.bench.depths import Opened
from partway.things.anatomy import Anatomy
from partway.things.scenario import Scenario, Works

LOW, HIGH = 10.0, 90.0  # of 100 seeded draws
SHUT = ("keep", "grade")  # what takes no time at the bench


@dataclass(frozen=True, slots=True)
class Hand:
    """What is in hand: (piece, count). `mass_kg` is what the whole weighs or weighed, None where nobody knows."""

    kind: str
    works: Works
    mass_kg: float | None
    pieces: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Spread:
    """An expected value; 8 of 10 seeded draws lie from `low` to `high`."""

    low: float
    expected: float
    high: float


@dataclass(frozen=True)
class InHand:
    """A hand in a solved instance; `roots` are its pieces as (node, count)."""

    find: Opened
    roots: tuple[tuple[int, int], ...]

    @property
    def anatomy(self) -> Anatomy:
        """How its kind comes apart."""
        return self.find.instance.groups[self.find.instance.nodes[self.roots[0][0]].group].anatomy

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
    def shut(self) -> float:
        """Money without an hour at the bench: everything sold or kept as it is."""
        return sum(count * self.as_it_is(node)[1] for node, count in self.roots)

    @property
    def per_hour(self) -> float | None:
        """What a bench hour adds to leaving all of it as it is; None where there is nothing to do."""
        return (self.brings - self.shut) / self.hours if self.hours > 0.0 else None

    def gross(self, node: int) -> float:
        """What one piece brings in the end, hours not taken off."""
        return float(self.find.values.worth[node, 0]) + self.find.wage * self.find.hours(node)

    def as_it_is(self, node: int) -> tuple[Option, float]:
        """The best for one piece that takes no hour."""
        options = [o for o in self.find.programme.options[node] if o.sort in SHUT]
        worths = [self.find.option(o, node) for o in options]
        best = int(np.argmax(worths))
        return options[best], worths[best]

    def words(self, option: Option, node: int) -> str:
        """An option as people say it, its grade by name."""
        if option.sort != "grade":
            return self.find.words(option, node)
        instance = self.find.instance
        return f"sell as {spoken(instance.scenario, instance.grades[instance.grade_sales[option.number].grade])}"

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
        instance, values = self.find.instance, self.find.values
        terms = replace(drawn_terms(instance), wage=0.0)
        money = self.find.programme.followed(values, terms)
        hours = [times * terms.hours[o] for o, times in self.runs()]
        for node, count in self.ends():
            option = values.best(node)
            if option.sort == "part":
                hours.append(np.full(terms.size.shape[1], count * instance.part_sales[option.number].hours))
        total = sum(hours, np.zeros(terms.size.shape[1]))
        return np.array([sum(count * money[node] for node, count in self.roots), total])


def spread_of(draws: Draws, expected: float) -> Spread:
    """The spread of some draws around what is expected."""
    low, high = np.percentile(draws, [LOW, HIGH])
    return Spread(float(low), expected, float(high))


def spoken(scenario: Scenario, grade: str) -> str:
    """The name of a grade within a sentence: "light iron", "No. 2 copper", "ABS and polystyrene, sorted"."""
    name = scenario.grades[grade].name
    return name[0].lower() + name[1:] if name[1:2].islower() and not name.startswith("No.") else name
