"""What may be sold or opened now: the rules that keep a hazard from travelling unseen.

The instance is built by these rules, so what they forbid has no variable at all; `verify` checks them again.
"""

from __future__ import annotations

from partway.things.anatomy import Anatomy, Operation, SaleAs
from partway.things.scenario import Scenario


def required_on(anatomy: Anatomy, piece: str) -> bool:
    """Whether something must come out of this piece before it is sold by grade."""
    return any(op.required for op in anatomy.operations_on(piece))


def allowed_operations(anatomy: Anatomy, piece: str) -> tuple[Operation, ...]:
    """The operations that may be done first: the required ones where there are any, none behind a stop.

    Whether it works may be found out before anything is taken out.
    """
    if anatomy.piece(piece).stop is not None:
        return ()  # whoever wrote an operation there: a stop outranks it
    operations = anatomy.operations_on(piece)
    required = tuple(op for op in operations if op.required)
    return (*required, *(op for op in operations if op.tests)) if required else operations


def hidden_hazards(scenario: Scenario, anatomy: Anatomy, piece: str) -> frozenset[str]:
    """Hazards that a piece is or holds and that must come out first, whether or not we have an operation for it."""
    held = anatomy.inside(piece) | {piece}
    outlets = [g for child in held for g in anatomy.piece(child).sells]
    found = {h for sale in outlets for h in scenario.grades[sale.grade].hazards}
    found |= {stop for child in held if (stop := anatomy.piece(child).stop)}
    return frozenset(h for h in found if h in scenario.cautions and scenario.cautions[h].out_first)


def sale_allowed(scenario: Scenario, anatomy: Anatomy, piece: str, sale: SaleAs) -> bool:
    """Whether a piece may be sold by this grade as it is."""
    return sale in allowed_sales(scenario, anatomy, piece)


def allowed_sales(scenario: Scenario, anatomy: Anatomy, piece: str) -> tuple[SaleAs, ...]:
    """The grades that a piece may be sold by as it is; one behind a test like the piece of the kind that it is."""
    piece = anatomy.piece(piece).of_kind
    sells = anatomy.piece(piece).sells
    if all(sale.before_required for sale in sells):
        return sells
    shut, hidden = required_on(anatomy, piece), hidden_hazards(scenario, anatomy, piece)

    def clean(sale: SaleAs) -> bool:
        return not shut and hidden <= set(scenario.grades[sale.grade].hazards)

    return tuple(sale for sale in sells if sale.before_required or clean(sale))
