"""What is left unsaid in an opening: how many of each piece, in which order."""

from __future__ import annotations

from collections.abc import Sequence

from partway.actions.bench.runs import runs_of, yields
from partway.actions.recording import reading
from partway.actions.recording.questions import Asked
from partway.actions.recording.said_amounts import count_said
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.fold.standing import FindNow
from partway.valuing.known import estimates_of
from partway.valuing.left import before


def opened_at_once(book: Book, now: FindNow, text: str) -> int:
    """How many of several alike are opened: as said, else all that are whole. Raises Refused."""
    whole = max(1, before(book, now).whole)
    return whole if not text.strip() else counted(text, "count")


def counted(text: str, where: str) -> int:
    """A count as typed. Raises Refused."""
    return reading.count(count_said(text, where), where)


def sure(weighed: bool, answer: str | None) -> None:
    """Raises Asked where an opening has nothing weighed and nobody said that this is meant."""
    if not weighed and answer != "yes":
        ways = (("yes", "yes, none of it went on the scale"),)
        raise Asked("Nothing that came out was weighed", "a mass", "open", "unweighed", ways)


def usual_counts(book: Book, now: FindNow, operations: Sequence[str], times: int) -> dict[str, int]:
    """How many of each piece these operations give on so many finds; nothing where they cannot be run so."""
    anatomy = estimates_of(book).anatomy(now.kind)
    past = before(book, now)
    try:
        runs = runs_of(anatomy, operations, times, past.runs)
    except Refused:
        return {}
    return {anatomy.whole.id: times, **yields(anatomy, past.runs), **yields(anatomy, runs)}


def in_working_order(book: Book, now: FindNow, operations: Sequence[str]) -> list[str]:
    """Operations ticked off in any order, each after the one that gives its piece; what fits nowhere comes last."""
    anatomy = estimates_of(book).anatomy(now.kind)
    there = {anatomy.whole.id, *yields(anatomy, before(book, now).runs)}
    waiting = [op for op in anatomy.operations if op.id in operations]
    order: list[str] = []
    while ready := [op for op in waiting if anatomy.in_hand(op.on).id in there]:
        order += [op.id for op in sorted(ready, key=lambda op: not op.required)]
        there |= {give.piece for op in ready for give in op.gives}
        waiting = [op for op in waiting if op not in ready]
    return order + [op.id for op in waiting]
