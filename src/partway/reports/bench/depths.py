"""An instance of one find to its depth report."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from partway.catalogue.cards import cards_by_hazard
from partway.catalogue.named import hazards_of
from partway.planning.depth.breakeven import Breakevens, PriceFlip, margin
from partway.planning.depth.dynamic import Option, Programme, Terms, Values
from partway.planning.depth.spread import DRAWS, SEED, drawn_terms
from partway.planning.instance.frozen import Instance
from partway.reports.bench.depth import Chances, Depth, End, FlipPrice, Step, TestFirst
from partway.things.anatomy import Anatomy

DUST = 1e-9


@dataclass(frozen=True)
class Opened:
    """The programme solved for one find: node 0 is the whole."""

    instance: Instance
    programme: Programme
    terms: Terms
    values: Values

    @classmethod
    def of(cls, instance: Instance) -> Opened:
        """Solve for the expected values."""
        programme = Programme(instance)
        terms = Terms.expected(instance)
        return cls(instance, programme, terms, programme.values(terms))

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
        """Worth of the find at its best depth."""
        return float(self.values.worth[0, 0])

    def option(self, option: Option, node: int) -> float:
        """Worth of one option."""
        return float(self.programme.option_value(option, node, self.terms, self.values.worth)[0])

    def best_of(self, node: int, leave_out: Option | None = None, as_is: bool = False) -> tuple[Option, float]:
        """The best option of a node, without one of them or without any opening."""
        options = [o for o in self.programme.options[node] if o != leave_out and not (as_is and o.sort == "open")]
        worths = [self.option(o, node) for o in options]
        best = int(np.argmax(worths))
        return options[best], worths[best]

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

    def hours(self, node: int) -> float:
        """Bench hours the best choices spend on one of a node and all below it."""
        option = self.values.best(node)
        if option.sort == "part":
            return self.instance.part_sales[option.number].hours
        return self.opening_hours(option.number) if option.sort == "open" else 0.0

    def opening_hours(self, o: int) -> float:
        """Bench hours of one operation and the best that follows."""
        opening = self.instance.openings[o]
        return opening.hours + sum(count * self.hours(child) for child, count in opening.gives)

    def words(self, option: Option, node: int) -> str:
        """An option in words."""
        if option.sort == "grade":
            return f"sell as {self.instance.grades[self.instance.grade_sales[option.number].grade]}"
        if option.sort == "part":
            part = self.instance.part_sales[option.number].part
            return f"sell as a part: {part.name or self.instance.nodes[node].piece.name}"
        if option.sort == "open":
            return self.instance.openings[option.number].operation.name
        return "keep"


def report_depth(find: Opened, if_works: Opened | None = None, if_not: Opened | None = None) -> Depth:
    """The report of one find; the two others are the same find known to work and known not to."""
    instance, group = find.instance, find.instance.groups[0]
    scenario, anatomy = instance.scenario, group.anatomy
    as_is_option, as_is = find.best_of(0, as_is=True)
    hours = find.hours(0)
    opens = find.values.best(0).sort == "open"
    return Depth(
        kind=anatomy.kind,
        name=anatomy.name,
        works=group.find.works,
        mass_kg=instance.nodes[0].kg,
        currency=scenario.currency,
        on=scenario.on.isoformat(),
        wage=scenario.hours.wage,
        cautions=cards_by_hazard(scenario.cautions, [(anatomy.kind, hazards_of(anatomy, scenario.grades))]),
        verdict=find.words(find.values.best(0), 0),
        value=find.value,
        as_is=as_is,
        as_is_how=find.words(as_is_option, 0),
        minutes=hours * 60.0,
        per_hour=(find.value - as_is) / hours + scenario.hours.wage if opens and hours > 0 else None,
        steps=tuple(_steps(find)),
        ends=tuple(_ends(find)),
        chances=_chances(find, opens),
        test_first=test_first(find, if_works, if_not),
        notes=instance.notes,
    )


def said(flip: PriceFlip) -> FlipPrice:
    """A flip price as it would be typed in: what the buyer quotes, postage not yet taken off."""
    return FlipPrice(flip.grade, flip.quoted_today, flip.quoted_flip, flip.postage > 0.0)


def _steps(find: Opened) -> list[Step]:
    reached = find.reached()
    return [
        _step(find, o, node, node in reached)
        for node in reversed(find.programme.order)
        for o in find.instance.openings_of[node]
    ]


def _step(find: Opened, o: int, node: int, reached: bool) -> Step:
    opening = find.instance.openings[o]
    gain = margin(find.programme, find.terms, find.values, o)
    hours = find.opening_hours(o)
    other, _ = find.best_of(node, leave_out=Option("open", o))
    flip = find.breakevens.price(o)
    return Step(
        piece=find.instance.nodes[node].piece.id,
        operation=opening.operation.id,
        name=opening.operation.name,
        chosen=reached and find.values.best(node) == Option("open", o),
        reached=reached,
        gain=gain,
        minutes=hours * 60.0,
        per_hour=gain / hours + find.wage if hours > 0 else 0.0,
        otherwise=find.words(other, node),
        flip_wage=find.breakevens.wage(o),
        flip_price=None if flip is None else said(flip),
        cautions=opening.operation.cautions,
        tools=opening.operation.tools,
        required=opening.operation.required,
    )


def _ends(find: Opened) -> list[End]:
    ends = []
    for node, count in find.reached().items():
        option = find.values.best(node)
        if option.sort != "open":
            ends.append(_end(find, node, count, option))
    return sorted(ends, key=lambda end: -end.value)


def _end(find: Opened, node: int, count: int, option: Option) -> End:
    piece = find.instance.nodes[node].piece
    sorts = {"grade": "sell", "part": "part", "keep": "keep"}
    as_what = "stop" if piece.stop else sorts[option.sort]
    to = ""
    if option.sort == "grade":
        to = find.instance.grades[find.instance.grade_sales[option.number].grade]
    return End(
        piece=piece.id,
        name=find.instance.groups[0].anatomy.name if node == 0 else piece.name,
        count=count,
        mass_kg=find.instance.nodes[node].kg * count,
        as_what=as_what,
        to=to,
        value=float(find.values.worth[node, 0]) * count,
        why=_why_it_ends(find, node, option),
    )


def _why_it_ends(find: Opened, node: int, option: Option) -> str:
    piece = find.instance.nodes[node].piece
    if piece.stop:
        card = find.instance.scenario.cautions.get(piece.stop)
        return f"stays shut: {(card.name if card else piece.stop).lower()}"
    if option.sort == "keep" and (reason := _why_not_sold(find, node)):
        return reason
    openings = find.instance.openings_of[node]
    if not openings:
        return ""
    best = max(openings, key=lambda o: margin(find.programme, find.terms, find.values, o))
    hours = find.opening_hours(best)
    gross = margin(find.programme, find.terms, find.values, best) + hours * find.wage
    rate = gross / hours if hours > 0 else 0.0
    return f"opening it would bring {rate:.2f} an hour"


def _why_not_sold(find: Opened, node: int) -> str:
    """Barred by what has to come out first, or unquoted: two things that look alike and are not."""
    instance = find.instance
    piece = instance.nodes[node].piece
    sales = instance.sales_of[node]
    if piece.sells and not sales:
        return "not sold as it is before what has to come out first is out"
    grades = [instance.grades[instance.grade_sales[s].grade] for s in sales]
    return "" if any(instance.market.best(grade) for grade in grades) else "nobody here quotes it"


def _chances(find: Opened, opens: bool) -> Chances:
    terms = drawn_terms(find.instance)
    followed = find.programme.followed(find.values, terms)
    low, middle, high = np.percentile(followed[0], [10.0, 50.0, 90.0])
    wins = None
    if opens:
        as_is_option, _ = find.best_of(0, as_is=True)
        as_is = find.programme.option_value(as_is_option, 0, terms, followed)
        wins = float(np.mean(followed[0] > as_is))
    return Chances(float(low), float(middle), float(high), wins, DRAWS, SEED)


def test_first(find: Opened, if_works: Opened | None, if_not: Opened | None) -> TestFirst | None:
    """Worth of perfect news about the condition, less the minutes it takes to get it.

    None where the condition is known, or the catalogue knows no chance or minutes for it.
    """
    if if_works is None or if_not is None:
        return None
    anatomy = find.instance.groups[0].anatomy
    return tested(anatomy, find.wage, find.value, if_works.value, if_not.value)


def tested(anatomy: Anatomy, wage: float, untested: float, if_works: float, if_not: float) -> TestFirst | None:
    """The same from the three values, hours taken off; None where nobody knows the chance or the minutes."""
    if anatomy.works is None or anatomy.test_minutes is None:
        return None
    chance, minutes = anatomy.works, anatomy.test_minutes.mean
    gain = chance * if_works + (1.0 - chance) * if_not - minutes / 60.0 * wage - untested
    return TestFirst(chance, minutes, if_works, if_not, untested, gain, gain > DUST)
