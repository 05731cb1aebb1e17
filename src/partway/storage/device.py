"""Which copy of a ledger this is. A file that was copied by other means draws a mark of its own before it writes."""

from __future__ import annotations

import datetime as dt
import platform
import secrets
import uuid
from functools import cache
from pathlib import Path

from sqlalchemy import Connection, ScalarSelect, delete, func, insert, select

from partway.ledger.book import NEAR, Head
from partway.ledger.shapes import time_text
from partway.storage import tables as t

SERVER = """
    SELECT (SELECT oid FROM pg_database WHERE datname = current_database()) || ':' || to_regclass('event')::oid
"""
SYSTEM = "SELECT system_identifier FROM pg_control_system()"
MAY_ASK = "SELECT has_function_privilege('pg_control_system()', 'execute')"


def mark(connection: Connection) -> str | None:
    """The mark of this copy; None where it has none yet, or is not where it drew it."""
    row = connection.execute(select(t.copy.c.device, t.copy.c.place)).one_or_none()
    return None if row is None or row.place != place(connection) else str(row.device)


def draw(connection: Connection) -> str:
    """The mark of this copy, a new one where there is none. In a transaction that writes."""
    known = mark(connection)
    if known is not None:
        return known
    drawn = secrets.token_hex(4)
    connection.execute(delete(t.copy))
    connection.execute(insert(t.copy).values(device=drawn, place=place(connection)))
    return drawn


def head(connection: Connection, device: str, stated: dt.datetime | None) -> Head:
    """How far this copy has come (ledger.book.Head)."""
    event = t.event.c
    last = select(func.max(event.id)).scalar_subquery()
    columns = [column for of in (device, "") for column in _latest(of)]
    event_id, *found = connection.execute(select(last, *columns)).one()
    latest = [(order, typed) for order, typed in zip(found[::2], found[1::2], strict=True) if order is not None]
    near = None
    if stated is not None:
        within = (event.order >= time_text(stated), event.order < time_text(stated + NEAR))
        query = select(func.max(event.order)).where(event.device.in_((device, "")), *within)
        near = connection.execute(query).scalar_one()
    order, typed = max(latest, default=(None, None))
    return Head(device, uuid.UUID(event_id) if event_id else None, _time(order), _time(near), _time(typed))


def _latest(device: str) -> tuple[ScalarSelect[str], ScalarSelect[str]]:
    """The last order of a device, and when that was typed: two looks into an index."""
    event = t.event.c
    order, typed = (
        select(column).where(event.device == device).order_by(event.order.desc()).limit(1).scalar_subquery()
        for column in (event.order, event.typed)
    )
    return order, typed


def place(connection: Connection) -> str:
    """What tells this ledger from a copy made by other means: the file and the machine, or the server's own marks."""
    if connection.dialect.name == "sqlite":
        file = Path(str(connection.engine.url.database)).stat()
        return f"{machine()}:{file.st_dev}:{file.st_ino}"
    system = connection.exec_driver_sql(SYSTEM).scalar() if connection.exec_driver_sql(MAY_ASK).scalar() else ""
    return f"{system}:{connection.exec_driver_sql(SERVER).scalar()}"


@cache
def machine() -> str:
    """A text that another machine does not have: systemd's machine-id where there is one, else its name and address."""
    for path in (Path("/etc/machine-id"), Path("/var/lib/dbus/machine-id")):
        try:
            if text := path.read_text(encoding="ascii").strip():
                return text
        except (OSError, ValueError):
            continue
    return f"{platform.node()}-{uuid.getnode():012x}"


def _time(text: str | None) -> dt.datetime | None:
    return None if text is None else dt.datetime.fromisoformat(text)
