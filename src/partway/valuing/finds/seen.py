"""What the ledger has seen come out of finds of a kind: the openings from which a kind of one's own is made."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from partway.catalogue.seen import SeenOpening, SeenPiece
from partway.ledger.book import Book
from partway.ledger.events.effects import RESIDUE
from partway.ledger.events.kinds import Opened
from partway.ledger.fold import standing
from partway.ledger.fold.standing import FindNow
from partway.things.traits import said_kind, shown_name
from partway.valuing.known import estimates_of

KG = 1e-6  # of a milligram
WHOLE, WASTE = "whole", "waste"


def openings_of(book: Book, kind: str) -> tuple[SeenOpening, ...]:
    """One for each find of a kind, or of what somebody called by its name, that was opened and weighed."""
    finds = [s for (s, _), of in sorted(book.facts("find:", "kind").items()) if said_kind(of) == said_kind(kind)]
    found = (opening_of(book, subject[5:]) for subject in finds)
    return tuple(opening for opening in found if opening is not None)


def is_new_kind(book: Book, now: FindNow) -> bool:
    """Whether no catalogue knows what a find is, and its pieces were weighed: then they are offered as a kind."""
    known, called = estimates_of(book), said_kind(now.kind)
    if known.knows(called) or (known.knows(now.kind) and not known.anatomy(now.kind).guessed):
        return False
    return opening_of(book, now.id) is not None


def opening_of(book: Book, find: str) -> SeenOpening | None:
    """What came out of a find so far; None where nothing was weighed, or it was put away or given up whole."""
    voided, subject = book.voided(), f"find:{find}"
    done = [e.what for e in book.events(("opened",), subject) if e.id not in voided and isinstance(e.what, Opened)]
    done = [what for what in done if what.find == find and not what.gives_up]
    pieces = [piece for what in done for piece in what.pieces]
    if not pieces or any(piece.piece == WHOLE for piece in pieces):
        return None
    named = [p for p in pieces if (p.piece, p.grade) != (RESIDUE, RESIDUE)]
    waste = sum(what.residue_mg for what in done) + sum(p.mass_mg for p in pieces if p not in named)
    seen = _together(SeenPiece(p.piece, shown_name(p.piece), p.count, p.mass_mg * KG, p.grade) for p in named)
    if not any(piece.kg for piece in seen):
        return None
    if waste:
        seen = (*seen, SeenPiece(WASTE, "Residue", 1, waste * KG, RESIDUE))
    count, lost = standing.find(book, find).count, sum(what.loss_mg for what in done)
    return SeenOpening(seen, max(1, count), sum(what.minutes for what in done), lost * KG)


def _together(pieces: Iterable[SeenPiece]) -> tuple[SeenPiece, ...]:
    """Pieces of one sort as one, at the grade that most of their mass went to."""
    found: dict[str, SeenPiece] = {}
    for piece in pieces:
        was = found.get(piece.id)
        grade = piece.grade if was is None or piece.kg > was.kg else was.grade
        count, kg = (piece.count, piece.kg) if was is None else (was.count + piece.count, was.kg + piece.kg)
        found[piece.id] = replace(piece, count=count, kg=kg, grade=grade)
    return tuple(found.values())
