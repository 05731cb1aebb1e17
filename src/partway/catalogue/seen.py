"""From finds that were opened and weighed to a kind of one's own: masses and minutes with honest ranges.

One weighing says little of the next find. The logarithm of a mass is taken as normal, and how far finds of a kind lie
apart is pooled between what is usual (the prior) and what was seen, as in the normal model with a conjugate prior for
the variance (Gelman et al., Bayesian Data Analysis, 3rd ed., section 3.3; from memory). After one opening that makes
the likely mass divided and multiplied by SPREAD; with more openings that agree the range closes.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from partway.catalogue.plain import PlainKind, PlainPiece, lost_share, rounded
from partway.things.anatomy import SaleAs
from partway.things.estimate import Estimate

# Common practice, no source: pieces of one kind lie within a third of each other, minutes within 1.6 times.
SPREAD, MINUTES_SPREAD = 1.3, 1.6
PRIOR = 4  # openings that the usual spread counts for
ENDS = 2.0  # standard deviations from the likely value to low and high
LEAST_MINUTES = 1.0


@dataclass(frozen=True, slots=True)
class SeenPiece:
    """Pieces of one sort that came out: how many, what they weighed together in kg, which grade they went to."""

    id: str
    name: str
    count: int
    kg: float
    grade: str


@dataclass(frozen=True, slots=True)
class SeenOpening:
    """What came out of `finds` alike; `lost_kg` is what is in no piece: dust, drips."""

    pieces: tuple[SeenPiece, ...]
    finds: int
    minutes: float
    lost_kg: float = 0.0


def kind_seen(
    kind: str,
    name: str,
    seen: Sequence[SeenOpening],
    hazards: Sequence[str] = (),
    names: Sequence[str] = (),
    sells: Sequence[SaleAs] = (),
) -> PlainKind:
    """The kind that openings make; at least one piece came out. A piece that was not in each find is as heavy as it is
    on average over all of them.
    """
    known = _by_id(seen)
    out, lost = sum(p.kg for one in seen for p in one.pieces), sum(one.lost_kg for one in seen)
    minutes = [max(one.minutes / one.finds, LEAST_MINUTES) for one in seen if one.minutes]
    return PlainKind(
        kind=kind,
        name=name,
        pieces=tuple(_piece(pieces, len(seen)) for pieces in known.values()),
        minutes=pooled(minutes or [LEAST_MINUTES * 10], MINUTES_SPREAD),
        hazards=tuple(hazards),
        names=tuple(names),
        sells=tuple(sells),
        lost=lost_share(lost, out),
    )


def pooled(values: Sequence[float], spread: float) -> Estimate:
    """Low, likely and high of the next one, from values above 0 that were seen; `spread` is the usual one."""
    logs = [math.log(value) for value in values]
    n, mean = len(logs), math.fsum(logs) / len(logs)
    usual = math.log(spread) / (ENDS * math.sqrt(2.0))  # of finds, so that after one opening the ends are `spread` off
    apart = math.fsum((log - mean) ** 2 for log in logs)
    deviation = math.sqrt((PRIOR * usual**2 + apart) / (PRIOR + n - 1))
    off = ENDS * deviation * math.sqrt(1.0 + 1.0 / n)
    return Estimate(*(rounded(math.exp(mean + end)) for end in (-off, 0.0, off)))


def _by_id(seen: Sequence[SeenOpening]) -> Mapping[str, list[tuple[SeenPiece, int]]]:
    """The pieces of each sort, with how many finds they came out of."""
    found: dict[str, list[tuple[SeenPiece, int]]] = {}
    for opening in seen:
        for piece in opening.pieces:
            if piece.kg > 0.0:
                found.setdefault(piece.id, []).append((piece, opening.finds))
    return found


def _piece(pieces: Sequence[tuple[SeenPiece, int]], openings: int) -> PlainPiece:
    last, _ = pieces[-1]
    count = max(1, round(sum(piece.count for piece, _ in pieces) / sum(of for _, of in pieces)))
    mass = pooled([piece.kg / of / count for piece, of in pieces], SPREAD)
    share = len(pieces) / openings
    if share < 1.0:
        mass = Estimate(*(rounded(point * share) for point in (mass.low, mass.likely, mass.high)))
    return PlainPiece(last.id, last.name, count, mass, last.grade)
