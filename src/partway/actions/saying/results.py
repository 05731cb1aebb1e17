"""What was said, read back: each line with what would be recorded, its doubt, and at most three answers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import ClassVar

from partway.actions.recording.describe import Say, careful
from partway.actions.recording.questions import Asked
from partway.catalogue.cards import CautionCard
from partway.errors import Refused
from partway.reports.called import Called


@dataclass(frozen=True)
class SayLine:
    """One act as it was said. `told` is what would be recorded, in sentences that name things; `more` is the rest.

    `asked` is what has to be answered first, under the name `option`; `refused` is why it cannot be recorded. `waits`:
    it rests on a line before it that is still open.
    """

    number: int
    said: str
    told: tuple[str, ...] = ()
    more: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    cautions: tuple[CautionCard, ...] = ()
    asked: Asked | None = field(default=None, compare=False)
    refused: Refused | None = field(default=None, compare=False)
    waits: bool = False

    @property
    def settled(self) -> bool:
        """Whether nothing of it is open."""
        return not (self.asked or self.refused or self.waits)

    @property
    def option(self) -> str:
        """The name under which the answer to its question is sent; "" where it asks nothing."""
        return f"{self.number}.{self.asked.option}" if self.asked else ""

    @property
    def entry(self) -> str:
        """What is to be typed where its question is no matter of choosing, such as "for how much"; else ""."""
        return self.asked.entry if self.asked else ""

    @property
    def choices(self) -> tuple[tuple[str, str], ...]:
        """At most three answers, and what each means."""
        return self.asked.choices[:3] if self.asked else ()


@dataclass(frozen=True)
class SayReading:
    """All that was said. `shown` stands for what is shown of it: only that is saved."""

    text: str
    lines: tuple[SayLine, ...]
    shown: str

    @property
    def ready(self) -> bool:
        """Whether all of it can be saved as it stands."""
        return bool(self.lines) and all(line.settled for line in self.lines)

    @property
    def open(self) -> tuple[SayLine, ...]:
        """The lines that ask something."""
        return tuple(line for line in self.lines if line.asked)

    @property
    def cautions(self) -> tuple[CautionCard, ...]:
        """What can hurt, each card once."""
        return tuple({card.id: card for line in self.lines for card in line.cautions}.values())


@dataclass(frozen=True)
class SayResult:
    """What was recorded of it, a sentence each."""

    ON_ITS_PAGE: ClassVar[bool] = True  # its sentences are all there is to say

    told: tuple[str, ...]
    cautions: tuple[CautionCard, ...] = ()

    def words(self, say: Say) -> Iterator[str]:
        """Its lines, cautions first."""
        yield from careful(self.cautions)
        yield from self.told

    def said(self, say: Say, called: Called) -> str:
        """All of it in one sentence."""
        return "; ".join(self.told)
