"""A plan that is searched for, as it is asked for and as it is sent."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from pydantic import BeforeValidator, Field, ValidationInfo

from partway.actions.plans.jobs import JobNow, State
from partway.actions.plans.jobs_child import Progress, Step
from partway.actions.recording.said_amounts import count_said, hours_said
from partway.reports.haul.plan import Plan
from partway.reports.haul.planned import finite
from partway.web.api.bodies import BodyTable, Line, example, or_words, whole

HOURS_MOST = 8784
WAGE_MOST = 1_000_000
TRIPS_MOST = 9


def _hours(value: object, info: ValidationInfo) -> object:
    return float(hours_said(value, str(info.field_name))) if isinstance(value, str) else value


def _trips(value: object, info: ValidationInfo) -> object:
    return count_said(value, str(info.field_name), least=0) if isinstance(value, str) else whole(value)


Hours = Annotated[float, Field(ge=0, le=HOURS_MOST), BeforeValidator(_hours), or_words("number", 0, HOURS_MOST)]
Trips = Annotated[int, Field(ge=0, le=TRIPS_MOST), BeforeValidator(_trips), or_words("integer", 0, TRIPS_MOST)]
Wage = Annotated[Annotated[float, Field(ge=0, le=WAGE_MOST)] | Line, Field(examples=[12.5, "twelve fifty"])]


class PlanBody(BodyTable, json_schema_extra=example({"bench": 4, "trips": 2})):
    """What a plan from the ledger may use; what is not said is as set in the workspace."""

    bench: Hours | None = Field(None, description="Most hours at the bench.", examples=[4, "two hours"])
    away: Hours | None = Field(None, description="Most hours away.")
    wage: Wage | None = Field(None, description="What an hour is worth.")
    trips: Trips | None = Field(None, description="Most trips.")
    seconds: float = Field(10.0, ge=0.1, le=86_400, description="Search no longer than this.")
    gap: float = Field(1e-6, ge=0, le=1, description="Be content this close to the bound.")
    why: bool = Field(False, description="Defend each line: what the best plan without it loses, and its flip price.")


@dataclass(frozen=True, slots=True)
class SearchNow:
    """The best plan so far, how good any plan may be, how far apart they are, and the seconds it took.

    `bound` and `gap` are null as long as nothing is proven of all plans.
    """

    objective: float
    bound: float | None
    gap: float | None
    seconds: float


@dataclass(frozen=True, slots=True)
class PlanJob:
    """A plan that was asked for. `ahead` go before it; `step` is the line being defended.

    `plan` is there once the state is done, or stopped with something found; `error` says why there is none.
    """

    id: str
    state: State
    ahead: int
    seconds: float
    progress: SearchNow | None
    step: Step | None
    plan: Plan | None
    error: str


def plan_job(now: JobNow) -> PlanJob:
    """A job as it stands."""
    last = _search(now.progress[-1]) if now.progress else None
    return PlanJob(now.id, now.state, now.ahead, now.seconds, last, now.step, now.plan, now.error)


def _search(said: Progress) -> SearchNow:
    return SearchNow(said.objective, finite(said.bound), finite(said.gap), said.seconds)
