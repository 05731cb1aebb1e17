"""What is told of pieces identified and of rules looked up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from partway.actions.recording.describe import Say, careful
from partway.catalogue.cards import CautionCard


@dataclass(frozen=True, slots=True)
class IdentifiedResult:
    """What pieces turned out to be; `known` is how many of their context are confirmed by now."""

    material: str
    name: str
    context: str
    count: int
    grade: str | None
    known: int
    cautions: tuple[CautionCard, ...] = ()

    def words(self, say: Say) -> Iterator[str]:
        """Its lines, cautions first."""
        yield from careful(self.cautions)
        count = f"{self.count} × " if self.count > 1 else ""
        bin_ = f", for a bin of {self.grade}" if self.grade else ", for no bin: set it aside"
        yield f"{count}{self.name.lower()} from {self.context}{bin_}; {self.known} confirmed there by now"


@dataclass(frozen=True, slots=True)
class RuleResult:
    """A place card as filled in; `before` is what it said until then."""

    card: str
    name: str
    says: str
    source: str
    seen: str
    before: str

    def words(self, say: Say) -> Iterator[str]:
        """Its lines."""
        yield f"{self.name} ({self.card}): {self.says}"
        yield f"  {self.source}, seen {self.seen}"
        if self.before and self.before != self.says:
            yield f"  before: {self.before}"
