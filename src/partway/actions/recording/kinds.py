"""Which kind somebody means who types a name: the one place that decides, and asks where it is not said exactly."""

from __future__ import annotations

from partway.actions.recording.questions import Asked
from partway.catalogue import Catalogue
from partway.catalogue.reading.messages import unknown
from partway.errors import Refused
from partway.quantities import shown
from partway.reports.curb.names import find_kinds, kind_called, named, with_a_word_of

OFFERED_MOST = 6


def kind_meant(given: str, where: str, catalogue: Catalogue) -> str:
    """The kind of which a text is the name. Raises Asked with those near it, and Refused where none is near.

    An id means itself: for it no other kind is read. That of a kind that was split asks which of those it became.
    """
    if catalogue.knows(given):
        return _itself(given, where, catalogue)
    kinds = named(catalogue.all_anatomies())
    called = kind_called(given, kinds)
    if called is not None:
        return called
    found = find_kinds(given, kinds) or with_a_word_of(given, kinds) if given.isprintable() else ()
    near = tuple((match.kind, match.name) for match in found[:OFFERED_MOST])
    if not near:
        raise unknown(Refused, given, "kind", catalogue.kinds, where)
    listed = ", ".join(f"{kind} ({name})" for kind, name in near)
    given, expected = f"{shown(given)}, the name of no one kind", f"the name of a kind, such as {listed}"
    raise Asked(given, expected, where, option=where, choices=near, likely=near[0][0])


def _itself(kind: str, where: str, catalogue: Catalogue) -> str:
    """The kind's id. Raises Asked with those that it became if it was split."""
    now = tuple((one, catalogue.anatomy(one).name) for one in catalogue.anatomy(kind).became if catalogue.knows(one))
    if not now:
        return kind
    listed = " or ".join(f"{one} ({name})" for one, name in now)
    raise Asked(f"{shown(kind)}, which was split", f"a kind that it became: {listed}", where, where, now)
