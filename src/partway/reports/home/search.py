"""A search over all that has a name: finds, bins and buyers of the workspace, kinds and grades of the catalogue."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from partway.catalogue.cards import cards_of_grades, shipped_cards
from partway.ledger import trading
from partway.ledger.fold import standing
from partway.reports.buyers.search import find_grades
from partway.reports.called import Called
from partway.reports.curb.names import LONGEST, KindNames, find_kinds, named, with_a_word_of

Sort = Literal["find", "bin", "buyer", "kind", "grade"]
MOST = 8  # of one sort


@dataclass(frozen=True, slots=True)
class NameFound:
    """Something that goes by such a name. `more` is what it is found by besides its name; `careful` what can hurt."""

    sort: Sort
    id: str
    name: str
    more: str
    careful: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Search:
    """What was found, by sort, likeliest first; `left_out` counts what is beyond the first few of a sort."""

    words: str
    found: tuple[NameFound, ...]
    left_out: int


def search(called: Called, text: str) -> Search:
    """All that a text may mean."""
    words = " ".join(text.split())[:LONGEST]
    found: list[NameFound] = []
    left_out = 0
    for look in (_finds, _bins, _buyers, _kinds, _grades):
        there = list(look(called, words)) if words else []
        found += there[:MOST]
        left_out += len(there[MOST:])
    return Search(words, tuple(found), left_out)


def _finds(called: Called, words: str) -> Iterator[NameFound]:
    """Finds that wait, also by what else people call their kind."""
    known = {now.id: now for now in standing.finds(called.book).values()}
    others = {kind.kind: kind.names for kind in named(called.catalogue.all_anatomies())}
    names = [KindNames(one, (called.find(one), one, *others.get(now.kind, ()))) for one, now in known.items()]
    for one in _near(words, names):
        careful = called.catalogue.anatomy(known[one].kind).cautions if called.catalogue.knows(known[one].kind) else ()
        yield NameFound("find", one, called.find(one), one, tuple(card.name for card in shipped_cards(careful)))


def _bins(called: Called, words: str) -> Iterator[NameFound]:
    """Bins by their names and grades."""
    known = standing.bins(called.book)
    names = [KindNames(one, (called.bin(one), one, called.grade(now.grade))) for one, now in known.items()]
    for one in _near(words, names):
        grade = called.grade(known[one].grade)
        careful = tuple(card.name for card in cards_of_grades([known[one].grade]))
        yield NameFound("bin", one, called.bin(one), "" if grade == called.bin(one) else grade, careful)


def _buyers(called: Called, words: str) -> Iterator[NameFound]:
    """Buyers by their names and what they are."""
    known = trading.buyers(called.book)
    names = [KindNames(one, (called.buyer(one), one, terms.kind)) for one, terms in known.items()]
    for one in _near(words, names):
        yield NameFound("buyer", one, called.buyer(one), known[one].kind)


def _kinds(called: Called, words: str) -> Iterator[NameFound]:
    """Kinds of the catalogue and one's own, by every name."""
    kinds = named(called.catalogue.all_anatomies())
    for match in find_kinds(words, kinds) or with_a_word_of(words, kinds):
        careful = tuple(card.name for card in shipped_cards(called.catalogue.anatomy(match.kind).cautions))
        yield NameFound("kind", match.kind, match.name, match.called, careful)


def _grades(called: Called, words: str) -> Iterator[NameFound]:
    """Grades, as the page of the buyers finds them."""
    for grade in find_grades(words):
        known = called.catalogue.grades.get(grade)
        careful = tuple(card.name for card in cards_of_grades([grade]))
        yield NameFound("grade", grade, called.grade(grade), known.family if known else "", careful)


def _near(words: str, names: Iterable[KindNames]) -> Iterator[str]:
    return (match.kind for match in find_kinds(words, names))
