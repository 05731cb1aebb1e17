"""What is told of an act that was read: its words, its day, and what stands for all that is shown."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from typing import Any

from partway.actions.recording.describe import Say, describe, named
from partway.actions.saying.results import SayLine
from partway.errors import Refused
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Corrected
from partway.reports.called import Called
from partway.saying.clauses import Clause


def one_day(clause: Clause) -> Clause | None:
    """What says the day of an act. Raises Refused where two days are said: things of two days are two acts."""
    said = [*([clause] if clause.slot("day") else []), *clause.all("day")]
    if len(said) > 1:
        days = " and ".join(f"“{slot.said}”" for one in said if (slot := one.slot("day")) is not None)
        raise Refused(f"{days} in one", "one day, or a sentence for each", "day")
    return said[0] if said else None


def said_of(clause: Clause) -> str:
    """An act with its parts as it was said."""
    return ", ".join([clause.said.rstrip(" :"), *(part.said for part in clause.parts)])


def more_of(result: Any, say: Say, called: Called, cards: int) -> list[str]:
    """The lines of a result besides its cautions and its sentence, with names in place of ids."""
    lines = describe(named(result, called), say)[cards:]
    return [line.strip() for line in lines] if len(lines) > 1 else []


def digest_of(lines: list[SayLine], events: Iterable[Event]) -> str:
    """Stands for all that is shown of what would be recorded, and for which earlier events it takes back: two expenses
    may be called the same.
    """
    parts = [part for line in lines for part in (*line.told, *line.more, *line.doubts, "")]
    parts += [str(event.what.event) for event in events if isinstance(event.what, Corrected)]
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()[:16]
