"""What it costs to keep things: the drive they wait for, and the place they take in the shed meanwhile."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Room:
    """The figures that the price of room is worked out from (planning.instance.room).

    `trips` are what a round trip to each buyer costs that is driven to, own hours included. A load is at most
    `payload_kg` and, where it is known, `volume_l`. `in_use` is the share of the shed that is full, None where nobody
    said how large the shed is.
    """

    trips: tuple[tuple[str, float], ...]
    payload_kg: float
    volume_l: float | None
    in_use: float | None
