"""Merges two ledgers: finds which events of a file or workspace are new here, and checks them before writing."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain, islice
from uuid import UUID

from sqlalchemy import select

from partway.errors import BadEvent
from partway.ledger.book import Book
from partway.ledger.events.codec import same, to_json
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Pictured
from partway.ledger.photographs import Photographs
from partway.storage.exchange.taken_twice import count_once
from partway.storage.photographs.carried import carry
from partway.storage.store import SqlBook
from partway.storage.tables import tables as t
from partway.storage.tables.rows import event_from

Read = tuple[str, Event]  # where an event stands, in words, and the event
AT_ONCE = 500  # events looked up at a time


@dataclass(frozen=True, slots=True)
class Arrivals:
    """What a union would add (`new`, in the order of ids) and how many events are `present` already."""

    new: tuple[Event, ...]
    present: int

    @property
    def kinds(self) -> Mapping[str, int]:
        """How many new events there are of each kind."""
        return Counter(event.kind for event in self.new)


def arrivals(book: Book, read: Iterable[Read]) -> Arrivals:
    """Which of the events read are new to a book; nothing is written.

    The same event may come more than once. Raises BadEvent if two events of one id differ, and whatever reading raises.
    """
    new: dict[UUID, Event] = {}
    present: set[UUID] = set()
    rest = iter(read)
    while part := list(islice(rest, AT_ONCE)):
        held = _held(book, [event.id for _, event in part if event.id not in new])
        present.update(held)
        for where, event in part:
            known = held.get(event.id) or new.setdefault(event.id, event)
            if not same(known, event):
                raise _conflict(known, event, where, "the ledger" if event.id in held else "this file")
    return Arrivals(tuple(new[event_id] for event_id in sorted(new)), len(present))


def unite(book: Book, read: Iterable[Read]) -> Arrivals:
    """Add the new events to a book in one transaction; if anything is refused, nothing is added."""
    return added(book, arrivals(book, read))


def added(book: Book, found: Arrivals, photographs: Photographs | None = None) -> Arrivals:
    """Add what `arrivals` found, checked again; returns what was still new. Of the `photographs` that came along those
    are kept that some event names, also one that was here before without its photograph.

    Reading a file takes long and is done before, without blocking others, who may have added some of it meanwhile.
    """
    if photographs is not None:
        carry(chain(found.new, book.events((Pictured.KIND,))), photographs, book.photographs)
    with book.deciding():
        ids = iter([event.id for event in found.new])
        held = {known for part in iter(lambda: list(islice(ids, AT_ONCE)), []) for known in _held(book, part)}
        book.append(found.new)
        count_once(book, dt.datetime.now(dt.UTC))
    new = tuple(event for event in found.new if event.id not in held)
    return Arrivals(new, found.present + len(held))


def of_book(book: Book, name: str) -> Iterator[Read]:
    """The events of another book, to be united with this one; `name` says which book it is."""
    return ((f"{name}, event {event.id}", event) for event in book.recorded())


def _held(book: Book, ids: Sequence[UUID]) -> dict[UUID, Event]:
    """Those of the events that a book already has; few statements, however many events."""
    if not isinstance(book, SqlBook):
        wanted = set(ids)
        return {event.id: event for event in book.recorded() if event.id in wanted}
    query = select(t.event).where(t.event.c.id.in_([str(event_id) for event_id in ids]))
    with book.reading() as connection:
        events = [event_from(row) for row in connection.execute(query)]
    return {event.id: event for event in events}


def differing(one: Event, other: Event) -> list[str]:
    """The fields in which two events differ, such as `who` or `data.note`."""
    left, right = to_json(one), to_json(other)
    if left["kind"] != right["kind"]:
        return ["kind"]
    fields = [name for name in left if name != "data" and left[name] != right[name]]
    return fields + [f"data.{name}" for name in left["data"] if left["data"][name] != right["data"][name]]


def _conflict(known: Event, event: Event, where: str, holder: str) -> BadEvent:
    fields = ", ".join(differing(known, event))
    return BadEvent(
        f"event {event.id} with another {fields} than {holder} has",
        "the same event, or one with an id of its own; a mistake is corrected by a new event",
        where,
    )
