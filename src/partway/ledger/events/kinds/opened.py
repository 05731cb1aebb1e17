"""A find is opened: what came out of it, by which operations, and what was lost."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, ClassVar

from partway.ledger.events.effects import LOSS, RESIDUE, Effects
from partway.ledger.events.event import Event
from partway.ledger.events.meaning import closed, entries, moves, top_up
from partway.ledger.events.payload import Payload, PayloadRow
from partway.ledger.events.sorts import (
    BinId,
    Count,
    FindId,
    GradeId,
    Id,
    Mass,
    MassBefore,
    Minutes,
    Since,
)


@dataclass(frozen=True, slots=True)
class PieceOut(PayloadRow):
    """Pieces of one sort put into a bin together."""

    WORDS: ClassVar[str] = "{piece} {mass_mg} into {bin}"

    piece: Id
    count: Count
    grade: GradeId
    bin: BinId
    mass_mg: Mass


@dataclass(frozen=True, slots=True)
class Run(PayloadRow):
    """An operation run so many times on a piece."""

    piece: Id
    operation: Id
    times: Count = 1


@dataclass(frozen=True, slots=True)
class AnswerSeen(PayloadRow):
    """What so many of a piece turned out to be when somebody looked: an answer to the question about it."""

    WORDS: ClassVar[str] = "[{count} × ]{piece} {answer}"

    piece: Id
    answer: Id
    count: Count = 1


@dataclass(frozen=True, slots=True)
class Opened(Payload):
    """A find opened, wholly or in part.

    `was_mg` is what the ledger had in the find before. What came out and was lost leaves it; an unweighed find is taken
    to have weighed what came out of it. `closes` says that nothing of the find is left. `answers` are what was seen of
    pieces that are asked about; nothing of those at which nobody looked.
    """

    KIND: ClassVar[str] = "opened"
    WORDS: ClassVar[str] = (
        "{find} opened[ in {minutes}]: [{pieces}|nothing weighed][, {residue_mg} residue][, {loss_mg} loss]"
        "[; seen: {answers}]"
    )
    RESTS: ClassVar[bool] = True
    ALONG: ClassVar[tuple[str, ...]] = ("weighed",)

    find: FindId
    pieces: tuple[PieceOut, ...]
    was_mg: MassBefore
    runs: tuple[Run, ...] = ()
    minutes: Minutes = 0
    residue_mg: Mass = 0
    loss_mg: Mass = 0
    closes: bool = True
    answers: Annotated[tuple[AnswerSeen, ...], Since(6)] = ()

    @property
    def gives_up(self) -> bool:
        """Whether nothing was taken apart: all of it went into a bin of residue, as somebody said who discarded it."""
        return self.closes and not self.runs and [piece.grade for piece in self.pieces] == [RESIDUE]

    def words(self) -> str:
        """One that gave the find up is said so."""
        if self.gives_up:
            return "{find} given up into {pieces.bin}, {pieces.mass_mg}"
        return self.WORDS if self.closes else self.WORDS + "; not yet all"

    def effects(self, event: Event) -> Effects:
        """Each piece into its bin, the rest to residue and loss; the minutes at the bench."""
        find = f"find:{self.find}"
        out = sum(piece.mass_mg for piece in self.pieces) + self.residue_mg + self.loss_mg
        return Effects(
            moves=moves(
                top_up(find, self.was_mg, out),
                *((find, f"bin:{piece.bin}", piece.grade, piece.mass_mg) for piece in self.pieces),
                (find, RESIDUE, "", self.residue_mg),
                (find, LOSS, "", self.loss_mg),
            ),
            facts=closed(find, self.closes),
            entries=entries(("minutes:bench", Decimal(self.minutes), self.find)),
        )
