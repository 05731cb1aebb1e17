"""What a phone's copy is of: the state of the ledger, the day, and the program that worked it out."""

from __future__ import annotations

import datetime as dt
import hashlib

from partway import __version__
from partway.reports.pocket.shape import SCHEMA
from partway.storage.store import SqlBook


def state_of(book: SqlBook, day: dt.date) -> str:
    """A text that is another one after every change of the ledger, on another day, and by another version."""
    return digest(book.state(), day, SCHEMA, __version__)


def digest(*told: object) -> str:
    """A short text for what was told."""
    return hashlib.sha256(repr(told).encode()).hexdigest()[:32]
