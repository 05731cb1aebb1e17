"""Notes: what somebody wants to remember of a find, a buyer, a bin or nothing in particular."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar
from urllib.parse import quote

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.books.notes import note
from partway.reports.books.notes import NoteLine, notes
from partway.web.context import At, RequestContext
from partway.web.forms import ChoiceField, Form, LineField
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form

router = APIRouter()
HERE = "/books/notes"
PREFIX = "note-"
MOST = 1000  # characters
PAGES = {"find": "/bench", "buyer": "/buyers", "bin": "/bins"}  # by the sort of what a note is about


class NoteForm(Form):
    """One note. `about` is a subject, such as buyer:harbour-yard."""

    text = LineField("In your own words", most=MOST)
    about = ChoiceField("About", "nothing in particular, or one of these")


@dataclass(frozen=True, slots=True)
class NotesHere:
    """The notes about one find, buyer or bin, for the page of it, with the form for one more."""

    about: str
    lines: tuple[NoteLine, ...]
    form: NoteForm


@dataclass(frozen=True, kw_only=True)
class NotesPage(Page):
    """All notes, the newest first, and the form for one more."""

    template: ClassVar[str] = "books/notes.html"
    place: ClassVar[str] = "books"
    styles: ClassVar[tuple[str, ...]] = ("books.css",)
    here: str = "ledger"
    form: NoteForm
    lines: tuple[NoteLine, ...]


def notes_here(ctx: RequestContext, about: str) -> NotesHere:
    """The notes about a subject, and an empty form."""
    return NotesHere(about, notes(ctx.book, ctx.now.tzinfo, about), NoteForm(prefix=PREFIX))


@router.get(HERE)
def notes_page(ctx: At) -> Response:
    """All notes."""
    return render(ctx, _page(ctx, NoteForm(prefix=PREFIX)))


@router.post(HERE)
def note_down(ctx: At) -> Response:
    """One more; then back to the page of what it is about."""
    form = NoteForm(ctx.typed, prefix=PREFIX)

    def act() -> FormSaved:
        sort, _, name = form.about.text.partition(":")
        about = {"find": None, "buyer": None, "bin": None} | ({sort: name} if sort in PAGES else {})
        told = note(ctx.book, ctx.context(), form.text.text, about["find"], about["buyer"], about["bin"])
        return FormSaved.of(ctx, told, f"{PAGES[sort]}/{quote(name)}" if sort in PAGES else HERE)

    return save_form(ctx, form, act, lambda: _page(ctx, form), dict.fromkeys(PAGES, "about"))


def _page(ctx: RequestContext, form: NoteForm) -> NotesPage:
    form.about.choices = [("", "Nothing in particular"), *_things(ctx, form.about.text)]
    return NotesPage(title="Notes", form=form, lines=notes(ctx.book, ctx.now.tzinfo))


def _things(ctx: RequestContext, chosen: str) -> list[tuple[str, str]]:
    """What a note may be about, by name; also what was chosen where it is gone since."""
    named = {f"buyer:{buyer}": ctx.called.buyer(buyer) for buyer in ctx.buyers}
    named |= {f"find:{find}": ctx.called.find(find) for find in ctx.finds}
    named |= {f"bin:{one}": f"bin of {ctx.called.bin(one)}" for one in ctx.bins}
    if chosen and chosen not in named:
        named[chosen] = ctx.called.place(chosen)
    return list(named.items())
