"""The bench: what waits, best hour first, cut at the hours one has."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.bench.benching import hours_given
from partway.errors import Refused
from partway.ledger.fold.standing import FindNow
from partway.reports.bench.offers import offer_words
from partway.reports.bench.queue import Queue
from partway.web.bench import figures
from partway.web.context import At, RequestContext
from partway.web.forms import Form, LineField, Typed
from partway.web.pages import Page, render
from partway.web.wording import by_itself

router = APIRouter()
SHOWN = 5  # lines of each group, until all are asked for
PICKS = ("1", "2", "4", "6", "8")


class BenchHoursForm(Form):
    """The hours there are."""

    hours = LineField("Hours at the bench", mode="decimal")


@dataclass(frozen=True, kw_only=True)
class QueuePage(Page):
    """The queue; `queue` is None where it cannot be reckoned: `problem` says why, `waiting` are then all finds.
    `offers` has the find of each listing and what to do with it.
    """

    template: ClassVar[str] = "bench/queue.html"
    place: ClassVar[str] = "bench"
    styles: ClassVar[tuple[str, ...]] = ("bench.css",)
    queue: Queue | None
    form: BenchHoursForm
    picks: tuple[str, ...]
    most: int
    all_shown: bool
    waiting: tuple[FindNow, ...]
    offers: tuple[tuple[str, str], ...]


def _queue(ctx: RequestContext, form: BenchHoursForm) -> Queue | None:
    try:
        hours = hours_given(form.hours.text)
    except Refused as refused:
        form.refuse(refused)
        hours = None
    try:
        return figures.queue(ctx, hours)
    except Refused as refused:
        form.problem = by_itself(refused)
        return None


def _offers(ctx: RequestContext) -> tuple[tuple[str, str], ...]:
    """What is on offer: its find, and what to do with it in words."""
    return tuple((one.find, offer_words(one, ctx.show.money)) for one in figures.offers(ctx, ctx.today).offers)


@router.get("/bench")
def queue_page(ctx: At) -> Response:
    """The queue within the hours asked for, or set."""
    asked = ctx.request.query_params
    form = BenchHoursForm(Typed([("hours", asked["hours"])]) if "hours" in asked else None)
    form.validate()
    found = _queue(ctx, form)
    if found is not None and not form.hours.text:
        form.hours.data = ctx.show.number(found.hours, 0 if found.hours == int(found.hours) else 2)
    every = asked.get("all") == "yes"
    page = QueuePage(
        title="Bench",
        queue=found,
        form=form,
        picks=PICKS,
        most=10**6 if every else SHOWN,
        all_shown=every,
        waiting=() if found else tuple(ctx.finds.values()),
        offers=_offers(ctx) if found else (),
    )
    return render(ctx, page, 422 if form.wrong else 200)
