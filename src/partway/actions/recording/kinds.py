"""Which kind somebody means who types a name: the one place that decides, and asks where it is not said exactly."""

from __future__ import annotations

from collections.abc import Mapping

from partway.actions.recording.questions import Asked
from partway.catalogue import shipped
from partway.catalogue.reading.messages import unknown
from partway.errors import Refused
from partway.quantities import shown
from partway.reports.curb.names import find_kinds, kind_called, named
from partway.things.anatomy import Anatomy

OFFERED_MOST = 6


def kind_meant(given: str, where: str, kinds: Mapping[str, Anatomy] | None = None) -> str:
    """The kind of which a text is the name. Raises Asked with those near it, and Refused where none is near.

    `kinds` are those of the catalogue unless others are given. An id means itself: for it no other kind is read. The id
    of a kind that was split asks which of those it became.
    """
    if given in (shipped().kinds if kinds is None else kinds):
        return _itself(shipped().anatomy(given) if kinds is None else kinds[given], where)
    known = known_kinds() if kinds is None else kinds
    called = kind_called(given, named(known.values()))
    if called is not None:
        return called
    found = find_kinds(given, named(known.values())) if given.isprintable() else ()
    near = tuple((match.kind, match.name) for match in found[:OFFERED_MOST])
    if not near:
        raise unknown(Refused, given, "kind", sorted(known), where)
    listed = ", ".join(f"{kind} ({name})" for kind, name in near)
    raise Asked(f"{shown(given)}, the name of no one kind", f"the name of a kind, such as {listed}", where, where, near)


def _itself(kind: Anatomy, where: str) -> str:
    """The kind's id. Raises Asked with those that it became if it was split."""
    known = shipped()
    now = tuple((one, known.anatomy(one).name) for one in kind.became if one in known.kinds)
    if not now:
        return kind.kind
    listed = " or ".join(f"{one} ({name})" for one, name in now)
    raise Asked(f"{shown(kind.kind)}, which was split", f"a kind that it became: {listed}", where, where, now)


def known_kinds() -> dict[str, Anatomy]:
    """The kinds of the catalogue."""
    return {anatomy.kind: anatomy for anatomy in shipped().all_anatomies()}
