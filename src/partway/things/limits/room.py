"""What it costs to keep things: the drive they wait for, and the place they take in the shed meanwhile."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Room:
    """The figures that the price of room is worked out from (planning.instance.room).

    `trips` are what a round trip to each buyer costs that is driven to, own hours included. A load is at most
    `payload_kg` and, where it is known, `volume_l`. `crowding` is what a place in the shed counts for, in trips for
    each load of the vehicle: 0 while less than half of the shed is full, or nobody said how large it is.
    """

    trips: tuple[tuple[str, float], ...]
    payload_kg: float
    volume_l: float | None
    crowding: float = 0.0
