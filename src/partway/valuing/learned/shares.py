"""How often a piece that is asked about turns out to be what, as one's own openings have it.

A Dirichlet distribution: what the catalogue says of a question is worth ANSWERS answers of one's own, split by its
shares; each answer seen adds one to its own (`formulas/statistics/dirichlet`). Pieces at which nobody looked say
nothing, so they are not counted.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from partway.formulas.statistics.dirichlet import share_spread, shares
from partway.formulas.statistics.normal_gamma import NORMAL_80
from partway.things.anatomy import Anatomy, Piece
from partway.things.estimate import Estimate
from partway.things.learned import Learned
from partway.valuing.learned.seen import KindSeen

ANSWERS = 8.0  # of one's own that the catalogue's shares of one question are worth (a choice of ours)


def with_shares(anatomy: Anatomy, seen: KindSeen) -> Anatomy:
    """The anatomy with the shares of its answers learned; the same where no answer to its questions was seen."""
    known = {(piece, answer): count for piece, answer, count in seen.answers}
    learned = {one.of: one for op in anatomy.operations if op.asks for one in _question(anatomy, op.on, known)}
    if not learned:
        return anatomy
    pieces = tuple(replace(piece, share=piece.share * _moved(anatomy, piece, learned)) for piece in anatomy.pieces)
    return replace(anatomy, pieces=pieces, learned=(*anatomy.learned, *learned.values()))


def _question(anatomy: Anatomy, asked: str, known: Mapping[tuple[str, str], int]) -> Iterator[Learned]:
    """The share of each answer to one question, of the pieces that are asked about."""
    answers = anatomy.answers_to(asked)
    counts = [known.get((asked, one.id.removeprefix(f"{asked}.")), 0) for one in answers]
    was = [one.share / anatomy.piece(asked).share for one in answers]
    if not sum(counts) or min(was) <= 0.0:
        return
    prior = [ANSWERS * share for share in was]
    now = shares(prior, counts)
    for i, one in enumerate(answers):
        _, spread = share_spread(prior, counts, [float(i == j) for j in range(len(answers))])
        low, high = max(0.0, now[i] - NORMAL_80 * spread), min(1.0, now[i] + NORMAL_80 * spread)
        yield Learned("share", one.id, Estimate.exact(was[i]), Estimate(low, now[i], high), sum(counts))


def _moved(anatomy: Anatomy, piece: Piece, learned: Mapping[str, Learned]) -> float:
    """How many more or fewer of many finds have a piece: by the answer that it is or comes out of, and those before."""
    answer = anatomy.answer_of(piece.id)
    if answer is None or answer.answer_to is None:
        return 1.0
    one = learned.get(answer.id)
    here = 1.0 if one is None else one.now.likely / one.was.likely
    return here * _moved(anatomy, anatomy.piece(answer.answer_to), learned)
