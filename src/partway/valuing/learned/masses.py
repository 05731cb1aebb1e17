"""Masses of a kind and its pieces as one's own scale has them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from partway.formulas.statistics.normal_gamma import NormalKnown
from partway.things.anatomy import Anatomy
from partway.things.learned import Learned
from partway.valuing.learned.balance import MassFound, balanced
from partway.valuing.learned.estimates import as_estimate, as_known, mean_spread, moved, without_slips
from partway.valuing.learned.seen import KindSeen, PieceSeen


@dataclass(frozen=True, slots=True)
class MassKnown:
    """What is known of the mass of one piece: from how many weighings, how many slips were left out, and the piece that
    it comes out of, empty for the whole.
    """

    known: NormalKnown
    count: int
    left_out: int
    of: str


def with_masses(anatomy: Anatomy, seen: KindSeen) -> Anatomy:
    """The anatomy with its masses learned from finds and pieces on the scale; the same where none was weighed."""
    if not (seen.wholes or seen.pieces):
        return anatomy
    known = masses_known(anatomy, seen)
    scale = math.exp(known[anatomy.whole.id].known.mean) / anatomy.whole.mass.likely
    masses = balanced(anatomy, {piece: _found(anatomy, piece, one, scale) for piece, one in known.items()})
    pieces = tuple(replace(piece, mass=masses[anatomy.in_hand(piece.id).id]) for piece in anatomy.pieces)
    learned = tuple(
        Learned("mass", piece, anatomy.piece(piece).mass, masses[piece], one.count, left_out=one.left_out)
        for piece, one in known.items()
        if one.count or one.left_out
    )
    return replace(anatomy, pieces=pieces, learned=(*anatomy.learned, *learned)) if learned else anatomy


def masses_known(anatomy: Anatomy, seen: KindSeen) -> dict[str, MassKnown]:
    """What is known of the mass of each piece that can be in a hand, after that of the piece it comes out of.

    Pieces scale with the find: what came out of one that was weighed counts as out of one of the usual mass. The
    estimate of a piece moves with what is known of the piece it comes out of.
    """
    whole, out = without_slips(as_known(anatomy.whole.mass), [math.log(kg) for kg in seen.wholes])
    found = {anatomy.whole.id: MassKnown(whole, len(seen.wholes) - out, out, "")}
    usual, pieces = math.exp(whole.mean), _by_piece(seen.pieces)
    for piece, of in _outwards(anatomy):
        was = anatomy.piece(piece).mass
        prior = moved(as_known(was), math.exp(found[of].known.mean) / anatomy.piece(of).mass.likely)
        logs = [log_of(one.kg, one.find_kg, usual) for one in pieces.get(piece, ())]
        known, out = without_slips(prior, logs)
        found[piece] = MassKnown(known, len(logs) - out, out, of)
    return found


def log_of(kg: float, find_kg: float | None, usual: float) -> float:
    """The logarithm of what a piece would weigh out of a find of the usual mass, where its find was weighed."""
    return math.log(kg) if find_kg is None else math.log(kg * usual / find_kg)


def _outwards(anatomy: Anatomy) -> Iterator[tuple[str, str]]:
    """Each piece but the whole with the first piece that it comes out of, in an order from the whole outwards."""
    there, waiting = {anatomy.whole.id}, [op for op in anatomy.operations if not op.asks]
    while ready := [op for op in waiting if anatomy.in_hand(op.on).id in there]:
        for op in ready:
            for piece in dict.fromkeys(anatomy.in_hand(give.piece).id for give in op.gives):
                if piece not in there:
                    there.add(piece)
                    yield piece, anatomy.in_hand(op.on).id
        waiting = [op for op in waiting if op not in ready]


def _by_piece(pieces: Sequence[PieceSeen]) -> dict[str, list[PieceSeen]]:
    found: dict[str, list[PieceSeen]] = {}
    for one in pieces:
        found.setdefault(one.piece, []).append(one)
    return found


def _found(anatomy: Anatomy, piece: str, one: MassKnown, scale: float) -> MassFound:
    """What was weighed as it was learned; what was not keeps the shape of its range."""
    was = anatomy.piece(piece).mass
    mass = as_estimate(one.known) if one.count else was.scaled(math.exp(one.known.mean) / was.likely)
    return MassFound(mass, mean_spread(one.known), "" if one.count else one.of, was.likely * scale)
