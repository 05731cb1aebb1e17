"""Tells copies of a ledger apart. A file that was copied by hand gets a mark of its own before it is written to."""

from __future__ import annotations

import datetime as dt
import platform
import secrets
import uuid
from functools import cache
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Row, ScalarSelect, bindparam, delete, func, insert, literal, select

from partway.ledger.book import NEAR, Head
from partway.ledger.events.shapes import time_text
from partway.storage.tables import tables as t

SERVER = """
    SELECT (SELECT oid FROM pg_database WHERE datname = current_database()) || ':' || to_regclass('event')::oid
"""
SYSTEM = "SELECT system_identifier FROM pg_control_system()"
MAY_ASK = "SELECT has_function_privilege('pg_control_system()', 'execute')"
DEVICE = select(t.copy.c.device).scalar_subquery()  # of the one row there is


def head(connection: Connection, stated: dt.datetime | None) -> Head | None:
    """How far this copy has come (ledger.book.Head); None if it has no mark yet, or was moved since it got one."""
    row = connection.execute(HEAD).one()
    return _head(connection, row, stated) if row.device is not None and row.place == place(connection) else None


def drawn(connection: Connection, stated: dt.datetime | None) -> Head:
    """As `head`, but makes a new mark if there is none. Only in a writing transaction."""
    known = head(connection, stated)
    if known is not None:
        return known
    connection.execute(delete(t.copy))
    connection.execute(insert(t.copy).values(device=secrets.token_hex(4), place=place(connection)))
    return _head(connection, connection.execute(HEAD).one(), stated)


def _head(connection: Connection, row: Row[Any], stated: dt.datetime | None) -> Head:
    device, _, event_id, *found = tuple[Any, ...](row)
    latest = [(order, typed) for order, typed in zip(found[::2], found[1::2], strict=True) if order is not None]
    near = None
    if stated is not None:
        near = connection.execute(NEARBY, {"first": time_text(stated), "end": time_text(stated + NEAR)}).scalar_one()
    order, typed = max(latest, default=(None, None))
    return Head(device, uuid.UUID(event_id) if event_id else None, _time(order), _time(near), _time(typed))


def _latest(device: str | ScalarSelect[str]) -> list[ScalarSelect[str]]:
    """The last order number of a device, and when that was typed: two index look-ups."""
    event = t.event.c
    return [
        select(column).where(event.device == device).order_by(event.order.desc()).limit(1).scalar_subquery()
        for column in (event.order, event.typed)
    ]


HEAD = select(
    DEVICE.label("device"),
    select(t.copy.c.place).scalar_subquery().label("place"),
    select(func.max(t.event.c.id)).scalar_subquery(),
    *_latest(DEVICE),
    *_latest(""),
)
NEARBY = select(func.max(t.event.c.order)).where(
    t.event.c.device.in_(select(t.copy.c.device).union_all(select(literal("")))),
    t.event.c.order >= bindparam("first"),
    t.event.c.order < bindparam("end"),
)


def place(connection: Connection) -> str:
    """What differs between this ledger and a copy made by hand: the file and the machine, or the server's own ids."""
    if connection.dialect.name == "sqlite":
        file = Path(str(connection.engine.url.database)).stat()
        return f"{machine()}:{file.st_dev}:{file.st_ino}"
    system = connection.exec_driver_sql(SYSTEM).scalar() if connection.exec_driver_sql(MAY_ASK).scalar() else ""
    return f"{system}:{connection.exec_driver_sql(SERVER).scalar()}"


@cache
def machine() -> str:
    """A text that no other machine has: systemd's machine-id if there is one, else its name and address."""
    for path in (Path("/etc/machine-id"), Path("/var/lib/dbus/machine-id")):
        try:
            if text := path.read_text(encoding="ascii").strip():
                return text
        except (OSError, ValueError):
            continue
    return f"{platform.node()}-{uuid.getnode():012x}"


def _time(text: str | None) -> dt.datetime | None:
    return None if text is None else dt.datetime.fromisoformat(text)
