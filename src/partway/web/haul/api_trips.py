"""The trips of a plan: their map, what rides on each, and setting out on one."""

from __future__ import annotations

from typing import Annotated

from fastapi import Path
from pydantic import Field

from partway.actions.haul.results import HaulResult
from partway.actions.haul.start_haul import accept
from partway.actions.recording.saved import Saved
from partway.ledger import trading
from partway.ledger.fold import standing
from partway.reports.haul.load_sheet import LoadSheet, load_sheet
from partway.reports.haul.plan import Plan
from partway.things.scenario import Scenario
from partway.web.api.bodies import Body
from partway.web.api.problems import may
from partway.web.api.reading import AT_NAME, reads
from partway.web.api.writing import saving, writing
from partway.web.context import At, RequestContext
from partway.web.drawings.route_map import RouteMap, route_map
from partway.web.haul.api_plans import job_of
from partway.web.serving.failures import NotHere

router = reads("plans")
posts = writing("plans")


class AcceptBody(Body):
    """Setting out on a trip."""

    unopened: bool | None = Field(None, description="Set out though finds that it counts on are not opened yet.")


Trip = Annotated[int, Path(ge=1, le=9, description="From 1 on.")]


@router.get("/plan/{job}/map", responses=AT_NAME)
def plan_map(ctx: At, job: str) -> RouteMap | None:
    """The map of a plan's trips on one's own places; null where it drives to fewer than two."""
    return route_map(*_planned(ctx, job))


@router.get("/plan/{job}/load/{trip}", responses=AT_NAME)
def load(ctx: At, job: str, trip: Trip) -> LoadSheet:
    """What rides on one trip, stop by stop as it is handed over."""
    scenario, plan = _planned(ctx, job)
    _check_trip(plan, trip)
    return load_sheet(scenario, plan, trip, standing.bins(ctx.book), trading.buyers(ctx.book))


@posts.post("/plan/{job}/accept/{trip}", responses=may(404))
def accept_trip(ctx: At, job: str, trip: Trip, body: AcceptBody) -> Saved[HaulResult]:
    """Set out on a plan's trip: a haul with its lots. What is still in unopened finds is asked about (`unopened`)."""
    scenario, plan = _planned(ctx, job)
    _check_trip(plan, trip)
    return saving(ctx, lambda: accept(ctx.book, ctx.context(body.on), plan, trip, scenario, body.unopened))


def _planned(ctx: RequestContext, job: str) -> tuple[Scenario, Plan]:
    now = job_of(ctx, job)
    if now.plan is None:
        raise NotHere("a search that has no plan yet", "one that is over", "job")
    return now.scenario, now.plan


def _check_trip(plan: Plan, trip: int) -> None:
    if not any(line.trip == trip for line in plan.trips):
        raise NotHere(f"trip {trip}", "a trip of this plan", "trip")
