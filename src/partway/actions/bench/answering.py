"""What was seen of pieces that are asked about: as it was said, and as it is plain from what was done with them.

A piece named by an answer (winding.copper) was looked at, and so was one on which an operation was run that only this
answer has. A grade alone says nothing: a piece goes as some grade also where nobody looked.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from partway.actions.bench.pieces import PieceGiven, piece_named
from partway.errors import Refused
from partway.ledger.events.kinds import AnswerSeen, Run
from partway.quantities import shown
from partway.things.anatomy import Anatomy, Piece

WRITTEN = re.compile(r"(?:(?P<count>\d{1,6})\s*[x×]\s*)?(?P<piece>[^=]+)=(?P<answer>[^=]+)")
WHERE = "answer"

Seen = Counter[tuple[str, str]]  # by piece and answer


@dataclass(frozen=True, slots=True)
class AnswerGiven:
    """What so many of a piece turned out to be, as somebody says it."""

    piece: str
    answer: str
    count: int = 1


def answer_given(text: str) -> AnswerGiven:
    """Read "winding=copper" or "2x winding=aluminium". Raises Refused."""
    match = WRITTEN.fullmatch(text.strip())
    if match is None or match["count"] == "0":
        raise Refused(shown(text), 'PIECE=ANSWER, such as winding=copper or "2x winding=copper"', WHERE)
    return AnswerGiven(match["piece"].strip(), match["answer"].strip(), int(match["count"] or 1))


def answers_seen(
    anatomy: Anatomy,
    said: Iterable[AnswerGiven],
    pieces: Sequence[PieceGiven],
    runs: Sequence[Run],
    earlier: Iterable[AnswerSeen],
    there: int,
) -> tuple[AnswerSeen, ...]:
    """The answers of an opening of `there` finds; `earlier` are those of openings before. What was said of a piece
    outranks what follows for it. Raises Refused for what nobody asks.
    """
    told: Seen = Counter()
    for one in said:
        told[_answer(anatomy, one.piece, one.answer)] += one.count
    _check_counts(anatomy, told, there)
    asked = {piece for piece, _ in told}
    plain: Seen = Counter()
    for key, count in (*_named(anatomy, pieces), *_by_runs(anatomy, runs, earlier)):
        if key[0] not in asked:
            plain[key] += count
    return tuple(AnswerSeen(piece, answer, count) for (piece, answer), count in sorted((told | plain).items()))


def _answer(anatomy: Anatomy, piece: str, answer: str) -> tuple[str, str]:
    """The piece asked about and the answer, by its id or as it is said in words."""
    named = piece_named(anatomy, piece)
    named = named if named.answer_to is None else anatomy.in_hand(named.id)
    found = anatomy.answers_to(named.id)
    if not found:
        raise Refused(shown(piece), f"a piece that is asked about: {_asked(anatomy)}", WHERE)
    wanted = answer.strip().casefold()
    for one in found:
        if wanted in (answer_of(one), one.id.casefold(), one.answer.casefold()):
            return named.id, answer_of(one)
    choices = " or ".join(f"{answer_of(one)} ({one.answer})" for one in found)
    raise Refused(f"{shown(answer)} of {named.id}", choices, WHERE)


def answer_of(piece: Piece) -> str:
    """The id of an answer, as its piece has it: copper, of winding.copper."""
    return piece.id.removeprefix(f"{piece.answer_to}.")


def _asked(anatomy: Anatomy) -> str:
    ids = dict.fromkeys(piece.answer_to for piece in anatomy.pieces if piece.answer_to)
    return ", ".join(ids) or f"none, in {anatomy.name.lower()}"


def _named(anatomy: Anatomy, pieces: Iterable[PieceGiven]) -> Iterator[tuple[tuple[str, str], int]]:
    """Pieces that go by the name of an answer, or into a place that is that of one answer."""
    for given in pieces:
        piece = piece_named(anatomy, given.piece)
        if piece.answer_to is not None:
            yield (piece.answer_to, answer_of(piece)), given.count
        elif given.answer:
            yield _answer(anatomy, piece.id, given.answer), given.count


def _by_runs(
    anatomy: Anatomy, runs: Iterable[Run], earlier: Iterable[AnswerSeen]
) -> Iterator[tuple[tuple[str, str], int]]:
    """Operations that only one answer has; a piece that was looked at before it was opened counts once."""
    operations = {op.id: op for op in anatomy.operations}
    known: Seen = Counter()
    for one in earlier:
        known[one.piece, one.answer] += one.count
    for run in runs:
        on = anatomy.piece(operations[run.operation].on)
        if on.answer_to is None:
            continue
        key = (on.answer_to, answer_of(on))
        more = run.times - known[key]
        known[key] = max(0, -more)
        if more > 0:
            yield key, more


def _check_counts(anatomy: Anatomy, told: Seen, there: int) -> None:
    """No more answers than there can be pieces."""
    for piece in {piece for piece, _ in told}:
        count = sum(n for (of, _), n in told.items() if of == piece)
        most = anatomy.most_of_one.get(piece, 0) * there
        if count > most:
            raise Refused(f"{count} × {piece}", f"at most {most}, as many as there are in {there} of them", WHERE)
