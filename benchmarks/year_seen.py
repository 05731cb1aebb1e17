"""What one has on offer, and what one has seen oneself."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from year_things import Thing


@dataclass(frozen=True)
class Listing:
    """One thing or piece on offer since `week`."""

    thing: Thing
    piece: str
    part: int
    mg: int
    week: int
    grade: str


@dataclass
class Seen:
    """What one has seen oneself, for whoever learns: by kind, and by piece, operation or part."""

    tested: list[Thing] = field(default_factory=list)
    masses: dict[tuple[str, str], list[float]] = field(default_factory=dict)
    minutes: dict[tuple[str, str], list[float]] = field(default_factory=dict)
    work: dict[str, list[tuple[tuple[tuple[str, int], ...], float]]] = field(default_factory=dict)  # by find
    offered: Counter[tuple[str, str, int]] = field(default_factory=Counter)  # weeks on offer
    got: dict[tuple[str, str, int], list[float]] = field(default_factory=dict)
