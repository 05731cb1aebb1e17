"""What else is recorded of a find: whether it works, what it weighs, parts sold, given up."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.bench import finds, selling
from partway.actions.bench.counts import counted
from partway.ledger.fold import standing
from partway.web.bench.find import FindForms, page_of
from partway.web.bench.forms import DiscardForm, SellForm, TestForm, WeighForm
from partway.web.context import At, RequestContext
from partway.web.posting import FormSaved, save_form

router = APIRouter()


def _on(ctx: RequestContext, find_id: str) -> str:
    """Where to go on: to the find, or to the queue where nothing is left of it."""
    return "/bench#main" if standing.find(ctx.book, find_id).closed else f"/bench/{find_id}#main"


@router.post("/bench/{find_id}/test")
def test(ctx: At, find_id: str) -> Response:
    """Whether it works."""
    form = TestForm(ctx.typed, prefix="test-")

    def act() -> FormSaved:
        recorded = finds.test(ctx.book, ctx.context(), find_id, form.works.text)
        return FormSaved.of(ctx, recorded, f"/bench/{find_id}#main")

    return save_form(ctx, form, act, lambda: page_of(ctx, find_id, FindForms(test=form)))


@router.post("/bench/{find_id}/weigh")
def weigh(ctx: At, find_id: str) -> Response:
    """What is left of it on the scale."""
    form = WeighForm(ctx.typed, prefix="weigh-")

    def act() -> FormSaved:
        recorded = finds.weigh(ctx.book, ctx.context(), find_id, form.mass.text)
        return FormSaved.of(ctx, recorded, f"/bench/{find_id}#main")

    return save_form(ctx, form, act, lambda: page_of(ctx, find_id, FindForms(weigh=form)))


@router.post("/bench/{find_id}/sell")
def sell(ctx: At, find_id: str) -> Response:
    """A part of it, or all of it, sold by the unit."""
    form = SellForm(ctx.typed, prefix="sell-")

    def act() -> FormSaved:
        recorded = selling.sell(
            ctx.book,
            ctx.context(form.on.text),
            find_id,
            form.price.text,
            form.what.text,
            counted(form.count.text or "1", "count"),
            form.mass.text or None,
            form.fee.text or "0",
            form.postage.text or "0",
            form.minutes.text or 0,
        )
        return FormSaved.of(ctx, recorded, _on(ctx, find_id))

    return save_form(ctx, form, act, lambda: page_of(ctx, find_id, FindForms(sell=form)), {"part": "what"})


@router.post("/bench/{find_id}/discard")
def discard(ctx: At, find_id: str) -> Response:
    """Given up: what is left becomes residue."""
    form = DiscardForm(ctx.typed, prefix="discard-")

    def act() -> FormSaved:
        recorded = selling.discard(ctx.book, ctx.context(), find_id, form.mass.text or None)
        return FormSaved.of(ctx, recorded, _on(ctx, find_id))

    return save_form(ctx, form, act, lambda: page_of(ctx, find_id, FindForms(discard=form)))
