"""What a device shows with each request: a key of its own making, got once for the address that the owner gave it.

The address opens for a day. With it a device gets a new key, which stands in no address and is known to nobody else;
it is let in by that until it is ended, was away for too long, or is a year old. Several browsers of one device (its
own, and the app on its home screen) get one each. Of both only digests are kept, in the table of the keys.
"""

from __future__ import annotations

import datetime as dt
import secrets
from collections.abc import Collection

from sqlalchemy import ColumnElement, insert, select, update

from partway.ledger.events.shapes import time_text
from partway.ledger.roles import Role
from partway.storage.store import SqlBook
from partway.storage.tables import tables as t
from partway.storage.writing.device_keys import BYTES, COLUMNS, KEY_MOST, KeyHolder, key_digest, link_digest

LINK_FOR = dt.timedelta(days=1)  # an address with a key in it is for whoever is expected now
AWAY_MOST = dt.timedelta(days=90)  # not used for so long, it opens no more (our own choice)
LIFE = dt.timedelta(days=365)  # however much it is used; the cookie lasts as long


def open_link(book: SqlBook, key: str, now: dt.datetime, before: str = "") -> tuple[str, KeyHolder] | None:
    """A key for a device that shows the one of its address, with whose it is; None where that opens nothing.

    `before` is what the browser was let in by so far: that is ended. Raises BadLedger where nothing can be written.
    """
    link = _link(key, now)
    with book.asking() as connection:
        row = connection.execute(select(t.device_key).where(*link)).one_or_none()
    if row is None:
        return None
    made = secrets.token_urlsafe(BYTES)
    text = time_text(now)
    with book.writing() as connection:
        row = connection.execute(select(t.device_key).where(*link)).one_or_none()
        if row is None:  # ended a moment ago
            return None
        same = {"name": row.name, "person": row.person, "role": row.role}
        new = {"digest": key_digest(made), "made": text, "seen": text, "ended": ""}
        connection.execute(insert(t.device_key), new | same)
        if before:
            earlier = update(t.device_key).where(COLUMNS.digest == key_digest(before), COLUMNS.ended == "")
            connection.execute(earlier.values(ended=text))
    return made, KeyHolder(row.name, row.person, Role(row.role))


def key_holder(book: SqlBook, key: str, now: dt.datetime) -> KeyHolder | None:
    """Whose device shows this key; None for one that was ended, is too old, or never was one."""
    if len(key) > KEY_MOST:
        return None
    query = select(COLUMNS.name, COLUMNS.person, COLUMNS.role).where(
        COLUMNS.digest == key_digest(key), COLUMNS.ended == "", *_lasts(now)
    )
    with book.asking() as connection:
        row = connection.execute(query).one_or_none()
        return None if row is None else KeyHolder(row.name, row.person, Role(row.role))


def saw_keys(book: SqlBook, digests: Collection[str], now: dt.datetime) -> None:
    """Note that keys were used."""
    with book.writing() as connection:
        rows = update(t.device_key).where(COLUMNS.digest.in_(digests), COLUMNS.ended == "")
        connection.execute(rows.values(seen=time_text(now)))


def _link(key: str, now: dt.datetime) -> tuple[ColumnElement[bool], ...]:
    given = link_digest(key) if len(key) <= KEY_MOST else ""
    return COLUMNS.digest == given, COLUMNS.ended == "", COLUMNS.made > time_text(now - LINK_FOR)


def _lasts(now: dt.datetime) -> tuple[ColumnElement[bool], ...]:
    """A key of before there were addresses that pass may not have been used yet: it counts from when it was made."""
    away, born = time_text(now - AWAY_MOST), time_text(now - LIFE)
    return COLUMNS.made > born, (COLUMNS.seen > away) | ((COLUMNS.seen == "") & (COLUMNS.made > away))
