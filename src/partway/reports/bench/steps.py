"""The operations of a find in working order, where each piece goes, and why it is opened no further."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from partway.catalogue.cards import CautionCard, cards_by_hazard
from partway.planning.depth.breakeven import margin
from partway.planning.depth.dynamic import Option
from partway.reports.bench.depth import FlipPrice
from partway.reports.bench.depths import said
from partway.reports.bench.hand import InHand, spoken
from partway.things.estimate import Estimate

Bins = Mapping[str, Sequence[str]]  # ids of the bins that hold a grade


@dataclass(frozen=True, slots=True)
class Flips:
    """Where an answer turns over: the nearest wage, and the nearest price of the grade `of` that carries it."""

    wage: float | None
    price: FlipPrice | None
    of: str = ""


@dataclass(frozen=True, slots=True)
class Why:
    """Why a piece stays as it is.

    `sort`: stop (never opened: `hazard`), barred (something has to come out first), less (opening it by `operation`
    brings `per_hour`, below the wage or below what it brings now), end (there is no way to open it).
    """

    sort: str
    hazard: str = ""
    operation: str = ""
    minutes: float = 0.0
    per_hour: float | None = None
    flips: Flips | None = None


@dataclass(frozen=True, slots=True)
class Comes:
    """A piece that comes out: `count` of them, `mass_kg` all together. `way`: open (in step `step`), grade, part, keep.

    `value` is of all of them before one's own hours; None where nobody here prices it. `bin` is where its grade lies,
    empty where there is no bin for it yet, and `bins` are more than one to choose from.
    """

    piece: str
    name: str
    count: int
    mass_kg: Estimate
    way: str
    step: int
    to: str
    grade: str
    grade_name: str
    bin: str
    bins: tuple[str, ...]
    spoilers: tuple[str, ...]
    value: float | None
    why: Why | None


@dataclass(frozen=True, slots=True)
class BenchStep:
    """One operation, run `times`. `minutes` are of all runs; `per_hour` counts the best that follows.

    The wage is not taken off `per_hour`. `otherwise` is what would be done with the piece instead.
    """

    number: int
    operation: str
    name: str
    piece: str
    piece_name: str
    times: int
    minutes: Estimate
    cautions: tuple[CautionCard, ...]
    tools: tuple[str, ...]
    required: bool
    gives: tuple[Comes, ...]
    per_hour: float | None
    otherwise: str
    flips: Flips


@dataclass(frozen=True)
class Working:
    """A hand as steps; `bins` by grade."""

    hand: InHand
    bins: Bins

    def steps(self) -> tuple[BenchStep, ...]:
        """All operations of the best depth, each before those on what it gives."""
        return tuple(self._step(o, times, number) for number, (o, times) in enumerate(self.hand.runs(), 1))

    def left_as_it_is(self) -> tuple[Comes, ...]:
        """What is in hand and stays as it is."""
        find = self.hand.find
        return tuple(self.comes(node, n) for node, n in self.hand.roots if find.values.best(node).sort != "open")

    @cached_property
    def _flips(self) -> dict[int, Flips]:
        return {}

    @cached_property
    def numbers(self) -> dict[int, int]:
        """Which step opens each piece."""
        openings = self.hand.find.instance.openings
        return {openings[o].node: number for number, (o, _) in enumerate(self.hand.runs(), 1)}

    def _step(self, o: int, times: int, number: int) -> BenchStep:
        find, opening = self.hand.find, self.hand.find.instance.openings[o]
        operation = opening.operation
        other, _ = find.best_of(opening.node, leave_out=Option("open", o))
        return BenchStep(
            number=number,
            operation=operation.id,
            name=operation.name,
            piece=operation.on,
            piece_name=self.name(opening.node),
            times=times,
            minutes=operation.minutes.scaled(times),
            cautions=cards_by_hazard(find.instance.scenario.cautions, [(self.hand.anatomy.kind, operation.cautions)]),
            tools=operation.tools,
            required=operation.required,
            gives=tuple(self.comes(child, count * times) for child, count in opening.gives),
            per_hour=self.rate(o),
            otherwise=self.hand.words(other, opening.node),
            flips=self.flips(o),
        )

    def comes(self, node: int, count: int) -> Comes:
        """One sort of piece and what becomes of it."""
        find, piece = self.hand.find, self.hand.find.instance.nodes[node].piece
        option = find.values.best(node)
        grade = self._grade(node, option)
        held = tuple(self.bins.get(grade, ()))
        scale = find.instance.nodes[node].kg / piece.mass.mean
        return Comes(
            piece=piece.id,
            name=self.name(node),
            count=count,
            mass_kg=piece.mass.scaled(scale * count),
            way=option.sort,
            step=self.numbers.get(node, 0),
            to=self.hand.words(option, node),
            grade=grade,
            grade_name=spoken(find.instance.scenario, grade) if grade else "",
            bin=grade if grade in held else held[0] if len(held) == 1 else "",
            bins=held if grade not in held and len(held) > 1 else (),
            spoilers=find.instance.scenario.grades[grade].spoilers if grade else (),
            value=self.value(node, count),
            why=None if option.sort == "open" else self._why(node),
        )

    def name(self, node: int) -> str:
        """A piece by name; the whole by the name of its kind."""
        piece = self.hand.find.instance.nodes[node].piece
        return self.hand.anatomy.name if piece is self.hand.anatomy.whole else piece.name

    def value(self, node: int, count: int) -> float | None:
        """What some of a piece bring before hours; None where it only sells as what nobody here prices."""
        instance = self.hand.find.instance
        sales = [instance.grades[instance.grade_sales[s].grade] for s in instance.sales_of[node]]
        kept = self.hand.find.values.best(node).sort == "keep"
        if kept and not any(instance.market.best(grade) for grade in sales):
            return None
        return count * self.hand.gross(node)

    def hazard(self, node: int) -> str:
        """What keeps a piece shut for good, by name; empty where nothing does."""
        instance = self.hand.find.instance
        stop = instance.nodes[node].piece.stop
        card = instance.scenario.cautions.get(stop) if stop else None
        return card.name if card else stop or ""

    def rate(self, o: int) -> float | None:
        """What an hour on one operation and the best that follows adds to the best other thing; None without time."""
        find = self.hand.find
        hours = find.opening_hours(o)
        return margin(find.programme, find.terms, find.values, o) / hours + find.wage if hours > 0.0 else None

    def flips(self, o: int) -> Flips:
        """Where running an operation turns over."""
        if o not in self._flips:
            find = self.hand.find
            price, wage = find.breakevens.price(o), find.breakevens.wage(o)
            self._flips[o] = Flips(wage, None)
            if price is not None:
                named = spoken(find.instance.scenario, price.grade)
                self._flips[o] = Flips(wage, said(price), named)
        return self._flips[o]

    def next_opening(self, node: int) -> int | None:
        """The best operation that is not run on a piece that stays as it is; None where there is none."""
        find = self.hand.find
        openings = find.instance.openings_of[node]
        if find.values.best(node).sort == "open" or not openings:
            return None
        return max(openings, key=lambda o: margin(find.programme, find.terms, find.values, o))

    def _grade(self, node: int, option: Option) -> str:
        """The grade whose bin a piece goes into: what it sells as, or would if somebody quoted it."""
        instance = self.hand.find.instance
        if option.sort == "grade":
            return instance.grades[instance.grade_sales[option.number].grade]
        if option.sort == "keep" and (sales := instance.sales_of[node]):
            kept = max(sales, key=lambda s: instance.kept_price[instance.grade_sales[s].grade])
            return instance.grades[instance.grade_sales[kept].grade]
        return ""

    def _why(self, node: int) -> Why:
        instance, piece = self.hand.find.instance, self.hand.find.instance.nodes[node].piece
        if piece.stop:
            return Why("stop", hazard=self.hazard(node))
        o = self.next_opening(node)
        if o is not None:
            opening = instance.openings[o]
            minutes = self.hand.find.opening_hours(o) * 60.0
            return Why("less", "", opening.operation.name, minutes, self.rate(o), self.flips(o))
        return Why("barred" if piece.sells and not instance.sales_of[node] else "end")
