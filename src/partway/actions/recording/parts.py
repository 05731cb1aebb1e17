"""Which operation or piece of a kind somebody means: by its id, or by its name as it is printed, whole or begun."""

from __future__ import annotations

import re
from collections.abc import Mapping

from partway.catalogue.reading.messages import unknown
from partway.errors import Refused
from partway.quantities import shown
from partway.reports.curb.names import name_key, words

NEAR_MOST = 6


def part_named(given: str, known: Mapping[str, str], what: str, where: str) -> str:
    """The id that a text names; `known` are names by id. Raises Refused with those it may be, or the closest.

    An id means itself; then a whole name; then what one alone begins with; then what has all its words in one alone.
    """
    plain = re.sub(r"[\s_]+", "-", given.strip().lower())
    if plain in known:
        return plain
    ways = (
        [one for one, name in known.items() if name_key(name) == name_key(given)],
        [one for one in known if plain and one.startswith(plain)],
        [one for one, name in known.items() if words(given) and words(name)[: len(words(given))] == words(given)],
        [one for one, name in known.items() if words(given) and set(words(given)) <= set(words(name))],
    )
    for found in ways:
        if len(found) == 1:
            return found[0]
    near = next((found for found in ways if found), [])
    if not near:
        raise unknown(Refused, given, what, [*known, *known.values()], where)
    listed = ", ".join(f"{one} ({known[one]})" for one in near[:NEAR_MOST])
    raise Refused(shown(given), f"one {what} of several: {listed}{', ...' if len(near) > NEAR_MOST else ''}", where)
