"""What a kind fetches as metal, for tests that hold it against figures from outside the catalogue."""

from __future__ import annotations

from partway.catalogue import shipped
from partway.things.anatomy import Anatomy, Piece


def metal(anatomy: Anatomy, piece: Piece) -> float:
    """What a piece fetches in kg of No. 2 copper, at likely masses and ratios, opened wherever that fetches more.

    A plain walk of the graph: no hours, no buyers, no parts; grades with a hazard (batteries) not counted; components
    sold shut.
    """
    inner = (op for op in anatomy.operations_on(piece.id) if op.asks or "." not in op.id)
    opened = [
        sum(
            metal(anatomy, given) * gives.count * given.share / piece.share
            for gives in op.gives
            for given in [anatomy.piece(gives.piece)]
        )
        for op in inner
    ]
    return max([piece.mass.likely * by_the_kilogram(piece), *opened])


def by_the_kilogram(piece: Piece) -> float:
    """What a kilogram of the piece fetches as it is, in kg of No. 2 copper; hazardous grades fetch nothing."""
    grades = shipped().grades
    sold = [(sale.share, grades[sale.grade]) for sale in piece.sells if not grades[sale.grade].hazards]
    return max((share * grade.ratio.likely for share, grade in sold if grade.ratio is not None), default=0.0)
