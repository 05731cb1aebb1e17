"""Hazards that a piece carries, on it or inside it, and sales that would hide them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from partway.catalogue.checks.graph import Flaw, edges_of, openings_of, whole_first
from partway.quantities import shown
from partway.things.anatomy import Anatomy, Piece, SaleAs
from partway.things.material import Caution, Grade


def hazards_in(
    anatomy: Anatomy, grades: Mapping[str, Grade], cautions: Mapping[str, Caution]
) -> dict[str, frozenset[str]]:
    """Per piece, the hazards it is or contains, of those that must come out first (`out_first`).

    A piece is a hazard when a grade it may be sold as names one, or when that is why it stays shut
    (`stop`), such as a sealed circuit. The anatomy is acyclic.
    """
    out_first = {caution.id for caution in cautions.values() if caution.out_first}

    pieces = {piece.id: piece for piece in anatomy.pieces}
    edges = edges_of(pieces, openings_of(anatomy.operations))
    carried: dict[str, frozenset[str]] = {}
    for piece_id in reversed(whole_first(edges)):
        own = _hazards_of(pieces[piece_id], grades) & out_first
        carried[piece_id] = own.union(*(carried[inner] for inner in edges[piece_id]))
    return carried


def _hazards_of(piece: Piece, grades: Mapping[str, Grade]) -> frozenset[str]:
    sold = [grades[sale.grade] for sale in piece.sells if sale.grade in grades]
    stop = () if piece.stop is None else (piece.stop,)
    return frozenset(stop).union(*(grade.hazards for grade in sold))


def hiding_sales(
    anatomy: Anatomy, piece: Piece, carried: frozenset[str], grades: Mapping[str, Grade]
) -> Iterable[tuple[SaleAs, frozenset[str]]]:
    """The sales of a piece under a grade that does not name a hazard the piece carries.

    None where a required operation comes before any sale of the piece, and none of those marked
    `before_required`.
    """
    if any(op.required for op in anatomy.operations_on(piece.id)):
        return
    for sale in piece.sells:
        named = grades[sale.grade].hazards if sale.grade in grades else ()
        hidden = carried - set(named)
        if hidden and not sale.before_required:
            yield sale, hidden


def hazard_flaws(anatomy: Anatomy, grades: Mapping[str, Grade], cautions: Mapping[str, Caution]) -> Iterable[Flaw]:
    """Every sale of an anatomy that would hide a hazard."""
    carried = hazards_in(anatomy, grades, cautions)
    for piece in anatomy.pieces:
        for sale, hidden in hiding_sales(anatomy, piece, carried[piece.id], grades):
            yield Flaw(
                f"{shown(sale.grade)} for a piece that holds {', '.join(sorted(hidden))}",
                "a required operation that takes it out, a grade that names it, or before_required = true",
                f"anatomy[{anatomy.kind}].piece[{piece.id}].sells",
                piece.id,
            )
