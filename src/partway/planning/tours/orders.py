"""A short round trip through any number of places, by exchanges: quick, and mostly the shortest, but not proven."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

Rows = Sequence[Sequence[float]]  # lists are read much faster than arrays, one number at a time
BETTER = 1e-9
MOST_MOVED = 3  # places in a row that are moved together


def length(way: Rows, order: Sequence[int]) -> float:
    """From home through the places in this order and back."""
    return sum(way[a][b] for a, b in itertools.pairwise((0, *order, 0)))


def longer(way: Rows, before: int, here: int, after: int) -> float:
    """How much longer a way is with a place between two others."""
    return way[before][here] + way[here][after] - way[before][after]


def round_trip(way: Rows, places: Sequence[int]) -> list[int]:
    """A short order of any number of places: nearest next, then exchanges until none makes it shorter."""
    order, here, left = [], 0, set(places)
    while left:
        here = min(left, key=lambda p: (way[here][p], p))
        order.append(here)
        left.remove(here)
    return exchanged(way, order)


def exchanged(way: Rows, order: list[int]) -> list[int]:
    """The same places in an order that neither turning a stretch round nor moving one of up to three makes shorter.

    2-opt (Croes, Operations Research 6, 1958) and Or-opt (Or, "Traveling salesman-type combinatorial problems",
    Northwestern University, 1976).
    """
    found = [0, *order, 0]
    # what is turned round is driven the other way, which is of account only where ways are not as long both ways
    while _turned(way, found) or _moved(way, found):
        pass
    return found[1:-1]


def _turned(way: Rows, found: list[int]) -> bool:
    better = False
    for i in range(1, len(found) - 2):
        other_way = 0.0  # how much longer the stretch is the other way round
        for j in range(i + 1, len(found) - 1):
            a, b, c, d = found[i - 1], found[i], found[j], found[j + 1]
            other_way += way[c][found[j - 1]] - way[found[j - 1]][c]
            if way[a][c] + way[b][d] + other_way < way[a][b] + way[c][d] - BETTER:
                found[i : j + 1] = found[i : j + 1][::-1]
                better, other_way = True, -other_way
    return better


def _turning(way: Rows, stretch: Sequence[int]) -> float:
    """How much longer a stretch is the other way round."""
    return sum(way[b][a] - way[a][b] for a, b in itertools.pairwise(stretch))


def _moved(way: Rows, found: list[int]) -> bool:
    """Move one stretch to where it makes the round shorter, if there is one."""
    for size in range(1, MOST_MOVED + 1):
        for i in range(1, len(found) - size):
            a, first, last, b = found[i - 1], found[i], found[i + size - 1], found[i + size]
            saved = way[a][first] + way[last][b] - way[a][b]
            if saved <= BETTER:
                continue
            rest = found[:i] + found[i + size :]
            for at, (c, d) in enumerate(itertools.pairwise(rest), start=1):
                for start, end, turned in ((first, last, False), (last, first, True)):
                    stretch = found[i : i + size]
                    more = _turning(way, stretch) if turned else 0.0
                    if way[c][start] + way[end][d] - way[c][d] + more < saved - BETTER:
                        found[:] = rest[:at] + (stretch[::-1] if turned else stretch) + rest[at:]
                        return True
    return False
