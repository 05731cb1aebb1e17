"""What can be typed on the page of one find."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from partway.actions.bench.pieces import PieceGiven
from partway.reports.bench.steps import BenchStep
from partway.reports.bench.steps_rows import PiecePlace, PieceRow
from partway.things.anatomy import Operation
from partway.things.traits import plain_name
from partway.web.forms import ChoiceField, Form, LineField, TickField, Typed

FREE_ROWS = 4
OWN = ("own", "own-mass", "own-count", "own-into")  # the fields of a free row
WHEN = "empty for now; yesterday, 2026-03-14"


class TestForm(Form):
    """Whether it works."""

    works = ChoiceField("Does it work?")


class OpenForm(Form):
    """An opening; the pieces and operations of the find at hand are added to it."""

    count = LineField("How many of them", "opened this time; empty: as many as the masses fit", mode="numeric")
    minutes = LineField("Minutes", "such as 12; an hour and five is 65; the clock above fills it in", mode="numeric")
    residue = LineField("Residue besides", "what nobody takes, weighed together", mode="decimal")
    loss = LineField("Lost", "dust, drips, what fell through the grate", mode="decimal")
    on = LineField("When", WHEN)


@dataclass(frozen=True)
class WeighRow:
    """One piece of an opening: its row and its fields."""

    row: PieceRow
    mass: LineField
    count: LineField
    place: ChoiceField


@dataclass(frozen=True)
class FreeRow:
    """A piece that nobody knew of before: its name and its fields."""

    name: LineField
    mass: LineField
    count: LineField
    place: ChoiceField


@dataclass(frozen=True)
class OpeningForm:
    """The form of an opening with its rows; those that come out `early` are only weighed where one stops there.

    `ticks` are the steps, `others` what could be done instead: operations with their tick. `only_if` are steps that
    only some finds need, each with the pieces that it gives: who weighs one of those has done the step.
    """

    form: OpenForm
    rows: tuple[WeighRow, ...]
    ticks: tuple[tuple[str, TickField], ...]
    others: tuple[tuple[str, TickField], ...]
    only_if: tuple[tuple[str, frozenset[str]], ...] = ()
    free: tuple[FreeRow, ...] = ()

    @property
    def own(self) -> list[FreeRow]:
        """Rows of pieces of their own that something was typed into."""
        return [row for row in self.free if row.name.text or row.mass.text]

    @property
    def operations(self) -> list[str]:
        """The operations ticked, and those that what was weighed came out of."""
        weighed = {row.row.piece for row in self.weighed}
        done = {operation for operation, pieces in self.only_if if pieces & weighed}
        return [operation for operation, tick in (*self.ticks, *self.others) if tick.data or operation in done]

    @property
    def weighed(self) -> list[WeighRow]:
        """Rows that something was typed into."""
        return [row for row in self.rows if (row.mass.data or "").strip()]

    @property
    def names(self) -> dict[str, str]:
        """What an action calls a row, by the name of its field."""
        told = {row.row.piece: _mass(row.row.piece) for row in self.rows}
        told |= {plain_name(row.name.text): row.mass.short_name for row in self.own}
        return {**told, **{f"piece {piece}": name for piece, name in told.items()}}


def _mass(piece: str) -> str:
    return f"mass.{piece}"


def opening_of(
    rows: Sequence[PieceRow],
    steps: Sequence[BenchStep],
    others: Sequence[Operation],
    typed: Typed | None = None,
    free: Sequence[PiecePlace] = (),
) -> OpeningForm:
    """The form for these rows and steps, as typed or fresh: all steps ticked, every piece where it sells best.

    `free` are places for pieces that nobody knew of; none where the kind names all its pieces.
    """
    fields: dict[str, Any] = {}
    for row in rows:
        usual = row.best and value_of(row.best)
        fields[_mass(row.piece)] = LineField(row.name, mode="decimal")
        fields[f"count.{row.piece}"] = LineField("How many", mode="numeric")
        choices = [(value_of(place), _label(place)) for place in row.places]
        fields[f"into.{row.piece}"] = ChoiceField("Into", choices=[("", _unsaid(row)), *choices], default=usual or "")
    for step in steps:
        if step.question is None:  # where its piece goes is the answer
            fields[f"done.{step.operation}"] = TickField(_tick(step), default=step.only_if is None)
    for other in others:
        fields[f"done.{other.id}"] = TickField(other.name)
    own = range(1, FREE_ROWS + 1) if free else ()
    into = [("", "choose"), *((value_of(place), _label(place)) for place in free)]
    for n in own:
        fields[f"own.{n}"] = LineField("Piece", "what it is, such as pump")
        fields[f"own-mass.{n}"] = LineField("Mass", mode="decimal")
        fields[f"own-count.{n}"] = LineField("How many", mode="numeric")
        fields[f"own-into.{n}"] = ChoiceField("Into", choices=into)
    made: type[OpenForm] = type("OpenRows", (OpenForm,), fields)
    form = made(typed, prefix="open-")
    typed_in: dict[str, Any] = {name: form[name] for name in fields}
    return OpeningForm(
        form,
        tuple(WeighRow(row, *(typed_in[f"{name}.{row.piece}"] for name in ("mass", "count", "into"))) for row in rows),
        tuple((step.operation, typed_in[f"done.{step.operation}"]) for step in steps if step.question is None),
        tuple((other.id, typed_in[f"done.{other.id}"]) for other in others),
        tuple((step.operation, frozenset(c.piece for c in step.gives)) for step in steps if step.only_if),
        tuple(FreeRow(*(typed_in[f"{name}.{n}"] for name in OWN)) for n in own),
    )


def value_of(place: PiecePlace) -> str:
    """A place as the form sends it."""
    return f"{place.grade}@{place.bin}" if place.bin else place.grade


def _label(place: PiecePlace) -> str:
    said = f"{' or '.join(place.answers)}: " if place.answers else ""
    if not place.bin:
        return place.name if place.grade == "residue" else f"{said}{place.name}, a new bin"
    return f"{said}{place.name}" if place.bin == place.grade else f"{said}{place.name}, bin {place.bin}"


def _unsaid(row: PieceRow) -> str:
    """What it means to choose no place."""
    if not row.asks:
        return "choose"
    return f"nobody looked: {row.unasked}" if row.unasked else "look first"


def _tick(step: BenchStep) -> str:
    """A step to tick off; one that only some finds need is not ticked before somebody says so."""
    condition = f"if {step.only_if.answer}: " if step.only_if else ""
    return f"{step.number}. {condition}{step.name}"


def own_given(row: FreeRow, count: int) -> PieceGiven:
    """What was typed into a row of a piece of its own."""
    grade, _, bin_id = row.place.text.partition("@")
    return PieceGiven(row.name.text, row.mass.text, count, grade, bin_id)


def given(row: WeighRow, count: int) -> PieceGiven:
    """What was typed into a row."""
    grade, _, bin_id = row.place.text.partition("@")
    return PieceGiven(row.row.piece, row.mass.text, count, grade, bin_id, _answer(row))


def _answer(row: WeighRow) -> str:
    """The answer that a chosen place stands for; nothing where several answers, or none, send a piece there."""
    chosen = next((place for place in row.row.places if value_of(place) == row.place.text), None)
    return chosen.answers[0] if chosen and len(chosen.answers) == 1 else ""
