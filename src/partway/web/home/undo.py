"""Take back what was just recorded, from any page."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.books.undoing import take_back
from partway.actions.recording.context import Recorded
from partway.web.context import At, RequestContext
from partway.web.forms import Form
from partway.web.posting import FormSaved, inside, save_form
from partway.web.serving.answers import FailurePage

router = APIRouter()


@router.post("/undo")
def undo(ctx: At) -> Response:
    """The events named no longer count; nothing is deleted."""
    form = Form(ctx.typed)
    back = inside(ctx.typed.get("back", "/"))

    def again() -> FailurePage:
        return FailurePage(title="Not taken back", status=422, words=form.problem or "It could not be taken back.")

    return save_form(ctx, form, lambda: FormSaved.of(ctx, _taken_back(ctx), back), again)


def _taken_back(ctx: RequestContext) -> Recorded[Any]:
    ids = [text for text in ctx.typed.getlist("event") if text]
    return take_back(ctx.book, ctx.context(), ids or [""], "taken back")
