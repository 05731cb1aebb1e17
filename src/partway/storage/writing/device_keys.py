"""Keys that open the app to phones and other devices: one each, with a name, until it is ended. The key that is made
here stands in an address, and a device gets its own for it (storage.writing.sessions).

A key says whose the device is and in which role. Several devices may be one person's; a person has one role.

They are kept in the ledger, so that every process that serves it knows at once which were ended. They are no events:
they are in no export and no merge. Only a digest of a key is kept, so nobody who reads the ledger or a backup of it
can open the app with it. A key has 128 bits of chance, which is why its digest needs no slow function.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, Connection, insert, select, update

from partway.actions.recording.questions import Asked
from partway.errors import Refused
from partway.ledger.events.fields import Bad, person
from partway.ledger.events.shapes import time_text
from partway.ledger.roles import Role
from partway.quantities import shown
from partway.storage.store import SqlBook
from partway.storage.tables import tables as t

BYTES = 16  # of chance in a key: 128 bits
KEY_MOST = 100  # characters of what is shown as a key; longer ones are none of ours
NAME_MOST = 40
SAME = "same"  # the question whether a name is that of somebody who recorded something already
LINK = "link "  # before the digest of a key that stands in an address
COLUMNS = t.device_key.c


@dataclass(frozen=True, slots=True)
class DeviceKey:
    """A key by the name of its device. `seen` is None until it was first used, `ended` while it opens."""

    name: str
    made: dt.datetime
    seen: dt.datetime | None
    ended: dt.datetime | None
    person: str
    role: Role


@dataclass(frozen=True, slots=True)
class KeyHolder:
    """Whose a key is: the device, the person whom events name, and what they may."""

    device: str
    person: str
    role: Role


def issue_key(
    book: SqlBook,
    name: str,
    now: dt.datetime,
    person: str = "",
    role: Role = Role.OWNER,
    owner: str = "",
    *,
    same: bool = False,
) -> str:
    """A new key for the address of a device of this name. It is told once: only its digest is kept.

    `person` is whose it is, by default somebody of the device's name; `owner` is who is at the desk. Raises Refused for
    a name that another device has whose key still opens, and for a second role of one person; Asked for a name that
    events say already and no device has, unless `same` says that it is the same person: what stands there would be
    theirs, to take back and put right.
    """
    named, whose = _name(name, "device"), _name(person or name, "person")
    key = secrets.token_urlsafe(BYTES)
    row = {
        "digest": link_digest(key),
        "name": named,
        "made": time_text(now),
        "seen": "",
        "ended": "",
        "role": role.value,
    }
    with book.writing() as connection:
        if connection.execute(select(COLUMNS.digest).where(*_opens(named))).first() is not None:
            raise Refused(shown(named), "a name that no other device has; or end the key of that one first", "device")
        known = _person(connection, whose)
        _check_role(whose, role, known, owner)
        if not same and known is None and whose.casefold() != owner.casefold():
            _ask_who(connection, whose)
        connection.execute(insert(t.device_key), row | {"person": known[0] if known else whose})
    return key


def give_role(book: SqlBook, person: str, role: Role, owner: str = "") -> None:
    """From now on a person has another role, on each of their devices, in every process. Raises Refused."""
    with book.writing() as connection:
        known = _person(connection, person.strip())
        if known is None:
            raise Refused(shown(person), f"somebody whose device has a key ({_persons(connection)})", "person")
        _check_role(known[0], role, None, owner)
        connection.execute(
            update(t.device_key).where(COLUMNS.person == known[0], COLUMNS.ended == "").values(role=role.value)
        )


def end_key(book: SqlBook, name: str, now: dt.datetime) -> None:
    """From now on the key of this device opens nothing, in no process. Raises Refused where there is none."""
    with book.writing() as connection:
        done = connection.execute(update(t.device_key).where(*_opens(name.strip())).values(ended=time_text(now)))
        if done.rowcount == 0:
            names = [row.name for row in connection.execute(select(COLUMNS.name).where(COLUMNS.ended == ""))]
            known = ", ".join(sorted(names)) or "none yet"
            raise Refused(shown(name), f"the name of a device that has a key ({known})", "device")


def role_of(book: SqlBook, person: str) -> Role:
    """What somebody of this name may: what their devices say, else an owner's."""
    with book.asking() as connection:
        known = _person(connection, person.strip())
    return Role.OWNER if known is None else Role(known[1])


def owners(book: SqlBook) -> tuple[str, ...]:
    """Owners who have a device, by name."""
    query = select(COLUMNS.person).where(COLUMNS.role == Role.OWNER.value, COLUMNS.ended == "").distinct()
    with book.asking() as connection:
        return tuple(sorted(connection.execute(query).scalars()))


def device_keys(book: SqlBook) -> tuple[DeviceKey, ...]:
    """Every device that was given a key: those that open by name, then those that were ended, the last first."""
    of: dict[tuple[str, str], list[Any]] = {}
    with book.asking() as connection:
        for row in connection.execute(select(t.device_key)):
            of.setdefault((row.name, row.ended), []).append(row)
    links = [(row.name, row.made) for rows in of.values() for row in rows if row.digest.startswith(LINK)]
    found = [_device(rows) for rows in of.values() if not _is_one_browsers(rows, links)]
    opening = sorted((key for key in found if key.ended is None), key=lambda key: key.name.casefold())
    ended_ = sorted((key for key in found if key.ended is not None), key=lambda key: str(key.ended), reverse=True)
    return (*opening, *ended_)


def _is_one_browsers(rows: Sequence[Any], links: Sequence[tuple[str, str]]) -> bool:
    """Whether rows that were ended are what one browser of a device had got, and not the device."""
    if not rows[0].ended or any(row.digest.startswith(LINK) for row in rows):
        return False
    return any(name == rows[0].name and made <= min(row.made for row in rows) for name, made in links)


def _device(rows: Sequence[Any]) -> DeviceKey:
    """One device: the address it was given, and what its browsers got for it."""
    first = min(rows, key=lambda row: row.made)
    seen = max(row.seen for row in rows)
    made = dt.datetime.fromisoformat(first.made)
    return DeviceKey(first.name, made, _time(seen), _time(first.ended), first.person, Role(first.role))


def key_digest(key: str) -> str:
    """What is kept of a key."""
    return hashlib.sha256(key.encode("utf-8", "surrogatepass")).hexdigest()


def link_digest(key: str) -> str:
    """What is kept of the key in an address, which opens nothing but a way to a key."""
    return f"{LINK}{key_digest(key)}"


def _opens(name: str) -> tuple[ColumnElement[bool], ColumnElement[bool]]:
    return COLUMNS.name == name, COLUMNS.ended == ""


def _person(connection: Connection, name: str) -> tuple[str, str] | None:
    """Somebody whose device has a key, as their name is written there, with their role; small letters are the same."""
    query = select(COLUMNS.person, COLUMNS.role).where(COLUMNS.ended == "")
    rows = connection.execute(query).all()
    return next(((r.person, r.role) for r in rows if r.person.casefold() == name.casefold()), None)


def _persons(connection: Connection) -> str:
    query = select(COLUMNS.person).where(COLUMNS.ended == "").distinct()
    return ", ".join(sorted(connection.execute(query).scalars())) or "none yet"


def _check_role(whose: str, role: Role, known: tuple[str, str] | None, owner: str) -> None:
    """What the owner recorded would be a helper's own, were both called the same."""
    if whose.casefold() == owner.casefold() and role is not Role.OWNER:
        raise Refused(f"{whose}, a {role.value}", f"another name: {owner} is who runs partway, the owner", "person")
    if known is not None and known[1] != role.value:
        raise Refused(f"{known[0]}, a {role.value}", f"a {known[1]}, as on the other devices of {known[0]}", "role")


def _ask_who(connection: Connection, whose: str) -> None:
    """Raises Asked where events say that somebody of this name recorded them."""
    names = connection.execute(select(t.event.c.who).distinct()).scalars()
    there = next((name for name in names if name.casefold() == whose.casefold()), None)
    if there is None:
        return
    expected = "another name, for somebody new"
    choices = (("yes", f"It is the {there} who recorded that: theirs to take back and put right"),)
    raise Asked(f"{there}, who recorded something already", expected, "person", SAME, choices)


def _name(name: str, where: str) -> str:
    """The name that events will say. Raises Refused."""
    plain = name.strip()
    try:
        person(plain)
    except Bad:
        plain = ""
    if not plain or len(plain) > NAME_MOST or not plain.isprintable():
        raise Refused(shown(name), f'a name such as "phone of Ann", 1 to {NAME_MOST} characters', where)
    return plain


def _time(text: str) -> dt.datetime | None:
    return dt.datetime.fromisoformat(text) if text else None
