"""Which yes or no to split next: the one whose two sides lose most, tried out until that is known well.

What a side lost for a whole step is remembered for each column (pseudo-costs: Benichou and others, "Experiments in
mixed-integer linear programming", Mathematical Programming 1, 1971); a column seen too seldom is tried: both sides are
solved, which are then the branches if it is chosen (reliability branching: Achterberg, Koch and Martin, "Branching
rules revisited", Operations Research Letters 33, 2005).
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from partway.planning.model.highs import Values

WHOLE = 1e-6
LEAST_LOSS = 1e-6
SURE = 1  # tries of a side after which what it lost is believed
DULL = 2  # columns looked at one after the other that are no better than the best so far


class Losses:
    """What each side of a column lost for a whole step, in the mean, and how often it was seen."""

    def __init__(self) -> None:
        self.seen: dict[tuple[int, bool], tuple[float, int]] = {}
        self.total, self.count = 0.0, 0

    def learn(self, column: int, up: bool, lost: float) -> None:
        """A side lost so much for a whole step."""
        total, count = self.seen.get((column, up), (0.0, 0))
        self.seen[column, up] = total + lost, count + 1
        self.total, self.count = self.total + lost, self.count + 1

    def sure(self, column: int) -> bool:
        """Whether both sides were seen often enough."""
        return all(self.seen.get((column, up), (0.0, 0))[1] >= SURE for up in (False, True))

    def of(self, column: int, up: bool) -> float:
        """What a side loses for a whole step, by what it lost; by what all lost where it was never seen."""
        total, count = self.seen.get((column, up), (self.total, self.count))
        return total / count if count else 1.0

    def score(self, column: int, value: float) -> float:
        """How much splitting a column here is expected to bring."""
        down = value - math.floor(value)
        return product(self.of(column, False) * down, self.of(column, True) * (1.0 - down))

    def ordered(self, columns: Iterable[int], x: Values) -> list[int]:
        """The most promising first."""
        return sorted(columns, key=lambda c: (-self.score(c, float(x[c])), c))


def product(down: float, up: float) -> float:
    """How much two losses are worth together: a side that loses nothing spoils the other."""
    return (max(0.0, down) + LEAST_LOSS) * (max(0.0, up) + LEAST_LOSS)
