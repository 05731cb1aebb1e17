"""What each place that was collected at brought, by the hour of the rounds to it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from partway.valuing.trips.places import HOW, PlaceMoney, places_of
from partway.valuing.trips.rounds import RoundEarned
from partway.valuing.window import Window


@dataclass(frozen=True, slots=True)
class PerPlace:
    """The places of a stretch that began on `since` (null for all there is), best hour first."""

    since: dt.date | None
    currency: str
    lines: tuple[PlaceMoney, ...]
    notes: tuple[str, ...]


def report_per_place(rounds: Iterable[RoundEarned], window: Window, currency: str) -> PerPlace:
    """The places of the rounds that were over in a window."""
    begun = window.steps[0].since if window.months else None
    return PerPlace(window.since, currency, places_of(rounds, begun, window.end), (HOW,))
