"""What a union would change, computed before anything is written."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from partway.ledger.balance.conflicts import Conflict
from partway.ledger.book import Book
from partway.ledger.fold.fold import fold
from partway.ledger.memory import MemoryBook
from partway.storage.exchange.taken_twice import count_once
from partway.storage.exchange.union import Arrivals

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class MassDifference:
    """A place and grade before and after, in mg."""

    place: str
    grade: str
    before_mg: int
    after_mg: int


@dataclass(frozen=True, slots=True)
class AccountChange:
    """An account before and after: money, or minutes where its name begins so."""

    account: str
    before: Decimal
    after: Decimal


@dataclass(frozen=True, slots=True)
class Changes:
    """All that a union would change. `words`: how many finds, bins, buyers, quotes ... would differ. `conflicts`: all
    conflicts there would be.
    """

    masses: tuple[MassDifference, ...]
    accounts: tuple[AccountChange, ...]
    words: Mapping[str, int]
    voided: int
    conflicts: tuple[Conflict, ...] = ()


def changes(book: Book, arrivals: Arrivals) -> Changes:
    """What these events would change in a book; nothing is written."""
    before = fold(book.recorded())
    then = MemoryBook(fold(arrivals.new, before))
    count_once(then, dt.datetime.now(dt.UTC))
    after = then.state
    keys = sorted({*before.balances, *after.balances})
    names = sorted({*before.accounts, *after.accounts})
    masses = (MassDifference(*key, before.balances.get(key, 0), after.balances.get(key, 0)) for key in keys)
    sums = (AccountChange(name, before.accounts.get(name, ZERO), after.accounts.get(name, ZERO)) for name in names)
    words = {key: (before.facts.get(key), after.facts.get(key)) for key in {*before.facts, *after.facts}}
    said = {
        subject for (subject, _), (old, new) in words.items() if old is None or new is None or old.value != new.value
    }
    return Changes(
        masses=tuple(mass for mass in masses if mass.before_mg != mass.after_mg),
        accounts=tuple(account for account in sums if account.before != account.after),
        words=Counter(subject.partition(":")[0] for subject in said),
        voided=len(after.voided) - len(before.voided),
        conflicts=then.conflicts(),
    )
