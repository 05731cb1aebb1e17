"""Answers to questions about pieces, apart from their worth, so that whoever records or lists them needs no arrays."""

from __future__ import annotations

from partway.things.anatomy import Anatomy, Piece
from partway.valuing.finds.facts import OnlyIf


def bin_of(answer: Piece) -> str:
    """The grade of the bin: the first the answer sells as; empty where it goes into none."""
    return answer.sells[0].grade if answer.sells else ""


def condition_of(anatomy: Anatomy, piece: str) -> OnlyIf | None:
    """The answer that a piece is or comes out of, with its share of all finds; None where every find has the piece."""
    answer = anatomy.answer_of(piece)
    return None if answer is None else OnlyIf(answer.answer, answer.share)
