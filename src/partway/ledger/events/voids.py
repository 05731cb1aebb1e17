"""Which events count. A correction takes back one earlier event, unless a later correction takes it back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from uuid import UUID

from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Corrected

Corrections = Mapping[UUID, UUID]  # id of the correction -> id of what it corrects


def corrections_of(events: Iterable[Event]) -> dict[UUID, UUID]:
    """The corrections among events. One that does not look back in time corrects nothing."""
    return {
        event.id: event.what.event
        for event in events
        if isinstance(event.what, Corrected) and event.what.looks_back(event.id)
    }


def void(corrections: Corrections) -> frozenset[UUID]:
    """Ids of voided events, including ones not yet received.

    From the last correction to the first: whatever could take one back has been looked at before it.
    """
    result: set[UUID] = set()
    for correction in sorted(corrections, reverse=True):
        if correction not in result:
            result.add(corrections[correction])
    return frozenset(result)
