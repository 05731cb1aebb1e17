"""A plan that is searched for, and the plan: watched, stopped, defended line by line, changed by sliders, accepted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import JSONResponse, Response

from partway.actions.haul.start_haul import accept
from partway.actions.plans.jobs import JobNow
from partway.actions.plans.what_if import Asked, Given, what_if
from partway.catalogue.cards import CautionCard
from partway.errors import Refused
from partway.ledger import trading
from partway.reports.haul.changes import PlanChanges, changes
from partway.reports.haul.doubts import in_full
from partway.reports.haul.load_sheet import LoadSheet, load_sheet
from partway.reports.haul.plan import Plan
from partway.reports.haul.plan_lines import OpenLine, PartLine, SaleLine, Why
from partway.things.scenario import Scenario
from partway.web.blanks import Blank
from partway.web.desk import At, Desk
from partway.web.drawings.route_map import RouteMap, route_map
from partway.web.haul import figures
from partway.web.haul.page import mark
from partway.web.haul.plans_names import PlanNames
from partway.web.pages import Page, render
from partway.web.posting import Done, submit
from partway.web.serving.failures import NotHere
from partway.web.wording import beside_field

router = APIRouter()
LOUD = 3  # cautions that are written out before the rest is folded away


@dataclass(frozen=True, kw_only=True)
class SearchPage(Page):
    """A search under way: the best plan so far, and how much better one could be."""

    template: ClassVar[str] = "haul/search.html"
    place: ClassVar[str] = "haul"
    styles: ClassVar[tuple[str, ...]] = ("haul.css",)
    scripts: ClassVar[tuple[str, ...]] = ("haul.js",)
    job: JobNow
    said: dict[str, str]
    stop: Blank


@dataclass(frozen=True, kw_only=True)
class NoPlanPage(Page):
    """A search that came to no plan."""

    template: ClassVar[str] = "haul/none.html"
    place: ClassVar[str] = "haul"
    job: JobNow


@dataclass(frozen=True, kw_only=True)
class PlanPage(Page):
    """A checked plan. `lines` are openings, `whys` defended lines, by number; `stale` where the ledger has changed.

    `doubts` are sentences of why it is not called the best.
    """

    template: ClassVar[str] = "haul/plan.html"
    place: ClassVar[str] = "haul"
    styles: ClassVar[tuple[str, ...]] = ("haul.css",)
    job: JobNow
    plan: Plan
    names: PlanNames
    stale: bool
    loud: tuple[CautionCard, ...]
    quiet: tuple[CautionCard, ...]
    doubts: tuple[str, ...]
    map: RouteMap | None
    sheets: tuple[LoadSheet, ...]
    mailed: tuple[SaleLine, ...]
    lines: dict[int, OpenLine]
    whys: dict[int, Why]
    going: tuple[trading.HaulNow, ...]
    form: Blank


@dataclass(frozen=True, kw_only=True)
class LoadPage(Page):
    """The sheet of one trip, to print and take along."""

    template: ClassVar[str] = "haul/load.html"
    place: ClassVar[str] = "haul"
    styles: ClassVar[tuple[str, ...]] = ("haul.css",)
    job: JobNow
    sheet: LoadSheet


@dataclass(frozen=True, kw_only=True)
class IfPage(Page):
    """Sliders, and what the plan they make does differently. `other` is its search, None while nothing was moved."""

    template: ClassVar[str] = "haul/if.html"
    place: ClassVar[str] = "haul"
    styles: ClassVar[tuple[str, ...]] = ("haul.css",)
    scripts: ClassVar[tuple[str, ...]] = ("haul.js",)
    job: JobNow
    names: PlanNames
    asked: Asked
    problem: str
    other: JobNow | None
    said: dict[str, str]
    found: PlanChanges | None


@router.get("/haul/plan/{job}")
def plan_page(desk: At, job: str) -> Response:
    """The search, or the plan it came to."""
    now = _job(desk, job)
    if not now.over:
        return render(desk, SearchPage(title="Planning", job=now, said=said_of(desk, now), stop=Blank()))
    if now.plan is None:
        return render(desk, NoPlanPage(title="No plan", job=now))
    return render(desk, _plan_page(desk, now, now.plan))


@router.get("/haul/plan/{job}/now")
def progress(desk: At, job: str) -> Response:
    """How far the search is, for the page that watches it."""
    now = _job(desk, job)
    return JSONResponse({"over": now.over, "said": said_of(desk, now)}, headers={"cache-control": "no-store"})


@router.post("/haul/plan/{job}/stop")
def stop(desk: At, job: str) -> Response:
    """Leave it with the best plan so far."""
    form = Blank(desk.typed)

    def act() -> Done:
        _job(desk, job)
        desk.shop.jobs.stop(job)
        return Done((), (), f"/haul/plan/{job}")

    def again() -> SearchPage:
        now = _job(desk, job)
        return SearchPage(title="Planning", job=now, said=said_of(desk, now), stop=form)

    return submit(desk, form, act, again, decides=False)


@router.post("/haul/plan/{job}/why")
def why(desk: At, job: str) -> Response:
    """Defend every line: a search of its own."""
    now, plan = _with_plan(desk, job)
    form = Blank(desk.typed)

    def act() -> Done:
        jobs = desk.shop.jobs
        defence = jobs.submit(now.scenario, now.limits, why=True, lane="why", mark=now.mark)
        return Done((), (), f"/haul/plan/{defence}")

    return submit(desk, form, act, lambda: _plan_page(desk, now, plan, form), decides=False)


@router.post("/haul/plan/{job}/accept/{trip}")
def accept_trip(desk: At, job: str, trip: int) -> Response:
    """Set out on one of the plan's trips."""
    now, plan = _with_plan(desk, job)
    form = Blank(desk.typed)

    def act() -> Done:
        recorded = accept(desk.book, desk.context(), plan, trip, now.scenario.unit)
        return Done.of(desk, recorded, f"/haul/{recorded.result.haul}")

    return submit(desk, form, act, lambda: _plan_page(desk, now, plan, form))


@router.get("/haul/load/{job}/{trip}")
def load_page(desk: At, job: str, trip: int) -> Response:
    """What rides on one trip."""
    now, plan = _with_plan(desk, job)
    if not any(line.trip == trip for line in plan.trips):
        raise NotHere(f"trip {trip}", "a trip of this plan", "trip")
    sheet = _sheet(desk, now.scenario, plan, trip)
    return render(desk, LoadPage(title=f"Load {trip}" if sheet.trips > 1 else "The load", job=now, sheet=sheet))


@router.get("/haul/plan/{job}/if")
def what_if_page(
    desk: At,
    job: str,
    bench: str = "",
    away: str = "",
    wage: str = "",
    lot: str = "",
    was: str = "",
    price: str = "",
) -> Response:
    """Move a slider and see what would be done instead. Nothing is recorded."""
    now, plan = _with_plan(desk, job)
    problem, other = "", None
    try:
        asked = what_if(now.scenario, plan, Given(bench, away, wage, lot, was, price))
        if asked.changed:
            jobs = desk.shop.jobs
            other = jobs.now(jobs.submit(asked.scenario, now.limits, lane="what-if", mark=now.mark))
    except Refused as refused:
        problem, asked = beside_field(refused), what_if(now.scenario, plan, Given())
    page = IfPage(
        title="What if",
        job=now,
        names=PlanNames(now.scenario),
        asked=asked,
        problem=problem,
        other=other,
        said={} if other is None else said_of(desk, other),
        found=changes(plan, other.plan) if other is not None and other.plan is not None else None,
    )
    return render(desk, page, 422 if problem else 200)


def said_of(desk: Desk, job: JobNow) -> dict[str, str]:
    """A search in words: what it does, its best plan so far, what none is worth more than, and since when."""
    best = job.progress[-1] if job.progress else None
    show = desk.show
    return {
        "state": _state(job),
        "best": "none yet" if best is None else show.money(best.objective),
        "bound": "not known yet" if best is None or best.bound == float("inf") else show.money(best.bound),
        "gap": "not known yet" if best is None or best.bound == float("inf") else show.percent(best.gap),
        "seconds": f"{show.number(job.seconds, 1)} s",
    }


def _state(job: JobNow) -> str:
    if job.state == "waiting":
        return f"Waiting for {job.ahead} before it"
    if job.state == "stopping":
        return "Stopping: the best plan so far is being checked"
    if job.step is not None:
        return f"Defending line {job.step.n} of {job.step.of}"
    return "Looking for a better plan" if job.progress else "Looking for a first plan"


def _job(desk: Desk, job: str) -> JobNow:
    try:
        return desk.shop.jobs.now(job)
    except Refused as refused:
        raise NotHere(refused.given, refused.expected, refused.where) from None


def _with_plan(desk: Desk, job: str) -> tuple[JobNow, Plan]:
    now = _job(desk, job)
    if now.plan is None:
        raise NotHere("a search that has no plan yet", "one that is over", "plan")
    return now, now.plan


def _sheet(desk: Desk, scenario: Scenario, plan: Plan, trip: int) -> LoadSheet:
    bins = desk.bins
    cards = desk.buyers
    return load_sheet(scenario, plan, trip, bins, cards)


def _plan_page(desk: Desk, job: JobNow, plan: Plan, form: Blank | None = None) -> PlanPage:
    defended: tuple[OpenLine | PartLine | SaleLine, ...] = (*plan.open, *plan.parts, *plan.sales)
    hauls = figures.hauls(desk)
    return PlanPage(
        title="The plan",
        job=job,
        plan=plan,
        names=PlanNames(job.scenario),
        stale=job.mark != mark(desk),
        loud=plan.cautions[:LOUD],
        quiet=plan.cautions[LOUD:],
        doubts=in_full(plan.doubts),
        map=route_map(job.scenario, plan),
        sheets=tuple(_sheet(desk, job.scenario, plan, trip.trip) for trip in plan.trips),
        mailed=tuple(line for line in plan.sales if line.trip is None),
        lines={line.line: line for line in plan.open},
        whys={line.line: line.why for line in defended if line.why is not None},
        going=tuple(haul for haul in hauls.values() if haul.status == "started"),
        form=form or Blank(),
    )
