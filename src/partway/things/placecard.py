"""A question whose answer differs from place to place."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PlaceCard:
    """What to find out about a place, and why it matters; the answer is the user's own."""

    id: str
    name: str
    question: str
    why: str
