"""Totals of a period, added up by the database where they are whole numbers."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

from sqlalchemy import Column, Connection, ScalarSelect, Select, and_, case, func, or_, select
from sqlalchemy.sql.elements import ColumnElement

from partway.errors import LedgerDamaged
from partway.ledger.book import Unread
from partway.ledger.events.event import Event
from partway.ledger.events.meaning import EXACT
from partway.ledger.events.shapes import time_text
from partway.ledger.fold.period import TAGGED, Posted
from partway.quantities import shown
from partway.storage.reading.history import begins
from partway.storage.tables import tables as t
from partway.storage.writing.naming import aliases, known

Time = dt.datetime | None
ZERO = Decimal(0)


def moved(connection: Connection, since: Time, until: Time) -> dict[tuple[str, str, str], int]:
    """Mass by source, target and grade.

    The ids of the events are found first, by an index: otherwise SQLite would read every movement.
    """
    move = t.move.c
    rows = (
        select(_place(move.source).label("source"), _place(move.target).label("target"), move.grade, move.mg)
        .where(move.live, *within(move.event, since, until))
        .subquery()
    )
    key = (rows.c.source, rows.c.target, rows.c.grade)
    sums = connection.execute(select(*key, func.sum(rows.c.mg)).group_by(*key)).all()
    return {(source, target, grade): int(mg) for source, target, grade, mg in sums if source != target}


def posted(connection: Connection, since: Time, until: Time, whose: Mapping[str, str]) -> list[Posted]:
    """Entries of money, as exact decimals; `whose` has the events that somebody else said first."""
    entry, event = t.entry.c, t.event.c
    of = case((or_(*(begins(entry.account, name) for name in TAGGED)), _kind("find:" + entry.tag)), else_="")
    query = (
        select(
            event.happened,
            event.kind,
            entry.account,
            entry.amount,
            entry.tag,
            func.coalesce(of, ""),
            event.id,
            event.who,
        )
        .join_from(t.entry, t.event, event.id == entry.event)
        .where(entry.live, *_between(since, until))
        .order_by(event.happened, event.id, entry.account, entry.tag)
    )
    rows = connection.execute(query).all()
    return [
        Posted(dt.datetime.fromisoformat(r[0]), r[1], r[2], Decimal(r[3]), r[4], r[5], whose.get(r[6], r[7]))
        for r in rows
    ]


def summed(connection: Connection) -> dict[tuple[str, str], int]:
    """Balances; all finds that hold something count as one place."""
    held = t.balance.c
    place = case((and_(begins(held.place, "find:"), held.mg > 0), "find:"), else_=held.place)
    rows = select(place.label("place"), held.grade, held.mg).subquery()
    key = (rows.c.place, rows.c.grade)
    sums = connection.execute(select(*key, func.sum(rows.c.mg)).group_by(*key)).all()
    return {(of, grade): int(mg) for of, grade, mg in sums}


def tagged(connection: Connection, account: str) -> dict[tuple[str, str], Decimal]:
    """Sums by account and tag; added up here, since no database adds decimals exactly."""
    entry = t.entry.c
    query = select(entry.account, entry.tag, entry.amount).where(entry.live, begins(entry.account, account))
    sums: dict[tuple[str, str], Decimal] = {}
    for of, tag, amount in connection.execute(query).all():
        sums[of, tag] = EXACT.add(sums.get((of, tag), ZERO), Decimal(amount))
    return {key: amount for key, amount in sums.items() if amount}


def openings(connection: Connection, since: Time, until: Time) -> dict[str, int]:
    """Openings that moved mass, by kind of find."""
    move = t.move.c
    opened = (
        select(move.event, func.min(move.source).label("find"))
        .where(move.live, begins(move.source, "find:"), *within(move.event, since, until, "opened"))
        .group_by(move.event)
        .subquery()
    )
    named = select(func.coalesce(_kind(opened.c.find), "").label("kind")).select_from(opened).subquery()
    query = select(named.c.kind, func.count()).group_by(named.c.kind)
    return {kind: int(count) for kind, count in connection.execute(query).all()}


def newest(connection: Connection, query: Select[Any], before: str | None, most: int) -> tuple[Event, ...]:
    """The last `most` events that a query of events finds, from the newest backwards."""
    if before is not None:
        query = query.where(t.event.c.id < before)
    rows = connection.execute(query.order_by(None).order_by(t.event.c.id.desc()).limit(most)).all()
    others = aliases(connection, [row.id for row in rows])
    return tuple(known(row, others) for row in rows)


def unread(connection: Connection, kinds: Sequence[str], most: int, after: str) -> list[Unread]:
    """The last `most` events of some kinds after an id, newest first. Raises LedgerDamaged."""
    event = t.event.c
    query = select(event.id, event.kind, event.order, event.happened, event.data).where(event.kind.in_(kinds))
    query = query.where(event.id > after) if after else query
    rows = connection.execute(query.order_by(event.id.desc()).limit(most)).all()
    others = aliases(connection) if rows else {}
    return [_unread(row, others.get(row.id, {})) for row in rows]


def _unread(row: Any, names: Mapping[str, str]) -> Unread:
    try:
        data = json.loads(row.data)
        find = data.get("find") or ""
    except (AttributeError, ValueError) as error:
        raise LedgerDamaged(shown(row.data), f"JSON ({error})", f"event {row.id}") from error
    find = names.get(f"find:{find}", f"find:{find}")[5:] if find else ""
    return Unread(row.id, row.kind, (row.order or row.happened, row.id), find, data)


def within(event: Column[str], since: Time, until: Time, kind: str | None = None) -> Sequence[ColumnElement[bool]]:
    """Condition for the events of a period and of some kinds; None if neither is given.

    Their ids are found first, by an index: otherwise SQLite would read all events in the order asked for.
    """
    asked = list(_between(since, until))
    if kind is not None:
        asked.append(t.event.c.kind + "" == kind)  # not by the index of kinds: it holds all ten years
    return (event.in_(select(t.event.c.id).where(*asked)),) if asked else ()


def _between(since: Time, until: Time) -> Iterator[ColumnElement[bool]]:
    if since is not None:
        yield t.event.c.happened >= time_text(since)
    if until is not None:
        yield t.event.c.happened < time_text(until)


def _place(place: Column[str]) -> ColumnElement[str]:
    return case(
        (begins(place, "find:"), "find:" + func.coalesce(_kind(place), "")), (begins(place, "bin:"), "bin"), else_=place
    )


def _kind(subject: ColumnElement[str]) -> ScalarSelect[str]:
    """The kind of a find as it is called now."""
    word = t.word.c
    return select(word.value).where(word.subject == subject, word.name == "kind").scalar_subquery()
