"""One [[anatomy]] made whole: names filled in, `like` expanded, "rest" worked out."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from partway.catalogue.checks.graph import edges_of, openings_of, repeated, shape_flaws, whole_first
from partway.catalogue.checks.masses import left_over, prefixed
from partway.catalogue.checks.steps import step_flaws
from partway.catalogue.reading.messages import at, suggestion
from partway.catalogue.reading.questions import (
    chances,
    question_flaws,
    questions,
    shares,
    spoken_answers,
    way_flaws,
    with_answers,
    work_flaws,
)
from partway.catalogue.reading.steps import with_steps
from partway.errors import BadCatalogue
from partway.quantities import shown
from partway.things.anatomy import Anatomy, Gives, Operation, Part, Piece, PublishedMass, SaleAs
from partway.things.estimate import Estimate
from partway.things.traits import shown_name

if TYPE_CHECKING:
    from partway.catalogue.reading.forms import AnatomyForm, OperationForm, PartForm, PieceForm, SaleForm

Components = Callable[[str], Anatomy]


def expanded(form: AnatomyForm, where: str, components: Components) -> Anatomy:
    """The anatomy a form stands for. Raises BadCatalogue where its graph or its rests do not hold."""
    return _Reading(form, where, components).anatomy()


@dataclass
class _Reading:
    """One [[anatomy]] on its way to an Anatomy."""

    form: AnatomyForm
    where: str
    components: Components

    @property
    def root(self) -> str:
        return f"anatomy[{self.form.kind}]"

    @cached_property
    def rows(self) -> dict[str, PieceForm]:
        """All pieces by id, the answers to questions among them, and what steps leave."""
        return {**with_answers(self.form.piece), **self._in_steps[1]}

    def anatomy(self) -> Anatomy:
        form = self.form
        own_work, asked = self._in_steps[0], questions(form.piece)
        operations = [*own_work, *asked]
        own = list(self.rows)
        if twice := repeated([row.id for row in form.piece]):
            own.append(twice)
        flaws = question_flaws(form.piece, self.root) + work_flaws(own_work, form.piece, self.root)
        for flaw in flaws or shape_flaws(self.root, own, openings_of(operations)):
            raise BadCatalogue(flaw.given, flaw.expected, at(self.where, flaw.place))
        order = whole_first(edges_of(self.rows, openings_of(operations)))
        for flaw in way_flaws(form.piece, operations, order, self.root):
            raise BadCatalogue(flaw.given, flaw.expected, at(self.where, flaw.place))
        pieces, inner_work, cautions = self._pieces(operations, order)
        return Anatomy(
            kind=form.kind,
            name=form.name or shown_name(form.kind),
            pieces=tuple(pieces),
            operations=_in_order(pieces, [*own_work, *asked, *inner_work]),
            family=form.family,
            cautions=tuple(dict.fromkeys((*form.cautions, *cautions))),
            works=form.works,
            test_minutes=form.test_minutes,
            published=tuple(PublishedMass(**dict(row)) for row in form.published),
            source=form.source,
            on=form.on,
            note=form.note,
            names=tuple(form.names),
            became=tuple(form.became),
        )

    @cached_property
    def _in_steps(self) -> tuple[list[Operation], dict[str, PieceForm]]:
        """The operations, those that come after others at what those leave, and the pieces left."""
        operations, rows = self._operations(), with_answers(self.form.piece)
        after = {op.id: row.after for op, row in zip(operations, self.form.operation, strict=True)}
        for flaw in step_flaws(operations, after, rows, self.root):
            raise BadCatalogue(flaw.given, flaw.expected, at(self.where, flaw.place))
        return with_steps(operations, after, rows)

    def _operations(self) -> list[Operation]:
        taken = {row.id for row in self.form.operation if row.id}
        operations = []
        for row in self.form.operation:
            name = row.id or _free(f"open-{row.on}", taken)
            taken.add(name)
            operations.append(_operation(row, name))
        return operations

    def _pieces(
        self, operations: Sequence[Operation], order: Sequence[str]
    ) -> tuple[list[Piece], list[Operation], list[str]]:
        """All pieces, the operations that came with components, and the cautions that came along."""
        likes = {row.id: self._component(row) for row in self.rows.values() if row.like is not None}
        masses = _Masses(self.form, self.rows, likes, operations, self.where).all()
        answers, said = chances(self.form.piece), spoken_answers(self.form.piece)
        share = shares(self.form.piece, operations, order)
        pieces: list[Piece] = []
        inside: list[Piece] = []  # of answers: behind the last one, so that answers stand together
        inner_work: list[Operation] = []
        cautions: list[str] = []
        for row in self.rows.values():
            component = likes.get(row.id)
            asked, _ = answers.get(row.id, (None, 1.0))
            if asked is None:
                pieces, inside = [*pieces, *inside], []
            piece = _piece(row, masses[row.id], component, self.form.parts_in)
            pieces.append(replace(piece, answer_to=asked, share=share[row.id], answer=said.get(row.id, "")))
            if component is not None:
                inner_pieces, inner_operations = prefixed(row.id, component, piece.mass)
                into = pieces if asked is None else inside
                into.extend(_inner(inner, piece, component, share[row.id]) for inner in inner_pieces)
                inner_work.extend(inner_operations)
                cautions.extend(component.cautions)
        return [*pieces, *inside], inner_work, cautions

    def _component(self, row: PieceForm) -> Anatomy:
        name = row.like or ""
        place = at(self.where, f"{self.root}.piece[{row.id}].like")
        try:
            component = self.components(name)
        except KeyError:
            known: Sequence[str] = getattr(self.components, "names", ())
            raise BadCatalogue(shown(name), f"a known component{suggestion(name, known)}", place) from None
        if row.id in chances(self.form.piece) and component.answers_to(component.whole.id):
            raise BadCatalogue(shown(name), "a component that is not asked about itself: all answers at once", place)
        return component


def _inner(inner: Piece, piece: Piece, component: Anatomy, share: float) -> Piece:
    """A piece of a component that `piece` is; what it may turn out to be as a whole goes by its name here."""
    name = inner.name
    if inner.answer_to == piece.id:
        name = piece.name + name.removeprefix(component.whole.name)
    return replace(inner, name=name, share=share * inner.share)


def _in_order(pieces: Sequence[Piece], operations: Sequence[Operation]) -> tuple[Operation, ...]:
    """Work first, then the questions in the order of the pieces asked about: an anatomy that was written whole, its
    components taken apart, is read in the same order.
    """
    place = {piece.id: i for i, piece in enumerate(pieces)}
    asks = sorted((op for op in operations if op.asks), key=lambda op: place[op.on])
    return (*(op for op in operations if not op.asks), *asks)


def _free(name: str, taken: set[str]) -> str:
    """The name, or the first of name-2, name-3, ... that is not taken."""
    number, free = 1, name
    while free in taken:
        number += 1
        free = f"{name}-{number}"
    return free


def _operation(row: OperationForm, name: str) -> Operation:
    return Operation(
        id=name,
        name=row.name or name.replace("-", " "),
        on=row.on,
        minutes=row.minutes,
        gives=tuple(Gives(g.piece, g.count) for g in row.gives),
        tools=tuple(row.tools),
        cautions=tuple(row.cautions),
        cost=row.cost,
        loss=row.loss,
        required=row.required,
        note=row.note,
    )


def _piece(row: PieceForm, mass: Estimate, component: Anatomy | None, parts_in: str) -> Piece:
    """A piece of the form; one that is a component takes from it what the form leaves out."""
    like = component.whole if component is not None else Piece(row.id, shown_name(row.id), mass)
    sells = like.sells if row.sells is None else tuple(map(_sale, row.sells))
    parts = like.parts
    if row.parts is not None:
        parts = tuple(_part(part, parts_in) for part in row.parts)
    return Piece(row.id, row.name or like.name, mass, sells, parts, row.stop or like.stop, row.note or like.note)


def _sale(form: SaleForm) -> SaleAs:
    return SaleAs.of(form.grade, form.share, form.before_required)


def _part(form: PartForm, parts_in: str) -> Part:
    fields = dict(form)
    price_in = fields.pop("price_in") or parts_in
    return Part(**fields, in_copper=price_in == "copper")


class _Masses:
    """The mass of each piece; a "rest" is what the operation that gives it leaves of the piece opened."""

    def __init__(
        self,
        form: AnatomyForm,
        rows: Mapping[str, PieceForm],
        likes: Mapping[str, Anatomy],
        operations: Sequence[Operation],
        where: str,
    ) -> None:
        self.rows = rows
        self.answers = chances(form.piece)
        self.likes = likes
        self.operations = operations
        self.place = at(where, f"anatomy[{form.kind}]")
        self.known: dict[str, Estimate] = {}

    def all(self) -> dict[str, Estimate]:
        """The masses of all pieces of an acyclic anatomy, wholes first. Raises BadCatalogue."""
        for piece in whole_first(edges_of(self.rows, openings_of(self.operations))):
            self._of(piece)
        return self.known

    def _of(self, piece: str) -> Estimate:
        if piece not in self.known:
            self.known[piece] = self._work_out(self.rows[piece])
        return self.known[piece]

    def _work_out(self, row: PieceForm) -> Estimate:
        if row.id in self.answers:
            asked, _ = self.answers[row.id]
            return self._of(asked)
        if isinstance(row.mass_kg, Estimate):
            return row.mass_kg
        if row.mass_kg is None and row.id in self.likes:
            return self.likes[row.id].whole.mass
        if row.mass_kg is None:
            raise self._refusal(row.id, "nothing", 'a mass: kg, [low, likely, high] or "rest"')
        rests = [self._rest(row.id, op) for op in self.operations if row.id in {g.piece for g in op.gives}]
        if not rests:
            raise self._refusal(row.id, '"rest"', "a mass in kg: no operation leaves this piece over")
        if any(abs(rest.mean - rests[0].mean) > 1e-6 * rests[0].mean for rest in rests):
            raise self._refusal(row.id, '"rest"', "a mass in kg: two operations leave different rests")
        return rests[0]

    def _rest(self, piece: str, operation: Operation) -> Estimate:
        others = [gives for gives in operation.gives if gives.piece != piece]
        for gives in others:
            if self.rows[gives.piece].mass_kg == "rest":
                expected = f'one "rest" in operation {shown(operation.id)}, not also {shown(gives.piece)}'
                raise self._refusal(piece, '"rest"', expected)
        left = left_over(self._of(operation.on), [(self._of(gives.piece), gives.count) for gives in others])
        if isinstance(left, tuple):
            given = "a rest of {:.4g} / {:.4g} / {:.4g} kg".format(*left)
            expected = f"more than 0 kg left of {shown(operation.on)} at low, likely and high"
            raise self._refusal(piece, given, expected)
        count = next(gives.count for gives in operation.gives if gives.piece == piece)
        return left.scaled(1.0 / count)

    def _refusal(self, piece: str, given: str, expected: str) -> BadCatalogue:
        return BadCatalogue(given, expected, f"{self.place}.piece[{piece}].mass_kg")
