"""What one's own scale and clock have put in place of estimates, as lines to read."""

from __future__ import annotations

from dataclasses import dataclass

from partway.things.anatomy import Anatomy
from partway.things.learned import Figure, Learned


@dataclass(frozen=True, slots=True)
class LearnedLine:
    """One figure: `count` observations of one's own say `now` (low to high where finds differ), where it was taken as
    `was`. Masses in kg, minutes as they are, shares of those asked about. `left_out` observations look like slips.
    """

    what: Figure
    of: str
    name: str
    count: int
    now: float
    low: float
    high: float
    was: float
    left_out: int


def learned_lines(anatomy: Anatomy) -> tuple[LearnedLine, ...]:
    """All that was learned of a kind, the whole first."""
    pieces = {**{piece.id: piece.name for piece in anatomy.pieces}, anatomy.whole.id: anatomy.name, "": anatomy.name}
    operations = {op.id: op.name for op in anatomy.operations}
    return tuple(_line(one, (operations if one.what == "minutes" else pieces)[one.of]) for one in anatomy.learned)


def _line(one: Learned, name: str) -> LearnedLine:
    now = one.now
    return LearnedLine(one.what, one.of, name, one.count, now.likely, now.low, now.high, one.was.likely, one.left_out)
