"""`partway open FIND --steps`: an opening asked about step by step, what can hurt before each step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

import click

from partway.cli.asking import chosen
from partway.cli.context import CommandContext
from partway.cli.words import minutes as minutes_said
from partway.cli.words import sentence, times

if TYPE_CHECKING:
    from partway.actions.bench.answering import AnswerGiven
    from partway.actions.bench.pieces import PieceGiven
    from partway.actions.bench.results import OpenResult
    from partway.actions.recording.context import Recorded
    from partway.cli.bench.next_steps import UnderWay
    from partway.ledger.fold.standing import FindNow
    from partway.things.anatomy import Operation, Piece

ENOUGH = "enough"


@dataclass
class StepsSaid:
    """What was answered so far."""

    operations: list[str] = field(default_factory=list)
    pieces: list[PieceGiven] = field(default_factory=list)
    answers: list[AnswerGiven] = field(default_factory=list)
    minutes: str = "0"
    count: int | None = None

    def options(self) -> dict[str, Any]:
        """As an opening is recorded."""
        return {
            "operations": tuple(self.operations),
            "pieces": self.pieces,
            "answers": self.answers,
            "minutes": self.minutes,
            "count": self.count,
        }


def asked_by_steps(ctx: CommandContext, find: str) -> tuple[str, StepsSaid]:
    """The find that is meant, and what was done to it. Raises Refused where nobody is there to answer."""
    from partway.actions.bench.finds import open_find
    from partway.errors import Refused

    if not ctx.may_ask:
        given = "questions where nobody is there to answer"
        raise Refused(given, "a terminal, or the operations and pieces themselves", "steps")
    now = open_find(ctx.book, ctx.context, find)
    steps, said = _Steps(ctx, now), StepsSaid()
    steps.cautions()
    said.count = steps.how_many()
    opening = steps.opening
    while (operation := steps.which(opening, said)) is not None:
        opening = steps.step(opening, operation, said)
    if said.operations:
        said.minutes = click.prompt(
            "How long did it take, in minutes? (Enter: not timed)", default="0", show_default=False, err=True
        )
    return now.id, said


def refuse_more(said: bool) -> None:
    """Raises Refused where what is asked about was said as well."""
    from partway.errors import Refused

    if said:
        raise Refused("steps to ask about, and what was done", "one of them", "steps")


def steps_recorded(ctx: CommandContext, find: str, given: dict[str, Any]) -> Recorded[OpenResult] | None:
    """What was answered, recorded as an opening; what the options say comes first. None where nothing was done."""
    from partway.actions.books.opening_anew import record_opening

    name, said = asked_by_steps(ctx, find)
    if not said.operations and not said.answers:
        click.echo("Nothing was recorded.")
        return None
    options = {**said.options(), **{key: value for key, value in given.items() if value not in (None, "", (), "0")}}
    return ctx.run(record_opening, (name,), options)


class _Steps:
    """The questions about one find."""

    def __init__(self, ctx: CommandContext, now: FindNow) -> None:
        from partway.actions.bench.benching import bins_by_grade
        from partway.valuing.known import anatomy_of_find
        from partway.valuing.left import before

        self.ctx, self.now = ctx, now
        self.anatomy = anatomy_of_find(ctx.book, now)
        self.past, self.bins = before(ctx.book, now), bins_by_grade(ctx.book)
        self.plan = self._planned()

    @property
    def opening(self) -> UnderWay:
        """The find as it is now."""
        from partway.actions.bench.benching import left_of
        from partway.cli.bench.next_steps import begin

        there = [piece for piece, _ in left_of(self.anatomy, self.past)] or [self.anatomy.whole.id]
        return begin(self.anatomy, (), there, self.plan)

    def _planned(self) -> Sequence[str]:
        """The operations that pay, in working order; none where no currency is set or it cannot be told."""
        from partway.actions.bench.benching import at_bench
        from partway.actions.haul.scenario import prices_from_book
        from partway.errors import Refused
        from partway.valuing.finds.waiting import Unvalued

        try:
            prices = prices_from_book(self.ctx.book, self.ctx.now().date(), {self.now.id: self.now})
            found = at_bench(self.ctx.book, prices, self.now)
        except Refused:
            return ()
        return () if isinstance(found, Unvalued) else [step.operation for step in found.steps]

    def cautions(self) -> None:
        """What can hurt about the whole of it, before anything."""
        from partway.actions.bench.finds import cautions

        for text in self.ctx.careful.lines(cautions(self.anatomy)):
            click.echo(text, err=True)
        if self.anatomy.note:
            click.echo(self.anatomy.note, err=True)

    def how_many(self) -> int | None:
        """Of several alike, how many are opened together."""
        whole = max(1, self.past.whole)
        if whole == 1:
            return None
        asked = f"How many of the {whole} do you open? (Enter: 1)"
        counts: int = click.prompt(asked, default=1, show_default=False, type=click.IntRange(1, whole), err=True)
        return counts

    def which(self, opening: UnderWay, said: StepsSaid) -> Operation | None:
        """The next operation; None for no more. Enter takes the planned one, or stops where nothing more pays."""
        there = opening.choices()
        if not there:
            return None
        done = "that is all I did" if said.operations else "nothing, leave it"
        choices = [*((op.id, sentence(op.name)) for op in there), (ENOUGH, sentence(done))]
        click.echo("What next?" if said.operations else "What do you do first?", err=True)
        picked = chosen(choices, opening.likely.id if opening.likely else ENOUGH, ids=False)
        return next((op for op in there if op.id == picked), None)

    def step(self, opening: UnderWay, operation: Operation, said: StepsSaid) -> UnderWay:
        """One operation: what can hurt, what it takes, then its pieces one by one."""
        self._first(operation)
        if operation.asks:
            return self._question(opening, operation, said)
        self._opened_after_all(operation, said)
        said.operations.append(operation.id)
        after = opening.after(operation)
        for give in operation.gives:
            self._piece(after, self.anatomy.piece(give.piece), give.count * (said.count or 1), said)
        return after

    def _first(self, operation: Operation) -> None:
        """Its caution first, then its tools and what decides."""
        from partway.catalogue.cards import shipped_cards

        for text in self.ctx.careful.lines(shipped_cards(operation.cautions)):
            click.echo(f"  {text}", err=True)
        tools = f"; tools: {', '.join(operation.tools)}" if operation.tools else ""
        click.echo(f"  {sentence(operation.name)}: {_about(operation.minutes.likely)}{tools}", err=True)
        if operation.note:
            click.echo(f"  {operation.note}", err=True)

    def _question(self, opening: UnderWay, operation: Operation, said: StepsSaid) -> UnderWay:
        """What a piece turned out to be; Enter where nobody looked."""
        from partway.actions.bench.answering import AnswerGiven, answer_of

        answers = self.anatomy.answers_to(operation.on)
        choices = [*((one.id, sentence(one.answer)) for one in answers), (ENOUGH, "I did not look")]
        picked = chosen(choices, ENOUGH, ids=False)
        found = next((one for one in answers if one.id == picked), None)
        if found is None:
            return opening.after(operation)
        if any(given.piece == operation.on for given in said.pieces):  # its name then says the answer
            said.pieces = [replace(g, piece=found.id, grade="") if g.piece == operation.on else g for g in said.pieces]
        else:
            said.answers.append(AnswerGiven(operation.on, answer_of(found), said.count or 1))
        return opening.after(operation, found.id)

    def _opened_after_all(self, operation: Operation, said: StepsSaid) -> None:
        """What was weighed and is opened now goes into no bin: its pieces do."""
        if any(given.piece == operation.on for given in said.pieces):
            said.pieces = [given for given in said.pieces if given.piece != operation.on]
            click.echo(f"  {self.anatomy.piece(operation.on).name} is opened, so it goes into no bin.", err=True)

    def _piece(self, opening: UnderWay, piece: Piece, count: int, said: StepsSaid) -> None:
        """What came out: its mass, and where it goes where that is not plain."""
        from partway.actions.bench.pieces import PieceGiven

        self._stays_shut(piece)
        name = times(count, piece.name)
        further = ", or go on with it" if opening.opened_next(piece) else ""
        usual = self._usual(piece, count)
        while True:
            asked = f"    {name}, usually {usual}: mass? (Enter: not weighed{further})"
            mass = click.prompt(asked, default="", show_default=False, err=True)
            if not mass.strip():
                return
            given = self._read(mass, piece)
            if given is not None:
                break
        said.pieces.append(PieceGiven(piece.id, given, count, self._grade(piece)))

    def _usual(self, piece: Piece, count: int) -> str:
        from partway.actions.recording.words import mass

        return mass(self.ctx.book, round(piece.mass.likely * count * 1e6))

    def _read(self, text: str, piece: Piece) -> str | None:
        """The text of a mass that can be read; what cannot is said and asked again."""
        from partway.actions.recording import reading
        from partway.errors import Refused

        try:
            reading.mass_mg(self.ctx.book, text, piece.name)
        except Refused as refused:
            click.echo(f"    {refused}", err=True)
            return None
        return text

    def _stays_shut(self, piece: Piece) -> None:
        """The card of what is never opened, where it comes out."""
        from partway.catalogue.cards import shipped_cards

        for card in shipped_cards([piece.stop] if piece.stop else []):
            click.echo(f"    {piece.name} stays shut. {card.line}", err=True)

    def _grade(self, piece: Piece) -> str:
        """The grade it goes as, asked where there are several and none has the only bin."""
        from partway.catalogue import shipped

        grades = [sale.grade for sale in piece.sells]
        with_bin = [grade for grade in grades if self.bins.get(grade)]
        if len(grades) <= 1 or len(with_bin) == 1:
            return ""
        click.echo(f"    Where does it go: {piece.name}?", err=True)
        known = shipped().grades
        choices = [(grade, known[grade].name) for grade in [*with_bin, *(g for g in grades if g not in with_bin)]]
        return chosen(choices, choices[0][0])


def _about(minutes: float) -> str:
    said = minutes_said(minutes)
    return said if said.startswith("under") else f"about {said}"
