"""What names a hazard, worked out from the files and the dataclasses alone, and what a page leaves out of it.

Nothing here asks the code that puts cautions on pages. For pages of another rim: take `kinds()` or `grades()`, get the
page of each, and hold it to `missing(page, hazards, before)`.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any

from partway.catalogue import shipped
from partway.catalogue.shipped import DATA
from partway.things.anatomy import Anatomy

FIELDS = ("cautions", "hazards", "stop")  # what names a hazard, in any file of the catalogue
Hazards = tuple[str, ...]


def files() -> Iterator[tuple[Path, set[str]]]:
    """Every file of the catalogue, also of folders that this page has never heard of, with the hazards it names."""
    for path in sorted(DATA.rglob("*.toml")):
        yield path, set(_named(tomllib.loads(path.read_text(encoding="utf-8"))))


def grades() -> Iterator[tuple[str, Hazards]]:
    """Grades that name a hazard."""
    for grade in shipped().grades.values():
        if grade.hazards:
            yield grade.id, grade.hazards


def kinds() -> Iterator[tuple[str, Hazards]]:
    """Kinds in which anything names a hazard: the kind, its operations, what stays shut, what pieces may be sold as."""
    for kind in shipped().kinds:
        if hazards := of_anatomy(shipped().anatomy(kind)):
            yield kind, hazards


def components() -> Iterator[tuple[str, Hazards]]:
    """The same of components."""
    for name in shipped().component.names:
        if hazards := of_anatomy(shipped().component(name)):
            yield name, hazards


def of_anatomy(anatomy: Anatomy) -> Hazards:
    """All that is named anywhere in an anatomy, and by every grade that its pieces may be sold as."""
    tables = asdict(anatomy)
    sold = [sale["grade"] for piece in tables["pieces"] for sale in piece["sells"]]
    return tuple(dict.fromkeys([*_named(tables), *(h for grade in sold for h in shipped().grades[grade].hazards)]))


def _named(data: Any) -> Iterator[str]:
    if isinstance(data, dict):
        for field, value in data.items():
            if field in FIELDS:
                if value is not True:  # of a word in guesses.toml: its cards keep the thing shut
                    yield from [value] if isinstance(value, str) else value or ()
            else:
                yield from _named(value)
    elif isinstance(data, list | tuple):
        for value in data:
            yield from _named(value)


def squeezed(text: str) -> str:
    """Text on one line and in one case, however the page was broken."""
    return " ".join(text.split()).casefold()


def missing(page: str, hazards: Iterable[str], before: str = "") -> list[str]:
    """Hazards whose name or first step a page does not give, or not before `before` (its first money)."""
    text = squeezed(page)
    start = text
    if before:
        end = " " if before.endswith(" ") else ""  # "CAD " is money, and no part of cadmium
        start, found, _ = text.partition(squeezed(before) + end)
        assert found, f"a page without {before!r} proves nothing: {text[:200]}"
    return [hazard for hazard in dict.fromkeys(hazards) if not says(start, hazard)]


def unnamed(page: str, hazards: Iterable[str], before: str = "") -> list[str]:
    """Hazards whose name a page does not give whole, or not before `before`, where there is such a thing on it."""
    start = squeezed(page)
    if before:
        start = start.partition(squeezed(before))[0]
    return [hazard for hazard in dict.fromkeys(hazards) if squeezed(shipped().cautions[hazard].name) not in start]


def carried(hazards: Iterable[str]) -> list[str]:
    """Those that hurt as soon as a thing is lifted, carried or loaded."""
    return [hazard for hazard in dict.fromkeys(hazards) if shipped().cautions[hazard].at == "carry"]


def says(text: str, hazard: str) -> bool:
    """Whether a squeezed text gives the name and the first step of a card."""
    card = shipped().cautions[hazard]
    return squeezed(card.name) in text and squeezed(card.first) in text
