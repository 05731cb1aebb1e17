"""Saying it, for other programs: read back, and saved where that is asked for."""

from __future__ import annotations

from partway.actions.recording.saved import Saved
from partway.actions.saying.results import SayResult
from partway.actions.saying.say import read_said, say
from partway.actions.saying.shown import SayShown, shown_of
from partway.web.api.writing import saving, writing
from partway.web.context import At
from partway.web.home.say_bodies import SayBody

posts = writing("ledger")


@posts.post("/say")
def said(ctx: At, body: SayBody) -> SayShown | Saved[SayResult]:
    """Read back what somebody says as what would be recorded, or with `save` record it."""
    answers = {one.option: one.answer for one in body.answers}
    if not body.save:
        return shown_of(read_said(ctx.book, ctx.context(body.on), body.text, answers, body.language))
    return saving(ctx, lambda: say(ctx.book, ctx.context(body.on), body.text, answers, body.language, body.shown))
