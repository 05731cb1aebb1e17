"""What was said and how it was read, small enough to be sent: --json and the JSON interface say it so."""

from __future__ import annotations

from dataclasses import dataclass

from partway.actions.saying.results import SayLine, SayReading
from partway.catalogue.cards import CautionCard


@dataclass(frozen=True, slots=True)
class SayAnswer:
    """One answer to the question of a line, and what it means."""

    answer: str
    means: str


@dataclass(frozen=True, slots=True)
class SayLineShown:
    """One act as it was said. `told` is what would be recorded, `more` the rest of it, `doubts` what to look at twice.

    `question` is answered under the name `option` by one of `choices`, or by what `entry` says; `refused` is why it
    cannot be recorded, beside a question where it may be left out; `waits`: it rests on a line before it that is
    still open.
    """

    number: int
    said: str
    told: tuple[str, ...]
    more: tuple[str, ...]
    doubts: tuple[str, ...]
    question: str
    option: str
    choices: tuple[SayAnswer, ...]
    entry: str
    refused: str
    waits: bool


@dataclass(frozen=True, slots=True)
class SayShown:
    """All that was said. `ready`: it can be saved as it stands; `shown` is sent back so that only this is saved."""

    text: str
    ready: bool
    shown: str
    lines: tuple[SayLineShown, ...]
    cautions: tuple[CautionCard, ...]


def shown_of(reading: SayReading) -> SayShown:
    """A reading as it is sent."""
    return SayShown(reading.text, reading.ready, reading.shown, tuple(map(_line, reading.lines)), reading.cautions)


def _line(line: SayLine) -> SayLineShown:
    return SayLineShown(
        number=line.number,
        said=line.said,
        told=line.told,
        more=line.more,
        doubts=line.doubts,
        question=line.asked.given if line.asked else "",
        option=line.option,
        choices=tuple(SayAnswer(answer, means) for answer, means in line.choices),
        entry=line.entry,
        refused=str(line.refused) if line.refused else "",
        waits=line.waits,
    )
