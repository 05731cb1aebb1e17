"""The difference a recount or weighing makes: between what it says is there and what the events before it leave there.

It is worked out from all counting events in the order of their positions. So an older event that arrives late changes
the difference, not what the scale said.
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
class AssertedLine:
    """What one event does to one place and grade: adds `mg`, or, where it `asserts`, says that `mg` is there."""

    position: Position
    mg: int
    asserts: bool = False


def lines_of(event: Event, effects: Effects) -> dict[Key, AssertedLine]:
    """The lines of an event, by finds and bins; of an assertion only what it says is there."""
    said = effects.asserted
    if said is not None:
        return {(said.place, said.grade): AssertedLine(event.position, said.mg, True)}
    changes = postings(effects.moves) if effects.moves else {}
    return {key: AssertedLine(event.position, mg) for key, mg in changes.items() if key[0].startswith(HOLDERS)}


def befores(lines: Iterable[AssertedLine], start: int = 0) -> Iterator[tuple[UUID, int]]:
    """What a place holds just before each assertion on it; `start` is what it held before the first line."""
    there = start
    for line in sorted(lines):
        if line.asserts:
            yield line.position[1], there
            there = line.mg
        else:
            there += line.mg
