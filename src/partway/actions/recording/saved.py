"""What an action recorded, small enough to be sent: the command line's --json and the app's JSON say it so."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, TypeVar

from partway.actions.recording.context import ClockBack, Recorded

R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class SavedEvent:
    """One event that was added to the ledger."""

    id: str
    kind: str


@dataclass(frozen=True, slots=True)
class Saved(Generic[R]):
    """The events of an action and what there is to tell; correcting those in `undo` takes it back.

    `clock` is null unless the clock was seen to stand before the last entry of this device.
    """

    events: tuple[SavedEvent, ...]
    told: R
    undo: tuple[str, ...]
    clock: ClockBack | None = None


def saved(recorded: Recorded[R]) -> Saved[R]:
    """What was recorded, as it is sent."""
    events = tuple(SavedEvent(str(event.id), event.kind) for event in recorded.events)
    return Saved(events, recorded.result, tuple(str(event_id) for event_id in recorded.undo), recorded.clock)
