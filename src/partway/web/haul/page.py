"""Haul: hauls under way, and a plan for the next one: hours, day and vehicle in, a search that can be watched out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.buyers.buyers import number
from partway.actions.haul.scenario import DEFAULTS, Overrides
from partway.actions.plans.jobs import JobNow
from partway.actions.recording import reading
from partway.actions.recording.context import when
from partway.actions.recording.heard import hearing
from partway.actions.recording.said_amounts import count_said, hours_said, kg_said, wage_said
from partway.errors import Refused
from partway.ledger import trading
from partway.quantities import parse_volume, shown
from partway.reports.haul.expected_ticket import HaulLine
from partway.spoken import Hearing
from partway.things.scenario import Scenario
from partway.web.buyers import figures as buyer_figures
from partway.web.context import At, RequestContext
from partway.web.forms import Form, LineField
from partway.web.haul import figures
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form

router = APIRouter()
LANE = "plan"
FEW = 5
HOURS_MOST = Decimal(8784)
WAGE_MOST = Decimal(1_000_000)
TRIPS_MOST = 9


class PlanForm(Form):
    """What a plan is made for. Each is the workspace's own until it is changed here."""

    bench = LineField("Bench hours", "at most", mode="decimal")
    away = LineField("Away hours", "driving, on site", mode="decimal")
    trips = LineField("Trips", "at most", mode="numeric")
    wage = LineField("My hour", "worth at least", mode="decimal")
    on = LineField("Prices as of", "today; or a day such as 2026-03-14")
    payload = LineField("The vehicle carries", "such as 450 kg")
    volume = LineField("It holds", "such as 1800 L; empty: not counted")


@dataclass(frozen=True, kw_only=True)
class HaulsPage(Page):
    """Hauls under way, the form for a plan, plans made lately and hauls gone by."""

    template: ClassVar[str] = "haul/hauls.html"
    place: ClassVar[str] = "haul"
    styles: ClassVar[tuple[str, ...]] = ("haul.css",)
    going: tuple[trading.HaulNow, ...]
    blank: PlanForm
    buyers: dict[str, str]
    visited: int
    plans: tuple[JobNow, ...]
    gone: tuple[HaulLine, ...]


@router.get("/haul")
def hauls_page(ctx: At) -> Response:
    """Where a haul begins."""
    return render(ctx, _page(ctx))


@router.post("/haul")
def plan_it(ctx: At) -> Response:
    """Begin the search; nothing is recorded."""
    form = PlanForm(ctx.typed)

    def act() -> FormSaved:
        scenario = _scenario(ctx, form)
        job = ctx.app.jobs.submit(scenario, lane=LANE, mark=mark(ctx))
        return FormSaved.onward(f"/haul/plan/{job}")

    return save_form(ctx, form, act, lambda: _page(ctx, form), decides=False)


def mark(ctx: RequestContext) -> str:
    """The ledger a plan was made from, to see whether it has changed since."""
    return str(ctx.book.state())


def _page(ctx: RequestContext, form: PlanForm | None = None) -> HaulsPage:
    hauls = figures.hauls(ctx)
    return HaulsPage(
        title="Haul",
        going=tuple(haul for haul in hauls.values() if haul.status == "started"),
        blank=form or PlanForm(None, **_usual(ctx)),
        buyers=buyer_figures.names(ctx),
        visited=sum(terms.kind != "mail-in" and bool(terms.km or terms.at) for terms in ctx.buyers.values()),
        plans=ctx.app.jobs.recent(LANE, FEW),
        gone=figures.gone(ctx, FEW),
    )


def _usual(ctx: RequestContext) -> dict[str, str]:
    """What a plan is made for unless something else is typed."""
    known = {**DEFAULTS, **ctx.settings}
    names = ("bench", "away", "trips", "wage", "payload", "volume")
    return {name: known.get(name, "") for name in names} | {"on": ctx.today.isoformat()}


def _scenario(ctx: RequestContext, form: PlanForm) -> Scenario:
    """From the ledger, with what was changed on the form. Raises Refused."""
    usual = _usual(ctx)
    fields = (form.bench, form.away, form.trips, form.wage, form.payload, form.volume)
    changed = {f.name: f.text for f in fields if f.text not in {"", usual[f.name]}}

    def amount(name: str, most: Decimal, said: Callable[[str, str, Hearing], Decimal]) -> float | None:
        if name not in changed:
            return None
        return float(number(str(said(changed[name], name, hearing(ctx.book))), name, most))

    def size(name: str) -> str:
        return reading.pointed(ctx.book, changed[name], name)

    def payload() -> float:
        return float(kg_said(size("payload"), "payload", positive=True, hearing=hearing(ctx.book)))

    given = Overrides(
        bench=amount("bench", HOURS_MOST, hours_said),
        away=amount("away", HOURS_MOST, hours_said),
        wage=amount("wage", WAGE_MOST, wage_said),
        trips=_trips(changed["trips"]) if "trips" in changed else None,
        payload_kg=float(kg_said(size("payload"), "payload", positive=True, hearing=hearing(ctx.book)))
        if "payload" in changed
        else None,
        volume_l=float(parse_volume(size("volume"), "volume", positive=True)) if "volume" in changed else None,
    )
    day = _day(ctx, form.on.text)
    return figures.to_plan(ctx, day, given)


def _trips(text: str) -> int:
    trips = count_said(text, "trips", least=0)
    if trips > TRIPS_MOST:
        raise Refused(shown(text), f"a whole number from 0 to {TRIPS_MOST}", "trips")
    return trips


def _day(ctx: RequestContext, text: str) -> dt.date:
    return when(text, ctx.now, "on").date() if text else ctx.today
