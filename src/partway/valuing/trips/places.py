"""What each place brought by the hour of the rounds to it: the rounds themselves, added up."""

from __future__ import annotations

import datetime as dt
import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from partway.valuing.trips.rounds import RoundEarned, place_key

HOW = (
    "By place: not cash. What the finds of its rounds brought, and what those that still wait are worth at today's "
    "prices, bench time paid at your hour, less fuel; by the hour of the rounds that were timed."
)


@dataclass(frozen=True, slots=True)
class PlaceMoney:
    """The rounds to a place, empty where none was said. `per_hour` is of those that were timed, None where none was;
    `untimed` are the others, `unknown_km` those of which no fuel could be counted.
    """

    place: str
    rounds: int
    finds: int
    minutes: int
    km: Decimal
    brought: float
    waiting: float
    fuel: float
    net: float
    per_hour: float | None
    untimed: int
    unknown_km: int


def places_of(
    earned: Iterable[RoundEarned], since: dt.datetime | None = None, end: dt.datetime | None = None
) -> tuple[PlaceMoney, ...]:
    """Places of the rounds that were over in a stretch, best hour first, those without an hour last."""
    by_place: dict[str, list[RoundEarned]] = defaultdict(list)
    for one in earned:
        over = one.made.ended
        if over and (since is None or over >= since) and (end is None or over < end):
            by_place[place_key(one.made.where)].append(one)
    lines = [_line(rounds) for rounds in by_place.values()]
    return tuple(sorted(lines, key=lambda one: (one.per_hour is None, -(one.per_hour or 0.0), place_key(one.place))))


def _line(rounds: list[RoundEarned]) -> PlaceMoney:
    timed = [one for one in rounds if one.made.minutes]
    minutes = sum(one.made.minutes or 0 for one in timed)
    latest = max(rounds, key=lambda one: (one.made.begun, one.made.round))
    return PlaceMoney(
        place=" ".join(latest.made.where.split()),
        rounds=len(rounds),
        finds=sum(len(one.made.finds) for one in rounds),
        minutes=minutes,
        km=sum((one.made.km for one in rounds if one.made.km is not None), Decimal(0)),
        brought=math.fsum(one.brought for one in rounds),
        waiting=math.fsum(one.waiting for one in rounds),
        fuel=math.fsum(one.fuel for one in rounds),
        net=math.fsum(one.net for one in rounds),
        per_hour=math.fsum(one.net for one in timed) * 60.0 / minutes if minutes else None,
        untimed=len(rounds) - len(timed),
        unknown_km=sum(one.unknown_km for one in rounds),
    )
