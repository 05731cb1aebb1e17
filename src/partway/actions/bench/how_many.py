"""How many of several alike were opened, where nobody said: as many as the masses fit, else asked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from partway.actions.bench.runs import runs_of, yields
from partway.actions.recording.questions import Asked
from partway.actions.recording.words import mass
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.fold.standing import FindNow
from partway.things.anatomy import Anatomy
from partway.valuing.left import Before

WIDER = 1.25  # beyond the usual range of a mass before it no longer fits (a choice of ours)


@dataclass(frozen=True, slots=True)
class Out:
    """What came out, as far as it was said: pieces and what they weigh (piece, milligrams), all of it, operations.

    `allowed_mg` is what may be missing of a weighed find.
    """

    pieces: tuple[tuple[str, int], ...]
    all_mg: int
    operations: tuple[str, ...]
    allowed_mg: int


def how_many(book: Book, now: FindNow, past: Before, anatomy: Anatomy, out: Out) -> int:
    """One, or all that are whole. Raises Asked where the masses fit both or neither."""
    if past.whole <= 1:
        return max(1, past.whole)
    if now.mg > 0 and abs(now.mg - out.all_mg) <= out.allowed_mg:
        return past.whole
    fitting = [count for count in (1, past.whole) if _fits(now, past, anatomy, out, count)]
    if len(fitting) == 1:
        return fitting[0]
    given = f"{mass(book, out.all_mg)} out of {past.whole} × {anatomy.name.lower()}, and no count"
    choices = (("1", "one of them, the others are left"), (str(past.whole), "all of them"))
    raise Asked(given, f"how many were opened, from 1 to {past.whole}", "count", "count", choices)


def _fits(now: FindNow, past: Before, anatomy: Anatomy, out: Out, count: int) -> bool:
    """Whether pieces weigh what so many finds give of them, by their usual range."""
    gives = _gives(anatomy, out.operations, count)
    weighed = [(piece, mg) for piece, mg in out.pieces if piece in gives]
    usual = [(anatomy.piece(piece).mass, gives[piece]) for piece in {piece for piece, _ in weighed}]
    factor = _heavier(now, past, anatomy)
    least = sum(mass.low * times for mass, times in usual) * factor / WIDER
    most = sum(mass.high * times for mass, times in usual) * factor * WIDER
    return bool(usual) and least <= sum(mg for _, mg in weighed) / 1e6 <= most


def _gives(anatomy: Anatomy, operations: Sequence[str], count: int) -> dict[str, int]:
    """How many of each piece come out of so many finds: by the operations named, else by the one that gives most of it,
    since some are alternatives.
    """
    try:
        runs = runs_of(anatomy, operations or _all_of(anatomy), count, ())
    except Refused:
        runs = ()
    if operations:
        return {anatomy.whole.id: count, **yields(anatomy, runs)}
    most = {anatomy.whole.id: count}
    for run in runs:
        for piece, times in yields(anatomy, [run]).items():
            most[piece] = max(most.get(piece, 0), times)
    return most


def _all_of(anatomy: Anatomy) -> list[str]:
    """Every operation, each after the one that gives its piece."""
    there, order = {anatomy.whole.id}, list[str]()
    waiting = sorted(anatomy.operations, key=lambda op: not op.required)
    while ready := [op for op in waiting if op.on in there]:
        order += [op.id for op in ready]
        there |= {give.piece for op in ready for give in op.gives}
        waiting = [op for op in waiting if op not in ready]
    return order


def _heavier(now: FindNow, past: Before, anatomy: Anatomy) -> float:
    """How much heavier than usual one of them is; 1 where it was not weighed, or some were opened already."""
    if not now.mg or past.runs or past.gone:
        return 1.0
    return now.mg / 1e6 / past.whole / anatomy.whole.mass.likely
