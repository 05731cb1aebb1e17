"""The piece of a kind that a text names, for photographs and for what is written of a piece."""

from __future__ import annotations

from partway.actions.recording.parts import part_named
from partway.errors import Refused
from partway.things.anatomy import Anatomy
from partway.things.scenario import KnownKinds


def piece_of_kind(known: KnownKinds, kind: str, given: str, where: str) -> tuple[str, Anatomy]:
    """The id of a piece, and the anatomy it is in. Raises Refused."""
    if not known.knows(kind):
        raise Refused(f'"{given[:40]}"', "no piece: nobody knows how this kind comes apart", where)
    anatomy = known.anatomy(kind)
    return part_named(given, {one.id: one.name for one in anatomy.pieces}, "piece", where), anatomy
