"""A mass far from one's own other weighings is asked about before it is recorded: a slip that is in is learned from."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from partway.actions.recording.questions import Asked
from partway.actions.recording.words import mass
from partway.catalogue import Catalogue
from partway.ledger.book import Book
from partway.things.anatomy import Anatomy
from partway.valuing.learned.estimates import Slip, slip_in, usual_range
from partway.valuing.learned.masses import log_of, masses_known
from partway.valuing.learned.seen import seen_in

ENOUGH = 3  # own weighings of a piece: against an estimate alone nobody is asked
MG = 1e6  # milligrams of a kilogram


@dataclass(frozen=True, slots=True)
class OnScale:
    """Pieces of one sort on the scale, together `mg`; `find_kg` is what one of their finds weighed, None unweighed."""

    piece: str
    mg: int
    count: int
    find_kg: float | None = None


def check_slips(book: Book, known: Catalogue, kind: str, weighed: Iterable[OnScale], sure: object) -> None:
    """Raises Asked for a mass that looks like a slip, unless somebody is sure of it. `known` has the estimates."""
    if sure or not known.knows(kind):
        return
    seen = seen_in(book).of(kind)
    if len(seen.wholes) < ENOUGH and len(seen.pieces) < ENOUGH:
        return
    anatomy = known.anatomy(kind)
    of = masses_known(anatomy, seen)
    usual = math.exp(of[anatomy.whole.id].known.mean)
    for one in weighed:
        if one.mg > 0 and one.piece in of and of[one.piece].count >= ENOUGH:
            heavier = 1.0 if one.find_kg is None else one.find_kg / usual
            slip = slip_in(of[one.piece].known, log_of(one.mg / MG / one.count, one.find_kg, usual))
            if slip is not None:
                low, high = (round(kg * heavier * MG) for kg in usual_range(of[one.piece].known))
                raise _asked(book, anatomy, one, slip, f"{mass(book, low)} to {mass(book, high)}")


def _asked(book: Book, anatomy: Anatomy, one: OnScale, slip: Slip, most: str) -> Asked:
    whole = one.piece == anatomy.whole.id
    name = (anatomy.name if whole else anatomy.piece(one.piece).name).lower()
    given = f"{mass(book, one.mg // one.count)} for one {name}"
    why = f": {slip.why} mixed up?" if " and " in slip.why else f": {slip.why} too many?" if slip.why else ""
    expected = f"what most of yours weigh, {most}{why}"
    where = "mass" if whole else f"piece {one.piece}"
    return Asked(given, expected, where, "sure", (("yes", "it is right, record it"),))
