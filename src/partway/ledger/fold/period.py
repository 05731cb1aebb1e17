"""What a stretch of time came to: mass by where it went, money and minutes, openings; of the events that count."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import TypeVar
from uuid import UUID

from partway.ledger.events.effects import Effects
from partway.ledger.fold.history import Counted

# Milligrams by source, target and grade. A find is `find:` and its kind as it is called now, any bin is `bin`.
Moved = Mapping[tuple[str, str, str], int]
E = TypeVar("E")
TAGGED = ("minutes:", "parts")  # accounts whose tag may be a find


@dataclass(frozen=True, slots=True)
class Posted:
    """Money or minutes on an account by an event of the kind `by`; `of` is the kind of the find it is for, or "".

    `who` is whose it is: whoever recorded it first, also where somebody else put it right.
    """

    happened: dt.datetime
    by: str
    account: str
    amount: Decimal
    tag: str
    of: str
    who: str


def moved_in(events: Iterable[Counted], kinds: Mapping[str, str]) -> dict[tuple[str, str, str], int]:
    """The movements of events added up; `kinds` by find. From bin to bin is no movement."""
    sums: Counter[tuple[str, str, str]] = Counter()
    for _, effects in events:
        for move in effects.moves:
            source, target = _place(move.source, kinds), _place(move.target, kinds)
            if source != target:
                sums[source, target, move.grade] += move.mg
    return dict(sums)


def _place(place: str, kinds: Mapping[str, str]) -> str:
    sort, _, name = place.partition(":")
    return f"find:{kinds.get(name, '')}" if sort == "find" else "bin" if sort == "bin" else place


def first_said(put_right: Mapping[E, E]) -> dict[E, E]:
    """What counts in the place of another, by what was said first; `put_right` has what each stands in the place of."""
    found = {}
    for one in put_right:
        first, seen = one, set[E]()
        while first in put_right and first not in seen:  # a ring of corrections is none of ours, and ends
            seen.add(first)
            first = put_right[first]
        found[one] = first
    return found


def posted_in(events: Iterable[Counted], kinds: Mapping[str, str], whose: Mapping[UUID, str]) -> list[Posted]:
    """What events put on accounts, in the order they happened; `whose` has those that somebody else said first."""
    return [
        Posted(
            event.happened,
            event.kind,
            entry.account,
            entry.amount,
            entry.tag,
            _of(entry.account, entry.tag, kinds),
            whose.get(event.id, event.who),
        )
        for event, effects in sorted(events, key=lambda counted: (counted[0].happened, counted[0].id))
        for entry in sorted(effects.entries, key=lambda entry: (entry.account, entry.tag))
    ]


def _of(account: str, tag: str, kinds: Mapping[str, str]) -> str:
    return kinds.get(tag, "") if account.startswith(TAGGED) else ""


def openings_in(events: Iterable[Counted], kinds: Mapping[str, str]) -> dict[str, int]:
    """How many openings moved any mass out of finds of each kind."""
    out = (_out_of(effects) for event, effects in events if event.kind == "opened")
    return dict(Counter(kinds.get(place[5:], "") for place in out if place))


def _out_of(effects: Effects) -> str:
    """The find that gives up mass, or nothing."""
    return next((move.source for move in effects.moves if move.source.startswith("find:")), "")
