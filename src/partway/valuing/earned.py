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


@dataclass(frozen=True, slots=True)
class PersonEarned:
    """What one person recorded of a stretch of days. Those of all persons add up to the whole, to the cent."""

    who: str
    worked: int  # minutes
    sold: Decimal
    spent: Decimal  # below 0
    net: Decimal
    per_hour: float | None


def by_person(lines: Iterable[Posted]) -> tuple[PersonEarned, ...]:
    """Hours and money of each person, who recorded the most first. What somebody else put right stays theirs."""
    theirs: dict[str, list[Posted]] = defaultdict(list)
    for line in lines:
        theirs[line.who].append(line)
    every = [_person(who, earned_in(of)) for who, of in theirs.items()]
    some = [one for one in every if one.worked or one.sold or one.spent]
    return tuple(sorted(some, key=lambda one: (-one.worked, -one.net, one.who)))


def _person(who: str, of: Earned) -> PersonEarned:
    return PersonEarned(who, sum(of.minutes.values()), of.income, of.costs, of.net, of.per_hour)


def earned(book: Book, end: dt.datetime, days: int) -> Earned:
    """The `days` up to and with `end`."""
    return earned_in(book.posted(end - dt.timedelta(days=days), end + dt.timedelta(microseconds=1)), days)


def earned_in(lines: Iterable[Posted], days: int = 0) -> Earned:
    """What entries come to; `days` is how long they took."""
    sums = by_account(lines)
    minutes = {name[8:]: int(amount) for name, amount in sorted(sums.items()) if name.startswith("minutes:")}
    costs = sum((amount for name, amount in sums.items() if name.startswith(OUT)), Decimal(0))
    income = sum((a for n, a in sums.items() if n.startswith(IN) and not n.startswith(OUT)), Decimal(0))
    hours = sum(minutes.values()) / 60.0
    return Earned(days, income, costs, minutes, float(income + costs) / hours if hours else None)


def by_account(lines: Iterable[Posted]) -> dict[str, Decimal]:
    """What entries come to on each account."""
    sums: dict[str, Decimal] = defaultdict(Decimal)
    for line in lines:
        sums[line.account] += line.amount
    return dict(sums)


def is_cash(account: str) -> bool:
    """Whether an account is money that came in or went out, as `Earned` counts it."""
    return account.startswith(IN) or account.startswith(OUT)
