"""What an event means: mass moved, facts learned, money and minutes. The one place that says so.

Nothing here depends on what came before, so effects may be added in any order and taken back; only what a scale
asserts waits for the other events.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

OUTSIDE, RESIDUE, LOSS, PEOPLE = "outside", "residue", "loss", "people"


@dataclass(frozen=True, slots=True)
class Move:
    """`mg` (above 0) of a grade, or of no grade yet, from one place to another.

    Places: outside, find:ID, bin:ID, buyer:ID, people, residue, loss.
    """

    source: str
    target: str
    grade: str
    mg: int


@dataclass(frozen=True, slots=True)
class Asserted:
    """What a scale said a place holds of a grade. What the events before it leave there differs by what came from, or
    went to, `other`: known only once all events are (ledger.balance.asserting).
    """

    place: str
    grade: str
    mg: int
    other: str


@dataclass(frozen=True, slots=True)
class Fact:
    """The word on one field of one subject; of several, that of the event with the greatest position counts."""

    subject: str
    name: str
    value: str


@dataclass(frozen=True, slots=True)
class Entry:
    """Money (in the workspace's currency) or minutes on an account, such as sales, fuel or minutes:bench."""

    account: str
    amount: Decimal
    tag: str = ""


@dataclass(frozen=True, slots=True)
class Effects:
    """All that one event does."""

    moves: tuple[Move, ...] = ()
    facts: tuple[Fact, ...] = ()
    entries: tuple[Entry, ...] = ()
    asserted: Asserted | None = None
