"""What is told of pieces identified, of rules looked up, and of kinds of one's own."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from partway.actions.recording.describe import Say, capital, careful
from partway.catalogue.cards import CautionCard
from partway.reports.called import Called, running
from partway.spoken.texts import dated


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

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "Kept: 2 × brass, for the bin yellow brass; 3 confirmed there by now"."""
        count = f"{self.count} × " if self.count > 1 else ""
        for_bin = f"for a bin of {called.grade(self.grade)}" if self.grade else "for no bin: set it aside"
        return f"Kept: {count}{running(self.name)}, {for_bin}; {self.known} confirmed there by now"


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
        yield f"  {self.source}, seen {dated(dt.date.fromisoformat(self.seen))}"
        if self.before and self.before != self.says:
            yield f"  before: {self.before}"

    def said(self, say: Say, called: Called) -> str:
        """In one sentence."""
        return f"Kept: {running(self.name)}: {self.says}"


@dataclass(frozen=True, slots=True)
class KindSaid:
    """A kind of one's own after something was said of it: new, changed or given up.

    `finds` are how many of it are still there; `ships`: partway has a kind of that id, too.
    """

    kind: str
    name: str
    how: Literal["new", "changed", "given up"]
    finds: int
    ships: bool

    @property
    def line(self) -> str:
        """What became of it."""
        waiting = f"; {self.finds} find{'' if self.finds == 1 else 's'} of it" if self.finds else ""
        if self.how == "given up":
            after = "the one that ships counts again" if self.ships else "how it comes apart is no longer known"
            return f"{self.kind} is no kind of yours any more: {after}{waiting}"
        instead = ", in place of the one that ships" if self.ships else ""
        how = "now a kind of yours" if self.how == "new" else "changed"
        return f"{self.name} ({self.kind}) is {how}{instead}{waiting}"


@dataclass(frozen=True, slots=True)
class KindsResult:
    """Kinds of one's own that were said."""

    kinds: tuple[KindSaid, ...]
    cautions: tuple[CautionCard, ...] = ()

    def words(self, say: Say) -> Iterator[str]:
        """Its lines, cautions first."""
        yield from careful(self.cautions)
        yield from (kind.line for kind in self.kinds)

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "Toy piano is now a kind of yours"."""
        if len(self.kinds) > 1:
            return f"{len(self.kinds)} kinds of yours kept"
        one = self.kinds[0]
        how = {"new": "is now a kind of yours", "changed": "is changed", "given up": "is no kind of yours any more"}
        return f"{capital(one.name)} {how[one.how]}"
