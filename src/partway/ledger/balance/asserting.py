"""What a recount or a weighing comes to: it says what is there, and the events before it say what should be.

The difference is worked out from all events that count, in the order of their positions. So an older event that
arrives late changes the difference, and not what the scale said.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from uuid import UUID

from partway.ledger.events.effects import Effects
from partway.ledger.events.event import Event
from partway.ledger.events.meaning import postings

Key = tuple[str, str]  # place and grade
Position = tuple[dt.datetime, UUID]
HOLDERS = ("find:", "bin:")  # places that can be put on a scale


@dataclass(frozen=True, slots=True, order=True)
class Line:
    """What one event does to one place and grade: adds `mg`, or, where it `asserts`, says that `mg` is there."""

    position: Position
    mg: int
    asserts: bool = False


def lines_of(event: Event, effects: Effects) -> dict[Key, Line]:
    """The lines of an event, by finds and bins; of an assertion nothing but what it says."""
    said = effects.asserted
    if said is not None:
        return {(said.place, said.grade): Line(event.position, said.mg, True)}
    changes = postings(effects.moves) if effects.moves else {}
    return {key: Line(event.position, mg) for key, mg in changes.items() if key[0].startswith(HOLDERS)}


def befores(lines: Iterable[Line], start: int = 0) -> Iterator[tuple[UUID, int]]:
    """What is in a place just before each assertion on it, where there was `start` before the first of the lines."""
    there = start
    for line in sorted(lines):
        if line.asserts:
            yield line.position[1], there
            there = line.mg
        else:
            there += line.mg
