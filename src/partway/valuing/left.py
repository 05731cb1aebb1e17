"""What openings and sales have left of a find."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from uuid import UUID

from partway.ledger.book import Book
from partway.ledger.events.effects import RESIDUE
from partway.ledger.events.kinds import AnswerSeen, Opened, Parted, Returned, Run
from partway.ledger.fold.standing import FindNow
from partway.valuing.known import estimates_of


@dataclass(frozen=True, slots=True)
class Before:
    """What was done to a find before: operations, how many of it are still whole, and whether that is known.

    `known` is False after an opening that named no operation on the whole, or one that the catalogue has no more.
    `gone` counts the pieces that went into bins or were sold; what went to residue has no count. `answers` were seen.
    """

    runs: tuple[Run, ...]
    whole: int
    known: bool
    gone: Mapping[str, int] = field(default_factory=dict)
    answers: tuple[AnswerSeen, ...] = ()


def untouched(find: FindNow) -> Before:
    """What there is of a find that nothing was done to."""
    return Before((), find.count, known=True)


def before(book: Book, find: FindNow, voided: Collection[UUID] | None = None) -> Before:
    """What openings and sales have left of a find; `voided` where it is known already."""
    anatomy = estimates_of(book).anatomy(find.kind)
    whole_id, operations = anatomy.whole.id, {operation.id for operation in anatomy.operations}
    runs: list[Run] = []
    answers: list[AnswerSeen] = []
    taken, known = 0, True
    gone: Counter[str] = Counter()
    for payload in _done(book, find.id, book.voided() if voided is None else voided):
        if isinstance(payload, Parted):
            taken += payload.count if payload.what == whole_id else 0
            gone[payload.what] += payload.count
            continue
        if isinstance(payload, Returned):
            if payload.bin is None:
                taken -= payload.count if payload.what == whole_id else 0
                gone[payload.what] -= payload.count
            continue
        runs += payload.runs
        answers += payload.answers
        opened = sum(run.times for run in payload.runs if run.piece == whole_id)
        opened += sum(piece.count for piece in payload.pieces if piece.piece == whole_id)
        for piece in payload.pieces:
            gone[piece.piece] += piece.count if piece.grade != RESIDUE else 0
        taken += opened
        known = known and (opened > 0 or any(run.piece == whole_id for run in runs))
    known = known and all(run.operation in operations for run in runs)
    return Before(tuple(runs), max(0, find.count - taken), known, gone, tuple(answers))


def _done(book: Book, find: str, voided: Collection[UUID]) -> Iterator[Opened | Parted | Returned]:
    for event in book.events(("opened", "sold", "returned"), f"find:{find}"):
        what = event.what
        if event.id not in voided and isinstance(what, (Opened, Parted, Returned)) and what.find == find:
            yield what
