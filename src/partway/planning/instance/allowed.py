"""What may be sold or opened now: the rules that keep a hazard from travelling unseen.

The instance is built by these rules, so what they forbid has no variable at all; `verify` checks them again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from partway.things.anatomy import Anatomy, Operation, SaleAs
from partway.things.scenario import Scenario


def required_on(anatomy: Anatomy, piece: str) -> bool:
    """Whether something must come out of this piece before it is sold by grade."""
    return any(op.required for op in anatomy.operations_on(piece))


def allowed_operations(anatomy: Anatomy, piece: str) -> tuple[Operation, ...]:
    """The operations that may be done first: the required ones where there are any, none behind a stop.

    Whether it works may be found out before anything is taken out.
    """
    operations = anatomy.operations_on(piece)
    if not operations or anatomy.piece(piece).stop is not None:
        return ()  # whoever wrote an operation there: a stop outranks it
    required = tuple(op for op in operations if op.required)
    return (*required, *(op for op in operations if op.tests)) if required else operations


def hidden_hazards(scenario: Scenario, anatomy: Anatomy, piece: str) -> frozenset[str]:
    """Hazards that a piece is or holds and that must come out first, whether or not we have an operation for it."""
    return _out_first(scenario, anatomy, (piece, *anatomy.inside(piece)))


def _out_first(scenario: Scenario, anatomy: Anatomy, pieces: Iterable[str]) -> frozenset[str]:
    grades, found = scenario.grades, set[str]()
    for piece in pieces:
        held = anatomy.piece(piece)
        if held.stop:
            found.add(held.stop)
        for sale in held.sells:
            found.update(grades[sale.grade].hazards)
    return frozenset(h for h in found if h in scenario.cautions and scenario.cautions[h].out_first)


def sale_allowed(scenario: Scenario, anatomy: Anatomy, piece: str, sale: SaleAs) -> bool:
    """Whether a piece may be sold by this grade as it is."""
    return sale in allowed_sales(scenario, anatomy, piece)


def allowed_sales(scenario: Scenario, anatomy: Anatomy, piece: str) -> tuple[SaleAs, ...]:
    """The grades that a piece may be sold by as it is; one behind a test like the piece of the kind that it is."""
    kind = anatomy.piece(piece).of_kind
    sells = anatomy.piece(kind).sells
    if all(sale.before_required for sale in sells):
        return sells
    return _clean(scenario, anatomy, kind, hidden_hazards(scenario, anatomy, kind))


def allowed_on_all(scenario: Scenario, anatomy: Anatomy) -> Mapping[str, tuple[SaleAs, ...]]:
    """`allowed_sales` of every piece of an anatomy by its id; most have nothing in them that could be hidden."""
    if _out_first(scenario, anatomy, (piece.id for piece in anatomy.pieces)):
        return {piece.id: allowed_sales(scenario, anatomy, piece.id) for piece in anatomy.pieces}
    return {piece.id: _clean(scenario, anatomy, piece.of_kind, frozenset()) for piece in anatomy.pieces}


def _clean(scenario: Scenario, anatomy: Anatomy, piece: str, hidden: frozenset[str]) -> tuple[SaleAs, ...]:
    """The sales of a piece that leave no required removal undone and hide none of these hazards."""
    sells, shut = anatomy.piece(piece).sells, required_on(anatomy, piece)
    if not shut and not hidden:
        return sells

    def clean(sale: SaleAs) -> bool:
        return not shut and hidden <= set(scenario.grades[sale.grade].hazards)

    return tuple(sale for sale in sells if sale.before_required or clean(sale))
