"""One bin: what can hurt, what is in it, what it fetches at each buyer, what the next lot would add, how it filled."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from partway.ledger.book import Book
from partway.ledger.fold import standing
from partway.ledger.fold.history import Flow
from partway.reports.bins.all import BinLine, bin_line
from partway.reports.bins.spark import spark
from partway.valuing.bin_age import BinChange, age, ages_of_bins, by_bin, changes, history
from partway.valuing.lots import AtBuyer, NextLot, Refusal, lots_of, stock_of
from partway.valuing.price_book import PriceBook

DAYS = 90
CHANGES = 12


@dataclass(frozen=True, slots=True)
class OneBin:
    """One bin. `lot_kg` is what all bins of its grade hold together, `others` are those bins.

    `days` is how far the drawing goes back; `unquoted` are id and name of buyers that never said a word
    on the grade; `note` is what decides whether a piece belongs in it.
    """

    on: str
    days: int
    line: BinLine
    lot_kg: float
    others: tuple[str, ...]
    at_buyers: tuple[AtBuyer, ...]
    next_lots: tuple[NextLot, ...]
    turned: tuple[Refusal, ...]
    unquoted: tuple[tuple[str, str], ...]
    changes: tuple[BinChange, ...]
    note: str = ""


def report_bin(book: Book, bin_id: str, now: dt.datetime) -> OneBin:
    """One bin at a moment. Raises KeyError."""
    bins = standing.bins(book)
    one, prices = bins[bin_id], PriceBook.of(book, now.date())
    lots = lots_of(prices, one, stock_of(bins.values()))
    flows = _flows(book, bin_id, one.mg, now)
    days, drawn = (
        ages_of_bins(book, [one], {one.id: flows}, now).get(one.id),
        spark(history(flows, one.id, one.mg, now, DAYS)),
    )
    return OneBin(
        on=now.date().isoformat(),
        days=DAYS,
        line=bin_line(one, lots, days, drawn),
        lot_kg=lots.lot_kg,
        others=tuple(b.id for b in bins.values() if b.grade == one.grade and b.id != one.id and b.mg > 0),
        at_buyers=lots.at_buyers,
        next_lots=lots.next_lots(),
        turned=lots.turned(),
        unquoted=tuple((b, prices.name(b)) for b in prices.buyers if prices.standing(b, one.grade).state == "unquoted"),
        changes=changes(flows, one.id, now, CHANGES),
        note=prices.grades[one.grade].note if one.grade in prices.grades else "",
    )


def _flows(book: Book, bin_id: str, mg: int, now: dt.datetime) -> Sequence[Flow]:
    """The flows of the days that are drawn; all there ever were where what is in the bin is older than those."""
    flows = by_bin(book.flows(f"bin:{bin_id}", now - dt.timedelta(days=DAYS + 1))).get(bin_id, [])
    if mg > 0 and age(flows, bin_id, mg, now) is None:
        flows = by_bin(book.flows(f"bin:{bin_id}")).get(bin_id, [])
    return flows
