"""Tiny scenarios (tests/tiny.py) in which some of what sells by the unit is on offer already."""

from __future__ import annotations

import random
from dataclasses import replace

from tiny import scenario

from partway.things.scenario import Find, Scenario


def with_offers(seed: int) -> Scenario:
    """A tiny scenario with rows of offers: parts listed before, and finds that are on offer whole."""
    it, rng = scenario(seed), random.Random(seed + 7000)
    finds = tuple(_some_listed(find, rng) for find in it.finds)
    listed = {
        (find.kind, piece.id, part.name): rng.choice([0, 0, 1, 2])
        for find in finds
        for piece in it.anatomies[find.kind].pieces
        for part in piece.parts
        if rng.random() < 0.7
    }
    return replace(it, finds=finds, listed=listed)


def _some_listed(find: Find, rng: random.Random) -> Find:
    return replace(find, listed=rng.choice([0, 0, 1, find.count]))
