"""What single places say about a hazard: which places we know, and whose word comes first for somebody."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from partway.things.material import Law

# Each place and how it is written, the nearer one before the one it lies in. "us" is a word, so capitals decide there.
PLACES = {
    "Ontario": r"(?i:\bontario\b)|\bON\b|\bO\. ?Reg\b",
    "Quebec": r"(?i:\bqu[eé]bec\b)|\bQC\b",
    "California": r"(?i:\bcalifornia\b)|\bCalif\b",
    "Canada": r"(?i:\bcanada\b)|\bSOR/|\bCAN\b",
    "US": r"\bU\.?S\.?(?:A\.?)?(?![A-Za-z])|(?i:\bunited states\b)|\bCFR\b",
    "UK": r"\bU\.?K\b\.?|(?i:\bunited kingdom\b|\bgreat britain\b|\bengland\b|\bscotland\b|\bwales\b)",
    "EU": r"\bE\.?U\b\.?|(?i:\beuropean union\b)",
}
WITHIN = {"Ontario": "Canada", "Quebec": "Canada", "California": "US"}


@dataclass(frozen=True, slots=True)
class LawLine:
    """What one place says; `read` is the day it was read, null: from memory. `here`: it is the place asked from."""

    place: str
    says: str
    read: str | None
    here: bool

    @property
    def words(self) -> str:
        """The place, what it says, and how we know."""
        return f"{self.place}: {self.says} ({f'read {self.read}' if self.read else 'from memory'})."


def places_named(texts: Iterable[str]) -> tuple[str, ...]:
    """The places that texts name, each with the one it lies in, nearest first."""
    said = "\n".join(texts)
    named = {place for place, written in PLACES.items() if re.search(written, said)}
    named |= {WITHIN[place] for place in named if place in WITHIN}
    return tuple(place for place in PLACES if place in named)


def law_lines(law: Iterable[Law], here: Iterable[str] = ()) -> tuple[LawLine, ...]:
    """What each place says, those of `here` first, nearest first."""
    near = tuple(here)
    order = (*near, *PLACES)
    lines = [
        LawLine(one.place, one.says, None if one.read is None else one.read.isoformat(), one.place in near)
        for one in law
    ]
    return tuple(sorted(lines, key=lambda line: order.index(line.place)))
