"""Keeps the list of conflicts up to date in the transaction that adds events; only what they touch is examined.

A row holds all conflicts about one thing: a find or bin, the prices of a buyer for a lot, a field; those of corrections
share one row. While only one device has written, only ends of finds and masses below zero are examined.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Any
from uuid import UUID

from sqlalchemy import Connection, func, select

from partway.ledger.balance import conflict_search as search
from partway.ledger.balance import conflicts as rules
from partway.ledger.balance.conflicts import Conflict, Counting
from partway.ledger.events.effects import Effects
from partway.storage.tables import tables as t
from partway.storage.writing.conflict_rows import CORRECTIONS, Found, Units, counting, known, parts, units, write
from partway.storage.writing.sums import Change

PLACES = ("find:", "bin:", "listing:")
MILLISECONDS = len("2026-03-14T15:30:00.000")  # characters of a time as tables have it, to the millisecond

DEVICE = t.event.c.device
STANDING = select(
    select(func.min(DEVICE)).where(DEVICE > "").scalar_subquery().label("named"),
    select(func.max(DEVICE)).scalar_subquery().label("last"),
    select(func.min(DEVICE)).scalar_subquery().label("first"),
    select(func.min(t.conflict.c.about)).scalar_subquery().label("about"),
)


def refresh(connection: Connection, ids: Collection[str], new: Mapping[str, Effects], change: Change) -> None:
    """Update the conflicts after events were added (`new`) or others of `ids` started or stopped counting; `change`:
    the sums.
    """
    several, unnamed, any_there = _standing(connection)
    there = known(connection) if any_there else frozenset[str]()
    if not several and len(ids) == len(new) and all(about.startswith(PLACES) for about in there):
        _of_one(connection, new, change, there, unnamed=unnamed)
        return
    touched = units(connection, ids)
    found: Found = {}
    ends = _ended(connection, [place for place in touched.places if place.startswith("find:")])
    below = _below_zero(connection, touched.places)
    for place in sorted({*ends, *below, *(place for place in touched.places if place in there)}):
        found[place] = list(_of_place(connection, place, several=several))
    if several or there:
        _of_several(connection, touched, there, found)
    write(connection, found, there)


def _standing(connection: Connection) -> tuple[bool, bool, bool]:
    """Whether more than one device is known to have written, whether some event names none, and whether there is any
    conflict: one statement of four looks into an index.
    """
    row = connection.execute(STANDING).one()
    return row.named is not None and row.named != row.last, row.first == "", row.about is not None


def _of_one(
    connection: Connection, new: Mapping[str, Effects], change: Change, there: Collection[str], *, unnamed: bool
) -> None:
    """Where one device alone writes: what is below zero now, ends of finds where some event names no device, and what
    of the conflicts that are there the new events have to do with.
    """
    down = {place for (place, _), mg in change.balances.items() if mg < 0 and place.startswith(PLACES)}
    doubtful = _below_zero(connection, down) if down else set()
    if unnamed:
        closed = {fact.subject for effects in new.values() for fact in effects.facts if fact.name == "closed"}
        doubtful |= _ended(connection, closed)
    if there:
        said = {fact.subject for effects in new.values() for fact in effects.facts}
        doubtful |= {place for place in said | {place for place, _ in change.touched} if place in there}
    if doubtful:
        write(connection, {place: list(_of_place(connection, place, several=False)) for place in doubtful}, there)


def _of_several(connection: Connection, touched: Units, there: Collection[str], found: Found) -> None:
    for place in touched.places:
        if place.startswith(("bin:", "listing:")) and place not in found:
            found[place] = list(_of_place(connection, place, several=True))
    for field in touched.fields:
        if field[0].startswith("quote:"):
            found[field[0]] = [*_prices(connection, field[0]), *_words(connection, *field)]
        elif " ".join(field) in there or _tied(connection, field):
            found[" ".join(field)] = list(_words(connection, *field))
    corrections = list(_corrections(connection))  # also where what one of them put in place arrives after it
    if touched.corrected or corrections or CORRECTIONS in there:
        found[CORRECTIONS] = corrections


def _ended(connection: Connection, finds: Collection[str]) -> set[str]:
    """Finds that ended and of which at least two events took."""
    takers: dict[str, set[str]] = defaultdict(set)
    closed: set[str] = set()
    fact, move = t.fact.c, t.move.c
    for part in parts(finds):
        ends = select(fact.subject, fact.event).where(fact.subject.in_(part), fact.name == "closed", fact.live)
        for subject, event in connection.execute(ends):
            closed.add(subject)
            takers[subject].add(event)
        out = select(move.source, move.event).where(move.source.in_(part), move.live)
        for source, event in connection.execute(out):
            takers[source].add(event)
    return {find for find in closed if len(takers[find]) > 1}


def _below_zero(connection: Connection, places: Collection[str]) -> set[str]:
    balance = t.balance.c
    query = select(balance.place).where(balance.mg < 0)
    return {p for part in parts(places) for p in connection.execute(query.where(balance.place.in_(part))).scalars()}


def _of_place(connection: Connection, place: str, *, several: bool) -> Iterator[Conflict]:
    if place.startswith("find:"):
        about = select(t.about.c.event).where(t.about.c.subject == place)
        yield from rules.ended_twice(place, counting(connection, connection.execute(about).scalars().all()))
    elif place.startswith("listing:"):
        about = select(t.about.c.event).where(t.about.c.subject == place)
        yield from rules.oversold(place, counting(connection, connection.execute(about).scalars().all()))
    elif several:
        yield from _recounts(connection, place)
    balance = t.balance.c
    query = select(balance.grade, balance.mg).where(balance.place == place, balance.mg < 0).order_by(balance.grade)
    for grade, mg in connection.execute(query).all():
        yield from rules.below_zero(place, grade, mg, list(_takers(connection, place, grade)))


def _recounts(connection: Connection, place: str) -> Iterator[Conflict]:
    said = t.assertion.c
    grades = select(said.grade).where(said.place == place, said.live).distinct()
    for grade in connection.execute(grades).scalars().all():
        last = select(said.event).where(said.place == place, said.grade == grade, said.live)
        ids = connection.execute(last.order_by(said.order.desc(), said.event.desc()).limit(2)).scalars().all()
        yield from rules.recounts_differ(place, counting(connection, ids))


def _takers(connection: Connection, place: str, grade: str) -> Iterator[Counting]:
    """The last of each device that took more than it gave, oldest first."""
    move, event = t.move.c, t.event.c
    query = select(event.device, event.id).join_from(t.move, t.event, event.id == move.event)
    query = query.where(move.source == place, move.live).order_by(move.order.desc(), event.id.desc())
    if place.startswith("bin:"):
        query = query.where(move.grade == grade)
    last: dict[str, Counting] = {}
    for device, event_id in connection.execute(query).all():
        if device not in last:
            for one in counting(connection, [event_id]):
                if one.net_mg(place, grade or None) < 0:
                    last[device] = one
    yield from sorted(last.values(), key=lambda one: one.event.position)


def _tied(connection: Connection, field: tuple[str, str]) -> bool:
    """Whether several values share the time of the last one."""
    return len(_last_words(connection, *field)) > 1


def _last_words(connection: Connection, subject: str, name: str) -> list[str]:
    fact = t.fact.c
    said = select(fact.order, fact.event).where(fact.subject == subject, fact.name == name, fact.live)
    rows: list[Any] = []
    for row in connection.execute(said.order_by(fact.order.desc(), fact.event.desc())):
        if rows and row.order[:MILLISECONDS] != rows[0].order[:MILLISECONDS]:
            break
        rows.append(row)
    return [row.event for row in rows]


def _words(connection: Connection, subject: str, name: str) -> Iterable[Conflict]:
    ids = _last_words(connection, subject, name)
    return search.of_field(subject, name, counting(connection, ids)) if len(ids) > 1 else ()


def _prices(connection: Connection, quote: str) -> Iterator[Conflict]:
    """Of all days: a buyer says a price for one lot some hundred times in ten years."""
    fact, event = t.fact.c, t.event.c
    query = select(event.device, event.id, fact.value).join_from(t.fact, t.event, event.id == fact.event)
    rows = connection.execute(query.where(fact.subject == quote, fact.name == "heard", fact.live)).all()
    by_day: dict[str, list[Any]] = defaultdict(list)
    for row in rows:
        by_day[_day(row.value)].append(row)
    for day, several in by_day.items():
        if len({row.device for row in several} - {""}) > 1:
            yield from rules.prices_differ(quote, day, counting(connection, [row.id for row in several]))


def _day(text: str) -> str:
    """The day of a quote out of its canonical JSON, in which no text can have an unescaped quotation mark."""
    return text.partition('"on":"')[2][:10]


def _corrections(connection: Connection) -> Iterator[Conflict]:
    """Events corrected more than once, with what replaced them, and what replaced that."""
    correction = t.correction.c
    gone = select(t.voided.c.event)
    many = select(correction.target).where(correction.event.not_in(gone))
    many = many.group_by(correction.target).having(func.count() > 1)
    reached: dict[UUID, Counting] = {}
    front, seen = set(connection.execute(many).scalars()), set[str]()
    while front := front - seen:
        seen |= front
        by = select(correction.event).where(correction.target.in_(sorted(front)), correction.event.not_in(gone))
        made = counting(connection, connection.execute(by).scalars().all())
        instead = {str(said) for one in made if (said := getattr(one.event.what, "instead", None))}
        standing = counting(connection, instead)
        reached |= {one.event.id: one for one in (*made, *standing)}
        front = instead - {str(one.event.id) for one in standing}
    ordered = sorted(reached.values(), key=lambda one: one.event.position)
    yield from search.in_corrections(ordered)
