"""Saying it, for other programs: read back, and saved where that is asked for."""

from __future__ import annotations

from pydantic import Field

from partway.actions.recording.saved import Saved
from partway.actions.saying.results import SayResult
from partway.actions.saying.say import read_said, say
from partway.actions.saying.shown import SayShown, shown_of
from partway.saying.tokens import TEXT_MOST
from partway.web.api.bodies import Body, BodyTable, Line, example
from partway.web.api.writing import saving, writing
from partway.web.context import At

posts = writing("ledger")


class SayAnswerTable(BodyTable):
    """An answer to what a line asks."""

    option: Line = Field(description="The `option` of the line.", examples=["1.find"])
    answer: Line = Field(description="One of its choices.")


class SayBody(
    Body, json_schema_extra=example({"text": "found two microwaves, one works. fuel forty bucks", "save": True})
):
    """What somebody says, to be read back or saved."""

    text: str = Field(max_length=TEXT_MOST, description="As it was said or dictated; several sentences in one go.")
    answers: list[SayAnswerTable] = Field([], max_length=200, description="What its lines asked.")
    language: Line = Field("", description="en, fr or es; default that of the workspace.")
    save: bool = Field(False, description="Record it: all of it, or nothing while a line asks something (409).")
    shown: Line = Field("", description="The `shown` of what was read back: only that is recorded.")


@posts.post("/say")
def said(ctx: At, body: SayBody) -> SayShown | Saved[SayResult]:
    """Read back what somebody says as what would be recorded, or with `save` record it."""
    answers = {one.option: one.answer for one in body.answers}
    if not body.save:
        return shown_of(read_said(ctx.book, ctx.context(body.on), body.text, answers, body.language))
    return saving(ctx, lambda: say(ctx.book, ctx.context(body.on), body.text, answers, body.language, body.shown))
