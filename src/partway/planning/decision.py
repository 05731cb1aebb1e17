"""What was decided, in counts and kilograms; no money, no solver."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from partway.planning.tours import Tour

LotKey = tuple[int, int, int]  # lot, tier, trip (milp.MAIL for the mail)


@dataclass(frozen=True, slots=True)
class Decision:
    """One complete plan of an instance; tuples follow its indexes, mappings leave zeros out."""

    opened: tuple[int, ...]
    sold: tuple[int, ...]
    parts: tuple[int, ...]
    kept: tuple[int, ...]
    lots: Mapping[LotKey, float]
    downgraded: Mapping[int, float]
    kept_kg: Mapping[int, float]
    tours: tuple[Tour | None, ...]
    parcels: Mapping[tuple[int, int], int]
