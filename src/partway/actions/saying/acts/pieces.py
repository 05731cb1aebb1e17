"""Which piece of a find is meant: by its id, its name, or what it is made of; by its mass only the order of answers."""

from __future__ import annotations

import math
from collections.abc import Iterator

from partway.actions.saying.meant import Meaning
from partway.errors import Refused
from partway.ledger.fold import standing
from partway.quantities import MG_PER_KG, shown
from partway.reports.called import running
from partway.reports.curb.names import name_key, words
from partway.saying.clauses import SaidSlot
from partway.things.anatomy import Anatomy, Piece
from partway.things.traits import plain_name
from partway.valuing.known import anatomy_of_find
from partway.valuing.left import before


def piece_meant(meaning: Meaning, find: str, slot: SaidSlot, mg: int, count: int, at: int) -> str:
    """The piece of a find that a word means, as its id. Raises Asked where several may be, Refused where none is."""
    anatomy = anatomy_of_find(meaning.book, standing.find(meaning.book, find))
    found = pieces_called(meaning, anatomy, slot.words)
    if not found and anatomy.guessed and plain_name(slot.words):
        return slot.words
    if not found:
        known = ", ".join(running(piece.name) for piece in anatomy.pieces[1:8])
        raise Refused(shown(slot.said), f"a piece of the {meaning.names.called.just(find)}: {known} …", "piece")
    near = sorted(found, key=lambda piece: _off(piece, mg / float(MG_PER_KG) / count) if mg else 0.0)
    named = SaidSlot(f"piece-{at}", slot.said, slot.words)
    return meaning.one(named, [piece.id for piece in near], lambda one: _told(anatomy, one), "piece")


def steps_meant(meaning: Meaning, find: str, option: str = "op") -> tuple[str, ...]:
    """The step that "opened it" means where nothing was said of what came out: the one there is, else it is asked."""
    now = standing.find(meaning.book, find)
    anatomy = anatomy_of_find(meaning.book, now)
    done = {run.operation for run in before(meaning.book, now).runs}
    there = [one for one in anatomy.operations_on(anatomy.whole.id) if not one.asks and one.id not in done]
    if not there or done:
        return ()
    names = {one.id: one.name for one in there}
    chosen = meaning.one(SaidSlot(option, "opened", "opened"), list(names), names.__getitem__, "step")
    meaning.doubts.append(f"“opened” is the step “{names[chosen]}”")
    return (chosen,)


def pieces_called(meaning: Meaning, anatomy: Anatomy, said: str) -> list[Piece]:
    """Pieces by the first way that finds any: id or name, all its words, the grade it sells as."""
    key, pieces = name_key(said), anatomy.pieces
    ways: Iterator[list[Piece]] = iter(
        (
            [piece for piece in pieces if key in (name_key(piece.id), name_key(piece.name))],
            [piece for piece in pieces if _worded(said, f"{piece.name} {piece.id.rpartition('.')[2]}")],
            [piece for piece in pieces if {sale.grade for sale in piece.sells} & set(meaning.names.grades(said))],
        )
    )
    return next((found for found in ways if found), [])


def _worded(said: str, name: str) -> bool:
    wanted = {name_key(word) for word in words(said)}
    return bool(wanted) and wanted <= {name_key(word) for word in words(name)}


def _off(piece: Piece, kg: float) -> float:
    """How far a mass is from a piece's usual one, as a ratio."""
    return abs(math.log(kg / piece.mass.likely)) if kg > 0.0 and piece.mass.likely > 0.0 else math.inf


def _told(anatomy: Anatomy, piece_id: str) -> str:
    """A piece by its name, with the one it comes out of where another has the same."""
    piece = anatomy.piece(piece_id)
    alike = [one for one in anatomy.pieces if one.name == piece.name]
    of = piece_id.rpartition(".")[0]
    if len(alike) == 1 and not of:
        return running(piece.name)
    return f"{running(piece.name)} of {running(anatomy.piece(of).name)}" if of else running(piece.name)
