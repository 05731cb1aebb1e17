"""Whom to call: each buyer in one row, with when it was last heard and what to ask it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from partway.ledger.book import Book
from partway.ledger.fold import standing
from partway.reports.buyers.sheet import PriceSheet
from partway.things.material import Grade
from partway.valuing.best_prices import PriceToAsk, asks_by_buyer
from partway.valuing.lots import stock_of
from partway.valuing.price_book import PriceBook


@dataclass(frozen=True, slots=True)
class GradeToAsk:
    """A grade to ask about, by name; `days` since this buyer's word on it, None where it never said one."""

    grade: str
    name: str
    kg: float
    days: int | None
    at_stake: float | None


@dataclass(frozen=True, slots=True)
class BuyerRow:
    """One buyer. `asks` are the grades to ask it about, most money first; `at_stake` is the sum that hangs on them."""

    buyer: str
    name: str
    kind: str
    phone: str
    heard: int | None
    stale: int
    asks: tuple[GradeToAsk, ...]
    at_stake: float


def report_calls(book: Book, on: dt.date, prices: PriceSheet) -> tuple[BuyerRow, ...]:
    """All buyers of a sheet, whom to ask about the most money first."""
    said, stock = PriceBook.of(book, on), stock_of(standing.bins(book).values())
    asks = asks_by_buyer(said, stock)
    rows = [
        BuyerRow(
            buyer=column.buyer,
            name=column.name,
            kind=column.kind,
            phone=said.buyers[column.buyer].phone,
            heard=column.heard,
            stale=column.stale,
            asks=_lines(asks[column.buyer], said.grades),
            at_stake=sum(ask.at_stake or 0.0 for ask in asks[column.buyer]),
        )
        for column in prices.columns
    ]
    return tuple(sorted(rows, key=lambda row: (-row.at_stake, row.name, row.buyer)))


def _lines(asks: Iterable[PriceToAsk], grades: Mapping[str, Grade]) -> tuple[GradeToAsk, ...]:
    return tuple(GradeToAsk(ask.grade, grades[ask.grade].name, ask.kg, ask.days, ask.at_stake) for ask in asks)
