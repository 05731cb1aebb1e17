"""What a ledger taught about a figure of a kind: its estimate before and now, and how many observations it is from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from partway.things.estimate import Estimate

Figure = Literal["mass", "minutes", "share", "works", "price", "chance", "days"]


@dataclass(frozen=True, slots=True)
class Learned:
    """One figure learned from one's own `count` observations; `of` is the piece or operation, empty for the kind.

    `of_grade` is the grade of a share. `left_out` counts observations that look like slips (a wrong unit, ten times)
    and were not learned from.
    """

    what: Figure
    of: str
    was: Estimate
    now: Estimate
    count: int
    of_grade: str = ""
    left_out: int = 0
