"""Pieces whose material was found out for sure: recorded, and counted for the next one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides, record
from partway.actions.what.identifying import context_named
from partway.actions.what.results import IdentifiedResult
from partway.catalogue import shipped
from partway.catalogue.cards import shipped_cards
from partway.identify import read_answers
from partway.identify.spoken import answer_text
from partway.ledger.book import Book
from partway.ledger.counting import counting
from partway.ledger.events.kinds import Identified, Said


def _key() -> object:
    """What `confirm` reads the catalogue for."""
    return shipped().key


@decides(_key)
def confirm(
    book: Book,
    context: Context,
    material: str,
    where: str,
    count: int = 1,
    answers: Mapping[str, str] | None = None,
    mass: reading.Mass | None = None,
    grade: str | None = None,
    note: str = "",
) -> Recorded[IdentifiedResult]:
    """Record that `count` pieces alike, from the context `where`, were of a material; `mass` is of all of them.

    The grade is the material's own unless another is named.
    """
    key, place = shipped().key, context_named(where)
    among = [name for name, each in key.materials.items() if each.group == place.group]
    named = reading.one_of(material, among, f"material of {place.id}", "confirm")
    own = place.grades.get(named, key.materials[named].grades)
    given = read_answers(key, place, answers or {})
    identified = Identified(
        material=named,
        context=place.id,
        count=reading.count(count, "count"),
        grade=reading.grade(grade, "grade") if grade is not None else next(iter(own), None),
        answers=tuple(Said(test, answer_text(answer)) for test, answer in given.items()),
        mass_mg=None if mass is None else reading.mass_mg(book, mass, "mass"),
        note=reading.text(note, "note"),
    )
    hazards = (
        *key.materials[named].cautions,
        *(shipped().grades[identified.grade].hazards if identified.grade else ()),
    )
    result = IdentifiedResult(
        named,
        key.materials[named].name,
        place.id,
        identified.count,
        identified.grade,
        sum(confirmed(book, place.id).values()) + identified.count,
        shipped_cards(hazards),
    )
    return record(book, context, [identified], result)


def confirmed(book: Book, context: str) -> dict[str, int]:
    """Pieces confirmed in a context by material; what was taken back does not count, nor what no key knows any more."""
    key, counts = shipped().key, Counter[str]()
    for event in counting(book, ("identified",), f"context:{context}"):
        what = event.what
        if isinstance(what, Identified) and what.material in key.materials:
            counts[what.material] += what.count
    return dict(counts)
