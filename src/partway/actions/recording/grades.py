"""Which grade somebody means who types a name: by its id, or as it is spoken in a price list; else it is asked.

The same words mean the same in a price, on a ticket, of a bin and in a list, because all of them ask here or in
`pricelist.lexicon`, which this asks.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache

from partway.actions.recording.questions import Asked
from partway.catalogue import shipped
from partway.catalogue.reading.messages import unknown
from partway.errors import Refused
from partway.pricelist.lexicon import Lexicon, lexicon_of
from partway.pricelist.names import words_of
from partway.quantities import shown
from partway.things.material import Grade

OFFERED_MOST = 6
LONGEST = 80


def grade_meant(given: str, where: str, grades: Mapping[str, Grade]) -> str:
    """The id of the grade that a text names. Raises Asked with those it may be, and Refused where none is near.

    An id means itself; then comes what is said whole ("no 2 copper"), then the beginning of one id alone.
    """
    plain = re.sub(r"[\s_]+", "-", given.strip().lower())
    if plain in grades:
        return plain
    scores, whole = (
        _lexicon(grades).match(words_of(given)) if len(given) <= LONGEST and given.isprintable() else ((), False)
    )
    sure = whole and bool(scores) and scores[0][1] == 1.0  # what is only nearly a name is asked
    if sure and len(scores) == 1:
        return scores[0][0]
    starts = [name for name in sorted(grades) if plain and name.startswith(plain)]
    if len(starts) == 1 and not sure:
        return starts[0]
    near = tuple(dict.fromkeys([*(grade for grade, _ in scores), *(() if sure else starts)]))[:OFFERED_MOST]
    if not near:
        raise unknown(Refused, given, "grade", grades, where)
    raise _question(given, where, near, grades)


def _question(given: str, where: str, near: tuple[str, ...], grades: Mapping[str, Grade]) -> Asked:
    choices = tuple((grade, grades[grade].name) for grade in near)
    listed = ", ".join(f"{grade} ({name})" for grade, name in choices)
    option = where.partition(" ")[0]
    if len(choices) == 1:
        expected = f'a known grade; did you mean "{near[0]}"?'
        return Asked(shown(given), expected, where, option=option, choices=choices, likely=near[0])
    asked = f"{shown(given)}, the name of no one grade"
    return Asked(asked, f"one grade, such as {listed}", where, option=option, choices=choices, likely=near[0])


def _lexicon(grades: Mapping[str, Grade]) -> Lexicon:
    return _shipped_lexicon() if grades is shipped().grades else lexicon_of(grades)


@lru_cache(maxsize=1)
def _shipped_lexicon() -> Lexicon:
    return lexicon_of(shipped().grades)
