"""Bins: made or changed, put on the scale, and what goes from one to another."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from partway.ledger.events.effects import LOSS, OUTSIDE, Asserted, Effects, Fact
from partway.ledger.events.event import FIRST, Event
from partway.ledger.events.fields import Bad
from partway.ledger.events.meaning import REGRADED, difference, moves
from partway.ledger.events.payload import Payload
from partway.ledger.events.shapes import decimal_text
from partway.ledger.events.sorts import (
    BinId,
    GradeId,
    Litres,
    Mass,
    MassBefore,
    Text,
)


@dataclass(frozen=True, slots=True)
class Binned(Payload):
    """A bin: what it is called and holds. The latest word on a bin counts."""

    KIND: ClassVar[str] = "binned"
    WORDS: ClassVar[str] = "bin {bin} for {grade}[, {name}][, {capacity_l}]"
    MAKES: ClassVar[str] = "bin"

    bin: BinId
    grade: GradeId
    name: Text = ""
    capacity_l: Litres | None = None

    def effects(self, event: Event) -> Effects:
        """The words on its grade, name and capacity, also where they are empty."""
        capacity = "" if self.capacity_l is None else decimal_text(self.capacity_l)
        fields = {"grade": self.grade, "name": self.name, "capacity_l": capacity}
        return Effects(facts=tuple(Fact(f"bin:{self.bin}", name, value) for name, value in fields.items()))


@dataclass(frozen=True, slots=True)
class Recounted(Payload):
    """A bin on the scale: it holds `mass_mg` now; `was_mg` is what the ledger had.

    The difference counts as loss, or, with `opening`, as what was there before the ledger began: it comes from outside.
    """

    KIND: ClassVar[str] = "recounted"
    WORDS: ClassVar[str] = "bin {bin} holds {mass_mg}, it was down as {was_mg}"
    RESTS: ClassVar[bool] = True

    bin: BinId
    grade: GradeId
    mass_mg: Mass
    was_mg: MassBefore
    opening: bool = False

    def effects(self, event: Event) -> Effects:
        """What is there, whatever the ledger had; by schema 1 the difference to what it had then."""
        other, place = OUTSIDE if self.opening else LOSS, f"bin:{self.bin}"
        if event.schema > FIRST:
            return Effects(asserted=Asserted(place, self.grade, self.mass_mg, other))
        return Effects(moves=difference(other, place, self.grade, self.was_mg, self.mass_mg))


@dataclass(frozen=True, slots=True)
class Moved(Payload):
    """Material from one bin to another; `grade` is what the first bin holds, `to_grade` what it counts as after."""

    KIND: ClassVar[str] = "moved"
    WORDS: ClassVar[str] = "{mass_mg} from {bin} to {to_bin}"
    RESTS: ClassVar[bool] = True

    bin: BinId
    to_bin: BinId
    grade: GradeId
    to_grade: GradeId
    mass_mg: Mass

    def words(self) -> str:
        """Another grade is named."""
        return self.WORDS if self.to_grade == self.grade else self.WORDS + ", as {to_grade}"

    def check(self) -> None:
        """It goes somewhere."""
        if (self.bin, self.grade) == (self.to_bin, self.to_grade):
            raise Bad(self.to_bin, "another bin or another grade", "to_bin")

    def effects(self, event: Event) -> Effects:
        """From bin to bin, by way of a place where it changes its grade."""
        source, target = f"bin:{self.bin}", f"bin:{self.to_bin}"
        if self.grade == self.to_grade:
            return Effects(moves=moves((source, target, self.grade, self.mass_mg)))
        here, there = (source, REGRADED, self.grade, self.mass_mg), (REGRADED, target, self.to_grade, self.mass_mg)
        return Effects(moves=moves(here, there))
