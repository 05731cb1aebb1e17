"""Items that only make sense together: a table's columns, a tier or a minimum lot behind a comma."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from partway.pricelist.lines import Item, ListedLot


def with_lot(item: Item, which: Literal["from", "minimum"], lot: ListedLot) -> Item:
    """The item for lots of at least so much, or from so much on."""
    return replace(item, from_lot=lot) if which == "from" else replace(item, minimum=lot)


def joined(before: Item, item: Item) -> list[Item] | None:
    """What two items in a row are together; None where each stands alone."""
    if item.named:
        return None
    if item.refuses:
        waits = before.named and not before.prices and not before.refuses and not item.prices
        return [replace(before, refuses=True, end=item.end)] if waits else None
    if item.prices:
        return _priced(before, item)
    if not before.prices:
        return None
    if item.units or item.fault:
        return None if before.units or before.fault else [_and(before, item)]
    clashes = (item.from_lot and before.from_lot) or (item.minimum and before.minimum)
    return None if clashes else [_and(before, item)]


def _priced(before: Item, item: Item) -> list[Item] | None:
    """A price without a name belongs to the name before it, and with "over 100 lb" to the grade before it."""
    if not before.named or before.refuses:
        return None
    if not before.prices:
        return [_and(before, item)]
    tier = replace(item, words=before.words, exact=before.exact)
    return [before, tier] if item.from_lot is not None else None


def _and(before: Item, item: Item) -> Item:
    return replace(
        before,
        prices=(*before.prices, *item.prices),
        units=before.units or item.units,
        fault=before.fault or item.fault,
        from_lot=before.from_lot or item.from_lot,
        minimum=before.minimum or item.minimum,
        end=item.end,
    )
