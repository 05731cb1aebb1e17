"""Reading what ships with partway and what is set: kinds, grades, cautions, settings, schemas."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Literal

from fastapi import Path, Query

from partway.actions.home.settings import SETTINGS
from partway.catalogue import shipped
from partway.reports.what.caution_cards import CautionReport, places_of, report_caution
from partway.storage.scenario.scenario import scenario_schema
from partway.storage.schemas import report_schema
from partway.things.anatomy import Anatomy
from partway.things.material import Caution, Grade
from partway.web.api.bodies import LINE
from partway.web.api.reading import AT_NAME, named, reads
from partway.web.context import At

router = reads("catalogue")

Kind = Annotated[str, Path(examples=["microwave"])]
OneGrade = Annotated[str, Path(examples=["copper-2"])]
OneCaution = Annotated[str, Path(examples=["mains"])]


@dataclass(frozen=True, slots=True)
class KindLine:
    """A kind of finds by its names."""

    kind: str
    name: str
    family: str


@dataclass(frozen=True, slots=True)
class Setting:
    """A setting; `value` is null where it is not set."""

    name: str
    what: str
    value: str | None


@router.get("/kinds")
def kinds(ctx: At) -> tuple[KindLine, ...]:
    """The kinds of finds partway knows."""
    return tuple(KindLine(one.kind, one.name, one.family) for one in ctx.catalogue.all_anatomies())


@router.get("/kinds/{kind}", responses=AT_NAME)
def one_kind(ctx: At, kind: Kind) -> Anatomy:
    """How a kind comes apart: its pieces, what they sell as, the operations that open them."""
    known = ctx.catalogue
    return known.anatomy(kind if known.knows(kind) else named({name: name for name in known.kinds}, kind, "kind"))


@router.get("/grades")
def grades(
    family: Annotated[str, Query(max_length=LINE, description="Of this family only, such as copper.")] = "",
) -> tuple[Grade, ...]:
    """The grades buyers price: what qualifies, what spoils it, what it may be sold as instead."""
    return tuple(grade for grade in shipped().grades.values() if family in {"", grade.family})


@router.get("/grades/{grade}", responses=AT_NAME)
def one_grade(grade: OneGrade) -> Grade:
    """One grade."""
    return named(shipped().grades, grade, "grade")


@router.get("/cautions")
def cautions() -> tuple[Caution, ...]:
    """What can hurt, what comes first, who is licensed to do it. Check your local code."""
    return tuple(shipped().cautions.values())


@router.get("/cautions/{caution}", responses=AT_NAME)
def one_caution(ctx: At, caution: OneCaution) -> CautionReport:
    """One hazard with what single places say, and every kind, piece, operation, grade and calculator that has it."""
    hazard = named(shipped().cautions, caution, "caution").id
    return report_caution(ctx.catalogue, hazard, places_of(ctx.book))


@router.get("/settings")
def settings(ctx: At) -> tuple[Setting, ...]:
    """The settings of the workspace."""
    now = ctx.settings
    return tuple(Setting(name, what, now.get(name)) for name, (what, _) in SETTINGS.items())


@router.get("/schema/{what}")
def schema(what: Literal["scenario", "plan", "depth"]) -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of a scenario file, a plan or a depth report."""
    return scenario_schema() if what == "scenario" else report_schema(what)
