"""What was decided, in counts and kilograms; no money, no solver."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from partway.planning.tours.tours import Tour

LotKey = tuple[int, int, int]  # lot, tier, trip (milp.MAIL for the mail)
BlockKey = tuple[int, int, int]  # sale, lot, trip


@dataclass(frozen=True, slots=True)
class Decision:
    """One complete plan of an instance; tuples follow its indexes, mappings leave zeros out.

    `blocks`: which lot each piece loaded whole goes to; `sold` counts it too, and its mass is part of the lot's
    kilograms. `downgraded`: loose material only (`blocks.downgraded_kg` has all).
    """

    opened: tuple[int, ...]
    sold: tuple[int, ...]
    parts: tuple[int, ...]
    kept: tuple[int, ...]
    lots: Mapping[LotKey, float]
    downgraded: Mapping[int, float]
    kept_kg: Mapping[int, float]
    tours: tuple[Tour | None, ...]
    parcels: Mapping[tuple[int, int], int]
    blocks: Mapping[BlockKey, int] = field(default_factory=dict)
