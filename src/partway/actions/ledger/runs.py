"""Operations run on a find: in an order that its anatomy allows, required removals first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from uuid import UUID

from partway.actions.ledger import reading
from partway.catalogue import shipped
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.effects import RESIDUE
from partway.ledger.payloads import Opened, Parted, Run
from partway.ledger.standing import FindNow
from partway.things.anatomy import Anatomy, Operation


def runs_of(anatomy: Anatomy, given: Sequence[str], times: int, before: Sequence[Run]) -> tuple[Run, ...]:
    """The operations named, each on all of a piece that are there by then, `times` whole ones. Raises Refused."""
    done = [*before]
    for name in given:
        operation = _operation(anatomy, name)
        _check_there(anatomy, operation, done)
        _check_required(anatomy, operation, done)
        done.append(Run(operation.on, operation.id, yields(anatomy, done).get(operation.on, times)))
    return tuple(done[len(before) :])


@dataclass(frozen=True, slots=True)
class Before:
    """What was done to a find before: operations, how many of it are still whole, and whether that is known.

    `known` is False after an opening that named no operation on the whole. `gone` counts the pieces that went into
    bins or were sold; what went to residue has no count.
    """

    runs: tuple[Run, ...]
    whole: int
    known: bool
    gone: Mapping[str, int] = field(default_factory=dict)


def untouched(find: FindNow) -> Before:
    """What there is of a find that nothing was done to."""
    return Before((), find.count, known=True)


def before(book: Book, find: FindNow, voided: Collection[UUID] | None = None) -> Before:
    """What openings and sales have left of a find; `voided` where it is known already."""
    whole_id = shipped().anatomy(find.kind).whole.id
    runs: list[Run] = []
    taken, known = 0, True
    gone: Counter[str] = Counter()
    for payload in _done(book, find.id, book.voided() if voided is None else voided):
        if isinstance(payload, Parted):
            taken += payload.count if payload.what == whole_id else 0
            gone[payload.what] += payload.count
            continue
        runs += payload.runs
        opened = sum(run.times for run in payload.runs if run.piece == whole_id)
        opened += sum(piece.count for piece in payload.pieces if piece.piece == whole_id)
        for piece in payload.pieces:
            gone[piece.piece] += piece.count if piece.grade != RESIDUE else 0
        taken += opened
        known = known and (opened > 0 or any(run.piece == whole_id for run in runs))
    return Before(tuple(runs), max(0, find.count - taken), known, gone)


def _done(book: Book, find: str, voided: Collection[UUID]) -> Iterator[Opened | Parted]:
    for event in book.events(("opened", "sold"), f"find:{find}"):
        if event.id not in voided and isinstance(event.what, (Opened, Parted)) and event.what.find == find:
            yield event.what


def removed(anatomy: Anatomy, done: Sequence[Run]) -> frozenset[str]:
    """Pieces on which every required operation has been run."""
    run = {r.operation for r in done}
    required = [op for op in anatomy.operations if op.required]
    return frozenset(op.on for op in required if all(o.id in run for o in required if o.on == op.on))


def yields(anatomy: Anatomy, done: Sequence[Run]) -> dict[str, int]:
    """How many of each piece the operations give."""
    found: dict[str, int] = {}
    operations = {op.id: op for op in anatomy.operations}
    for run in done:
        for give in operations[run.operation].gives:
            found[give.piece] = found.get(give.piece, 0) + give.count * run.times
    return found


def loss_share(anatomy: Anatomy, runs: Sequence[Run]) -> float:
    """The share of a find that may go missing: the largest that the operations state, all of them if none was named."""
    named = {run.operation for run in runs}
    return max((op.loss for op in anatomy.operations if not named or op.id in named), default=0.0)


def _operation(anatomy: Anatomy, name: str) -> Operation:
    ids = {op.id: op for op in anatomy.operations}
    return ids[reading.one_of(name, ids, f"operation on {anatomy.name.lower()}", "op")]


def _check_there(anatomy: Anatomy, operation: Operation, done: Sequence[Run]) -> None:
    if operation.on == anatomy.whole.id or operation.on in yields(anatomy, done):
        return
    makers = [op.id for op in anatomy.operations if any(give.piece == operation.on for give in op.gives)]
    expected = f"first the operation that takes out {operation.on}: {' or '.join(makers)}"
    raise Refused(operation.id, expected, "op")


def _check_required(anatomy: Anatomy, operation: Operation, done: Sequence[Run]) -> None:
    run = {r.operation for r in done}
    missing = [op for op in anatomy.operations_on(operation.on) if op.required and op.id not in run]
    if missing and not operation.required:
        raise Refused(operation.id, f"first {missing[0].id}: {missing[0].name}", "op")
