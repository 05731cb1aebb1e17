"""Pieces turn out to be of some material."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar

from partway.ledger.events import fields as f
from partway.ledger.events.payload import Payload, PayloadRow
from partway.ledger.events.sorts import (
    Count,
    GradeId,
    Id,
    Mass,
    Sort,
    Text,
)


@dataclass(frozen=True, slots=True)
class Said(PayloadRow):
    """One answer of the test key."""

    test: Id
    answer: Id


@dataclass(frozen=True, slots=True)
class Identified(Payload):
    """What `count` pieces alike turned out to be made of, where they came from and what the tests had said.

    `grade` is the bin they belong in, None where no grade takes them. It moves no mass: that is for `moved` to say.
    """

    KIND: ClassVar[str] = "identified"
    WORDS: ClassVar[str] = "[{count} × ]{material} from {context}[, {mass_mg}][, for bin {grade}]"

    material: Id
    context: Annotated[str, Sort(f.identifier, names="context")]
    count: Count = 1
    grade: GradeId | None = None
    answers: tuple[Said, ...] = ()
    mass_mg: Mass | None = None
    note: Text = ""
