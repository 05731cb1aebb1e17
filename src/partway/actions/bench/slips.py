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

ENOUGH = 3  # own weighings of a piece, from which on they are what a mass is held against
BEYOND = 10.0  # times what a kind weighs at most or at least: held against its estimate alone, for a find of a kind
SURE = (("yes", "it is right, record it"),)
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
    seen, anatomy = seen_in(book).of(kind), known.anatomy(kind)
    weighed = list(weighed)
    if len(seen.wholes) < ENOUGH:
        _check_absurd(book, anatomy, weighed)
    if len(seen.wholes) < ENOUGH and len(seen.pieces) < ENOUGH:
        return
    of = masses_known(anatomy, seen)
    usual = math.exp(of[anatomy.whole.id].known.mean)
    for one in weighed:
        if one.mg > 0 and one.piece in of and of[one.piece].count >= ENOUGH:
            heavier = 1.0 if one.find_kg is None else one.find_kg / usual
            slip = slip_in(of[one.piece].known, log_of(one.mg / MG / one.count, one.find_kg, usual))
            if slip is not None:
                low, high = (round(kg * heavier * MG) for kg in usual_range(of[one.piece].known))
                raise _asked(book, anatomy, one, slip, f"{mass(book, low)} to {mass(book, high)}")


def _check_absurd(book: Book, anatomy: Anatomy, weighed: Iterable[OnScale]) -> None:
    """Raises Asked for a find far beyond what its kind can weigh: 1,320 kg for 1.320 kg, grams for kilograms.

    Estimates are wide and from memory, so that less than that is let pass; a guess is held against nothing.
    """
    whole = anatomy.whole
    for one in weighed:
        kg = one.mg / MG / one.count
        far = not whole.mass.low / BEYOND <= kg <= whole.mass.high * BEYOND
        if one.piece == whole.id and kg > 0 and far and not anatomy.guessed:
            low, high = (mass(book, round(end * MG)) for end in (whole.mass.low, whole.mass.high))
            given, expected = _for_one(book, one, anatomy.name), f"about what such a thing weighs, {low} to {high}"
            raise Asked(given, expected, "mass", "sure", SURE)


def _for_one(book: Book, one: OnScale, name: str) -> str:
    return f"{mass(book, one.mg // one.count)} for one {name.lower()}"


def _asked(book: Book, anatomy: Anatomy, one: OnScale, slip: Slip, most: str) -> Asked:
    whole = one.piece == anatomy.whole.id
    given = _for_one(book, one, anatomy.name if whole else anatomy.piece(one.piece).name)
    why = f": {slip.why} mixed up?" if " and " in slip.why else f": {slip.why} too many?" if slip.why else ""
    expected = f"what most of yours weigh, {most}{why}"
    where = "mass" if whole else f"piece {one.piece}"
    return Asked(given, expected, where, "sure", SURE)
