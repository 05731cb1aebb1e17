"""Around what was said: the envelope of new events, so that on one device the order of recording decides."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field
from uuid import UUID

from partway.ledger.book import Book, Head
from partway.ledger.events.event import ASKED_FOR, SCHEMA, Event
from partway.ledger.events.kinds import Payload
from partway.ledger.events.subjects import named_in
from partway.ledger.fold.things import MADE

NEXT = dt.timedelta(microseconds=1)  # two events of one action have an order, too


@dataclass
class Stamp:
    """Makes the events of one action, in the order they are asked for. `stated` is a time that somebody named.

    `intent` is what asked for the action, on each of its events.

    `behind` is how far the clock stands before the last entry of this device, zero where it does not.

    What no time was stated for counts after all that this device recorded before, whatever the clock says; its day
    stays the clock's. Made and appended in one transaction, or another writer may come between.
    """

    book: Book
    who: str
    now: dt.datetime
    new_id: Callable[[UUID | None], UUID]
    stated: dt.datetime | None = None
    intent: UUID | None = None
    made: dict[str, UUID] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.now = self.now.astimezone(dt.UTC)
        self.stated = None if self.stated is None else self.stated.astimezone(dt.UTC)
        head = self.book.head(self.stated)
        self.device, self.last = head.device, head.event
        self.behind = max(dt.timedelta(0), (head.typed or self.now) - self.now)
        self.free = _free(self.now if self.stated is None else self.stated, head, self.stated is not None)

    def event(
        self,
        what: Payload,
        after: UUID | None = None,
        instead: Event | None = None,
        happened: dt.datetime | None = None,
    ) -> Event:
        """An event that says this, with an id beyond `after`. `instead` of another one it stands in its place, unless
        it is said to have `happened` at another time: that is a time somebody named.
        """
        makers = self._makers(what)
        event_id = self.new_id(max(filter(None, (self.last, after, *makers.values())), default=None))
        refs = {subject: event_id if maker is None else maker for subject, maker in makers.items()}
        self.made |= {subject: event_id for subject, maker in makers.items() if maker is None}
        happened, order = self._times(instead, happened)
        self.last = event_id
        refs_in_order = tuple(sorted(refs.items()))
        schema = SCHEMA if self.intent is None else ASKED_FOR
        said = (self.who, happened, self.now, what, schema)
        return Event(event_id, *said, self.device, order, refs_in_order, self.intent)

    def _times(self, instead: Event | None, said: dt.datetime | None) -> tuple[dt.datetime, dt.datetime | None]:
        if instead is not None and said is not None and said != instead.happened:
            happened = said.astimezone(dt.UTC)
            order = _free(happened, self.book.head(happened), stated=True)
        elif instead is not None:
            happened, order = instead.happened, instead.position[0]
        else:
            happened, order = self.stated or self.now, self.free
            self.free = order + NEXT
        return happened, None if order == happened else order

    def _makers(self, what: Payload) -> dict[str, UUID | None]:
        """Who made what a payload names, None for what it makes itself; without what goes by its name alone."""
        named = [subject for subject in _subjects(what) if subject not in self.made]
        known = self.book.makers(named)
        makers: dict[str, UUID | None] = {s: self.made[s] for s in _subjects(what) if s in self.made}
        makers |= {subject: maker for subject, maker in known.items() if maker is not None}
        makers |= {subject: None for subject in named if subject not in known}
        return makers


def _free(base: dt.datetime, head: Head, stated: bool) -> dt.datetime:
    """The first order that this device has not used, at a stated time or beyond all it has used."""
    used = head.near if stated else head.order
    return base if used is None or used < base else used + NEXT


def _subjects(what: Payload) -> list[str]:
    return [subject for subject in named_in(what) if subject.startswith(MADE)]
