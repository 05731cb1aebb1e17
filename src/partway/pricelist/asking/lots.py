"""Asks about a mass or a number of pieces said with a price: of a tier, a least lot, a most, or one piece."""

from __future__ import annotations

from partway.pricelist.asking.questions import Question, which_mass, which_piece
from partway.pricelist.lines import PIECES, Item, ListedLot, ListSheet, LotField
from partway.pricelist.pricing import MOST_PIECES, PricedFor, lot_mg
from partway.things.units import TONS


def open_lot(text: str, item: Item, sheet: ListSheet, per: PricedFor) -> Question | None:
    """Asks about a mass or a number of pieces that is open, or that cannot be."""
    lots: tuple[tuple[LotField, ListedLot | None], ...]
    lots = (("from_lot", item.from_lot), ("minimum", item.minimum), ("piece", item.piece))
    for which, lot in lots:
        if lot is not None and lot_mg(lot) is None:
            return which_mass(text, item, which, _lot_units(lot, sheet))
    if per.most is None and item.most is not None:
        return which_mass(text, item, "most", _lot_units(item.most, sheet, pieces=True))
    least = max(lot_mg(item.from_lot) or 0, lot_mg(item.minimum) or 0)
    if per.most and 0 < per.most[0] < least:
        return which_mass(text, item, "most", ())
    return which_piece(text, item, sheet.unit) if per.counted and not per.piece_mg else None


def _lot_units(lot: ListedLot, sheet: ListSheet, *, pieces: bool = False) -> tuple[str, ...]:
    """Units that a mass may be in, where asking makes sense; of a maximum also pieces."""
    units = lot.units or tuple(dict.fromkeys((sheet.unit, "lb", "kg", *TONS)))
    found = tuple(unit for unit in units if lot_mg(ListedLot(lot.amount, (unit,))) is not None)
    whole = pieces and not lot.units and lot.amount == int(lot.amount) and 1 <= lot.amount <= MOST_PIECES
    return (*found, PIECES) if whole else found
