"""The test key from its files: materials with their rows, tests, contexts and the board and wire guides."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from partway.catalogue.checks.graph import repeated
from partway.catalogue.reading.messages import at, read_form
from partway.catalogue.reading.toml import load
from partway.errors import BadCatalogue
from partway.quantities import shown
from partway.things.testkey import (
    Feature,
    Guide,
    GuideRow,
    KeyContext,
    KeyTest,
    Material,
    MaterialKey,
    Never,
)

if TYPE_CHECKING:
    from partway.catalogue.key.forms import ContextForm, GuideForm, KeyTestForm, MaterialForm

MATERIALS = ("metals.toml", "plastics.toml")


def read_key(folder: Path) -> MaterialKey:
    """The test key whose files lie in a folder; an empty one where there is no folder. Raises BadCatalogue.

    Whether rows add up and names exist is for key_flaws to say.
    """
    if not folder.is_dir():
        return MaterialKey({}, {}, {}, {}, ())
    from partway.catalogue.key import forms

    tests = _read(folder, "tests.toml", forms.KeyTestsFile)
    contexts = _read(folder, "contexts.toml", forms.ContextsFile)
    guides = _read(folder, "guides.toml", forms.GuidesFile)
    materials = [
        _material(row, file)
        for name in MATERIALS
        if (file := _read(folder, name, forms.MaterialsFile))
        for row in file.material
    ]
    _once([row.id for row in materials], "material", MATERIALS[0])
    _once([row.id for row in tests.test], "test", "tests.toml")
    _once([row.id for row in contexts.context], "context", "contexts.toml")
    _once([row.id for row in guides.guide], "guide", "guides.toml")
    return MaterialKey(
        tests={row.id: _test(row) for row in tests.test},
        materials={row.id: row for row in materials},
        contexts={row.id: _context(row, contexts) for row in contexts.context},
        guides={row.id: _guide(row, guides) for row in guides.guide},
        never=tuple(Never(row.what, row.why) for row in tests.never),
    )


def _read(folder: Path, name: str, form: Any) -> Any:
    return read_form(form, load(folder / name), f"{folder.name}/{name}", BadCatalogue)


def _once(names: Sequence[str], table: str, file: str) -> None:
    if twice := repeated(names):
        raise BadCatalogue(f"{shown(twice)} twice", f"each {table} once", at(f"identify/{file}", f"{table}[{twice}]"))


def _test(row: KeyTestForm) -> KeyTest:
    return KeyTest(
        id=row.id,
        name=row.name,
        does=row.does,
        ask=row.ask,
        answers=tuple((answer.id, answer.name) for answer in row.answers),
        minutes=row.minutes,
        damage=row.damage,
        danger=row.danger,
        cautions=tuple(row.cautions),
        needs=row.needs,
        bars=tuple(row.bars),
        edges=tuple(row.edges),
        spread=row.spread,
    )


def _material(row: MaterialForm, file: Any) -> Material:
    return Material(
        id=row.id,
        name=row.name,
        group=file.group,
        rows={test: tuple(percent / 100.0 for percent in percents) for test, percents in row.rows.items()},
        grades=tuple(row.grades),
        density=row.density,
        spread=row.spread,
        aside=row.aside,
        cautions=tuple(row.cautions),
        source=row.source or file.source,
        on=row.on or file.on,
    )


def _context(row: ContextForm, file: Any) -> KeyContext:
    return KeyContext(
        id=row.id,
        name=row.name,
        group=row.group,
        tests=tuple(row.tests),
        shares={material: percent / 100.0 for material, percent in row.shares.items()},
        weight=row.weight,
        grades={material: tuple(grades) for material, grades in row.grades.items()},
        source=file.source,
        on=file.on,
    )


def _guide(row: GuideForm, file: Any) -> Guide:
    return Guide(
        id=row.id,
        name=row.name,
        features=tuple(Feature(feature.id, feature.name, feature.spoils) for feature in row.feature),
        rows=tuple(GuideRow(r.grade, tuple(r.shows), tuple(r.lacks), tuple(r.spoils)) for r in row.row),
        source=file.source,
        on=file.on,
    )
