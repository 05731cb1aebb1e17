"""Plans, which take a while: asked for, watched, stopped; and how far to open one find."""

from __future__ import annotations

import secrets
import tomllib
from typing import Annotated, Any, Literal

from fastapi import Body as Sent
from fastapi import Query, Response

from partway.actions.bench.depths import depth as report_depth
from partway.actions.haul.promised import scenario_to_plan
from partway.actions.haul.scenario import Overrides, scenario_from_book
from partway.actions.plans.jobs import JobNow
from partway.actions.plans.plan import Limits
from partway.actions.recording.heard import hearing
from partway.actions.recording.said_amounts import kg_said, wage_said
from partway.errors import Refused
from partway.quantities import shown
from partway.reports.bench.depth import Depth
from partway.storage.scenario.scenario import read_scenario_json
from partway.storage.scenario.write import scenario_text
from partway.things.scenario import Scenario
from partway.web.api.bodies import LINE
from partway.web.api.problems import NAMED, may
from partway.web.api.reading import AT_NAME, reads
from partway.web.api.writing import writing
from partway.web.context import At, RequestContext
from partway.web.haul.jobs import WAGE_MOST, PlanBody, PlanJob, plan_job
from partway.web.serving.failures import NotHere

router = reads("plans")
posts = writing("plans")

SCENARIO = {"schema": {"$ref": "#/components/schemas/Scenario"}}
STARTED: dict[int | str, dict[str, Any]] = {
    202: {
        "description": "It is searched for.",
        "headers": {"Location": {"description": "Where it is watched.", "schema": {"type": "string"}}},
    }
}
Document = Annotated[dict[str, Any], Sent(description="A scenario file as JSON; its days are text.")]
Seconds = Annotated[float, Query(ge=0.1, le=86_400, description="Search no longer than this.")]
Gap = Annotated[float, Query(ge=0, le=1, description="Be content this close to the bound.")]
Why = Annotated[bool, Query(description="Defend each line.")]
Kind = Annotated[str, Query(max_length=LINE, description="What it is.", examples=["bread-machine"])]
Works = Annotated[Literal["yes", "no", "unknown"] | None, Query(description="Does it work; default the find's own.")]
Mass = Annotated[str | None, Query(max_length=LINE, description="What it weighs, such as 5.2 kg.")]


@posts.post("/plan", status_code=202, responses=STARTED)
def start_plan(ctx: At, body: PlanBody, answer: Response) -> PlanJob:
    """Plan from the ledger: what to open and how deep, what to haul where, what to keep."""
    said = Overrides(body.bench, body.away, _wage(ctx, body), body.trips)
    scenario = scenario_to_plan(ctx.book, ctx.today, said, ctx.now.tzinfo)
    return _started(ctx, scenario, Limits(body.seconds, body.gap), body.why, answer)


@posts.post(
    "/plan/scenario",
    status_code=202,
    responses=STARTED,
    openapi_extra={"requestBody": {"content": {"application/json": SCENARIO}}},
)
def start_plan_of_scenario(
    ctx: At, document: Document, answer: Response, seconds: Seconds = 10.0, gap: Gap = 1e-6, why: Why = False
) -> PlanJob:
    """Plan a scenario that is sent; the ledger has no part in it."""
    return _started(ctx, read_scenario_json(document, "body"), Limits(seconds, gap), why, answer)


@router.get("/plan/{job}", responses=AT_NAME)
def watch_plan(ctx: At, job: str) -> PlanJob:
    """A plan that was asked for: how far the search is, and the checked plan once there is one."""
    return plan_job(job_of(ctx, job))


@router.delete("/plan/{job}", responses=may(*NAMED, 403), status_code=202)
def stop_plan(ctx: At, job: str) -> PlanJob:
    """Leave the search with the best plan so far, checked as any other. Nothing happens to one that is over."""
    job_of(ctx, job)
    ctx.app.jobs.stop(job)
    return plan_job(job_of(ctx, job))


@router.get(
    "/scenario", responses={200: {"description": "A scenario file as JSON.", "content": {"application/json": SCENARIO}}}
)
def scenario(ctx: At) -> dict[str, Any]:
    """The scenario that a plan from the ledger is made of, as /api/plan/scenario takes it."""
    return tomllib.loads(scenario_text(scenario_to_plan(ctx.book, ctx.today, zone=ctx.now.tzinfo)))


@router.get("/depth")
def depth(ctx: At, kind: Kind, works: Works = None, mass: Mass = None) -> Depth:
    """How far to open one find of a kind at today's prices, and the wage and price at which that changes."""
    return _depth(scenario_from_book(ctx.book, ctx.today), kind, works, mass)


@posts.post("/depth/scenario", openapi_extra={"requestBody": {"content": {"application/json": SCENARIO}}})
def depth_in_scenario(document: Document, kind: Kind, works: Works = None, mass: Mass = None) -> Depth:
    """How far to open one find at the prices of a scenario that is sent."""
    return _depth(read_scenario_json(document, "body"), kind, works, mass)


def _wage(ctx: RequestContext, body: PlanBody) -> float | None:
    """What an hour is worth, in the money of the workspace. Raises Refused."""
    if not isinstance(body.wage, str):
        return body.wage
    wage = wage_said(body.wage, "wage", hearing(ctx.book))
    if not 0 <= wage <= WAGE_MOST:
        raise Refused(shown(body.wage), f"an amount from 0 to {WAGE_MOST:,}", "wage")
    return float(wage)


def _depth(scenario: Scenario, kind: str, works: Works, mass: str | None) -> Depth:
    kg = None if mass is None else float(kg_said(mass, "mass", positive=True))
    return report_depth(scenario, kind, works, kg)


def _started(ctx: RequestContext, scenario: Scenario, limits: Limits, why: bool, answer: Response) -> PlanJob:
    """A lane of its own: none takes another's place."""
    job = ctx.app.jobs.submit(scenario, limits, why=why, lane=f"api {secrets.token_hex(4)}")
    answer.headers["location"] = f"/api/plan/{job}"
    return plan_job(ctx.app.jobs.now(job))


def job_of(ctx: RequestContext, job: str) -> JobNow:
    """A plan that was asked for. Raises NotHere."""
    try:
        return ctx.app.jobs.now(job)
    except Refused as refused:
        raise NotHere(refused.given, refused.expected, refused.where) from None
