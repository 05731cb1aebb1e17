"""The mass balance of an opening while it is typed: texts read one by one, nothing refused and nothing recorded."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from partway.actions.bench.benching import waits
from partway.actions.bench.opening import scale_steps
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bench.runs import loss_share, runs_of
from partway.actions.recording import reading
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.events.effects import RESIDUE
from partway.ledger.events.kinds import Run
from partway.ledger.fold.standing import FindNow
from partway.reports.bench.balance_typed import MassBalance, TypedPiece, balance_typed
from partway.things.anatomy import Anatomy
from partway.things.estimate import Estimate
from partway.valuing.finds.waiting import WaitingFind
from partway.valuing.known import catalogue_of
from partway.valuing.left import before


def balance(
    book: Book,
    now: FindNow,
    given: Sequence[PieceGiven],
    operations: Sequence[str] = (),
    residue: str = "",
    loss: str = "",
) -> MassBalance:
    """What was typed so far against what was in the find."""
    known = catalogue_of(book)
    anatomy = known.anatomy(now.kind)
    past = before(book, now)
    found = waits(known, now, past, now.found.date(), dt.UTC)  # how long it waits is not asked here
    scale = _scale(anatomy, found) if isinstance(found, WaitingFind) else None
    typed = [_typed(book, anatomy, one, scale) for one in given]
    rest = [
        _typed(book, anatomy, PieceGiven(name, text), None) for name, text in (("residue", residue), ("loss", loss))
    ]
    weighings = 1 + sum(1 for one in typed if one.mg) + bool(rest[0].mg)
    allowed = int(loss_share(anatomy, _runs(anatomy, operations, past.whole, past.runs)) * now.mg)
    return balance_typed(
        now.mg or None,
        [*typed, *(one for one in rest if one.wrong)],
        rest[0].mg or 0,
        rest[1].mg or 0,
        allowed + scale_steps(book, weighings),
    )


def _typed(book: Book, anatomy: Anatomy, given: PieceGiven, scale: float | None) -> TypedPiece:
    text = str(given.mass).strip()
    usual = {piece.id: piece.mass for piece in anatomy.pieces}.get(given.piece)
    expected = None if usual is None or scale is None else _times(usual, scale * given.count)
    to_residue = given.grade == RESIDUE
    if not text:
        return TypedPiece(given.piece, None, "", expected, to_residue)
    try:
        mg = reading.mass_mg(book, text, given.piece)
    except Refused as refused:
        return TypedPiece(given.piece, None, f"{refused.given}: expected {refused.expected}", expected, to_residue)
    return TypedPiece(given.piece, mg, "", expected, to_residue)


def _times(usual: Estimate, factor: float) -> Estimate:
    return usual.scaled(max(0.0, factor))


def _scale(anatomy: Anatomy, found: WaitingFind) -> float:
    """How much heavier than usual the find is by what is left of it; 1 where it was not weighed."""
    if found.mass_kg is None:
        return 1.0
    pieces = found.pieces if found.partly else ((anatomy.whole.id, 1),)
    return found.mass_kg / sum(count * anatomy.piece(piece).mass.mean for piece, count in pieces)


def _runs(anatomy: Anatomy, operations: Sequence[str], whole: int, done: Sequence[Run]) -> tuple[Run, ...]:
    """The operations as far as they can be run; none while they cannot."""
    try:
        return runs_of(anatomy, operations, max(1, whole), done)
    except Refused:
        return ()
