"""Take back what was just recorded, from any page."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.books.corrections import correct, correct_all
from partway.actions.recording.context import Recorded
from partway.web.blanks import Blank
from partway.web.desk import At, Desk
from partway.web.posting import Done, inside, submit
from partway.web.serving.answers import FailurePage

router = APIRouter()


@router.post("/undo")
def undo(desk: At) -> Response:
    """The events named no longer count; nothing is deleted."""
    form = Blank(desk.typed)
    back = inside(desk.typed.get("back", "/"))

    def again() -> FailurePage:
        return FailurePage(title="Not taken back", status=422, words=form.problem or "It could not be taken back.")

    return submit(desk, form, lambda: Done.of(desk, _taken_back(desk), back), again)


def _taken_back(desk: Desk) -> Recorded[Any]:
    ids = [text for text in desk.typed.getlist("event") if text]
    why = "taken back"
    if len(ids) > 1:
        return correct_all(desk.book, desk.context(), ids, why)
    return correct(desk.book, desk.context(), ids[0] if ids else "", why)
