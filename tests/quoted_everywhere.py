"""A workspace in which every buyer quotes every grade, each price its own, and every grade is in a bin."""

from __future__ import annotations

from decimal import Decimal

from partway.actions.bins import bins
from partway.actions.buyers import buyers, quoting
from partway.actions.home import settings
from partway.actions.recording.context import Context
from partway.catalogue import shipped
from partway.ledger.book import Book

BUYERS = ("harbour yard", "ridge yard", "quarry yard", "lower yard", "hill yard", "canal yard", "town depot")


def fill(book: Book, context: Context) -> None:
    """Seven buyers, 123 grades or more, all of them quoted and in stock."""
    for name, value in {"currency": "CAD", "unit": "lb", "wage": "5"}.items():
        settings.set_(book, context, name, value)
    for at, name in enumerate(BUYERS):
        short, prices = name.replace(" ", "-"), price_list(at)
        terms = buyers.Terms(kind="yard", name=name, km="9", minutes="20", phone=f"555-01{at:02d}")
        buyers.buyer(book, context, short, terms)
        given = [quoting.QuoteGiven(grade, f"{price} /lb", None, None, "") for grade, price in prices.items()]
        quoting.quotes(book, context, short, given)
    for at, grade in enumerate(shipped().grades):
        bins.add_bin(book, context, grade, capacity="60 L", holds=f"{at + 1} lb")


def price_list(at: int) -> dict[str, Decimal]:
    """What one buyer pays of each grade: no two prices of the workspace are the same."""
    return {grade: Decimal(100 + n * len(BUYERS) + at) / 100 for n, grade in enumerate(shipped().grades)}
