"""Which buyers are open on the day of a plan, and which only for part of the time that it may take."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from partway.spoken.texts import dated
from partway.things.defaults import LEAVE
from partway.things.limits.opening import Windows, next_open, open_on
from partway.things.scenario import Buyer, Scenario


@dataclass(frozen=True)
class OpenHours:
    """The time of leaving; hours of the buyers (by index) that are open for part of the time, none where closed."""

    leave: float = LEAVE
    part: Mapping[int, Windows] = field(default_factory=dict)

    @classmethod
    def of(cls, scenario: Scenario) -> OpenHours:
        """Of the buyers that are driven to."""
        hours = scenario.hours
        leave = LEAVE if hours.leave is None else hours.leave
        part = {}
        for b, buyer in enumerate(scenario.buyers):
            if buyer.is_visited and buyer.open:
                windows = open_on(buyer.open, scenario.on)
                if not any(start <= leave and end >= leave + hours.away for start, end in windows):
                    part[b] = windows
        return cls(leave, part)

    @property
    def closed(self) -> frozenset[int]:
        """Buyers that are closed all day."""
        return frozenset(b for b, windows in self.part.items() if not windows)

    def visits_on(self, buyer: int, trips: int) -> range:
        """The trips that may stop at a buyer: who is open for part of the time is visited by the first alone."""
        if buyer not in self.part:
            return range(trips)
        return range(min(trips, 1 if self.part[buyer] else 0))


def opening_notes(scenario: Scenario, hours: OpenHours, listed: bool) -> tuple[str, ...]:
    """Sentences for the notes: who is closed, and who is left out or visited by the first trip alone for the hours."""
    buyers = scenario.buyers
    shut = ", ".join(f"{buyers[b].id} ({_opens(scenario, buyers[b])})" for b in sorted(hours.closed))
    partly = ", ".join(buyers[b].id for b in sorted(set(hours.part) - hours.closed))
    notes = [f"Closed on {dated(scenario.on)}, nothing is driven there: {shut}."] if shut else []
    if partly and not listed:
        notes.append(
            f"Not open all the time you may be away, and too many places to time each tour, left out: {partly}."
        )
    elif partly and scenario.hours.trips > 1:
        notes.append(f"Not open all the time you may be away, so visited by the first trip alone: {partly}.")
    return tuple(notes)


def _opens(scenario: Scenario, buyer: Buyer) -> str:
    day = next_open(buyer.open, scenario.on)
    return "never open" if day is None else f"opens on {dated(day)}"
