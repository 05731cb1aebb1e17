"""What has a day by which it should be done: a full bin, a haul nobody ended, money that is long open."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from typing import Literal

from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.days import days_between
from partway.ledger.fold.standing import BinNow
from partway.things.material import Grade
from partway.valuing.acts.act import Act
from partway.valuing.fill import near_full

LONG_OPEN = 14  # days after which a ticket is asked about (common practice, no source)


def full_bins(bins: Iterable[BinNow], grades: Mapping[str, Grade]) -> tuple[Act, ...]:
    """Bins that are full or nearly, as one act about the fullest."""
    found = [(fill.share[1], one.id) for one, fill in near_full(bins, grades)]
    if not found:
        return ()
    share, subject = max(found)
    return (Act("full", subject, count=len(found), share=share),)


def not_ended(book: Book, sort: Literal["haul", "round"], now: dt.datetime) -> tuple[Act, ...]:
    """Hauls or rounds that were started on an earlier day: their drive and what came of them is not told yet."""
    started = [s for (s, _), status in book.facts(f"{sort}:", "status").items() if status == "started"]
    since = _since(book, started, "status")
    late = [(days_between(since[one], now, now.tzinfo), one) for one in started if one in since]
    return tuple(Act(sort, one.partition(":")[2], days=days) for days, one in late if days > 0)


def long_unpaid(book: Book, now: dt.datetime) -> tuple[Act, ...]:
    """Tickets that are open for long, as one act about the buyer of the oldest; `worth` is all that this buyer still
    has to pay on `count` of them: nobody asks one yard for the money of another.
    """
    owed = trading.owed(book)
    since = _since(book, [f"ticket:{ticket}" for ticket in owed], "printed")
    late = []
    for one in owed.values():
        printed = since.get(f"ticket:{one.id}")
        if printed is not None and (days := days_between(printed, now, now.tzinfo)) >= LONG_OPEN:
            late.append((days, one))
    if not late:
        return ()
    days, oldest = min(late, key=lambda each: (-each[0], each[1].id))
    theirs = [one.open for _, one in late if one.buyer == oldest.buyer]
    return (Act("unpaid", oldest.id, buyer=oldest.buyer, count=len(theirs), worth=float(sum(theirs)), days=days),)


def _since(book: Book, subjects: list[str], name: str) -> dict[str, dt.datetime]:
    """When the word that stands was said, of each subject."""
    wanted = set(subjects)
    words = book.words(tuple(subjects), name) if subjects else ()
    return {word.subject: word.happened for word in words if word.subject in wanted}
