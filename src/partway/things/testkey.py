"""The test key: what a piece may be made of, and the tests that tell materials apart at the bench."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from partway.things.estimate import Estimate

# Everything a test may do to a piece. What hurts is not among them: no acid, no flame, no sparks, no breaking.
Doing = Literal["look", "magnet", "heft", "slide", "scratch", "file", "meter", "tap", "water", "solvent"]
Group = Literal["metals", "plastics"]


@dataclass(frozen=True, slots=True)
class KeyTest:
    """One test. `answers` are ids with what they mean; a test without any is answered by a density in g/cm3.

    `needs` are the answers that must be there first (the stated dependence: a magnet's drag says something only where
    the magnet does not stick). `bars` are materials that this test must not be tried on: it is not proposed before an
    answer has ruled each of them out. `damage` is the share of a piece's money it costs; `danger` what it costs, in kg
    of No. 2 copper, where the piece turns out to be that material. `edges` (densities) and `spread` (of their
    logarithm) say how a hand judges weight; a density measured without a range is taken to be off by `spread`.
    """

    id: str
    name: str
    does: Doing
    ask: str
    answers: tuple[tuple[str, str], ...]
    minutes: Estimate
    damage: float = 0.0
    danger: Mapping[str, float] = field(default_factory=dict)
    cautions: tuple[str, ...] = ()
    needs: Mapping[str, str] = field(default_factory=dict)
    bars: tuple[str, ...] = ()
    edges: tuple[float, ...] = ()
    spread: float = 0.0

    @property
    def measures(self) -> bool:
        """Whether its answer is a number."""
        return not self.answers


@dataclass(frozen=True, slots=True)
class Material:
    """What a piece may be made of. `rows` has, by test, the share of pieces that give each answer.

    `grades` are those it qualifies for, best first; none where no grade of the catalogue takes it, `aside` then says
    what to do. `density` is in g/cm3, `spread` its standard deviation between pieces as a share of it.
    """

    id: str
    name: str
    group: Group
    rows: Mapping[str, tuple[float, ...]]
    grades: tuple[str, ...] = ()
    density: float | None = None
    spread: float = 0.02
    aside: str = ""
    cautions: tuple[str, ...] = ()
    source: str = "memory"
    on: dt.date | None = None


@dataclass(frozen=True, slots=True)
class KeyContext:
    """Where a piece comes from. `shares` of 1 by material; they weigh as much as `weight` confirmed pieces.

    `tests` are those that make sense here, in the fixed order of cost and damage; `grades` override a material's own.
    """

    id: str
    name: str
    group: Group
    tests: tuple[str, ...]
    shares: Mapping[str, float]
    weight: float
    grades: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    source: str = "memory"
    on: dt.date | None = None


@dataclass(frozen=True, slots=True)
class Feature:
    """Something to see on a board or a wire; `spoils` says what to do where it takes any grade down."""

    id: str
    name: str
    spoils: str = ""


@dataclass(frozen=True, slots=True)
class GuideRow:
    """A grade by what is seen: all of `shows`, one at least, and none of `lacks`; `spoils` is what takes it down."""

    grade: str
    shows: tuple[str, ...]
    lacks: tuple[str, ...] = ()
    spoils: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Guide:
    """From visible features to a grade."""

    id: str
    name: str
    features: tuple[Feature, ...]
    rows: tuple[GuideRow, ...]
    source: str = "memory"
    on: dt.date | None = None


@dataclass(frozen=True, slots=True)
class Never:
    """What is never done to find out, and why."""

    what: str
    why: str


@dataclass(frozen=True, slots=True)
class MaterialKey:
    """All of it, by id. Tests stand in the fixed order of cost and damage."""

    tests: Mapping[str, KeyTest]
    materials: Mapping[str, Material]
    contexts: Mapping[str, KeyContext]
    guides: Mapping[str, Guide]
    never: tuple[Never, ...]
