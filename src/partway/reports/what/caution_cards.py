"""The cards of hazards as a list, and one of them with everything it comes up in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from partway.catalogue import Catalogue, shipped
from partway.catalogue.cards import CautionCard, shipped_cards
from partway.catalogue.laws import LawLine, law_lines, places_named
from partway.catalogue.named import Names, hazards_of, names
from partway.ledger.book import Book
from partway.ledger.fold.rules import rules
from partway.reports.calculators.own_cautions import COMMANDS
from partway.things.anatomy import Anatomy

WHERE = "where"  # the place card that asks for country and province


@dataclass(frozen=True, slots=True)
class IdAndName:
    """Something by its id and its name."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class Within:
    """A kind or component in which a hazard comes up: `of_all` in any of it, else at these pieces and operations."""

    id: str
    name: str
    of_all: bool
    pieces: tuple[IdAndName, ...]
    operations: tuple[IdAndName, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionReport:
    """One card whole. `out_first`: what holds it is not sold before it is out. `law` is what single places say, the
    places that the place cards name first. `commands` are calculators, `key` tests and materials of the test key.
    """

    card: CautionCard
    law: tuple[LawLine, ...]
    out_first: bool
    kinds: tuple[Within, ...]
    components: tuple[Within, ...]
    grades: tuple[IdAndName, ...]
    commands: tuple[str, ...]
    key: tuple[IdAndName, ...]


def all_cards() -> tuple[CautionCard, ...]:
    """Every card, in the order of the catalogue."""
    return shipped_cards(shipped().cautions)


def places_of(book: Book) -> tuple[str, ...]:
    """The places that the filled in place cards name, nearest first; what the card of the place says decides alone."""
    said = rules(book)
    named = places_named([said[WHERE].says]) if WHERE in said else ()
    return named or places_named(text for rule in said.values() for text in (rule.says, rule.source))


def report_caution(catalogue: Catalogue, hazard: str, here: Iterable[str] = ()) -> CautionReport:
    """One card and what it comes up in, kinds of one's own among them, the laws of places `here` first; KeyError for a
    hazard that has none.
    """
    naming = [named for named in names(catalogue) if hazard in named.hazards]
    return CautionReport(
        card=shipped_cards([hazard])[0],
        law=law_lines(catalogue.cautions[hazard].law, here),
        out_first=catalogue.cautions[hazard].out_first,
        kinds=_within(catalogue, hazard, catalogue.all_anatomies(), naming),
        components=_within(catalogue, hazard, map(catalogue.component, catalogue.component.names), naming),
        grades=tuple(IdAndName(named.id, named.name) for named in naming if named.what == "grade"),
        key=(
            *(IdAndName(test.id, test.name) for test in catalogue.key.tests.values() if hazard in test.cautions),
            *(IdAndName(one.id, one.name) for one in catalogue.key.materials.values() if hazard in one.cautions),
        ),
        commands=tuple(name for name, hazards in COMMANDS.items() if hazard in hazards),
    )


def _within(catalogue: Catalogue, hazard: str, anatomies: Iterable[Anatomy], naming: list[Names]) -> tuple[Within, ...]:
    return tuple(
        Within(
            anatomy.kind,
            anatomy.name,
            hazard in anatomy.cautions,
            tuple(IdAndName(n.id, n.name) for n in naming if (n.what, n.of) == ("piece", anatomy.kind)),
            tuple(IdAndName(n.id, n.name) for n in naming if (n.what, n.of) == ("operation", anatomy.kind)),
        )
        for anatomy in anatomies
        if hazard in hazards_of(anatomy, catalogue.grades)
    )
