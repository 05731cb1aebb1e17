"""Rounds: set out, come home, which to go on next; and which of the things in sight to lift first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.curb.in_sight import REASONS, SCARCE, in_sight, room_left, things_seen
from partway.actions.curb.round_report import Rounds
from partway.actions.curb.rounds import end_round, past_round, start_round
from partway.actions.recording.questions import Asked
from partway.errors import Refused
from partway.reports.curb.in_sight import InSight, Why
from partway.web.context import At, RequestContext
from partway.web.curb import figures
from partway.web.forms import DistanceField, Form, LineField, Typed
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form

router = APIRouter()
HOME = "/rounds"


class SetOutForm(Form):
    """A round begins."""

    where = LineField("Where to", "the place, always by the same words: west streets")


class HomeForm(Form):
    """A round is over."""

    km = DistanceField("{kilometres}", "home to home; empty if not known", mode="decimal")
    left = LineField("Left standing", "what you saw and did not take, with commas")
    on = LineField("When", "empty for now; 19:40 needs its day: 2026-03-14 19:40")


class PastForm(Form):
    """A round said afterwards."""

    where = LineField("Where to")
    on = LineField("Day", "empty for today; yesterday, 2026-03-14")
    begin = LineField("From", "such as 18:10")
    end = LineField("To", "such as 19:40")
    km = DistanceField("{kilometres}", "home to home; empty if not known", mode="decimal")
    left = LineField("Left standing", "what you saw and did not take, with commas")


class SightForm(Form):
    """What is in sight, and what is left on the vehicle."""

    things = LineField("What stands there", "such as dryer, 2 window fan, microwave=no", most=1000)
    kg = LineField("Kilograms left", "empty: enough", mode="decimal")
    litres = LineField("Litres left", "empty: enough", mode="decimal")
    minutes = LineField("Minutes left", "empty: enough", mode="numeric")


@dataclass(frozen=True, kw_only=True)
class RoundsPage(Page):
    """Rounds under way and gone by, what a place brings by weekday, and the forms."""

    template: ClassVar[str] = "curb/rounds.html"
    place: ClassVar[str] = "curb"
    styles: ClassVar[tuple[str, ...]] = ("curb.css",)
    report: Rounds
    set_out: SetOutForm
    home: HomeForm
    past: PastForm


@dataclass(frozen=True, kw_only=True)
class SightPage(Page):
    """Things in sight; `found` is None before any were named. `reasons` say why a thing is left."""

    template: ClassVar[str] = "curb/in_sight.html"
    place: ClassVar[str] = "curb"
    styles: ClassVar[tuple[str, ...]] = ("curb.css",)
    form: SightForm
    found: InSight | None
    reasons: dict[Why, str]
    scarce: dict[str, str]


@router.get(HOME)
def rounds_page(ctx: At) -> Response:
    """Rounds."""
    return render(ctx, _page(ctx))


@router.post("/rounds/start")
def start(ctx: At) -> Response:
    """Set out."""
    form = SetOutForm(ctx.typed)

    def act() -> FormSaved:
        return FormSaved.of(ctx, start_round(ctx.book, ctx.context(), form.where.text), HOME)

    return save_form(ctx, form, act, lambda: _page(ctx, set_out=form))


@router.post("/rounds/end")
def end(ctx: At) -> Response:
    """Home again."""
    form = HomeForm(ctx.typed, prefix="home-")

    def act() -> FormSaved:
        context = ctx.context(form.on.text)
        return FormSaved.of(ctx, end_round(ctx.book, context, None, form.km.text or None, form.left.text), HOME)

    return save_form(ctx, form, act, lambda: _page(ctx, home=form))


@router.post("/rounds/past")
def past(ctx: At) -> Response:
    """A round said afterwards."""
    form = PastForm(ctx.typed, prefix="past-")

    def act() -> FormSaved:
        said = (form.where.text, form.begin.text, form.end.text, form.km.text or None, form.left.text)
        return FormSaved.of(ctx, past_round(ctx.book, ctx.context(form.on.text), *said), HOME)

    return save_form(ctx, form, act, lambda: _page(ctx, past=form))


@router.get("/in-sight")
def sight_page(ctx: At) -> Response:
    """Which of the things in sight to lift first."""
    form = SightForm(Typed(ctx.request.query_params.multi_items()))
    found, status = None, 200
    try:
        if not form.validate():
            raise Refused("what is too long", "shorter words", "")
        if form.things.text:
            room = room_left(ctx.book, form.kg.text, form.litres.text, form.minutes.text)
            found = in_sight(ctx.prices, things_seen(ctx.prices, form.things.text), room, figures.odds(ctx))
    except Refused as refused:
        form.refuse(refused, {"in_sight": "things", "left_kg": "kg", "left_l": "litres", "left": "kg"})
        status = 422
        if isinstance(refused, Asked):  # the name stands in the field: it is said better there
            form.question = None
            form.things.errors = [f"{refused.given}: expected {refused.expected}"]
    page = SightPage(title="Which first?", form=form, found=found, reasons=REASONS, scarce=dict(SCARCE))
    return render(ctx, page, status)


def _page(
    ctx: RequestContext,
    set_out: SetOutForm | None = None,
    home: HomeForm | None = None,
    past: PastForm | None = None,
) -> RoundsPage:
    return RoundsPage(
        title="Rounds",
        report=figures.rounds(ctx, None, None),
        set_out=set_out or SetOutForm(),
        home=home or HomeForm(prefix="home-"),
        past=past or PastForm(prefix="past-"),
    )
