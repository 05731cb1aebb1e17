"""Items that only make sense together: a table's columns, a tier or a minimum lot behind a comma."""

from __future__ import annotations

from partway.pricelist.copying import replace
from partway.pricelist.lines import Item, ListedLot, LotField, SaidOver
from partway.spoken.money import Heard
from partway.spoken.units import SaidUnit


def with_lot(item: Item, which: LotField, lot: ListedLot | None) -> Item:
    """The item from so much on, for lots of at least or at most so much, or of pieces of so much; None for any."""
    changed: dict[LotField, Item] = {
        "from_lot": replace(item, from_lot=lot),
        "minimum": replace(item, minimum=lot),
        "most": replace(item, most=lot),
        "piece": replace(item, piece=lot),
        "below": replace(item, below=lot),
    }
    return changed[which]


def priced_per(item: Item, per: SaidUnit) -> Item:
    """The item with what its price is per; of a price for a hundred pounds a hundredth is that for one."""
    if per.each:
        return replace(item, each=True, fault="", per_open=False)
    prices = item.prices if per.count == 1 else tuple(heard.one_of(per.count) for heard in item.prices)
    return replace(item, prices=prices, units=per.units or item.units, fault=per.fault, per_open=False)


def paid_to_take(item: Item) -> Item:
    """The item with its price turned: it is paid to have the things taken."""
    said = item.units or item.each
    return replace(item, prices=tuple(heard.negative() for heard in item.prices), per_open=not said)


def tiered(item: Item, which: LotField) -> Item | None:
    """The first of two prices in a row, "4.60 / 4.70 over 200 lb", where the lot opens the second one."""
    two = len(item.prices) == 2 and which == "from_lot" and item.from_lot is None
    return replace(item, prices=item.prices[:1]) if two else None


def joined(before: Item, item: Item) -> list[Item] | None:
    """What two items in a row are together; None where each stands alone."""
    if item.named:
        return None
    if item.open_price:
        return [replace(before, open_price=True, end=item.end)] if before.bare else None
    if item.refuses:
        waits = before.named and not before.prices and not before.refuses and not item.prices
        return [replace(before, refuses=True, end=item.end)] if waits else None
    if item.prices:
        return _priced(before, item)
    if not before.prices:
        column = item.cell and before.bare and before.row == item.row and (item.units or item.each)
        return [_and(before, item)] if column else None
    if item.row != before.row and not (item.minimum or item.most or item.piece):
        return None  # "over 500 lb" alone in a row may be of the rows below
    if item.units or item.fault or item.each:
        return None if before.units or before.fault or before.each else [_and(before, item)]
    lots = ((item.from_lot, before.from_lot), (item.minimum, before.minimum), (item.most, before.most))
    clashes = any(now and then for now, then in (*lots, (item.piece, before.piece)))
    return None if clashes else [_and(before, item)]


def _priced(before: Item, item: Item) -> list[Item] | None:
    """A price without a name belongs to the name before it, and with "over 100 lb" to the grade before it."""
    if not before.named or before.refuses:
        return None
    if not before.prices:
        return [_and(before, item)]
    said = item.units or item.each
    tier = replace(item, words=before.words, exact=before.exact, units=before.units if not said else item.units)
    edge = before.below or before.most
    if item.above and item.from_lot is None and edge is not None:
        return [replace(before, below=edge, most=None), replace(tier, from_lot=edge, above=False)]
    return [before, tier] if item.from_lot is not None else None


def _and(before: Item, item: Item) -> Item:
    return replace(
        before,
        prices=(*before.prices, *item.prices),
        units=before.units or item.units,
        fault=before.fault or item.fault,
        from_lot=before.from_lot or item.from_lot,
        minimum=before.minimum or item.minimum,
        most=before.most or item.most,
        piece=before.piece or item.piece,
        below=before.below or item.below,
        each=before.each or item.each,
        columns=before.columns or item.columns,
        left=(*before.left, *item.left),
        per_open=(before.per_open or item.per_open) and not (before.each or item.each or before.units or item.units),
        end=item.end,
    )


def headed_as(item: Item, over: SaidOver) -> Item:
    """With what the heading said that prices are, where the line itself says nothing else."""
    if not item.prices:
        return item
    cents = over.hundredths and all(heard.style == "bare" for heard in item.prices)
    prices = tuple(Heard(heard.readings[-1:], ends=heard.ends[-1:]) for heard in item.prices)
    item = replace(item, prices=prices) if cents else item
    if not (over.units or over.each) or (item.units and not item.headed) or item.each or item.fault:
        return item
    item = replace(item, minimum=item.minimum or over.minimum)
    if over.each:
        return replace(item, each=True, units=(), headed=True)
    again = item.headed or over.count == 1  # a price for a hundred pounds is divided once
    item = item if again else replace(item, prices=tuple(heard.one_of(over.count) for heard in item.prices))
    return replace(item, units=over.units, headed=True)
