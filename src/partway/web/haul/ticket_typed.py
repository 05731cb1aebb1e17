"""A ticket typed off paper, its sum shown while it is typed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Annotated, ClassVar

from fastapi import APIRouter, Depends
from fastapi.responses import Response

from partway.actions.haul.tickets import ticket
from partway.actions.haul.tickets_so_far import TicketSoFar, so_far
from partway.catalogue import shipped
from partway.catalogue.cards import CautionCard
from partway.errors import Refused
from partway.photographs.reading import INSTALL, can_read, text_in
from partway.pricelist.tickets.rows import TicketRow
from partway.quantities import shown
from partway.reports.haul.expected_ticket import StopNow
from partway.web.context import At, RequestContext
from partway.web.haul.ticket_read import rows_read, ticket_in, typed_of
from partway.web.haul.tickets import cautions_at, sheet_of
from partway.web.haul.tickets_form import TicketForm, lines_given, names_for, ticket_blank
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form
from partway.web.sending import SentFile, sent_photograph
from partway.web.serving.failures import NotHere

router = APIRouter()
ROWS_MORE = 2
ROWS_MOST = 60


@dataclass(frozen=True, kw_only=True)
class TicketPage(Page):
    """A ticket to type off paper: a row for each of the stop's lines, then some for what else it says.

    `sums` is what it makes so far, None for one that nothing was typed into; `focus` the field to go on with. `read` is
    what of each row was read in a photograph, `beside` what else was; `reads`: whether photographs are read here.
    """

    template: ClassVar[str] = "haul/ticket.html"
    place: ClassVar[str] = "haul"
    styles: ClassVar[tuple[str, ...]] = ("haul.css",)
    scripts: ClassVar[tuple[str, ...]] = ("haul-ticket.js",)
    haul: str
    stop: StopNow
    cautions: tuple[CautionCard, ...]
    blank: TicketForm
    rows: int
    sums: TicketSoFar | None
    focus: str
    grades: tuple[tuple[str, str], ...]
    bins: tuple[str, ...]
    read: Mapping[int, TicketRow]
    beside: tuple[str, ...]
    reads: bool
    install: str = INSTALL


@dataclass(frozen=True, kw_only=True)
class SumPage(Page):
    """The sum alone, to be put into the page while somebody types."""

    template: ClassVar[str] = "haul/sum.html"
    sums: TicketSoFar


@router.get("/haul/{haul}/ticket/{buyer}")
def ticket_page(ctx: At, haul: str, buyer: str, masses: str = "", rows: str = "") -> Response:
    """A ticket to fill in: what the haul took along is there but for the masses, which the ticket has to say.

    A browser that kept something in a later row asks for so many `rows`.
    """
    stop = _stop(ctx, haul, buyer)
    many = _rows(rows, stop)
    return render(ctx, _page(ctx, haul, stop, _blank(ctx, stop, many, masses=masses == "planned"), many))


@router.post("/haul/{haul}/ticket/{buyer}")
def enter_ticket(ctx: At, haul: str, buyer: str) -> Response:
    """Record it, or show more rows."""
    stop = _stop(ctx, haul, buyer)
    rows = _rows(ctx.typed.get("rows", ""), stop)
    if "more" in ctx.typed:
        rows = min(rows + ROWS_MORE, ROWS_MOST)
        return render(ctx, _page(ctx, haul, stop, _blank(ctx, stop, rows), rows))
    form = _blank(ctx, stop, rows)

    def act() -> FormSaved:
        less = [(what, sum_) for what, sum_ in form.deductions() if what or sum_]
        recorded = ticket(
            ctx.book,
            ctx.context(form.on.text),
            buyer,
            lines_given(ctx.book, form, rows),
            form.total.text or None,
            less,
            haul,
            form.number.text,
            form.agreed("as_printed"),
        )
        return FormSaved.of(ctx, recorded, f"/haul/{haul}")

    return save_form(ctx, form, act, lambda: _page(ctx, haul, stop, form, rows), names_for(rows))


@router.post("/haul/{haul}/ticket/{buyer}/sum")
def sum_so_far(ctx: At, haul: str, buyer: str) -> Response:
    """What it makes so far: the page again, or with ?part=yes the sum alone. Records nothing."""
    stop = _stop(ctx, haul, buyer)
    rows = _rows(ctx.typed.get("rows", ""), stop)
    form = _blank(ctx, stop, rows)
    if ctx.request.query_params.get("part") == "yes":
        return render(ctx, SumPage(title="So far", sums=_sums(ctx, buyer, form, rows)))
    return render(ctx, _page(ctx, haul, stop, form, rows))


def _blank(ctx: RequestContext, stop: StopNow, rows: int, *, masses: bool = False) -> TicketForm:
    typed = ctx.typed if ctx.request.method == "POST" else None
    unit = ctx.settings.get("unit", "")
    return ticket_blank(typed, rows, stop.lines, ctx.show.say, unit, masses=masses)


def _stop(ctx: RequestContext, haul: str, buyer: str) -> StopNow:
    stop = next((stop for stop in sheet_of(ctx, haul).stops if stop.buyer == buyer), None)
    if stop is None:
        raise NotHere(shown(buyer), "a stop of this haul", "buyer")
    return stop


def _sums(ctx: RequestContext, buyer: str, form: TicketForm, rows: int) -> TicketSoFar:
    lines = [form.typed_line(ctx.book, n) for n in range(rows)]
    return so_far(ctx.book, lines, list(form.deductions()), ctx.buyers.get(buyer))


@router.post("/haul/{haul}/ticket/{buyer}/photograph")
def ticket_photographed(given: Annotated[SentFile, Depends(sent_photograph)], haul: str, buyer: str) -> Response:
    """The lines of a ticket in a photograph, put into its form: to be held against the paper, and recorded like any
    other. Nothing is saved, nor is the photograph.
    """
    ctx = given.ctx
    stop = _stop(ctx, haul, buyer)
    try:
        if not given.content:
            raise Refused("no photograph", "one from the camera, or a file", "file")
        found = ticket_in(ctx.book, text_in(given.content))
    except Refused as refused:
        rows = _rows_at_first(stop)
        blank = ticket_blank(None, rows, stop.lines, ctx.show.say, ctx.settings.get("unit", ""))
        blank.refuse(refused)
        return render(ctx, _page(ctx, haul, stop, blank, rows), 422)
    read, rows = rows_read(found, stop.lines, ROWS_MOST)
    typed = typed_of(found, read, rows, stop.lines)
    blank = ticket_blank(typed, rows, stop.lines, ctx.show.say, ctx.settings.get("unit", ""))
    return render(ctx, replace(_page(ctx, haul, stop, blank, rows), read=read, beside=found.rest))


def _page(ctx: RequestContext, haul: str, stop: StopNow, blank: TicketForm, rows: int) -> TicketPage:
    """The keyboard is ready at the first mass, unless there is something to read before."""
    cautions = cautions_at(stop, sheet_of(ctx, haul).status)
    bins = ctx.bins
    return TicketPage(
        title=f"Ticket from {stop.name}",
        haul=haul,
        stop=stop,
        cautions=cautions,
        blank=blank,
        rows=rows,
        sums=_sums(ctx, stop.buyer, blank, rows),
        focus=blank.first_wrong or ("" if cautions or blank.typed else "mass_0"),
        grades=tuple((grade.id, grade.name) for grade in shipped().grades.values()),
        bins=tuple(b.id for b in bins.values() if b.mg > 0),
        read={},
        beside=(),
        reads=can_read(),
    )


def _rows_at_first(stop: StopNow) -> int:
    """A row for each line that is expected; where none is, some to begin with."""
    return len(stop.lines) or ROWS_MORE


def _rows(text: str, stop: StopNow) -> int:
    """How many rows a page is asked for, or had that was sent."""
    given = int(text) if text.isascii() and text.isdecimal() and len(text) < 3 else _rows_at_first(stop)
    return max(1, min(given, ROWS_MOST))
