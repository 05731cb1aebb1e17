"""The ledger: what happened, newest first; any event can be put right, none is deleted."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, ClassVar
from urllib.parse import quote, urlencode
from uuid import UUID

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.books.changes_opening import row_of
from partway.actions.books.changes_ticket import ADD
from partway.actions.books.corrections import correct
from partway.actions.books.queries import filters
from partway.actions.books.results import follows
from partway.actions.books.said_anew import DAY, fields_of
from partway.actions.recording.questions import Asked
from partway.errors import Refused
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import PAYLOADS, Corrected, Opened, Ticketed
from partway.ledger.roles import Permission, refusal
from partway.quantities import shown
from partway.reports.books.ledger_page import EventReport, LedgerLeaf, Reader
from partway.web.context import At, RequestContext
from partway.web.forms import ChoiceField, Form, LineField, Typed
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form
from partway.web.serving.failures import NotHere, status_of

router = APIRouter()
EMPTY = LedgerLeaf((), None)
SET = "set-"  # before the names of fields that are said anew
REASON = "reason"
LOOKED = "looked"  # the answer of somebody who saw what follows
LINE_MASS = re.compile(r"line\d+\.mass")
NO_CHANGE = "nothing said otherwise"


class LedgerForm(Form):
    """Which part of the ledger."""

    kind = ChoiceField("Sort of event", choices=[("", "All"), *((kind, kind) for kind in sorted(PAYLOADS))])
    about = LineField("About", "a find, bin, buyer, haul or ticket, such as microwave-3")
    since = LineField("Since", "a day, such as 2026-03-14 or yesterday")
    until = LineField("Before", "a day")


class BackForm(Form):
    """Take an event back."""

    why = LineField("Why", "may be left empty")


@dataclass(frozen=True, kw_only=True)
class LedgerPage(Page):
    """Lines of the ledger. `older` is the address of the next page, `newest` of the first."""

    template: ClassVar[str] = "books/ledger.html"
    place: ClassVar[str] = "books"
    styles: ClassVar[tuple[str, ...]] = ("books.css",)
    here: str = "ledger"
    asked: LedgerForm
    leaf: LedgerLeaf
    older: str
    newest: str
    narrowed: bool


@dataclass(frozen=True, kw_only=True)
class EventPage(Page):
    """One event. `fixed` are its fields where no form shows them; `back` and `anew` are the forms that put it right,
    None where that cannot be. `follows` is what a form would change, to be looked at before it is saved. `ask` says
    whom to ask where the reader's role leaves it to others, `device` with which device it was typed.
    """

    template: ClassVar[str] = "books/event.html"
    place: ClassVar[str] = "books"
    styles: ClassVar[tuple[str, ...]] = ("books.css",)
    here: str = "ledger"
    it: EventReport
    about: tuple[tuple[str, str], ...]
    stands: tuple[tuple[str, str], ...]
    fixed: tuple[tuple[str, str], ...]
    back: BackForm | None
    anew: Form | None
    follows: tuple[str, ...] = ()
    right: str = ""
    ask: str = ""
    device: str = ""


@router.get("/books/ledger")
def ledger_page(ctx: At, before: str = "") -> Response:
    """A page of the ledger, filtered."""
    asked = LedgerForm(Typed(ctx.request.query_params.multi_items()))
    given = {name: text for name, text in _texts(asked).items() if text}
    try:
        leaf, status = (_leaf(ctx, given, before), 200) if asked.validate() else (EMPTY, 422)
    except NotHere:
        raise
    except Refused as refused:
        asked.refuse(refused)
        leaf, status = EMPTY, status_of(refused)
    newest = f"/books/ledger?{urlencode(given)}" if given else "/books/ledger"
    older = f"/books/ledger?{urlencode({**given, 'before': leaf.older})}" if leaf.older else ""
    page = LedgerPage(
        title="Ledger",
        asked=asked,
        leaf=leaf,
        older=older,
        newest=newest if before else "",
        narrowed=bool(given),
    )
    return render(ctx, page, status)


def _leaf(ctx: RequestContext, given: dict[str, str], before: str) -> LedgerLeaf:
    kinds = [given["kind"]] if "kind" in given else []
    chosen = filters(ctx.book, ctx.now, kinds, given.get("about"), given.get("since"), given.get("until"))
    named = replace(_reader(ctx), called=ctx.called)  # the list is for people; one event's own page has the ids
    return named.leaf(**chosen, before=_id(before) if before else None)


@router.get("/books/ledger/{event_id}")
def event_page(ctx: At, event_id: str) -> Response:
    """One event whole."""
    return render(ctx, _page(ctx, event_id))


@router.post("/books/ledger/{event_id}/back")
def take_back(ctx: At, event_id: str) -> Response:
    """The event stops counting, once somebody has seen what follows."""
    form = BackForm(ctx.typed)
    shown: list[str] = []

    def act() -> FormSaved:
        event = _event(ctx, event_id)
        _look_first(ctx, form, event, {"why": form.why.text}, shown)
        return FormSaved.of(ctx, correct(ctx.book, ctx.context(), str(event.id), form.why.text), _address(event))

    return save_form(ctx, form, act, lambda: _page(ctx, event_id, back=form, follows=shown), {"correct": ""})


@router.post("/books/ledger/{event_id}/anew")
def say_anew(ctx: At, event_id: str) -> Response:
    """Another event counts in its place, with what was typed otherwise, once somebody has seen what follows."""
    event = _event(ctx, event_id)
    form = _anew(ctx, event, ctx.typed)
    shown: list[str] = []

    def act() -> FormSaved:
        typed = _texts(form)
        said = {
            name: typed[name]
            for name, text in fields_of(event, ctx.now.tzinfo, ctx.show.say.distance).items()
            if typed[name] != text
        }
        if not said:
            raise Refused(NO_CHANGE, "at least one field that says something else", "form")
        options: dict[str, Any] = {
            "why": typed[REASON],
            "changes": _without_lines(said),
            "gap": form.answer("gap"),
            "as_printed": form.agreed("as_printed"),
        }
        _look_first(ctx, form, event, options, shown)
        return FormSaved.of(ctx, correct(ctx.book, ctx.context(), str(event.id), **options), _address(event))

    return save_form(ctx, form, act, lambda: _page(ctx, event_id, anew=form, follows=shown))


def _without_lines(said: dict[str, str]) -> dict[str, str]:
    """A line of a ticket whose mass was emptied is taken off it."""
    off = {name.partition(".")[0] for name, text in said.items() if LINE_MASS.fullmatch(name) and not text}
    kept = {name: text for name, text in said.items() if name.partition(".")[0] not in off}
    return {**kept, **dict.fromkeys(off, "")}


def _look_first(ctx: RequestContext, form: Form, event: Event, options: dict[str, Any], shown: list[str]) -> None:
    """Works out what follows and raises Asked until that was agreed to; nothing is recorded by it."""
    if form.agreed(LOOKED):
        return
    result = correct(ctx.book, ctx.context(), str(event.id), **options, preview=True).result
    shown += follows(result.follows, ctx.show.say) if result.follows else ()
    choices = (("yes", "Record it"),)
    raise Asked("This is what follows", "a look at it first", "form", LOOKED, choices)


def _page(
    ctx: RequestContext,
    event_id: str,
    back: BackForm | None = None,
    anew: Form | None = None,
    follows: Sequence[str] = (),
) -> EventPage:
    event = _event(ctx, event_id)
    it = _reader(ctx).event(event)
    fields = fields_of(event, ctx.now.tzinfo, ctx.show.say.distance)
    changes = fields if it.line.counts and not isinstance(event.what, Corrected) else {}
    may = ctx.rights.may(Permission.CORRECT if event.who == ctx.who else Permission.CORRECT_OTHERS)
    return EventPage(
        title=it.line.kind.capitalize(),
        it=it,
        about=tuple((subject, _all_about(subject)) for subject in it.subjects),
        stands=tuple((line.line.happened, line.line.words) for line in it.later),
        fixed=() if changes else tuple((_words(name), text) for name, text in fields.items() if text and name != DAY),
        back=(back or BackForm()) if it.line.counts and may else None,
        anew=(anew or _anew(ctx, event)) if changes and may else None,
        follows=tuple(follows),
        right=_right(event) if it.line.counts and may else "",
        ask="" if may or not it.line.counts else refusal(ctx.rights, Permission.CORRECT_OTHERS, ctx.who).says,
        device=ctx.book.device_of(event.id),
    )


def _right(event: Event) -> str:
    """Where an opening is put right step by step; nothing for other events."""
    what = event.what
    opened = isinstance(what, Opened) and not what.gives_up
    return f"/bench/{quote(what.find)}/work?instead={event.id}" if isinstance(what, Opened) and opened else ""


def _anew(ctx: RequestContext, event: Event, typed: Typed | None = None) -> Form:
    """A form with a line for each field that may be said anew, as it stands."""
    fields = fields_of(event, ctx.now.tzinfo, ctx.show.say.distance)
    lines: dict[str, Any] = {name: LineField(_label(event, name), default=text) for name, text in fields.items()}
    kind: type[Form] = type("AnewBlank", (Form,), {**lines, REASON: LineField("Why", "may be left empty")})
    return kind(typed, prefix=SET)


def _words(name: str) -> str:
    return "Distance" if name == "km" else name.replace("_", " ").capitalize()


def _label(event: Event, name: str) -> str:
    """What a field is called: a piece by its name, a line by its grade."""
    if isinstance(event.what, Opened) and (row := row_of(event.what, name)) is not None:
        return f"{_words(event.what.pieces[row].piece)}, into {event.what.pieces[row].bin}"
    line, _, part = name.partition(".")
    if isinstance(event.what, Ticketed) and part:
        return f"{_words(line)}, {event.what.lines[int(line[4:]) - 1].grade}: {part}"
    return "One line more" if name == ADD else _words(name)


def _texts(form: Form) -> dict[str, str]:
    """What was typed into each field, by its name."""
    return {f.short_name: f.text for f in form if isinstance(f, LineField | ChoiceField)}


def _reader(ctx: RequestContext) -> Reader:
    return Reader(ctx.book, ctx.show.say.units, ctx.now.tzinfo)


def _event(ctx: RequestContext, event_id: str) -> Event:
    event = ctx.book.event(_id(event_id))
    if event is None:
        raise NotHere(shown(event_id), "the id of an event of this ledger", "event")
    return event


def _id(text: str) -> UUID:
    try:
        return UUID(text)
    except ValueError:
        raise NotHere(shown(text), "the id of an event", "event") from None


def _all_about(subject: str) -> str:
    sort, _, name = subject.partition(":")
    return f"/books/ledger/{name}" if sort == "event" else f"/books/ledger?{urlencode({'about': subject})}"


def _address(event: Event) -> str:
    return f"/books/ledger/{event.id}"
