"""The tables of the test key, field by field: types and ranges, nothing that takes two tables to see."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Literal

from pydantic import Field

from partway.catalogue.reading.forms import Amount, Chance, Free, Id, Minutes, TableForm, Text

Percent = Annotated[float, Field(ge=0.0, le=100.0)]
Row = Annotated[list[Percent], Field(min_length=2, max_length=20)]
GramsPerCm3 = Annotated[float, Field(gt=0.0, le=25.0)]
Group = Literal["metals", "plastics"]


class EitherForm(TableForm):
    """An entry of `answers`."""

    id: Id
    name: Text


class KeyTestForm(TableForm):
    """[[test]]; what `does` may say leaves out all that could hurt."""

    id: Id
    name: Text
    does: Literal["look", "magnet", "heft", "slide", "scratch", "file", "meter", "tap", "water", "solvent"]
    ask: Text
    answers: list[EitherForm] = Field(default_factory=list)
    minutes: Minutes
    damage: Chance = 0.0
    danger: dict[Id, Amount] = Field(default_factory=dict)
    cautions: list[Id] = Field(default_factory=list)
    needs: dict[Id, Id] = Field(default_factory=dict)
    bars: list[Id] = Field(default_factory=list)
    edges: list[GramsPerCm3] = Field(default_factory=list)
    spread: Chance = 0.0


class MaterialForm(TableForm):
    """[[material]]; a row is in percent, in the order of the test's answers."""

    id: Id
    name: Text
    grades: list[Id] = Field(default_factory=list)
    aside: Free = ""
    density: GramsPerCm3 | None = None
    spread: Annotated[float, Field(gt=0.0, le=0.5)] = 0.02
    cautions: list[Id] = Field(default_factory=list)
    rows: dict[Id, Row]
    source: Id | None = None
    on: dt.date | None = None


class ContextForm(TableForm):
    """[[context]]; `shares` in percent."""

    id: Id
    name: Text
    group: Group
    tests: Annotated[list[Id], Field(min_length=1)]
    weight: Annotated[float, Field(gt=0.0, le=1e6)]
    shares: dict[Id, Percent]
    grades: dict[Id, list[Id]] = Field(default_factory=dict)


class FeatureForm(TableForm):
    """[[guide.feature]]; `spoils` says what to do about one that belongs on no grade."""

    id: Id
    name: Text
    spoils: Free = ""


class GuideRowForm(TableForm):
    """[[guide.row]]."""

    grade: Id
    shows: Annotated[list[Id], Field(min_length=1)]
    lacks: list[Id] = Field(default_factory=list)
    spoils: list[Text] = Field(default_factory=list)


class GuideForm(TableForm):
    """[[guide]]."""

    id: Id
    name: Text
    feature: Annotated[list[FeatureForm], Field(min_length=1)]
    row: Annotated[list[GuideRowForm], Field(min_length=1)]


class NeverForm(TableForm):
    """[[never]]."""

    what: Text
    why: Text


class KeyTestsFile(TableForm):
    """identify/tests.toml."""

    test: list[KeyTestForm]
    never: list[NeverForm]


class MaterialsFile(TableForm):
    """identify/metals.toml and plastics.toml."""

    group: Group
    source: Id
    on: dt.date
    material: list[MaterialForm]


class ContextsFile(TableForm):
    """identify/contexts.toml."""

    source: Id
    on: dt.date
    context: list[ContextForm]


class GuidesFile(TableForm):
    """identify/guides.toml."""

    source: Id
    on: dt.date
    guide: list[GuideForm]
