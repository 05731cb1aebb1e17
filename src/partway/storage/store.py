"""The book on a database: SQLite or PostgreSQL, by the same statements."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager
from dataclasses import replace
from decimal import Decimal
from itertools import count
from pathlib import Path
from typing import Any
from uuid import UUID

from sqlalchemy import Connection, Engine, Select, bindparam, func, insert, select

from partway.errors import BadEvent
from partway.ledger.balance.conflicts import Conflict
from partway.ledger.book import Balance, Facts, Head, Unread, Which
from partway.ledger.events.codec import same
from partway.ledger.events.effects import Effects
from partway.ledger.events.event import Event
from partway.ledger.events.meaning import effects_of
from partway.ledger.fold.history import Flow, PastFact
from partway.ledger.fold.period import Posted
from partway.ledger.photographs import Photographs
from partway.ledger.remembered import Remembering
from partway.storage import connections
from partway.storage.photographs.folder import FOLDER, PhotographFolder
from partway.storage.photographs.table import PhotographTable
from partway.storage.reading import history as past
from partway.storage.reading import period as stretch
from partway.storage.reading.history import among, begins
from partway.storage.reading.watch import Watch
from partway.storage.reading.whose import Whose, whose
from partway.storage.refusals import BadLedger
from partway.storage.tables import tables as t
from partway.storage.tables.rows import event_from, event_row
from partway.storage.tables.upgrade import bring_up_to_date
from partway.storage.writing import device, naming
from partway.storage.writing.conflict_rows import standing
from partway.storage.writing.decision import Decisions
from partway.storage.writing.derive import add, chunks
from partway.storage.writing.rebuild import rebuild
from partway.storage.writing.settling import moves_of

LEDGER = "ledger.sqlite"  # what a ledger in use is called
AT_ONCE = 1000  # events fetched at a time
NEWEST = select(func.max(t.event.c.id))
ASKED_FOR = (
    select(t.event)
    .where(t.event.c.intent > "", t.event.c.intent.in_(bindparam("intents", expanding=True)))
    .order_by(t.event.c.id)
)
ASKED_TWICE = (
    select(t.event.c.intent)
    .where(t.event.c.intent > "")
    .group_by(t.event.c.intent)
    .having(func.min(t.event.c.device) < func.max(t.event.c.device))
)
WORD = select(t.word.c.subject, t.word.c.name, t.word.c.value)
NAMED_WORD = WORD.where(t.word.c.name == bindparam("name"))
BALANCE = select(t.balance.c.place, t.balance.c.grade, t.balance.c.mg)


class SqlBook(Remembering):
    """Implements ledger.book.Book on an engine of `connections.connect`; `where` names the ledger in messages.

    Opening brings the tables up to date, `keep_copy` as in storage.tables.upgrade. Everything raises BadLedger (a
    Refused) where the database will not.
    """

    def __init__(self, engine: Engine, where: str, *, keep_copy: bool = True) -> None:
        super().__init__()
        self.engine, self.where = engine, where
        self.patience = connections.patience_of(engine)
        bring_up_to_date(engine, where, rebuild, keep_copy=keep_copy)
        self._watch = Watch(engine, where)
        self._decisions = Decisions(engine, where)
        self._asked = count()

    @property
    def refusal(self) -> BadLedger | None:
        """Why this ledger can only be read, None where it can be written."""
        found: BadLedger | None = self.engine.get_execution_options().get(connections.REFUSAL)
        return found

    @property
    def photographs(self) -> Photographs:
        """In a folder beside a ledger in use; in a table on a server, and in a file of another name: a backup."""
        file = Path(self.where)
        if "://" in self.where or file.name != LEDGER:
            return PhotographTable(self.writing, self.reading)
        return PhotographFolder(file.parent / FOLDER)

    def close(self) -> None:
        """Give back the connections."""
        self._watch.close()
        self.engine.dispose()

    def mark(self) -> str:
        """A text that differs after every change of the ledger, also by another process. Quick at any size.

        Inside `deciding` it is never the same twice: what is read there is not kept for good yet.
        """
        return f"deciding {next(self._asked)}" if self.is_deciding else self._watch.mark()

    def __enter__(self) -> SqlBook:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @contextmanager
    def deciding(self) -> Iterator[None]:
        """One transaction without other writers in between, for all that this thread reads and appends inside.

        It may be nested; only the end of the outermost keeps everything, and an error keeps nothing. Raises BadLedger
        if others keep the ledger too long.
        """
        with self._decisions.writing():
            yield

    @property
    def is_deciding(self) -> bool:
        """Whether this thread is inside `deciding`."""
        return self._decisions.connection is not None

    def writing(self) -> AbstractContextManager[Connection]:
        """The connection of the writing transaction, which is that of `deciding`."""
        return self._decisions.writing()

    def reading(self) -> AbstractContextManager[Connection]:
        """A transaction that sees one state of the ledger throughout; inside `deciding`, that transaction."""
        held = self._decisions.connection
        return connections.reading(self.engine, self.where) if held is None else connections.held(held, self.where)

    def asking(self) -> AbstractContextManager[Connection]:
        """The same for one statement and no more, which is quicker."""
        held = self._decisions.connection
        return connections.asking(self.engine, self.where) if held is None else connections.held(held, self.where)

    @contextmanager
    def trying(self) -> Iterator[None]:
        """Whatever is appended inside is undone at the end, by a savepoint."""
        with self.writing() as connection:
            there = connection.begin_nested()
            try:
                yield
            finally:
                there.rollback()

    def append(self, events: Sequence[Event]) -> int:
        """Add all events or none, on the disk before this returns. Returns how many were new. Raises BadEvent."""
        given = _once(events)
        rows = {event_id: event_row(event) for event_id, event in given.items()}
        with self.writing() as connection, self._decisions.whole():
            newest = connection.execute(NEWEST).scalar_one()
            last = bool(given) and (newest is None or min(given) > newest)
            known = frozenset[str]() if last else _known(connection, given)
            new = {event_id: event for event_id, event in given.items() if event_id not in known}
            if new and not add(connection, new, [rows[event_id] for event_id in new], last=last):
                rebuild(connection)
        return len(new)

    def typed_with(self, events: Sequence[UUID], device: str) -> None:
        """Note with which device events were typed."""
        with self.writing() as connection:
            connection.execute(insert(t.typed_with), [{"event": str(event), "device": device} for event in events])

    def device_of(self, event_id: UUID) -> str:
        """With which device an event was typed."""
        query = select(t.typed_with.c.device).where(t.typed_with.c.event == str(event_id))
        with self.asking() as connection:
            return connection.execute(query).scalar_one_or_none() or ""

    def rebuild(self) -> None:
        """Work out everything derived anew from the events."""
        with self.writing() as connection, self._decisions.whole():
            rebuild(connection)

    def head(self, stated: dt.datetime | None = None) -> Head:
        """How far this copy of the ledger has come. A file that was copied by hand gets a mark of its own first."""
        with self.reading() as connection:
            known = device.head(connection, stated)
        if known is not None:
            return known
        with self.writing() as connection:
            return device.drawn(connection, stated)

    def makers(self, subjects: Sequence[str]) -> dict[str, UUID | None]:
        """Which event made the thing of each key."""
        if not subjects:
            return {}
        with self.asking() as connection:
            return naming.makers(connection, subjects)

    def keys(self, subject: str = "") -> frozenset[str]:
        """Keys that begin with a text."""
        with self.asking() as connection:
            return naming.keys(connection, subject)

    def recorded(self, since: dt.datetime | None = None, until: dt.datetime | None = None) -> Iterator[Event]:
        """Events as they were recorded, in the order of their ids."""
        return self._events(_asked((), None, since, until), known=False)

    def effects(self, event_id: UUID) -> Effects:
        """What one event does here."""
        with self.reading() as connection:
            row = connection.execute(select(t.event).where(t.event.c.id == str(event_id))).one()
            effects = effects_of(naming.known(row, naming.aliases(connection, [row.id])))
            said = effects.asserted
            return effects if said is None else replace(effects, moves=moves_of(connection, row.id))

    def balances(self, place: str | Which = "") -> Balance:
        """Mass by place and grade, of places that begin with a text."""
        query, asked = among(BALANCE, t.balance.c.place, place)
        with self.asking() as connection:
            rows = connection.execute(query, asked).all()
            return {(of, grade): mg for of, grade, mg in rows}

    def summed(self) -> Balance:
        """All balances; those of finds together, under "find:"."""
        with self.asking() as connection:
            return stretch.summed(connection)

    def facts(self, subject: str | Which = "", name: str | None = None) -> Facts:
        """The current value of one field or all fields, of subjects that begin with a text."""
        query, asked = among(WORD if name is None else NAMED_WORD, t.word.c.subject, subject)
        asked |= {} if name is None else {"name": name}
        with self.asking() as connection:
            rows = connection.execute(query, asked).all()  # all: at half the price
            return {(of, field): value for of, field, value in rows}

    def accounts(self, account: str = "") -> Mapping[str, Decimal]:
        """Sums of accounts that begin with a text."""
        table = t.account.c
        query = select(table.name, table.amount).where(begins(table.name, account))
        with self.asking() as connection:
            return {name: Decimal(amount) for name, amount in connection.execute(query)}

    def tagged(self, account: str = "") -> Mapping[tuple[str, str], Decimal]:
        """Sums by account and tag, of accounts that begin with a text."""
        with self.asking() as connection:
            return stretch.tagged(connection, account)

    def events(
        self,
        kinds: Sequence[str] = (),
        subject: str | None = None,
        since: dt.datetime | None = None,
        until: dt.datetime | None = None,
    ) -> Iterator[Event]:
        """Events in the order of their ids, all of one state of the ledger, also those that do not count."""
        return self._events(_asked(kinds, subject, since, until), known=True)

    def _events(self, query: Select[Any], *, known: bool) -> Iterator[Event]:
        few = {"yield_per": AT_ONCE}  # of this statement alone: the connection may have others to come
        with self.reading() as connection:
            others = naming.aliases(connection) if known else {}
            with connection.execute(query, execution_options=few) as rows:
                for row in rows:
                    yield naming.known(row, others)

    def subjects(self, kinds: Sequence[str], subject: str | Which = "") -> frozenset[str]:
        """Subjects that begin with a text and that some event of these kinds is about."""
        with self.asking() as connection:
            return past.subjects(connection, kinds, subject)

    def flows(self, place: str = "", since: dt.datetime | None = None) -> list[Flow]:
        """Movements from or to places that begin with a text, in order of time."""
        with self.asking() as connection:
            return past.flows(connection, place, since)

    def arrivals(self, places: Sequence[str], most: int) -> dict[str, list[Flow]]:
        """The last `most` movements into exactly each of these places, the newest first."""
        with self.reading() as connection:
            return past.arrivals(connection, places, most)

    def words(self, subjects: Sequence[str], name: str, since: dt.datetime | None = None) -> list[PastFact]:
        """Every value that one field of these subjects ever had, in order of time."""
        with self.asking() as connection:
            return past.words(connection, subjects, name, since)

    def moved(
        self, since: dt.datetime | None = None, until: dt.datetime | None = None
    ) -> dict[tuple[str, str, str], int]:
        """Mass moved between two times, by source and target; finds by their kinds."""
        with self.asking() as connection:
            return stretch.moved(connection, since, until)

    def posted(self, since: dt.datetime | None = None, until: dt.datetime | None = None) -> list[Posted]:
        """Money and minutes between two times, in order of time."""
        with self.reading() as connection:
            return stretch.posted(connection, since, until, self.onward(_whose).by)

    def openings(self, since: dt.datetime | None = None, until: dt.datetime | None = None) -> dict[str, int]:
        """How many openings between two times moved mass out of finds of each kind."""
        with self.asking() as connection:
            return stretch.openings(connection, since, until)

    def newest(
        self,
        most: int,
        before: UUID | None = None,
        kinds: Sequence[str] = (),
        subject: str | None = None,
        since: dt.datetime | None = None,
        until: dt.datetime | None = None,
    ) -> tuple[Event, ...]:
        """The `most` events typed last, newest first."""
        query = _asked(kinds, subject, since, until)
        with self.reading() as connection:
            return stretch.newest(connection, query, None if before is None else str(before), most)

    def unread(self, kinds: Sequence[str], most: int, after: str = "") -> list[Unread]:
        """Events of some kinds, newest first, their JSON alone taken apart."""
        with self.reading() as connection:
            return stretch.unread(connection, kinds, most, after)

    def count(self, kinds: Sequence[str]) -> int:
        """How many events there are of some kinds."""
        with self.asking() as connection:
            query = select(func.count()).select_from(t.event).where(t.event.c.kind.in_(kinds))
            return int(connection.execute(query).scalar_one())

    def event(self, event_id: UUID) -> Event | None:
        """One event, if it is there."""
        with self.reading() as connection:
            row = connection.execute(select(t.event).where(t.event.c.id == str(event_id))).one_or_none()
            return None if row is None else naming.known(row, naming.aliases(connection, [row.id]))

    def asked_for(self, intents: Collection[UUID]) -> dict[UUID, tuple[Event, ...]]:
        """The events that each of some intents led to, in the order of their ids."""
        found: dict[UUID, tuple[Event, ...]] = {}
        with self.reading() as connection:
            rows = [
                row
                for part in chunks([str(intent) for intent in intents])
                for row in connection.execute(ASKED_FOR, {"intents": part})
            ]
            others = naming.aliases(connection, [row.id for row in rows]) if rows else {}
        for event in (naming.known(row, others) for row in rows):
            assert event.intent is not None  # noqa: S101  the statement asks for no others
            found[event.intent] = (*found.get(event.intent, ()), event)
        return found

    def asked_twice(self) -> frozenset[UUID]:
        """The intents that more than one copy of the ledger recorded."""
        with self.reading() as connection:
            return frozenset(UUID(intent) for intent in connection.execute(ASKED_TWICE).scalars())

    def oldest(self) -> Event | None:
        """The event of the smallest id."""
        with self.reading() as connection:
            first = connection.execute(select(func.min(t.event.c.id))).scalar_one()
        return None if first is None else self.event(UUID(first))

    def state(self) -> tuple[int, str]:
        """How many events there are, and the id of the newest."""
        with self.asking() as connection:
            count, newest = connection.execute(select(func.count(), func.max(t.event.c.id)).select_from(t.event)).one()
        return count, newest or ""

    def voided(self) -> frozenset[UUID]:
        """Ids of events that do not count."""
        with self.asking() as connection:
            return frozenset(UUID(text) for text in connection.execute(select(t.voided.c.event)).scalars())

    def conflicts(self) -> tuple[Conflict, ...]:
        """What cannot all be true; a page asks for it several times."""
        return self.once(_conflicts)


def _conflicts(book: SqlBook) -> tuple[Conflict, ...]:
    with book.reading() as connection:
        return standing(connection)


def _whose(book: SqlBook, earlier: Whose | None) -> Whose:
    with book.reading() as connection:
        return whose(connection, earlier)


def _once(events: Sequence[Event]) -> dict[str, Event]:
    given: dict[str, Event] = {}
    for event in events:
        _check_same(given.setdefault(str(event.id), event), event)
    return given


def _known(connection: Connection, given: Mapping[str, Event]) -> frozenset[str]:
    """The ids that are there already. Raises BadEvent where one of them says something else."""
    known = set()
    for part in chunks(given):
        for row in connection.execute(select(t.event).where(t.event.c.id.in_(part))):
            _check_same(event_from(row), given[row.id])
            known.add(row.id)
    return frozenset(known)


def _check_same(one: Event, other: Event) -> None:
    if not same(one, other):
        raise BadEvent(f"event {one.id} with other content", "one content for one id", f"event {one.id}")


def _asked(
    kinds: Sequence[str], subject: str | None, since: dt.datetime | None, until: dt.datetime | None
) -> Select[tuple[str, ...]]:
    query = select(t.event).order_by(t.event.c.id)
    if kinds:
        query = query.where(t.event.c.kind.in_(kinds))
    if subject is not None:
        query = query.where(t.event.c.id.in_(select(t.about.c.event).where(t.about.c.subject == subject)))
    return query.where(*stretch.within(t.event.c.id, since, until))
