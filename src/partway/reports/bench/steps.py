"""The operations of a find in working order, where each piece goes, and why it is opened no further."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from partway.catalogue.cards import CautionCard, cards_by_hazard
from partway.reports.bench.words import in_words, note_in_hand, spoken
from partway.things.estimate import Estimate
from partway.things.scenario import Scenario
from partway.valuing.finds.facts import FlipPrice, OnlyIf, Question, Use
from partway.valuing.finds.hand import ValuedHolding
from partway.valuing.finds.opened import Solved
from partway.valuing.finds.questions import only_if, question
from partway.valuing.finds.steps import Steps

Bins = Mapping[str, Sequence[str]]  # ids of the bins that hold a grade


@dataclass(frozen=True, slots=True)
class Flips:
    """Where an answer turns over: the nearest wage, and the nearest price of the grade `of` that carries it."""

    wage: float | None
    price: FlipPrice | None
    of: str = ""


@dataclass(frozen=True, slots=True)
class WhyShut:
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
    empty where there is no bin for it yet, and `bins` are more than one to choose from. `note` is what decides: the
    piece's own, else its grade's (`of_grade`). Of a piece with a `question`, `asked` says whether asking is the best
    thing to do. One that is an `answer` is the piece asked about, as it is in the share `chance` of them, with all its
    mass.
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
    why: WhyShut | None
    note: str = ""
    of_grade: bool = False
    question: Question | None = None
    asked: bool = False
    answer: str = ""
    chance: float = 1.0


@dataclass(frozen=True, slots=True)
class BenchStep:
    """One operation, run `times`. `minutes` are of all runs; `per_hour` counts the best that follows.

    The wage is not taken off `per_hour`. `otherwise` is what would be done with the piece instead. A step that is a
    `question` takes nothing apart: it gives the answers. One that is run `only_if` a question is answered so is told
    for a find that has it.
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
    note: str = ""
    question: Question | None = None
    only_if: OnlyIf | None = None


@dataclass(frozen=True)
class Working:
    """A holding as steps in words; `bins` by grade."""

    hand: ValuedHolding
    bins: Bins

    @cached_property
    def worked(self) -> Steps:
        """The figures behind it."""
        return Steps(self.hand)

    @property
    def find(self) -> Solved:
        """What it was solved in."""
        return self.hand.find

    @property
    def scenario(self) -> Scenario:
        """Its names and cards."""
        return self.find.instance.scenario

    def steps(self) -> tuple[BenchStep, ...]:
        """All operations of the best depth, each before those on what it gives."""
        return tuple(self._step(o, times, number) for number, (o, times) in enumerate(self.hand.runs(), 1))

    def left_as_it_is(self) -> tuple[Comes, ...]:
        """What is in hand and stays as it is, though it may be asked about."""
        return tuple(self.comes(node, count) for node, count in self.worked.left_as_it_is())

    def _step(self, o: int, times: int, number: int) -> BenchStep:
        opening = self.find.instance.openings[o]
        operation = opening.operation
        return BenchStep(
            number=number,
            operation=operation.id,
            name=operation.name,
            piece=operation.on,
            piece_name=self.find.name(opening.node),
            times=times,
            minutes=operation.minutes.scaled(times),
            cautions=cards_by_hazard(self.scenario.cautions, [(self.hand.anatomy.kind, operation.cautions)]),
            tools=operation.tools,
            required=operation.required,
            gives=tuple(self.comes(child, count * times) for child, count in opening.gives),
            per_hour=self.find.rate(o),
            otherwise=self.said(self.worked.otherwise(o)),
            flips=self.flips(o),
            note=operation.note,
            question=self.question(opening.node, times) if operation.asks else None,
            only_if=only_if(self.hand, opening.node),
        )

    def question(self, node: int, count: int) -> Question | None:
        """What is asked about some of a piece; nothing where the answer makes no difference to the money or the bin."""
        asked = question(self.find, node, count)
        told = asked and (asked.pays or self.find.asks_best(node) or not self.find.instance.nodes[node].piece.sells)
        return asked if told else None

    def comes(self, node: int, count: int) -> Comes:
        """One sort of piece and what becomes of it."""
        piece, use, grade = self.find.instance.nodes[node].piece, self.worked.use(node), self.worked.bin_grade(node)
        held = tuple(self.bins.get(grade, ()))
        scale = self.find.kg(node) / piece.mass.mean
        return Comes(
            piece=piece.id,
            name=self.find.name(node),
            count=count,
            mass_kg=piece.mass.scaled(scale * count),
            way=use.way,
            step=self.worked.numbers.get(node, 0),
            to=self.said(use),
            grade=grade,
            grade_name=spoken(self.scenario, grade) if grade else "",
            bin=grade if grade in held else held[0] if len(held) == 1 else "",
            bins=held if grade not in held and len(held) > 1 else (),
            spoilers=self.scenario.grades[grade].spoilers if grade else (),
            value=self.worked.value(node, count),
            why=None if use.way == "open" else self._why(node),
            note=note_in_hand(piece, self.scenario.grades.get(grade)),
            of_grade=not piece.note,
            question=self.question(node, count),
            asked=use.asks,
            answer=piece.answer,
            chance=self.find.chance(node),
        )

    def said(self, use: Use) -> str:
        """What is done with a piece, in words."""
        return in_words(use, self.scenario)

    def hazard(self, node: int) -> str:
        """What keeps a piece shut for good, by name; empty where nothing does."""
        stop = self.find.instance.nodes[node].piece.stop
        card = self.scenario.cautions.get(stop) if stop else None
        return card.name if card else stop or ""

    def flips(self, o: int) -> Flips:
        """Where running an operation turns over."""
        turns = self.worked.turns(o)
        return Flips(turns.wage, turns.price, spoken(self.scenario, turns.price.grade) if turns.price else "")

    def _why(self, node: int) -> WhyShut:
        stays, o = self.worked.why(node), self.worked.why(node).opening
        if o is None:
            return WhyShut(stays.sort, hazard=self.hazard(node))
        name, minutes = self.find.instance.openings[o].operation.name, self.find.opening_hours(o) * 60.0
        return WhyShut(stays.sort, "", name, minutes, self.find.rate(o), self.flips(o))
