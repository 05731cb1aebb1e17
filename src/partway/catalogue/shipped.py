"""The catalogue that comes with partway: grades at once, each kind's file when it is asked for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache, cached_property
from pathlib import Path
from threading import RLock
from typing import Any

from partway.catalogue.guesses.guess import guess
from partway.catalogue.guesses.table import Guesses, guesses_in
from partway.catalogue.key.read import read_key
from partway.catalogue.reading.read import read_anatomies, read_cautions, read_grades, read_place_cards, read_sources
from partway.catalogue.reading.toml import load
from partway.catalogue.signs import signs_in
from partway.errors import BadCatalogue
from partway.quantities import shown
from partway.things.anatomy import Anatomy
from partway.things.material import Caution, Grade, Source
from partway.things.placecard import PlaceCard
from partway.things.scenario import KnownKinds, Scenario
from partway.things.signs import Signs
from partway.things.testkey import MaterialKey
from partway.things.traits import MARK

DATA = Path(__file__).parent / "data"


@dataclass(frozen=True)
class Shelf:
    """A folder of anatomy files, one per name, each read when it is first asked for.

    A component may be like another component; the names being read show a circle among them. One thread reads at a
    time: the names that another one reads are no circle.
    """

    folder: Path
    components: Shelf | None = None
    _read: dict[str, Anatomy] = field(default_factory=dict, repr=False, compare=False)
    _reading: list[str] = field(default_factory=list, repr=False, compare=False)
    _turn: RLock = field(default_factory=RLock, repr=False, compare=False)  # by one thread more than once: `like`

    @cached_property
    def names(self) -> tuple[str, ...]:
        """What is on the shelf, from file names alone."""
        return tuple(sorted(path.stem for path in self.folder.glob("*.toml")))

    def where(self, name: str) -> str:
        """The file of a name, as messages give it."""
        return f"{self.folder.name}/{name}.toml"

    def __call__(self, name: str) -> Anatomy:
        """The anatomy of that name; KeyError if there is none, BadCatalogue if its file is wrong."""
        found = self._read.get(name)
        if found is not None:
            return found
        with self._turn:
            if name not in self._read:
                self._read[name] = self._first_time(name)
            return self._read[name]

    def _first_time(self, name: str) -> Anatomy:
        if name not in self.names:
            raise KeyError(name)
        if name in self._reading:
            circle = " -> ".join([*self._reading[self._reading.index(name) :], name])
            raise BadCatalogue(circle, "no component that contains itself", self.where(name))
        self._reading.append(name)
        try:
            return self._from_file(self.folder / f"{name}.toml")
        finally:
            self._reading.pop()

    def _from_file(self, path: Path) -> Anatomy:
        tables = load(path)
        where = self.where(path.stem)
        only_table(tables, "anatomy", where)
        found = read_anatomies(tables["anatomy"], where, self.components or self)
        if list(found) != [path.stem]:
            given = ", ".join(shown(kind) for kind in found) or "nothing"
            raise BadCatalogue(given, f"one [[anatomy]] of the file's own name, {shown(path.stem)}", where)
        return found[path.stem]


@dataclass(frozen=True)
class Catalogue:
    """Grades, cautions and sources by id, the ids of all kinds, and their anatomies on demand.

    `component("cord")` is the anatomy of a component, KeyError if there is none. `own` are kinds that somebody made
    besides those that ship, whole already; their ids are among `kinds`. `learn` puts what a ledger knows better in
    place of estimates, of each anatomy that is asked for; those of `own` are taken as they are.
    """

    grades: Mapping[str, Grade]
    cautions: Mapping[str, Caution]
    sources: Mapping[str, Source]
    kinds: tuple[str, ...]
    component: Shelf
    shelf: Shelf = field(repr=False)  # where the kinds lie
    own: Mapping[str, Anatomy] = field(default_factory=dict, repr=False)
    learn: Callable[[Anatomy], Anatomy] | None = field(default=None, repr=False)

    def knows(self, kind: str) -> bool:
        """Whether there is an anatomy of a kind, also of one that somebody described (`things.traits`)."""
        return kind in self.own or kind in self.kinds or (MARK in kind and self.guesses.knows(kind))

    def anatomy(self, kind: str) -> Anatomy:
        """The anatomy of a kind, read on first use; KeyError if there is none."""
        if kind in self.own:
            return self.own[kind]
        guessed = MARK in kind and self.guesses.knows(kind)
        found = guess(self.guesses, kind, self.grades) if guessed else self.shelf(kind)
        return found if self.learn is None else self.learn(found)

    def with_own(self, own: Mapping[str, Anatomy]) -> Catalogue:
        """The same with somebody's own kinds, which go before those of their ids that are here already."""
        return replace(self, kinds=tuple(sorted({*self.kinds, *own})), own={**self.own, **own}) if own else self

    def all_anatomies(self) -> tuple[Anatomy, ...]:
        """Every kind's anatomy; reads all files."""
        return tuple(self.anatomy(kind) for kind in self.kinds)

    def where(self, kind: str) -> str:
        """The file of a kind, as messages give it."""
        return f"your own kind {shown(kind)}" if kind in self.own else self.shelf.where(kind)

    @property
    def guesses(self) -> Guesses:
        """What things are taken to be that are in no catalogue; read on first use. Raises BadCatalogue."""
        return guesses_in(self.shelf.folder.parent / "guesses.toml")

    @cached_property
    def key(self) -> MaterialKey:
        """The test key, read on first use. Raises BadCatalogue."""
        return read_key(self.shelf.folder.parent / "identify")

    @property
    def signs(self) -> Signs:
        """What shows of a find and says whether it works; read on first use. Raises BadCatalogue."""
        return signs_in(self.shelf.folder.parent / "signs.toml")

    @cached_property
    def place_cards(self) -> Mapping[str, PlaceCard]:
        """What differs from place to place, by id; read on first use. Raises BadCatalogue."""
        path = self.shelf.folder.parent / "place-cards.toml"
        return read_place_cards(_rows(path, "card"), path.name)


@cache
def shipped() -> Catalogue:
    """The catalogue under data/. Raises BadCatalogue if what we ship is wrong."""
    return catalogue_in(DATA)


def catalogue_in(folder: Path) -> Catalogue:
    """The catalogue whose files lie in a folder."""
    components = Shelf(folder / "components")
    kinds = Shelf(folder / "kinds", components)
    grades: dict[str, Grade] = {}
    for path in sorted((folder / "grades").glob("*.toml")):
        grades = _more_grades(grades, path)
    return Catalogue(
        grades=grades,
        cautions=read_cautions(_rows(folder / "cautions.toml", "caution"), "cautions.toml"),
        sources=read_sources(_rows(folder / "sources.toml", "source"), "sources.toml"),
        kinds=kinds.names,
        component=components,
        shelf=kinds,
    )


def kinds_in(scenario: Scenario) -> KnownKinds:
    """All kinds that can be looked up in a scenario: its own, and those of its ledger or else those that ship."""
    return (scenario.known or shipped()).with_own(scenario.anatomies)


def only_table(tables: Mapping[str, Any], name: str, where: str) -> None:
    """Refuses a file that has anything but [[name]] at its top."""
    if set(tables) != {name}:
        given = ", ".join(shown(key) for key in tables if key != name) or "nothing"
        raise BadCatalogue(given, f"[[{name}]] and nothing else", where)


def _rows(path: Path, table: str) -> list[dict[str, Any]]:
    tables = load(path)
    only_table(tables, table, path.name)
    rows: list[dict[str, Any]] = tables[table]
    return rows


def _more_grades(known: Mapping[str, Grade], path: Path) -> dict[str, Grade]:
    """The grades known so far and those of one more file; no id comes twice."""
    tables = load(path)
    rows = tables.pop("grade", [])
    where = f"grades/{path.name}"
    for row in rows:
        if row.get("id") in known:
            raise BadCatalogue(f"{shown(row['id'])} twice", "each grade once", where)
    return read_grades(rows, where, known, tables)
