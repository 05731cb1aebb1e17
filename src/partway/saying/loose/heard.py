"""What was understood of a text, and what of it only if words were meant that sound like those that were written."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from partway.saying.attempts import REMARK, UNCLEAR
from partway.saying.clauses import Clause
from partway.saying.loose.frames import LOOSE
from partway.saying.passage import Known
from partway.saying.slots import GUESSED
from partway.saying.tokens import SaidWord

HEARD, NOTED, WHEN = "heard", "noted", "when"


def understood(acts: Sequence[Clause], known: Known) -> bool:
    """Whether all of a text is something that happened: no words left, none that could only be kept as a note, and no
    name that nobody knows.
    """
    return not in_doubt(acts, known)


def in_doubt(acts: Sequence[Clause] | None, known: Known) -> Sequence[str] | None:
    """The words of a text that may be others: those of acts that are in doubt; None where it says no act at all."""
    if acts is None:
        return None
    return [row.said for act in acts if _in_doubt(act, known) for row in (act, *act.parts)]


def _in_doubt(act: Clause, known: Known) -> bool:
    if act.does == UNCLEAR or act.part(REMARK.does):
        return True
    if act.does == LOOSE and act.ways[0].does == NOTED:
        return True
    slots = (slot for row in (act, *act.parts) for slot in row.slots)
    return any(slot.name in GUESSED and not known(slot.name, slot.words) for slot in slots)


def as_heard(act: Clause, text: str, changed: Sequence[SaidWord]) -> Clause:
    """An act with its words as they may have been meant, for somebody to agree to; itself where none is changed."""
    rows = (act, *act.parts, *(row for way in act.ways for row in (way, *way.parts)))
    spoken = [word for word in changed if any(text[word.start : word.end] in row.said for row in rows)]
    if not spoken:
        return act
    ways = tuple(map(_in_words, act.ways or (replace(act, parts=act.parts),)))
    said = ", ".join([act.said, *(part.said for part in act.parts)])
    return Clause(LOOSE, (), ((HEARD, "yes"), *act.fixed), said, ways=ways)


def _in_words(way: Clause) -> Clause:
    """A way whose places say what may have been meant, and not what was written."""
    slots = tuple(replace(slot, said=slot.words) for slot in way.slots)
    return replace(way, slots=slots, parts=tuple(map(_in_words, way.parts)))
