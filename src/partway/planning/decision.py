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

    `blocks` says in which lot each piece that is loaded whole rides; `sold` counts it and the lot's kilograms hold it.
    `downgraded` is of loose material alone (`blocks.downgraded_kg` has all of it).
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
