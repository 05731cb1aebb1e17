"""A kind as it is written down after one opening: the whole, and the pieces it came apart into in one operation."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from partway.things.anatomy import LOSS, Anatomy, Gives, Operation, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Caution, Grade

WHOLE, OPEN = "whole", "open"
OPEN_NAME = "open it and sort what comes out"
MOST_LOST = 0.5
DIGITS = 4
SOURCE = "measured"


@dataclass(frozen=True, slots=True)
class PlainPiece:
    """Pieces alike, by what one weighs in kg; `grade` is "" where nobody said what it sells as."""

    id: str
    name: str
    count: int
    mass: Estimate
    grade: str


@dataclass(frozen=True, slots=True)
class PlainKind:
    """All there is to a kind of one operation. `lost`: the share of the whole that is in no piece, 0 or above LOSS,
    since less than that is what a scale at the bench may be off by.
    """

    kind: str
    name: str
    pieces: tuple[PlainPiece, ...]
    minutes: Estimate
    hazards: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    note: str = ""
    sells: tuple[SaleAs, ...] = ()
    lost: float = 0.0


def anatomy_of(plain: PlainKind, grades: Mapping[str, Grade], cautions: Mapping[str, Caution]) -> Anatomy:
    """The anatomy. The whole weighs what its pieces weigh together, and what was lost.

    Opening comes before any sale where a piece may not travel hidden in another thing, such as a battery.
    """
    whole = Piece(WHOLE, plain.name, whole_mass(plain), plain.sells)
    pieces = tuple(Piece(p.id, p.name, p.mass, (SaleAs(p.grade),) if p.grade else ()) for p in plain.pieces)
    found = {h for p in plain.pieces if p.grade in grades for h in grades[p.grade].hazards}
    return Anatomy(
        kind=plain.kind,
        name=plain.name,
        pieces=(whole, *pieces),
        operations=(
            Operation(
                id=OPEN,
                name=OPEN_NAME,
                on=WHOLE,
                minutes=plain.minutes,
                gives=tuple(Gives(p.id, p.count) for p in plain.pieces),
                cautions=plain.hazards,
                loss=max(LOSS, plain.lost),
                required=any(hazard in cautions and cautions[hazard].out_first for hazard in found),
            ),
        ),
        cautions=plain.hazards,
        source=SOURCE,
        names=plain.names,
        note=plain.note,
    )


def plain_of(anatomy: Anatomy) -> PlainKind | None:
    """The same of an anatomy; None where it says more than that, so that nothing is lost."""
    if len(anatomy.operations) != 1:
        return None
    (opening,) = anatomy.operations
    counts = {gives.piece: gives.count for gives in opening.gives}
    pieces = tuple(
        PlainPiece(p.id, p.name, counts.get(p.id, 1), p.mass, p.sells[0].grade if p.sells else "")
        for p in anatomy.pieces[1:]
    )
    lost = opening.loss if opening.loss > LOSS else 0.0
    return PlainKind(
        anatomy.kind, anatomy.name, pieces, opening.minutes, anatomy.cautions, anatomy.names, anatomy.note,
        anatomy.whole.sells, lost,
    )  # fmt: skip


def whole_mass(plain: PlainKind) -> Estimate:
    """What the pieces weigh together, at low, likely and high, and what was lost."""
    kept = 1.0 - plain.lost
    masses = [(piece.count, piece.mass) for piece in plain.pieces]
    low, likely, high = (sum(n * getattr(m, point) for n, m in masses) / kept for point in ("low", "likely", "high"))
    return Estimate(rounded(low), rounded(likely), rounded(high))


def lost_share(lost: float, out: float) -> float:
    """The share of a whole that was lost, where `out` came out of it."""
    share = rounded(lost / (lost + out))
    return min(share, MOST_LOST) if share > LOSS else 0.0


def rounded(number: float) -> float:
    """To as many digits as a scale at the bench has."""
    return float(f"{number:.{DIGITS}g}")
