"""Movements and words over time, read from derived rows, without decoding any event."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from functools import cache, lru_cache
from typing import Any
from uuid import UUID

from sqlalchemy import Column, Connection, Select, and_, bindparam, exists, false, or_, select, union_all
from sqlalchemy.sql.elements import ColumnElement

from partway.ledger.book import Which
from partway.ledger.events.effects import Move
from partway.ledger.events.shapes import time_text
from partway.ledger.fold.history import Flow, PastFact
from partway.storage.tables import tables as t

PREFIX_END = "\U0010ffff"  # above every character that may stand in a name: the end of the names with a prefix
PLACES = 100  # that one statement asks for: SQLite joins no more than 500 parts
START, END = "start", "end"  # parameters of statements that are made once


def begins(column: Column[str], prefix: str) -> ColumnElement[bool]:
    """Rows whose name begins with a text, as a range that an index can serve."""
    return and_(column >= prefix, column < prefix + PREFIX_END)


def between(column: Column[str]) -> ColumnElement[bool]:
    """As `begins`, for a statement that is made once; `ends` gives its parameters."""
    return and_(column >= bindparam(START), column < bindparam(END))


def ends(prefix: str) -> dict[str, str]:
    """The parameters of `between`."""
    return {START: prefix, END: prefix + PREFIX_END}


def among(every: Select[Any], column: Column[str], subject: str | Which) -> tuple[Select[Any], dict[str, str]]:
    """A statement for the rows of some subjects, with its parameters. For a text it is cached, as `every` is."""
    if isinstance(subject, str):
        return _ranged(every, column), ends(subject)
    return every.where(which(column, subject)), {}


@cache
def _ranged(every: Select[Any], column: Column[str]) -> Select[Any]:
    return every.where(between(column))


def which(column: Column[str], subject: str | Which) -> ColumnElement[bool]:
    """Rows of the subjects asked for; the others are dropped before anything else of them is read."""
    if isinstance(subject, str):
        return begins(column, subject)
    word, other = t.word.c, t.word.alias().c
    yes = (other.name == subject.unsaid, other.value == "yes", begins(other.subject, subject.prefix))
    unsaid = select(other.subject).where(*yes)
    said = (word.name == subject.said, begins(word.subject, subject.prefix), word.subject.not_in(unsaid))
    return column.in_(select(word.subject).where(*said))


def subjects(connection: Connection, kinds: Sequence[str], subject: str | Which) -> frozenset[str]:
    """Subjects that events of these kinds are about.

    For a prefix the query starts from the events, for a list from the subjects: otherwise SQLite would pair all with
    all.
    """
    about, event = t.about.c, t.event.c
    there: ColumnElement[bool]
    if isinstance(subject, str):
        there = about.event.in_(select(event.id).where(event.kind.in_(kinds)))
    else:
        there = exists().where(event.id == about.event, event.kind.in_(kinds))
    query = select(about.subject).distinct().where(which(about.subject, subject), there)
    return frozenset(connection.execute(query).scalars())


def flows(connection: Connection, place: str, since: dt.datetime | None) -> list[Flow]:
    """The movements that count from or to places that begin so."""
    move, event = t.move.c, t.event.c
    query = (
        select(event.happened, move.order, event.id, event.kind, move.source, move.target, move.grade, move.mg)
        .join_from(t.event, t.move, event.id == move.event)
        .where(move.live, or_(begins(move.source, place), begins(move.target, place)))
        .order_by(move.order, event.id, move.source, move.target, move.grade, move.mg)
    )
    if since is not None:  # their ids first, by an index: otherwise every movement of ten years is looked at
        query = query.where(move.event.in_(select(t.event.c.id).where(t.event.c.happened >= time_text(since))))
    rows = connection.execute(query).all()
    return [Flow(_time(row.happened), _time(row.order), _id(row.id), row.kind, Move(*row[4:])) for row in rows]


def arrivals(connection: Connection, places: Sequence[str], most: int) -> dict[str, list[Flow]]:
    """The last movements into each of these places that count, the newest first: one statement for many places, in
    which each is read backwards by the index of targets, no further than asked.
    """
    found: dict[str, list[Flow]] = {place: [] for place in places}
    for n in range(0, len(places), PLACES):
        for row in connection.execute(_arrivals(places[n : n + PLACES], most)):
            flow = Flow(_time(row.happened), _time(row.order), _id(row.id), row.kind, Move(*row[4:]))
            found[flow.move.target].append(flow)
    return found


def _arrivals(places: Sequence[str], most: int) -> Select[Any]:
    move, event = t.move.c, t.event.c
    columns = (move.order, move.event, move.source, move.target, move.grade, move.mg)
    backwards = [column.desc() for column in (move.order, move.event, move.source, move.grade, move.mg)]
    each = (
        select(*columns).where(move.live, move.target == place).order_by(*backwards).limit(most).subquery()
        for place in places
    )
    last = union_all(*(select(one) for one in each)).subquery()
    of = last.c
    return (
        select(event.happened, of.order, event.id, event.kind, of.source, of.target, of.grade, of.mg)
        .join_from(last, t.event, event.id == of.event)
        .order_by(*(column.desc() for column in (of.order, of.event, of.source, of.grade, of.mg)))
    )


def words(connection: Connection, subjects: Sequence[str], name: str, since: dt.datetime | None) -> list[PastFact]:
    """The words that count on one field of subjects that begin with one of these."""
    fact = t.fact.c
    query = (
        select(fact.happened, fact.event, fact.subject, fact.value, fact.order)
        .where(fact.live, fact.name == name, or_(false(), *(begins(fact.subject, subject) for subject in subjects)))
        .order_by(fact.order, fact.event, fact.subject)
    )
    if since is not None:
        query = query.where(fact.event.in_(select(t.event.c.id).where(t.event.c.happened >= time_text(since))))
    rows = connection.execute(query).all()
    return [PastFact(_time(row.happened), _id(row.event), row.subject, row.value, _time(row.order)) for row in rows]


@lru_cache(maxsize=4096)
def _time(text: str) -> dt.datetime:
    return dt.datetime.fromisoformat(text)


@lru_cache(maxsize=4096)  # one event moves several pieces
def _id(text: str) -> UUID:
    return UUID(text)
