"""What was not said as acts are said: read in any order and asked about, not understood, or passed over."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from partway.actions.books import notes
from partway.actions.books.undoing import take_back_last
from partway.actions.recording.questions import Asked
from partway.actions.saying.meant import LEFT_OUT, Meaning
from partway.actions.saying.remarks import LEAVE, WAYS
from partway.actions.saying.steps import SayStep
from partway.actions.saying.told import said_of
from partway.saying.clauses import Clause

MEANT = "meant"
WORDS = {
    "found": "found",
    "tested": "tested",
    "opened": "taken apart",
    "weighed": "on the scale",
    "binned": "put into a bin",
    "sold": "sold",
    "listed": "put on offer",
    "discarded": "thrown away",
    "spent": "money spent",
    "worked": "hours worked",
    "paid": "money from a buyer",
    "hauled": "off on a haul",
    "pays": "prices",
    "charges": "a fee",
    "took": "a piece taken off",
    "ticketed": "a ticket",
    "back": "home from a haul",
    "new_bin": "a new bin",
    "takes": "what a buyer takes",
    "quoted": "a price",
    "noted": "keep it as a note",
}


def chosen(meaning: Meaning, clause: Clause) -> Clause | None:
    """The way that somebody chose, with what was said besides; None where it is to be left out."""
    answer = meaning.answers.get(MEANT, "")
    choices = (*((str(at), _told(way)) for at, way in enumerate(clause.ways, 1)), LEFT_OUT)
    if answer not in [key for key, _ in choices]:
        passed = clause.value("passed")
        of = f", passing over “{passed}”" if passed else ""
        raise Asked(f"“{clause.said}”", f"what is meant{of}", MEANT, MEANT, choices)
    if answer == LEAVE:
        meaning.doubts.append(f"left out: “{clause.said}”")
        return None
    way = clause.ways[int(answer) - 1]
    if clause.value("passed"):
        meaning.doubts.append(f"passed over: “{clause.value('passed')}”")
    return replace(way, parts=(*way.parts, *clause.parts))


def _told(way: Clause) -> str:
    """A way in few words: the act and what was said of it."""
    state = {"yes": "works", "no": "does not work"}.get(way.value("works"), "")
    rows = (way, *(part for part in way.parts if part.does == "more"))
    if way.does == "noted":
        return f"{WORDS[way.does]} about {way.slots[0].said}"
    said = [" ".join(slot.said for slot in row.slots) for row in rows]
    act = "left for nothing: given away, kept or taken" if way.value("free") else WORDS.get(way.does, way.does)
    return f"{act}: {', '.join([*said, *([state] if state else [])])}"


def undone(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """What was saved last by the same person on the same device."""
    yield SayStep(take_back_last, ())


def instead(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """What the ledger refuses: left out or kept as a note, as somebody says. Raises Asked where nobody has."""
    yield from _left_or_kept(meaning, clause, "refused", "which cannot be recorded")


def unclear(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """What was not understood: left out or kept as a note, as somebody says."""
    yield from _left_or_kept(meaning, clause, "unclear", "which is not understood")


def _left_or_kept(meaning: Meaning, clause: Clause, option: str, why: str) -> Iterator[SayStep]:
    answer, said = meaning.answers.get(option, ""), said_of(clause)
    if answer not in [key for key, _ in WAYS]:
        raise Asked(f"“{said}”, {why}", "to leave it out or to keep it", option, option, WAYS)
    if answer == LEAVE:
        meaning.doubts.append(f"left out: “{said}”")
    else:
        yield SayStep(notes.note, (said,), {})
