"""Keeps the names of finds, bins, hauls and tickets up to date as events come in (ledger.fold.things)."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import Any
from uuid import UUID

from sqlalchemy import Connection, bindparam, delete, insert, or_, select

from partway.ledger.events.event import Event
from partway.ledger.fold.things import MARK, NO_THINGS, Naming, Things, learn, made, renamed, things_in, touched_by
from partway.storage.reading.history import begins, between, ends
from partway.storage.tables import tables as t
from partway.storage.tables.rows import Row, event_from

CHUNK = 500
Aliases = Mapping[str, Mapping[str, str]]  # event -> subject -> key
NEW = insert(t.thing)
BY_SUBJECT = select(t.thing).where(t.thing.c.subject.in_(bindparam("subjects", expanding=True)))
BARE = BY_SUBJECT.where(t.thing.c.maker == "")
BY_MAKER = select(t.thing).where(t.thing.c.maker.in_(bindparam("makers", expanding=True)))
MAKERS = select(t.thing.c.key, t.thing.c.maker).where(t.thing.c.key.in_(bindparam("keys", expanding=True)))
KEYS = select(t.thing.c.key).where(between(t.thing.c.key))


def learn_names(connection: Connection, events: Mapping[str, Event], *, last: bool = False) -> Things | None:
    """The things that some events name; new ones are stored. None if others change their keys by it: then everything
    has to be made anew. `last` as in `derive.add`: no event there has named what these events make.
    """
    named = {of for event in events.values() for of in things_in(event)}
    known = {of for of in named if str(of[1]) not in events} if last else named
    rows_of = _named(connection, known)
    before = _things(rows_of)
    new = _new(before, events.values())
    if not new:
        return before
    before = _things([*rows_of, *_called(connection, new)])
    after, changed = learn(before, events.values())
    if changed:
        return None
    rows = [row for row in thing_rows(after) if not _is_known(row, before)]
    gone = [row["maker"] for row in rows if row["maker"] and made(row["subject"], UUID(row["maker"])) in before.named]
    for maker in gone:
        connection.execute(delete(t.thing).where(t.thing.c.maker == maker))
    if gone:  # an older event names it otherwise: all rows of these makers again
        rows = [row for row in thing_rows(after) if row["maker"] in gone or not _is_known(row, before)]
    if rows:
        connection.execute(NEW, rows)
    return after


def thing_rows(things: Things) -> list[Row]:
    """Things as rows of their table."""
    bare = [{"subject": subject, "maker": "", "first": "", "key": subject} for subject in sorted(things.bare)]
    return bare + [
        {"subject": named.subject, "maker": str(of[1]), "first": str(named.event), "key": things.keys[of]}
        for of, named in things.named.items()
    ]


def alias_rows(things: Things, events: Mapping[str, Event]) -> list[Row]:
    """A row for each name in an event that differs from the thing's key here."""
    return [
        {"event": event_id, "subject": subject, "key": key}
        for event_id, event in events.items()
        for subject, maker in things_in(event)
        if (key := things.key(subject, maker)) != subject
    ]


def aliases(connection: Connection, ids: Collection[str] | None = None) -> Aliases:
    """Names in some events (or all) that differ from the key here; usually there are none."""
    query = select(t.alias.c.event, t.alias.c.subject, t.alias.c.key)
    if ids is not None:
        query = query.where(t.alias.c.event.in_(ids))
    found: dict[str, dict[str, str]] = {}
    for event, subject, key in connection.execute(query).all():
        found.setdefault(event, {})[subject] = key
    return found


def known(row: Any, others: Aliases) -> Event:
    """The event of a row, with names replaced by the keys used here."""
    event = event_from(row)
    return renamed(event, others[row.id]) if row.id in others else event


def makers(connection: Connection, subjects: Sequence[str]) -> dict[str, UUID | None]:
    """Which event made what goes by these keys."""
    rows = connection.execute(MAKERS, {"keys": subjects}).all()
    return {key: UUID(maker) if maker else None for key, maker in rows}


def keys(connection: Connection, subject: str) -> frozenset[str]:
    """Keys that begin so."""
    return frozenset(connection.execute(KEYS, ends(subject)).scalars())


def _new(before: Things, events: Iterable[Event]) -> set[str]:
    """Names to examine: not known yet, or first named by a later event."""
    found: set[str] = set()
    for event in events:
        for subject, maker in things_in(event):
            if maker is None:
                found |= {subject} - before.bare
            elif (naming := before.named.get(made(subject, maker))) is None or event.id < naming.event:
                found |= {subject, naming.subject} if naming else {subject}
    return found


def _named(connection: Connection, named: Collection[tuple[str, UUID | None]]) -> list[Any]:
    bare = sorted({subject for subject, maker in named if maker is None})
    ids = sorted({str(maker) for _, maker in named if maker is not None})
    rows = list[Any]()
    for start in range(0, len(bare), CHUNK):
        part = bare[start : start + CHUNK]
        rows += connection.execute(BARE, {"subjects": part}).all()
    for start in range(0, len(ids), CHUNK):
        rows += connection.execute(BY_MAKER, {"makers": ids[start : start + CHUNK]}).all()
    return rows


def _called(connection: Connection, subjects: Collection[str]) -> list[Any]:
    """All things that share a name with these, and those whose name looks like one of their keys."""
    names = sorted({name for subject in subjects for name in touched_by(subject)})
    thing, rows = t.thing.c, list[Any]()
    for start in range(0, len(names), CHUNK):
        part = names[start : start + CHUNK]
        rows += connection.execute(BY_SUBJECT, {"subjects": part}).all()
        several = {row.subject for row in rows}  # only where a name is there already can a key get a tail
        alike = [begins(thing.subject, name + MARK) for name in part if name in several]
        if alike:
            rows += connection.execute(select(t.thing).where(or_(*alike))).all()
    return rows


def _things(rows: Iterable[Any]) -> Things:
    named, called, bare, by_made = {}, dict[str, frozenset[UUID]](), set[str](), {}
    for row in rows:
        if not row.maker:
            bare.add(row.subject)
            continue
        of = made(row.subject, UUID(row.maker))
        named[of] = Naming(UUID(row.first), row.subject)
        called[row.subject] = called.get(row.subject, frozenset()) | {of[1]}
        by_made[of] = row.key
    return Things(named, called, frozenset(bare), by_made) if named or bare else NO_THINGS


def _is_known(row: Row, things: Things) -> bool:
    if not row["maker"]:
        return row["subject"] in things.bare
    naming = things.named.get(made(row["subject"], UUID(row["maker"])))
    return naming is not None and (naming.subject, str(naming.event)) == (row["subject"], row["first"])
