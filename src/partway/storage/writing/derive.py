"""Keeps everything derived up to date, in the transaction that adds events.

Balances and accounts are sums, facts are the latest values, and a correction makes an event stop or start counting. So
only what the new events touch is examined, however long the ledger is.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from typing import Any

from sqlalchemy import Column, Connection, Insert, Table, delete, insert, select, update

from partway.ledger.events.effects import Effects
from partway.ledger.events.event import Event
from partway.ledger.events.meaning import effects_of
from partway.ledger.events.voids import corrections_of
from partway.storage.tables import tables as t
from partway.storage.tables.rows import Row, about_rows, meaning_rows
from partway.storage.writing import conflicts
from partway.storage.writing.naming import alias_rows, aliases, known, learn_names
from partway.storage.writing.settling import moves_of, settle
from partway.storage.writing.sums import Change, apply

CHUNK = 500  # ids in one statement; the databases take some ten thousand


def add(connection: Connection, recorded: Mapping[str, Event], rows: Iterable[Row], *, last: bool = False) -> bool:
    """Add new events with everything derived from them. Returns False if things that were there get other keys: then
    everything derived has to be made anew (storage.writing.rebuild).

    `last`: their ids are beyond all others. Then no event there can name them, as an event names only smaller ids
    (ledger.events.codec, ledger.events.voids), and none is searched for.
    """
    put(connection, t.event, rows)
    things = learn_names(connection, recorded, last=last)
    if things is None:
        return False
    put(connection, t.alias, alias_rows(things, recorded))
    events = {event_id: things.known(event) for event_id, event in recorded.items()}
    effects = {event_id: effects_of(event) for event_id, event in events.items()}
    corrections = {str(by): str(target) for by, target in corrections_of(events.values()).items()}
    put(connection, t.correction, ({"target": target, "event": by} for by, target in corrections.items()))
    alone = last and not corrections
    void = dict.fromkeys(events, False) if alone else _void(connection, events.keys(), corrections)
    put_meaning(connection, events, effects, {event_id for event_id in events if void[event_id]})
    change = Change()
    for event_id, event in events.items():
        if not void[event_id]:
            change.add(effects[event_id], 1)
            change.say(effects[event_id], event)
            change.touch(effects[event_id], event)
    _turn(connection, {event_id: now for event_id, now in void.items() if event_id not in events}, change)
    put(connection, t.voided, ({"event": event_id} for event_id in events if void[event_id]))
    settle(connection, change, recorded.keys())
    apply(connection, change)
    conflicts.refresh(connection, void.keys(), effects, change)
    return True


def put_meaning(
    connection: Connection, events: Mapping[str, Event], effects: Mapping[str, Effects], void: Collection[str]
) -> None:
    """What each event is about, and a row for each move, assertion, fact and entry."""
    rows: dict[str, list[Row]] = {"about": [], "move": [], "assertion": [], "fact": [], "entry": []}
    for event_id, event in events.items():
        rows["about"] += about_rows(event)
        meaning_rows(event, effects[event_id], event_id not in void, rows)
    for table in (t.about, t.move, t.assertion, t.fact, t.entry):
        put(connection, table, rows[table.name])


def put(connection: Connection, table: Table, rows: Iterable[Row]) -> None:
    """Insert rows, if there are any."""
    if several := list(rows):
        connection.execute(_insert(table), several)


@cache
def _insert(table: Table) -> Insert:
    """The INSERT of a table, cached: making a statement costs as much as running it."""
    return insert(table)


def chunks(ids: Collection[str]) -> Iterator[list[str]]:
    """The ids in lists that fit into one statement."""
    ordered = sorted(ids)
    for start in range(0, len(ordered), CHUNK):
        yield ordered[start : start + CHUNK]


def _void(connection: Connection, new: Collection[str], corrections: Mapping[str, str]) -> dict[str, bool]:
    """For the new events and all that they correct in turn: whether each is void.

    An event is void if a correction that counts names it (ledger.events.voids). A correction is younger than what it
    corrects, so going from the youngest to the oldest each answer is known when it is needed.
    """
    reached, front = set(new), set(corrections.values())
    while front := front - reached:
        reached |= front
        front = {target for target, _ in _pairs(connection, t.correction.c.event, front)}
    named: dict[str, list[str]] = {}
    for target, by in _pairs(connection, t.correction.c.target, reached):
        named.setdefault(target, []).append(by)
    others = {by for several in named.values() for by in several} - reached
    void = dict.fromkeys(others, False) | dict.fromkeys(_voided(connection, others), True)
    for event_id in sorted(reached, reverse=True):
        void[event_id] = any(not void[by] for by in named.get(event_id, ()))
    return {event_id: void[event_id] for event_id in reached}


def _turn(connection: Connection, void: Mapping[str, bool], change: Change) -> None:
    """Of older events, remove the effects of those that no longer count, and add those that count again."""
    before = _voided(connection, void)
    rows = _rows_of(connection, {event_id for event_id, now in void.items() if now != (event_id in before)})
    others = aliases(connection, [row.id for row in rows]) if rows else {}
    for row in rows:
        event = known(row, others)
        if void[row.id]:
            connection.execute(insert(t.voided).values(event=row.id))
        else:
            connection.execute(delete(t.voided).where(t.voided.c.event == row.id))
        effects = effects_of(event)
        change.touch(effects, event)
        if effects.asserted is not None and void[row.id]:  # what it came to goes; settling finds it anew
            effects = replace(effects, moves=moves_of(connection, row.id))
            connection.execute(delete(t.move).where(t.move.c.event == row.id))
        for table in (t.move, t.assertion, t.fact, t.entry):
            connection.execute(update(table).where(table.c.event == row.id).values(live=not void[row.id]))
        change.add(effects, -1 if void[row.id] else 1)
        change.ask.update((fact.subject, fact.name) for fact in effects.facts)


def _voided(connection: Connection, ids: Collection[str]) -> set[str]:
    """Which of the events are void already."""
    column = t.voided.c.event
    return {row.event for part in chunks(ids) for row in connection.execute(select(column).where(column.in_(part)))}


def _rows_of(connection: Connection, ids: Collection[str]) -> list[Any]:
    return [row for part in chunks(ids) for row in connection.execute(select(t.event).where(t.event.c.id.in_(part)))]


def _pairs(connection: Connection, column: Column[Any], ids: Collection[str]) -> Iterator[tuple[str, str]]:
    """Pairs (corrected event, correction) in which the column is one of the ids."""
    for part in chunks(ids):
        query = select(t.correction.c.target, t.correction.c.event).where(column.in_(part))
        yield from ((row.target, row.event) for row in connection.execute(query))
