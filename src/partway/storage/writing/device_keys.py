"""Keys that open the app to phones and other devices: one each, with a name, until it is ended.

They are kept in the ledger, so that every process that serves it knows at once which were ended. They are no events:
they are in no export and no merge. Only a digest of a key is kept, so nobody who reads the ledger or a backup of it
can open the app with it. A key has 128 bits of chance, which is why its digest needs no slow function.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import secrets
from dataclasses import dataclass

from sqlalchemy import ColumnElement, insert, select, update

from partway.errors import Refused
from partway.ledger.events.fields import Bad, person
from partway.ledger.events.shapes import time_text
from partway.quantities import shown
from partway.storage.store import SqlBook
from partway.storage.tables import tables as t

BYTES = 16  # of chance in a key: 128 bits
KEY_MOST = 100  # characters of what is shown as a key; longer ones are none of ours
NAME_MOST = 40
COLUMNS = t.device_key.c


@dataclass(frozen=True, slots=True)
class DeviceKey:
    """A key by the name of its device. `seen` is None until it was first used, `ended` while it opens."""

    name: str
    made: dt.datetime
    seen: dt.datetime | None
    ended: dt.datetime | None


def issue_key(book: SqlBook, name: str, now: dt.datetime) -> str:
    """A new key for the device of this name. It is told once: only its digest is kept.

    Raises Refused for a name that another device has whose key still opens.
    """
    named = _name(name)
    key = secrets.token_urlsafe(BYTES)
    row = {"digest": key_digest(key), "name": named, "made": time_text(now), "seen": "", "ended": ""}
    with book.writing() as connection:
        if connection.execute(select(COLUMNS.digest).where(*_opens(named))).first() is not None:
            raise Refused(shown(named), "a name that no other device has; or end the key of that one first", "device")
        connection.execute(insert(t.device_key), row)
    return key


def end_key(book: SqlBook, name: str, now: dt.datetime) -> None:
    """From now on the key of this device opens nothing, in no process. Raises Refused where there is none."""
    with book.writing() as connection:
        done = connection.execute(update(t.device_key).where(*_opens(name.strip())).values(ended=time_text(now)))
        if done.rowcount == 0:
            names = [row.name for row in connection.execute(select(COLUMNS.name).where(COLUMNS.ended == ""))]
            known = ", ".join(sorted(names)) or "none yet"
            raise Refused(shown(name), f"the name of a device that has a key ({known})", "device")


def key_holder(book: SqlBook, key: str) -> str | None:
    """The name of the device whose key this is; None for a key that was ended, or was never one."""
    if len(key) > KEY_MOST:
        return None
    query = select(COLUMNS.name).where(COLUMNS.digest == key_digest(key), COLUMNS.ended == "")
    with book.reading() as connection:
        name: str | None = connection.execute(query).scalar_one_or_none()
        return name


def saw_key(book: SqlBook, key: str, now: dt.datetime) -> None:
    """Note that a key was used."""
    with book.writing() as connection:
        row = update(t.device_key).where(COLUMNS.digest == key_digest(key), COLUMNS.ended == "")
        connection.execute(row.values(seen=time_text(now)))


def device_keys(book: SqlBook) -> tuple[DeviceKey, ...]:
    """Every key that was made: those that open by name, then those that were ended, the last first."""
    with book.reading() as connection:
        found = [
            DeviceKey(row.name, dt.datetime.fromisoformat(row.made), _time(row.seen), _time(row.ended))
            for row in connection.execute(select(t.device_key))
        ]
    open_ = sorted((key for key in found if key.ended is None), key=lambda key: key.name.casefold())
    ended = sorted((key for key in found if key.ended is not None), key=lambda key: str(key.ended), reverse=True)
    return (*open_, *ended)


def key_digest(key: str) -> str:
    """What is kept of a key."""
    return hashlib.sha256(key.encode("utf-8", "surrogatepass")).hexdigest()


def _opens(name: str) -> tuple[ColumnElement[bool], ColumnElement[bool]]:
    return COLUMNS.name == name, COLUMNS.ended == ""


def _name(name: str) -> str:
    """The name that events will say. Raises Refused."""
    plain = name.strip()
    try:
        person(plain)
    except Bad:
        plain = ""
    if not plain or len(plain) > NAME_MOST or not plain.isprintable():
        raise Refused(shown(name), f'a name such as "phone of Ann", 1 to {NAME_MOST} characters', "device")
    return plain


def _time(text: str) -> dt.datetime | None:
    return dt.datetime.fromisoformat(text) if text else None
