"""One step by its name or by the piece it gives: "took the cord off the microwave, two minutes", "pulled the fan"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.saying.acts.bench import minutes_said, slot_of
from partway.actions.saying.acts.pieces import piece_meant, pieces_called
from partway.actions.saying.meant import Meaning
from partway.actions.saying.steps import SayStep
from partway.errors import Hint, Refused
from partway.ledger.fold import standing
from partway.quantities import shown
from partway.reports.curb.names import name_key, words
from partway.saying.clauses import Clause, SaidSlot
from partway.things.anatomy import Anatomy, Operation
from partway.valuing.known import anatomy_of_find
from partway.valuing.left import before


def took(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A step done on a find that stays open; the piece goes into its bin where it was weighed."""
    piece = slot_of(clause, "piece")
    of = clause.slot("find")
    find = meaning.find(of) if of else _find(meaning, piece)
    now = standing.find(meaning.book, find)
    anatomy = anatomy_of_find(meaning.book, now)
    done = {run.operation for run in before(meaning.book, now).runs}
    operation = _operation(meaning, anatomy, piece, done)
    given: tuple[PieceGiven, ...] = ()
    weighed, box = clause.part("mass"), clause.slot("bin")
    if weighed or box:
        mg = meaning.mass(
            slot_of(weighed, "mass") if weighed else meaning.typed("mass", clause.said, "how much it weighs")
        )
        given = (PieceGiven(piece_meant(meaning, find, piece, mg, 1, 1), mg, bin=meaning.bin(box) if box else ""),)
    named = {"operations": (operation.id,), "minutes": minutes_said(meaning, clause) or 0, "gap": "left"}
    yield SayStep(open_up, (find, given), named)


def _find(meaning: Meaning, piece: SaidSlot) -> str:
    """The find spoken of before, or the one that waits and has such a piece in it; several are asked about."""
    last = meaning.names.last
    may = [one for one in standing.finds(meaning.book) if _named(meaning, _anatomy(meaning, one), piece.words)]
    if last in may:
        return last
    if not may:
        raise Refused(shown(piece.said), "a piece of a find that is still there", "find", hint=Hint("finds"))
    return meaning.one(SaidSlot("find", piece.said, piece.words), may, meaning.names.called.find, "find")


def _anatomy(meaning: Meaning, find: str) -> Anatomy:
    return anatomy_of_find(meaning.book, standing.find(meaning.book, find))


def _operation(meaning: Meaning, anatomy: Anatomy, slot: SaidSlot, done: set[str]) -> Operation:
    """The operation that is meant: by its name, or by the piece that it gives; those done already are not."""
    named = [one for one in _named(meaning, anatomy, slot.words) if one.id not in done]
    there = [one for one in named if _reached(anatomy, one, done)]
    if named and not there:
        raise Refused(shown(slot.said), f"first: {_first(anatomy, named[0], done)}", "piece")
    if not there:
        known = ", ".join(one.name for one in anatomy.operations_on(anatomy.whole.id)[:4])
        raise Refused(
            shown(slot.said), f"a step of {anatomy.name.lower()} that is still to do, such as: {known}", "piece"
        )
    chosen = meaning.one(
        SaidSlot("op", slot.said, slot.words), [one.id for one in there], lambda one: _name(anatomy, one), "step"
    )
    operation = next(one for one in there if one.id == chosen)
    if len(operation.gives) > 2:
        meaning.doubts.append(f"“{slot.said}” is the step “{operation.name}”")
    return operation


def _named(meaning: Meaning, anatomy: Anatomy, said: str) -> Sequence[Operation]:
    """Operations by all of their name, else those that give a piece of that name, else by words of their name."""
    steps = [one for one in anatomy.operations if not one.asks]
    whole = [one for one in steps if name_key(one.name) == name_key(said)]
    pieces = {piece.id for piece in pieces_called(meaning, anatomy, said)}
    giving = [one for one in steps if pieces & {give.piece for give in one.gives}]
    wanted = set(words(said))
    return whole or giving or [one for one in steps if wanted and wanted <= set(words(one.name))]


def _reached(anatomy: Anatomy, operation: Operation, done: set[str]) -> bool:
    """Whether the piece it is done on is there: the whole find, or what a step gave that was done."""
    on = anatomy.in_hand(operation.on).id
    if on == anatomy.whole.id:
        return True
    return any(give.piece == on for one in anatomy.operations if one.id in done for give in one.gives)


def _first(anatomy: Anatomy, operation: Operation, done: set[str]) -> str:
    """The step that has to be done before one that is not reached yet."""
    while not _reached(anatomy, operation, done):
        on = anatomy.in_hand(operation.on).id
        operation = next(one for one in anatomy.operations if any(give.piece == on for give in one.gives))
    return operation.name


def _name(anatomy: Anatomy, operation: str) -> str:
    return next(one.name for one in anatomy.operations if one.id == operation)
