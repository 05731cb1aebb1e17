"""One's own photographs where a drawing would stand: of a kind's pieces, and of what grades are made of."""

from __future__ import annotations

from collections.abc import Mapping

from partway.ledger.book import Book
from partway.ledger.fold.standing import BinNow
from partway.ledger.pictures import newest_pictured
from partway.things.scenario import KnownKinds


def grades_pictured(book: Book, bins: Mapping[str, BinNow], known: KnownKinds) -> dict[str, str]:
    """The latest photograph of each grade that has one: of what is in a bin of it, else of a piece that goes into that
    grade and no other.
    """
    of_bins: dict[str, str] = {}
    of_pieces: dict[str, str] = {}
    for what in newest_pictured(book):
        if what.bin and what.bin in bins:
            of_bins.setdefault(bins[what.bin].grade, what.picture)
        elif what.kind and (grade := _only_grade(known, what.kind, what.piece)):
            of_pieces.setdefault(grade, what.picture)
    return of_pieces | of_bins


def _only_grade(known: KnownKinds, kind: str, piece: str) -> str:
    """The one grade that a piece may be sold as; empty where there are several, or the piece is not known any more."""
    pieces = known.anatomy(kind).pieces if known.knows(kind) else ()
    grades = {sale.grade for one in pieces if one.id == piece for sale in one.sells}
    return grades.pop() if len(grades) == 1 else ""
