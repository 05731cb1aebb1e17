"""Which kind somebody means who types a name: the one place that decides, and asks where it is not said exactly."""

from __future__ import annotations

from collections.abc import Mapping

from partway.actions.recording.questions import Asked
from partway.catalogue import shipped
from partway.catalogue.reading.messages import unknown
from partway.errors import Refused
from partway.quantities import shown
from partway.reports.curb.names import find_kinds, kind_called, named

OFFERED_MOST = 6


def kind_meant(given: str, where: str, names: Mapping[str, str] | None = None) -> str:
    """The kind of which a text is the name. Raises Asked with those near it, and Refused where none is near.

    `names` are the kinds by id with their names, those of the catalogue unless others are given. An id means itself:
    for it no other kind is read.
    """
    if given in (shipped().kinds if names is None else names):
        return given
    known = known_kinds() if names is None else names
    kinds = named(known)
    called = kind_called(given, kinds)
    if called is not None:
        return called
    found = find_kinds(given, kinds) if given.isprintable() else ()
    near = tuple((match.kind, match.name) for match in found[:OFFERED_MOST])
    if not near:
        raise unknown(Refused, given, "kind", sorted(known), where)
    listed = ", ".join(f"{kind} ({name})" for kind, name in near)
    raise Asked(f"{shown(given)}, the name of no one kind", f"the name of a kind, such as {listed}", where, where, near)


def known_kinds() -> dict[str, str]:
    """The kinds of the catalogue by id, with their names."""
    return {anatomy.kind: anatomy.name for anatomy in shipped().all_anatomies()}
