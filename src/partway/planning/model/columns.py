"""The columns of a programme by the decisions that they are."""

from __future__ import annotations

from dataclasses import dataclass, field

from partway.planning.decision import BlockKey


@dataclass
class Columns:
    """The column of each decision; a decision without a key has no column."""

    opened: dict[int, int] = field(default_factory=dict)
    sold: dict[int, int] = field(default_factory=dict)
    parts: dict[int, int] = field(default_factory=dict)
    kept: dict[int, int] = field(default_factory=dict)
    lots: dict[tuple[int, int, int], int] = field(default_factory=dict)
    lot_taken: dict[tuple[int, int, int], int] = field(default_factory=dict)
    visits: dict[tuple[int, int], int] = field(default_factory=dict)
    tickets: dict[tuple[int, int], int] = field(default_factory=dict)  # where a buyer has a flat fee: it pays
    tours: dict[tuple[int, int], int] = field(default_factory=dict)
    tour_money: dict[int, int] = field(default_factory=dict)
    tour_hours: dict[int, int] = field(default_factory=dict)
    downgraded: dict[int, int] = field(default_factory=dict)
    kept_kg: dict[int, int] = field(default_factory=dict)
    parcels: dict[tuple[int, int], int] = field(default_factory=dict)
    blocks: dict[BlockKey, int] = field(default_factory=dict)
    loose_pieces: dict[tuple[int, int], int] = field(default_factory=dict)  # by lot and trip: counted out of a bin
    patterns: dict[int, int] = field(default_factory=dict)  # by number: ways to fill a parcel
    single: dict[int, int] = field(default_factory=dict)  # node -> its only sale, substituted out
