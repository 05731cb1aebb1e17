"""What else is recorded of a find: whether it works, and all that `also` has a form for."""

from __future__ import annotations

from collections.abc import Callable

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.bench import finds
from partway.ledger.fold import standing
from partway.web.bench.also import ALSO, Also
from partway.web.bench.find import FindForms, page_of
from partway.web.bench.forms import TestForm
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


def _also(kind: type[Also]) -> Callable[[At, str], Response]:
    def save(ctx: At, find_id: str) -> Response:
        form = kind(ctx.typed, prefix=f"{kind.NAME}-")

        def act() -> FormSaved:
            return FormSaved.of(ctx, form.record(ctx, find_id), _on(ctx, find_id))

        return save_form(ctx, form, act, lambda: page_of(ctx, find_id, FindForms(also=form)), dict(kind.NAMES))

    save.__name__, save.__doc__ = kind.NAME, kind.__doc__
    return save


for one in ALSO:
    router.post(f"/bench/{{find_id}}/{one.NAME}")(_also(one))
