"""Pieces whose sort shows only in the hand: the question, and a piece for each answer.

"Scratch the winding: red or silver?" takes nothing apart, yet it parts what many finds give: so many are copper, so
many aluminium. So a question is an operation that gives every answer, each with its share of finds, and all that counts
with operations (depth, plan, checks) counts with it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from partway.catalogue.checks.graph import Flaw
from partway.quantities import shown
from partway.things.anatomy import Gives, Operation
from partway.things.traits import shown_name

if TYPE_CHECKING:
    from partway.catalogue.reading.forms import PieceAnswerForm, PieceForm

TELL = "tell"


def answer_id(piece: str, answer: str) -> str:
    """The id of the piece that an answer stands for."""
    return f"{piece}.{answer}"


def with_answers(rows: Sequence[PieceForm]) -> dict[str, PieceForm]:
    """All pieces by id, those that answers stand for right behind the piece that is asked about."""
    found = {}
    for row in rows:
        found[row.id] = row
        found.update({answer_id(row.id, one.answer): _piece(row, one) for one in row.either or ()})
    return found


def spoken_answers(rows: Sequence[PieceForm]) -> dict[str, str]:
    """What each answer is called, of each piece that an answer stands for."""
    return {answer_id(row.id, one.answer): one.name for row in rows for one in row.either or ()}


def chances(rows: Sequence[PieceForm]) -> dict[str, tuple[str, float]]:
    """Of each piece that an answer stands for: the piece asked about, and how many of many of those are so."""
    return {answer_id(row.id, one.answer): (row.id, one.chance) for row in rows for one in row.either or ()}


def shares(rows: Sequence[PieceForm], operations: Sequence[Operation], order: Sequence[str]) -> dict[str, float]:
    """How many of many finds have each piece: all, but for answers and what comes out of them.

    `order` has each piece behind all that it comes out of.
    """
    asked = chances(rows)
    found: dict[str, float] = {}
    for piece, answer in answers_behind(rows, operations, order).items():
        if piece in asked:
            of, chance = asked[piece]
            found[piece] = found[of] * chance
        else:
            found[piece] = found[min(answer)] if answer else 1.0
    return found


def answers_behind(
    rows: Sequence[PieceForm], operations: Sequence[Operation], order: Sequence[str]
) -> dict[str, frozenset[str]]:
    """Of each piece: the last answer on the way to it; several where ways over different answers lead there."""
    asked = chances(rows)
    found: dict[str, frozenset[str]] = {}
    ways: dict[str, set[str]] = {}
    for operation in operations:
        for gives in operation.gives:
            ways.setdefault(gives.piece, set()).add(operation.on)
    for piece in order:
        came = frozenset().union(*(found[on] or {""} for on in ways.get(piece, ())))
        found[piece] = frozenset({piece}) if piece in asked else came if came != {""} else frozenset()
    return found


def questions(rows: Sequence[PieceForm]) -> list[Operation]:
    """The operations that ask, one for each piece that has answers."""
    return [
        Operation(
            id=f"{row.id}.{TELL}",
            name=row.ask or "",
            on=row.id,
            minutes=row.ask_minutes,
            gives=tuple(Gives(answer_id(row.id, one.answer)) for one in row.either),
            cautions=tuple(row.ask_cautions),
            loss=0.0,
            asks=True,
        )
        for row in rows
        if row.either
    ]


def question_flaws(rows: Sequence[PieceForm], root: str) -> list[Flaw]:
    """A question without answers, answers without a question, and chances that do not add up to 1."""
    return [flaw for row in rows for flaw in _flaws(row, f"{root}.piece[{row.id}]")]


def work_flaws(operations: Sequence[Operation], rows: Sequence[PieceForm], root: str) -> list[Flaw]:
    """Operations that give an answer: only its question does."""
    answers = chances(rows)
    return [
        Flaw(
            shown(gives.piece),
            f"no answer among the pieces: it is what {shown(answers[gives.piece][0])} turns out to be",
            f"{root}.operation[{operation.id}].gives",
            gives.piece,
        )
        for operation in operations
        for gives in operation.gives
        if gives.piece in answers
    ]


def way_flaws(
    rows: Sequence[PieceForm], operations: Sequence[Operation], order: Sequence[str], root: str
) -> list[Flaw]:
    """Pieces that come out of an answer and of something else as well: nobody could tell how many finds have them."""
    return [
        Flaw(
            f"a piece out of {' and of '.join(shown(one) if one else 'other pieces' for one in sorted(behind))}",
            "what comes out of an answer to come out of nothing else",
            f"{root}.piece[{piece}]",
            piece,
        )
        for piece, behind in answers_behind(rows, operations, order).items()
        if len(behind) > 1
    ]


def _flaws(row: PieceForm, place: str) -> list[Flaw]:
    answers = [one.answer for one in row.either or ()]
    if bool(row.ask) != bool(answers):
        given = "a question" if row.ask else "answers"
        return [Flaw(f"{given} alone", "both `ask` and `either`", place, row.id)]
    if not answers:
        return []
    found = []
    if len(set(answers)) < len(answers):
        found.append(Flaw(", ".join(map(shown, answers)), "each answer once", f"{place}.either", row.id))
    total = math.fsum(one.chance for one in row.either or ())
    if not math.isclose(total, 1.0, abs_tol=1e-9):
        found.append(Flaw(f"chances of {total:g} together", "chances that add up to 1", f"{place}.either", row.id))
    if row.like is not None:
        found.append(Flaw(shown(row.like), "`like` at each answer, not at the piece asked about", place, row.id))
    return found


def _piece(row: PieceForm, one: PieceAnswerForm) -> PieceForm:
    """An answer as a piece, as heavy as the piece asked about."""
    from partway.catalogue.reading.forms import PieceForm

    name = f"{row.name or shown_name(row.id)}, {one.name}"
    given = {field: getattr(one, field) for field in ("like", "sells", "parts", "stop", "note")}
    return PieceForm.model_construct(id=answer_id(row.id, one.answer), name=name, **given)
