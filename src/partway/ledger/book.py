"""The book that actions read and write: a protocol, so that they know nothing of how it is kept."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Collection, Hashable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Protocol, Self, TypeVar
from uuid import UUID

from partway.ledger.balance.conflicts import Conflict
from partway.ledger.events.effects import Effects
from partway.ledger.events.event import Event
from partway.ledger.fold.history import Flow, PastFact
from partway.ledger.fold.period import Moved, Posted
from partway.ledger.photographs import Photographs

T = TypeVar("T")
Balance = Mapping[tuple[str, str], int]  # (place, grade) -> milligrams; "" where there is no grade yet
Facts = Mapping[tuple[str, str], str]  # (subject, name) -> value


NEAR = dt.timedelta(milliseconds=1)  # stated times are whole seconds: others at the same one stand within this


@dataclass(frozen=True, slots=True)
class Head:
    """How far a copy of the ledger has come: its mark, the greatest id there is, the last order of this device, and its
    last order within NEAR of a stated time. Events of schema 1, which name no device, count as its own. `typed` is
    what the clock said when the event of its last order was typed.
    """

    device: str
    event: UUID | None = None
    order: dt.datetime | None = None
    near: dt.datetime | None = None
    typed: dt.datetime | None = None


@dataclass(frozen=True, slots=True)
class Which:
    """Subjects that begin so, of which one field is `said` and another is not "yes": finds that are not closed."""

    prefix: str
    said: str
    unsaid: str


@dataclass(frozen=True, slots=True)
class Unread:
    """An event of which only the JSON was taken apart: for reading thousands of them. `position` sorts as the event's
    own does; names in `data` are as recorded, `find` is the key here, empty where the event is about none.
    """

    id: str
    kind: str
    position: tuple[str, str]
    find: str
    data: Mapping[str, Any]


class Book(Protocol):
    """An append-only ledger with what follows from it.

    Finds, bins, hauls and tickets go by their keys (ledger.fold.things) in all that a book says, also in the events it
    gives; only `recorded` gives events as they were recorded, to be kept elsewhere.

    `append` is one transaction: all of the events or none, durable before it returns. Appending an event that is
    already there, unchanged, does nothing; one with the same id and other content is refused (Refused).
    """

    @property
    def photographs(self) -> Photographs:
        """The photographs that its events name."""
        ...

    def deciding(self) -> AbstractContextManager[None]:
        """Read, decide and append as one: no other writer comes in between, and an error inside keeps nothing.

        It may be begun again inside itself; the outermost one's end keeps what was appended. An append inside that
        is refused ends it all: nothing is kept, whatever follows. Of one thread; nothing slow belongs inside.
        """
        ...

    def trying(self) -> AbstractContextManager[None]:
        """What is appended inside is taken back at its end: to see what would follow. Only inside `deciding`."""
        ...

    def append(self, events: Sequence[Event]) -> int:
        """Add events; how many were new."""
        ...

    def typed_with(self, events: Sequence[UUID], device: str) -> None:
        """Note with which device events were typed, by the name of its key. It stays in this copy of the ledger."""
        ...

    def device_of(self, event_id: UUID) -> str:
        """With which device an event was typed; empty for the machine itself, and where that is not known."""
        ...

    def mark(self) -> Hashable:
        """What differs after every change, whoever made it. Quick at any size."""
        ...

    def once(self, read: Callable[[Self], T]) -> T:
        """What `read` finds here, remembered until the ledger changes."""
        ...

    def onward(self, read: Callable[[Self, T | None], T]) -> T:
        """The same, for what is quicker to find from what was found in an earlier state, None the first time."""
        ...

    def head(self, stated: dt.datetime | None = None) -> Head:
        """How far this copy of the ledger has come: what the next event has to be beyond."""
        ...

    def makers(self, subjects: Sequence[str]) -> Mapping[str, UUID | None]:
        """Which event made what goes by these keys, None for what goes by its name alone; nothing for the unknown."""
        ...

    def keys(self, subject: str = "") -> frozenset[str]:
        """Keys that begin so, of all finds, bins, hauls and tickets ever named, also by what does not count."""
        ...

    def recorded(self, since: dt.datetime | None = None, until: dt.datetime | None = None) -> Iterator[Event]:
        """Events as they were recorded, in the order of their ids."""
        ...

    def effects(self, event_id: UUID) -> Effects:
        """What one event does here, as long as it counts: a recount comes to what the events before it left over."""
        ...

    def balances(self, place: str | Which = "") -> Balance:
        """Mass by place and grade, of places that begin so; nothing that is zero."""
        ...

    def summed(self) -> Balance:
        """All balances, those of finds that hold something as one, under "find:": as much as a balance sheet needs."""
        ...

    def facts(self, subject: str | Which = "", name: str | None = None) -> Facts:
        """The current word on subjects that begin so, on one field or all."""
        ...

    def accounts(self, account: str = "") -> Mapping[str, Decimal]:
        """Sums of accounts that begin so."""
        ...

    def tagged(self, account: str = "") -> Mapping[tuple[str, str], Decimal]:
        """The same sums by account and tag: what came in from a buyer for each ticket. Nothing that is zero."""
        ...

    def events(
        self,
        kinds: Sequence[str] = (),
        subject: str | None = None,
        since: dt.datetime | None = None,
        until: dt.datetime | None = None,
    ) -> Iterator[Event]:
        """Events in the order of their ids, optionally of some kinds, about one subject, or between two times
        (since <= happened < until).
        """
        ...

    def subjects(self, kinds: Sequence[str], subject: str | Which = "") -> frozenset[str]:
        """Subjects that begin so and that some event of these kinds is about, also one that does not count."""
        ...

    def flows(self, place: str = "", since: dt.datetime | None = None) -> Sequence[Flow]:
        """Movements from or to places that begin so, as they happened; none of events that do not count."""
        ...

    def arrivals(self, places: Sequence[str], most: int) -> Mapping[str, Sequence[Flow]]:
        """The last `most` movements into exactly each of these places, the newest first; none of events that do not
        count.
        """
        ...

    def words(self, subjects: Sequence[str], name: str, since: dt.datetime | None = None) -> Sequence[PastFact]:
        """All that was ever said on one field of subjects that begin with one of these, as it happened; nothing of
        events that do not count.
        """
        ...

    def moved(self, since: dt.datetime | None = None, until: dt.datetime | None = None) -> Moved:
        """Mass between two times by where it came from and went, finds by their kinds; of events that count."""
        ...

    def posted(self, since: dt.datetime | None = None, until: dt.datetime | None = None) -> Sequence[Posted]:
        """Money and minutes between two times, as they happened; of events that count."""
        ...

    def openings(self, since: dt.datetime | None = None, until: dt.datetime | None = None) -> Mapping[str, int]:
        """How many openings between two times moved mass out of finds of each kind; of events that count."""
        ...

    def newest(
        self,
        most: int,
        before: UUID | None = None,
        kinds: Sequence[str] = (),
        subject: str | None = None,
        since: dt.datetime | None = None,
        until: dt.datetime | None = None,
    ) -> Sequence[Event]:
        """The `most` events typed last, before one of them where it is named, newest first; else as `events`."""
        ...

    def unread(self, kinds: Sequence[str], most: int, after: str = "") -> Sequence[Unread]:
        """The `most` events of some kinds typed last, newest first, also those that do not count; of those after an id
        where one is given.
        """
        ...

    def count(self, kinds: Sequence[str]) -> int:
        """How many events there are of some kinds."""
        ...

    def event(self, event_id: UUID) -> Event | None:
        """One event, if it is there."""
        ...

    def asked_for(self, intents: Collection[UUID]) -> Mapping[UUID, Sequence[Event]]:
        """The events that each of some intents led to, also those that do not count; nothing where that is none."""
        ...

    def asked_twice(self) -> frozenset[UUID]:
        """The intents that more than one copy of the ledger recorded, which only a merge can bring about."""
        ...

    def oldest(self) -> Event | None:
        """The event of the smallest id, if there is any."""
        ...

    def voided(self) -> frozenset[UUID]:
        """Ids of events that do not count."""
        ...

    def conflicts(self) -> tuple[Conflict, ...]:
        """What cannot all be true, until a correction settles it (ledger.balance.conflicts). Quick at any size."""
        ...
