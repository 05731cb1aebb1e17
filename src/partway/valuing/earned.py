"""Money and hours of a stretch of days, from what the ledger's events put on accounts."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from partway.ledger.book import Book
from partway.ledger.fold.period import Posted

IN = ("sales:", "parts")
OUT = ("deductions:", "parts-fees", "parts-postage", "spent:")


@dataclass(frozen=True, slots=True)
class Earned:
    """What came in and went out (below 0), minutes by activity, and what an hour brought; None without hours."""

    days: int
    income: Decimal
    costs: Decimal
    minutes: dict[str, int]
    per_hour: float | None

    @property
    def net(self) -> Decimal:
        """Income less costs."""
        return self.income + self.costs

    @property
    def hours(self) -> float:
        """Hours of all activities."""
        return sum(self.minutes.values()) / 60.0


def earned(book: Book, end: dt.datetime, days: int) -> Earned:
    """The `days` up to and with `end`."""
    return earned_in(book.posted(end - dt.timedelta(days=days), end + dt.timedelta(microseconds=1)), days)


def earned_in(lines: Iterable[Posted], days: int = 0) -> Earned:
    """What entries come to; `days` is how long they took."""
    sums: dict[str, Decimal] = defaultdict(Decimal)
    for line in lines:
        sums[line.account] += line.amount
    minutes = {name[8:]: int(amount) for name, amount in sorted(sums.items()) if name.startswith("minutes:")}
    costs = sum((amount for name, amount in sums.items() if name.startswith(OUT)), Decimal(0))
    income = sum((a for n, a in sums.items() if n.startswith(IN) and not n.startswith(OUT)), Decimal(0))
    hours = sum(minutes.values()) / 60.0
    return Earned(days, income, costs, minutes, float(income + costs) / hours if hours else None)
