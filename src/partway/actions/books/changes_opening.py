"""An opening said anew: what its pieces weigh, what was residue and what was lost, held to the mass balance."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from partway.actions.bench.opening import Balance, into_bins, scale_steps
from partway.actions.bench.pieces import Placing
from partway.actions.bench.runs import loss_share
from partway.actions.recording import reading
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.events.effects import RESIDUE
from partway.ledger.events.kinds import Opened, Payload, PieceOut
from partway.ledger.fold import standing
from partway.valuing.known import anatomy_of_find

ROW = re.compile(r"piece_?([1-9]\d{0,2})")


def row_of(what: Opened, name: str, where: str = "set") -> int | None:
    """Which piece a field names: by its id where only one goes by it, else piece1, piece2 and so on."""
    match = ROW.fullmatch(name)
    if match is not None:
        if int(match[1]) > len(what.pieces):
            raise Refused(f'"{name}"', f"piece1 to piece{len(what.pieces)}", where)
        return int(match[1]) - 1
    rows = [n for n, piece in enumerate(what.pieces) if piece.piece.replace("-", "_") == name]
    if len(rows) > 1:
        expected = " or ".join(f"piece{n + 1}" for n in rows)
        raise Refused(f'"{name}", of which the opening has {len(rows)}', expected, where)
    return rows[0] if rows else None


def changed_opening(
    book: Book, what: Opened, after: Opened, masses: Mapping[int, str], said: frozenset[str], gap: str | None
) -> tuple[tuple[Payload, ...], Opened]:
    """The opening with other masses of its pieces by row, `after` being what its plain fields say by now, and what is
    to be recorded before it. A find that was closed stays closed where its masses add up, and is asked about where they
    do not, as when it was opened.
    """
    pieces = list(after.pieces)
    for row, text in masses.items():
        mg = reading.mass_mg(book, text, pieces[row].piece, positive=False)
        pieces[row] = replace(pieces[row], mass_mg=mg)
    anatomy = anatomy_of_find(book, standing.find(book, what.find))
    opened = replace(after, pieces=_weighing(pieces), was_mg=_was(book, what))
    allowed = int(loss_share(anatomy, opened.runs) * opened.was_mg) + scale_steps(book, 1 + len(pieces))
    first: tuple[Payload, ...] = ()
    if opened.closes:
        worked_out = "loss" not in said and opened.loss_mg <= allowed  # it follows from the masses, within the balance
        closed = Balance(book, replace(opened, loss_mg=0) if worked_out else opened, gap, allowed).closed()
        first, opened = closed.first, closed.opened
    if opened.residue_mg <= what.residue_mg:  # an older opening keeps its residue where it was
        return first, opened
    placing = Placing(book, anatomy, standing.bins(book), frozenset())
    more = replace(opened, residue_mg=opened.residue_mg - what.residue_mg)
    opened = replace(into_bins(more, placing), residue_mg=what.residue_mg)
    return (*placing.made, *first), replace(opened, pieces=_together(opened.pieces))


def _was(book: Book, what: Opened) -> int:
    """What was in the find, also where a later correction changed it: what is left in a closed find was in it too."""
    if not what.closes or what.was_mg == 0:
        return what.was_mg
    return what.was_mg + standing.find(book, what.find).mg


def _weighing(pieces: list[PieceOut]) -> tuple[PieceOut, ...]:
    """Pieces that weigh anything: one corrected to nothing did not come out."""
    return tuple(piece for piece in pieces if piece.mass_mg > 0)


def _together(pieces: tuple[PieceOut, ...]) -> tuple[PieceOut, ...]:
    """Residue of no piece in particular as one."""
    sums: dict[str, PieceOut] = {}
    others = []
    for piece in pieces:
        if piece.piece != RESIDUE:
            others.append(piece)
        else:
            known = sums.get(piece.bin)
            sums[piece.bin] = replace(piece, mass_mg=piece.mass_mg + known.mass_mg) if known else piece
    return (*others, *sums.values())
