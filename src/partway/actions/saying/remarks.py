"""Words beside an act that mean nothing here: left out or kept as a note, as somebody says; never silently."""

from __future__ import annotations

from collections.abc import Iterator

from partway.actions.books import notes
from partway.actions.recording.questions import Asked
from partway.actions.saying.meant import LEFT_OUT, Meaning
from partway.actions.saying.steps import SayStep
from partway.saying.attempts import REMARK
from partway.saying.clauses import Clause

LEAVE, KEEP = LEFT_OUT[0], "note"
WAYS = (LEFT_OUT, (KEEP, "keep it as a note"))


def remarks_kept(meaning: Meaning, clause: Clause) -> tuple[str, ...]:
    """Those to be kept as notes. Raises Asked for the first that nobody has answered."""
    kept = []
    for at, part in enumerate(clause.all(REMARK.does), 1):
        option = f"remark-{at}"
        answer = meaning.answers.get(option, "")
        if answer not in (LEAVE, KEEP):
            raise Asked(
                f"“{part.said}”, which is not understood", "to leave it out or to keep it", option, option, WAYS
            )
        if answer == KEEP:
            kept.append(part.said)
        else:
            meaning.doubts.append(f"left out: “{part.said}”")
    return tuple(kept)


def noted_beside(meaning: Meaning, clause: Clause, kept: tuple[str, ...], find: str) -> Iterator[SayStep]:
    """The notes of an act that was recorded: about the find it was about, else about its buyer or bin."""
    buyer, box = clause.slot("buyer"), clause.slot("bin")
    about = {
        "find": find or None,
        "buyer": meaning.buyer(buyer) if buyer and not find else None,
        "bin_id": meaning.bin(box) if box and not find else None,
    }
    yield from (SayStep(notes.note, (text,), about) for text in kept)
