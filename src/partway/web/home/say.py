"""Say it: what happened in one field, read back as what would be recorded, then saved whole or not at all."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.saying.results import SayLine, SayReading
from partway.actions.saying.say import read_said, say
from partway.errors import Refused
from partway.saying.tokens import TEXT_MOST
from partway.web.context import At, RequestContext
from partway.web.forms import ANSWER, Form, TextField
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form
from partway.web.wording import beside_field, by_itself

router = APIRouter()
MOST = 200  # answers


class SayForm(Form):
    """What was said."""

    said = TextField("What happened?", most=TEXT_MOST)


@dataclass(frozen=True, slots=True)
class SayRow:
    """A line as it was said, with what is wrong with it in the words of a page."""

    line: SayLine
    refused: str


@dataclass(frozen=True, kw_only=True)
class SayPage(Page):
    """What was said, read back; without a reading the field to say it in. `given` are the answers so far."""

    template: ClassVar[str] = "home/say.html"
    styles: ClassVar[tuple[str, ...]] = ("buyers.css", "home.css")
    form: SayForm
    reading: SayReading | None = None
    rows: tuple[SayRow, ...] = ()
    given: tuple[tuple[str, str], ...] = ()


@router.get("/say")
def say_page(ctx: At) -> Response:
    """The field alone."""
    return render(ctx, _page(SayForm()))


@router.post("/say")
def said(ctx: At) -> Response:
    """Read it back, or with `step` save, save it. Reading back writes nothing."""
    form = SayForm(ctx.typed)
    if ctx.typed.get("step") == "save":
        return save_form(ctx, form, lambda: _saved(ctx, form), lambda: _looked(ctx, form)[0])
    if not form.validate():
        return render(ctx, _page(form), 422)
    page, status = _looked(ctx, form)
    return render(ctx, page, status)


def _page(form: SayForm) -> SayPage:
    return SayPage(title="Say it", form=form)


def _looked(ctx: RequestContext, form: SayForm) -> tuple[SayPage, int]:
    answers = _answers(ctx)
    try:
        reading = read_said(ctx.book, ctx.context(), form.said.text, answers)
    except Refused as refused:
        form.said.errors = [beside_field(refused)]
        return _page(form), 422
    rows = tuple(SayRow(line, by_itself(line.refused) if line.refused else "") for line in reading.lines)
    return SayPage(title="Say it", form=form, reading=reading, rows=rows, given=tuple(answers.items())), 200


def _answers(ctx: RequestContext) -> dict[str, str]:
    """The answers so far, by their questions; the last one counts."""
    fields = [(str(name), str(text)) for name, text in ctx.typed.multi_items()]
    return {name.removeprefix(ANSWER): text for name, text in fields[:MOST] if name.startswith(ANSWER)}


def _saved(ctx: RequestContext, form: SayForm) -> FormSaved:
    recorded = say(ctx.book, ctx.context(), form.said.text, _answers(ctx), shown=ctx.typed.get("shown", ""))
    return FormSaved.of(ctx, recorded, "/")
