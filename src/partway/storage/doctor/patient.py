"""A ledger that is looked over; what several checks need of it is read once."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from sqlalchemy import select

from partway.errors import LedgerDamaged
from partway.ledger.events import Event
from partway.ledger.fold import State, fold
from partway.storage import tables as t
from partway.storage.rows import event_from
from partway.storage.store import SqlBook


@dataclass
class Patient:
    """`file` is None for a ledger on a server."""

    book: SqlBook
    file: Path | None
    now: dt.datetime
    damaged: list[LedgerDamaged] = field(init=False, default_factory=list)
    events: list[Event] = field(init=False, default_factory=list)

    def __post_init__(self) -> None:
        """Read all events; those that cannot be read are `damaged`."""
        with self.book.reading() as connection:
            for row in connection.execute(select(t.event).order_by(t.event.c.id)):
                try:
                    self.events.append(event_from(row))
                except LedgerDamaged as damaged:
                    self.damaged.append(damaged)

    @cached_property
    def state(self) -> State:
        """What the events say. Only for a ledger without damaged ones."""
        return fold(self.events)
