"""What is said of a number or a name just said: "no, make that six", "no wait two twenty", "scratch that"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from partway.errors import Refused
from partway.quantities import shown
from partway.saying.amounts import Ear, SaidAmount, amount
from partway.saying.attempts import UNCLEAR
from partway.saying.clauses import Clause, SaidSlot

INSTEAD, SCRATCH, UNDO = "instead", "scratch", "undo"
ALIKE = {"cash": "money"}  # slots of one sort
ANY = ("mass", "money", "minutes", "km", "count")  # what a bare number may be said of


def mended(clauses: Sequence[Clause], ear: Ear) -> tuple[Clause, ...]:
    """The acts as they were meant in the end. Raises Refused where nothing was said that a correction could be of.

    "Scratch that" by itself is said of what was saved last.
    """
    acts: list[Clause] = []
    for clause in clauses:
        if clause.does == SCRATCH and not acts and len(clauses) > 1 and all(one.does == SCRATCH for one in clauses):
            return (replace(clause, does=UNDO),)  # "wrong, undo": said in several ways, and once
        if clause.does != SCRATCH:
            acts.append(_mended_or_unclear(clause, ear, alone=len(clauses) == 1))
        elif acts:
            acts.pop()
        elif len(clauses) == 1:
            acts.append(replace(clause, does=UNDO))
        else:
            raise Refused(shown(clause.said), "something said before it; what was saved is taken back by Undo", "say")
    if not acts:
        raise Refused("all of it taken back", 'what happened, such as "found two fans"', "say")
    return tuple(acts)


def _mended_or_unclear(clause: Clause, ear: Ear, *, alone: bool) -> Clause:
    """An act put right; one of several that cannot be is not understood, with what was said of it."""
    try:
        return _mended(clause, ear)
    except Refused:
        if alone:
            raise
        said = ", ".join([clause.said, *(part.said for part in clause.parts)])
        return Clause(UNCLEAR, (), (), said)


def _mended(clause: Clause, ear: Ear) -> Clause:
    """An act with each number or name put right by what was said of it, in the order it was said."""
    done = replace(clause, parts=())
    for part in clause.parts:
        done = _instead(done, part, ear) if part.does == INSTEAD else replace(done, parts=(*done.parts, part))
    return done


def _instead(clause: Clause, part: Clause, ear: Ear) -> Clause:
    """The clause with the last slots that are of the sort of those said instead."""
    rows = [clause, *clause.parts]
    for new in part.slots:
        at, slot, after = _target(rows, new, ear, part)
        slots = tuple(after if one is slot else one for one in rows[at].slots)
        rows[at] = replace(rows[at], slots=slots, said=f"{rows[at].said}, {part.said}")
    return replace(rows[0], parts=tuple(rows[1:]))


def _target(rows: Sequence[Clause], new: SaidSlot, ear: Ear, part: Clause) -> tuple[int, SaidSlot, SaidSlot]:
    for at in range(len(rows) - 1, -1, -1):
        for slot in reversed(rows[at].slots):
            after = _put_right(slot, new, ear)
            if after is not None:
                return at, slot, after
    raise Refused(shown(part.said), "what it is said of, just before it", "say")


def _put_right(slot: SaidSlot, new: SaidSlot, ear: Ear) -> SaidSlot | None:
    """A slot with other words in it; None where those are of another sort. A bare number has the unit said before."""
    sort = ALIKE.get(slot.name, slot.name)
    if new.amount is None:
        return replace(new, name=slot.name) if sort == new.name else None
    if slot.amount is None or sort not in ANY:
        return None
    if new.name == "number":
        words = f"{new.words} {_unit(slot, ear)}".strip()
    elif sort == ALIKE.get(new.name, new.name):
        words = new.words
    else:
        return None
    return _slot(slot, new, words, amount(slot.name, words, ear))


def _slot(slot: SaidSlot, new: SaidSlot, words: str, found: SaidAmount | None) -> SaidSlot | None:
    return None if found is None else SaidSlot(slot.name, new.said, words, found)


def _unit(slot: SaidSlot, ear: Ear) -> str:
    """The words behind the number of an amount."""
    words = slot.words.split()
    for end in range(len(words) - 1, 0, -1):
        if amount("number", " ".join(words[:end]), ear) is not None:
            return " ".join(words[end:])
    return ""
