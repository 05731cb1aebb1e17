"""One question about grades that a list prices more than once: the first of each, or the last of each."""

from __future__ import annotations

from collections.abc import Sequence

from partway.pricelist.asking.questions import LEAVE_OUT, said_by
from partway.pricelist.lines import GradeChoice, ListSheet, PriceLine

FIRST, LAST = "first", "last"


def is_twice(line: PriceLine) -> bool:
    """Whether a line asks which of several prices of its grade counts."""
    return line.asks == "twice" and bool(line.question)


def ask_twice(lines: Sequence[PriceLine], sheet: ListSheet) -> tuple[str, tuple[GradeChoice, ...]]:
    """The question for all of them, and its answers."""
    kept = [[one for one in line.choices if one.key != LEAVE_OUT.key] for line in lines]
    names = [sheet.grades[line.grade].name if line.grade else "" for line in lines]

    def all_of(which: str, at: int) -> GradeChoice:
        prices = ", ".join(f"{name} {one[at].label}" for name, one in zip(names, kept, strict=True))
        return GradeChoice(which, f"the {which} of each: {prices}", lines[0].item, settles=("twice", which))

    choices = (all_of(FIRST, 0), all_of(LAST, -1))
    said = "; or ".join(choice.label for choice in choices)
    return f"{', '.join(names)} come more than once in this list: which count, {said}?", choices


def counts(line: PriceLine, same: Sequence[PriceLine], sheet: ListSheet) -> bool | None:
    """Whether a line of several of one grade is the one that was answered for the list; None where none was."""
    if sheet.twice not in {FIRST, LAST}:
        return None
    told = same[0] if sheet.twice == FIRST else same[-1]
    return said_by(line) == said_by(told) if line is not told else True
