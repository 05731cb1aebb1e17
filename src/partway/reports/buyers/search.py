"""Finding a grade by what people call it: its name, another name, or a part of one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache

from partway.catalogue import shipped
from partway.pricelist.names import singular, spoken, words_of
from partway.reports.curb.names import KindNames, find_kinds, words

LONGEST = 40


def find_grades(text: str, others: Iterable[str] = ()) -> tuple[str, ...]:
    """Ids of the grades a text may mean, likeliest first; `others` are grades of no catalogue, known by their id.

    A part of a name counts before a slip of the thumb. Words are also read as a price list has them ("cu" is copper),
    and where that makes other words of them, what these mean comes first.
    """
    typed = text[:LONGEST]
    known = (*_named(), *(KindNames(grade, (grade, grade)) for grade in others))
    read = words_of(typed)
    ways = [_holding(typed, known), _holding(" ".join(read), known)]
    if set(read) - {singular(word) for word in words(typed)}:
        ways.reverse()
    holding = dict.fromkeys(grade for way in ways for grade in way)
    return tuple(holding) or tuple(match.kind for match in find_kinds(typed, known))


def _holding(text: str, known: Sequence[KindNames]) -> list[str]:
    """Grades with a name that has the text in it, the nearest first."""
    part = " ".join(words(text))
    inside = [one.kind for one in known if part and any(part in " ".join(words(name)) for name in one.names)]
    nearest = {match.kind: place for place, match in enumerate(find_kinds(text, known))} if inside else {}
    return sorted(inside, key=lambda grade: nearest.get(grade, len(nearest)))


@lru_cache(maxsize=1)
def _named() -> tuple[KindNames, ...]:
    """Every grade of the catalogue with its names: the spoken ones and its family's among them."""
    grades, called = shipped().grades.values(), _spoken()
    return tuple(
        KindNames(one.id, (one.name, one.id, *called.get(one.id, ()), *((one.family,) if one.family else ())))
        for one in grades
    )


def _spoken() -> Mapping[str, list[str]]:
    found: dict[str, list[str]] = {}
    for said, meant in spoken():
        for grade in meant:
            found.setdefault(grade, []).append(" ".join(said))
    return found
