"""The card of a hazard, whole: the same wherever it comes up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from partway.catalogue import shipped
from partway.catalogue.cards import CODE


@dataclass(frozen=True, slots=True)
class Card:
    """One hazard: what it does, what comes first, who may do it, which rule, what never."""

    id: str
    name: str
    hurts: str
    first: str
    licensed: str
    rule: str
    never: str


def cards_of_grades(ids: Iterable[str]) -> tuple[Card, ...]:
    """Cards of what can hurt about grades; one that the catalogue does not know names none."""
    known = shipped().grades
    return cards(hazard for grade in ids if grade in known for hazard in known[grade].hazards)


def cards(ids: Iterable[str]) -> tuple[Card, ...]:
    """Cards of hazards, each once, in the order asked for; one without a card still shows, by its own name."""
    known = shipped().cautions
    return tuple(
        Card(i, c.name, c.hurts, c.first, c.licensed, c.rule, c.never)
        if (c := known.get(i))
        else Card(i, i, "", CODE, "", CODE, "")
        for i in dict.fromkeys(ids)
    )
