"""Where the trip of a plan ends by the settings, and what follows from that."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from partway.actions.home.settings import AT_HOME
from partway.things.scenario import END, Buyer, Hours, Point, TripEnd


def end_set(known: Mapping[str, str]) -> str:
    """What the place is called where trips end by the settings; "" where that is at home."""
    said = known.get(END, AT_HOME)
    return "" if said == AT_HOME else said.rsplit(", ", 2)[0]


def trip_end(
    known: Mapping[str, str], home: Point | None, buyers: tuple[Buyer, ...], notes: list[str]
) -> TripEnd | None:
    """Where the trip ends, None: at home; noted where it cannot be counted as it was set."""
    if not (name := end_set(known)):
        return None
    _, latitude, longitude = known[END].rsplit(", ", 2)
    if home is None or any(buyer.id == END for buyer in buyers):
        why = "home is not set" if home is None else "a buyer has the short name end"
        notes.append(f"The trip is counted as ending at home, not at {name}: {why}.")
        return None
    return TripEnd(name, (float(latitude), float(longitude)))


def one_trip(hours: Hours, end: TripEnd | None, notes: list[str]) -> Hours:
    """With an end elsewhere one trip at most: another one would have to begin there."""
    if end is None or hours.trips < 2:
        return hours
    notes.append(f"trips counted as 1, not {hours.trips}: the trip ends at {end.name}.")
    return replace(hours, trips=1)
