"""A plan that is searched for, and the plan: watched, stopped, defended line by line, changed by sliders, accepted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import JSONResponse, Response

from partway.actions.haul.promised import with_bins_alone
from partway.actions.haul.start_haul import accept
from partway.actions.plans.jobs import JobNow
from partway.actions.plans.what_if import SliderTexts, SliderValues, what_if
from partway.catalogue.cards import CautionCard
from partway.errors import Refused
from partway.ledger import trading
from partway.reports.haul.changes import PlanChanges, changes
from partway.reports.haul.doubts import in_full
from partway.reports.haul.load_sheet import LoadSheet, load_sheet, to_come
from partway.reports.haul.plan import Plan
from partway.reports.haul.plan_lines import OpenLine, PartLine, SaleLine, Why
from partway.things.scenario import Scenario
from partway.web.buyers import figures as buyer_figures
from partway.web.context import At, RequestContext
from partway.web.drawings.route_map import RouteMap, route_map
from partway.web.forms import Form
from partway.web.haul import figures
from partway.web.haul.page import LANE, mark
from partway.web.haul.plans_names import PlanNames
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form
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
    stop: Form


@dataclass(frozen=True, kw_only=True)
class NoPlanPage(Page):
    """A search that came to no plan."""

    template: ClassVar[str] = "haul/none.html"
    place: ClassVar[str] = "haul"
    job: JobNow


@dataclass(frozen=True, kw_only=True)
class PlanPage(Page):
    """A checked plan. `lines` are openings, `whys` defended lines, by number; `stale` where the ledger has changed.

    `doubts` are sentences of why it is not called the best. `coming` is what a trip counts on that is in no bin yet, by
    trip; `benches` has a find to open for the first line of each sort, `first_to_open` the one that pays best.
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
    buyers: dict[str, str]
    coming: dict[int, tuple[tuple[str, float], ...]]
    benches: dict[int, str]
    first_to_open: str
    form: Form


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
    asked: SliderValues
    problem: str
    other: JobNow | None
    said: dict[str, str]
    found: PlanChanges | None


@router.get("/haul/plan/{job}")
def plan_page(ctx: At, job: str) -> Response:
    """The search, or the plan it came to."""
    now = _job(ctx, job)
    if not now.over:
        return render(ctx, SearchPage(title="Planning", job=now, said=said_of(ctx, now), stop=Form()))
    if now.plan is None:
        return render(ctx, NoPlanPage(title="No plan", job=now))
    return render(ctx, _plan_page(ctx, now, now.plan))


@router.get("/haul/plan/{job}/now")
def progress(ctx: At, job: str) -> Response:
    """How far the search is, for the page that watches it."""
    now = _job(ctx, job)
    return JSONResponse({"over": now.over, "said": said_of(ctx, now)}, headers={"cache-control": "no-store"})


@router.post("/haul/plan/{job}/stop")
def stop(ctx: At, job: str) -> Response:
    """Leave it with the best plan so far."""
    form = Form(ctx.typed)

    def act() -> FormSaved:
        _job(ctx, job)
        ctx.app.jobs.stop(job)
        return FormSaved.onward(f"/haul/plan/{job}")

    def again() -> SearchPage:
        now = _job(ctx, job)
        return SearchPage(title="Planning", job=now, said=said_of(ctx, now), stop=form)

    return save_form(ctx, form, act, again, decides=False)


@router.post("/haul/plan/{job}/why")
def why(ctx: At, job: str) -> Response:
    """Defend every line: a search of its own."""
    now, plan = _with_plan(ctx, job)
    form = Form(ctx.typed)

    def act() -> FormSaved:
        jobs = ctx.app.jobs
        defence = jobs.submit(now.scenario, now.limits, why=True, lane="why", mark=now.mark)
        return FormSaved.onward(f"/haul/plan/{defence}")

    return save_form(ctx, form, act, lambda: _plan_page(ctx, now, plan, form), decides=False)


@router.post("/haul/plan/{job}/accept/{trip}")
def accept_trip(ctx: At, job: str, trip: int) -> Response:
    """Set out on one of the plan's trips."""
    now, plan = _with_plan(ctx, job)
    form = Form(ctx.typed)

    def act() -> FormSaved:
        recorded = accept(ctx.book, ctx.context(), plan, trip, now.scenario, form.agreed("unopened"))
        return FormSaved.of(ctx, recorded, f"/haul/{recorded.result.haul}")

    return save_form(ctx, form, act, lambda: _plan_page(ctx, now, plan, form))


@router.post("/haul/plan/{job}/bins")
def plan_with_bins(ctx: At, job: str) -> Response:
    """The same once more with what is in the bins alone: a search of its own. Nothing is recorded."""
    now, plan = _with_plan(ctx, job)
    form = Form(ctx.typed)

    def act() -> FormSaved:
        again = ctx.app.jobs.submit(with_bins_alone(now.scenario), now.limits, lane=LANE, mark=now.mark)
        return FormSaved.onward(f"/haul/plan/{again}")

    return save_form(ctx, form, act, lambda: _plan_page(ctx, now, plan, form), decides=False)


@router.get("/haul/load/{job}/{trip}")
def load_page(ctx: At, job: str, trip: int) -> Response:
    """What rides on one trip."""
    now, sheet = sheet_of(ctx, job, trip)
    return render(ctx, LoadPage(title=f"Load {trip}" if sheet.trips > 1 else "The load", job=now, sheet=sheet))


def sheet_of(ctx: RequestContext, job: str, trip: int) -> tuple[JobNow, LoadSheet]:
    """A search that is over, and the sheet of one of its trips. Raises NotHere."""
    now, plan = _with_plan(ctx, job)
    if not any(line.trip == trip for line in plan.trips):
        raise NotHere(f"trip {trip}", "a trip of this plan", "trip")
    return now, _sheet(ctx, now.scenario, plan, trip)


@router.get("/haul/plan/{job}/if")
def what_if_page(
    ctx: At,
    job: str,
    bench: str = "",
    away: str = "",
    wage: str = "",
    lot: str = "",
    was: str = "",
    price: str = "",
) -> Response:
    """Move a slider and see what would be done instead. Nothing is recorded."""
    now, plan = _with_plan(ctx, job)
    problem, other = "", None
    try:
        asked = what_if(now.scenario, plan, SliderTexts(bench, away, wage, lot, was, price))
        if asked.changed:
            jobs = ctx.app.jobs
            other = jobs.now(jobs.submit(asked.scenario, now.limits, lane="what-if", mark=now.mark))
    except Refused as refused:
        problem, asked = beside_field(refused), what_if(now.scenario, plan, SliderTexts())
    page = IfPage(
        title="What if",
        job=now,
        names=PlanNames(now.scenario),
        asked=asked,
        problem=problem,
        other=other,
        said={} if other is None else said_of(ctx, other),
        found=changes(plan, other.plan) if other is not None and other.plan is not None else None,
    )
    return render(ctx, page, 422 if problem else 200)


def said_of(ctx: RequestContext, job: JobNow) -> dict[str, str]:
    """A search in words: what it does, its best plan so far, what none is worth more than, and since when."""
    best = job.progress[-1] if job.progress else None
    show = ctx.show
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


def _job(ctx: RequestContext, job: str) -> JobNow:
    try:
        return ctx.app.jobs.now(job)
    except Refused as refused:
        raise NotHere(refused.given, refused.expected, refused.where) from None


def _with_plan(ctx: RequestContext, job: str) -> tuple[JobNow, Plan]:
    now = _job(ctx, job)
    if now.plan is None:
        raise NotHere("a search that has no plan yet", "one that is over", "plan")
    return now, now.plan


def _sheet(ctx: RequestContext, scenario: Scenario, plan: Plan, trip: int) -> LoadSheet:
    bins = ctx.bins
    cards = ctx.buyers
    return load_sheet(scenario, plan, trip, bins, cards)


def _to_open(ctx: RequestContext, plan: Plan) -> Iterator[tuple[int, str]]:
    """A find of each sort that the plan opens, by the number of the first line."""
    for line in plan.finds:
        alike = [now.id for now in ctx.finds.values() if (now.kind, now.works) == (line.kind, line.works)]
        if line.open and alike:
            yield line.open[0], alike[0]


def _plan_page(ctx: RequestContext, job: JobNow, plan: Plan, form: Form | None = None) -> PlanPage:
    defended: tuple[OpenLine | PartLine | SaleLine, ...] = (*plan.open, *plan.parts, *plan.sales)
    hauls, benches = figures.hauls(ctx), dict(_to_open(ctx, plan))
    return PlanPage(
        title="The plan",
        job=job,
        plan=plan,
        names=PlanNames(job.scenario),
        stale=job.mark != mark(ctx),
        loud=plan.cautions[:LOUD],
        quiet=plan.cautions[LOUD:],
        doubts=in_full(plan.doubts),
        map=route_map(job.scenario, plan),
        sheets=tuple(_sheet(ctx, job.scenario, plan, trip.trip) for trip in plan.trips),
        mailed=tuple(line for line in plan.sales if line.trip is None),
        lines={line.line: line for line in plan.open},
        whys={line.line: line.why for line in defended if line.why is not None},
        going=tuple(haul for haul in hauls.values() if haul.status == "started"),
        buyers=buyer_figures.names(ctx),
        coming={trip.trip: tuple(to_come(plan, trip.trip, ctx.bins).items()) for trip in plan.trips},
        benches=benches,
        first_to_open=next(iter(benches.values()), ""),
        form=form or Form(),
    )
