"""A haul under way: what each stop's ticket should say, the tickets that came, the money, and the end of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.books import money
from partway.actions.haul import hauls
from partway.actions.haul.after_words import after_lines
from partway.actions.haul.tickets import ticket
from partway.actions.haul.window import sentence, verdict
from partway.catalogue import shipped
from partway.catalogue.cards import CautionCard, cards_of_grades
from partway.quantities import shown
from partway.reports.haul.expected_ticket import ExpectedLine, HaulSheet, StopNow
from partway.reports.haul.ticket_words import WORDS
from partway.valuing.trips.ticket import What
from partway.web.context import At, RequestContext
from partway.web.forms import Form, LineField, Typed
from partway.web.haul import figures
from partway.web.haul.tickets_form import TicketForm, lines_given, names_for, ticket_blank
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form
from partway.web.serving.failures import NotHere

router = APIRouter()
ROWS_MORE = 2
ROWS_MOST = 60


class TicketPaidForm(Form):
    """Money that came in for one ticket."""

    amount = LineField("Came in", mode="decimal")
    how = LineField("How", "cash, cheque, transfer; may stay empty")


class FinishForm(Form):
    """The end of a haul."""

    km = LineField("Kilometres", "home to home; empty if not known", mode="decimal")
    minutes = LineField("Time", "home to home, such as 2 h 10; empty if not known")
    note = LineField("Note", "may stay empty")
    on = LineField("When", "empty for now; yesterday, 2026-03-14 15:30")


@dataclass(frozen=True, kw_only=True)
class HaulPage(Page):
    """One haul. `cautions` are by buyer, `paying` are the forms for money, by ticket; `doubts` puts doubts in words.

    `windows` has the verdict on each ticket, and what to say at the scale window; `after` is what was planned and
    what came of it.
    """

    template: ClassVar[str] = "haul/haul.html"
    place: ClassVar[str] = "haul"
    styles: ClassVar[tuple[str, ...]] = ("haul.css",)
    sheet: HaulSheet
    doubts: dict[What, str]
    paying: dict[str, TicketPaidForm]
    cautions: dict[str, tuple[CautionCard, ...]]
    windows: dict[str, tuple[str, str]]
    after: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class FinishPage(Page):
    """The form that ends a haul."""

    template: ClassVar[str] = "haul/finish.html"
    place: ClassVar[str] = "haul"
    styles: ClassVar[tuple[str, ...]] = ("haul.css",)
    sheet: HaulSheet
    blank: FinishForm


@dataclass(frozen=True, kw_only=True)
class TicketPage(Page):
    """A ticket typed off paper, row by row beside what was planned, None for rows beyond that."""

    template: ClassVar[str] = "haul/ticket.html"
    place: ClassVar[str] = "haul"
    styles: ClassVar[tuple[str, ...]] = ("haul.css",)
    haul: str
    stop: StopNow
    cautions: tuple[CautionCard, ...]
    blank: TicketForm
    rows: tuple[tuple[int, ExpectedLine | None], ...]
    grades: tuple[tuple[str, str], ...]
    bins: tuple[str, ...]
    planned: bool


@router.get("/haul/{haul}")
def haul_page(ctx: At, haul: str) -> Response:
    """A haul as it stands."""
    return render(ctx, _haul_page(ctx, haul))


@router.post("/haul/{haul}/paid/{name}")
def paid(ctx: At, haul: str, name: str) -> Response:
    """Money for one of its tickets."""
    sheet = _sheet(ctx, haul)
    buyer = next((stop.buyer for stop in sheet.stops for t in stop.tickets if t.ticket == name), None)
    if buyer is None:
        raise NotHere(shown(name), "a ticket of this haul", "ticket")
    form = TicketPaidForm(ctx.typed, prefix=f"{name}-")

    def act() -> FormSaved:
        agreed = form.agreed("as_printed")
        recorded = money.paid(ctx.book, ctx.context(), buyer, form.amount.text, name, form.how.text, agreed)
        return FormSaved.of(ctx, recorded, f"/haul/{haul}")

    names = {"amount": f"{name}-amount", "how": f"{name}-how"}
    return save_form(ctx, form, act, lambda: _haul_page(ctx, haul, {name: form}), names)


@router.get("/haul/{haul}/finish")
def finish_page(ctx: At, haul: str) -> Response:
    """The form that ends it."""
    return render(ctx, FinishPage(title="Finish the haul", sheet=_sheet(ctx, haul), blank=FinishForm()))


@router.post("/haul/{haul}/finish")
def finish(ctx: At, haul: str) -> Response:
    """Home again."""
    sheet = _sheet(ctx, haul)
    form = FinishForm(ctx.typed)

    def act() -> FormSaved:
        km, minutes = form.km.text or None, form.minutes.text or None
        recorded = hauls.finish(ctx.book, ctx.context(form.on.text), haul, km, minutes, form.note.text)
        return FormSaved.of(ctx, recorded, f"/haul/{haul}")

    return save_form(ctx, form, act, lambda: FinishPage(title="Finish the haul", sheet=sheet, blank=form))


@router.get("/haul/{haul}/ticket/{buyer}")
def ticket_page(ctx: At, haul: str, buyer: str, masses: str = "") -> Response:
    """A ticket to fill in: what was planned is there but for the masses, which the ticket has to say."""
    stop = _stop(ctx, haul, buyer)
    rows = len(stop.lines) + ROWS_MORE
    blank = ticket_blank(None, rows, stop.lines, ctx.show.say, masses=masses == "planned")
    return render(ctx, _ticket_page(ctx, haul, stop, blank, rows))


@router.post("/haul/{haul}/ticket/{buyer}")
def enter_ticket(ctx: At, haul: str, buyer: str) -> Response:
    """Record it, or show more rows."""
    stop = _stop(ctx, haul, buyer)
    rows = _rows(ctx.typed)
    if "more" in ctx.typed:
        rows = min(rows + ROWS_MORE, ROWS_MOST)
        blank = ticket_blank(ctx.typed, rows, stop.lines, ctx.show.say)
        return render(ctx, _ticket_page(ctx, haul, stop, blank, rows))
    form = ticket_blank(ctx.typed, rows, stop.lines, ctx.show.say)

    def act() -> FormSaved:
        rows_given = lines_given(ctx.book, form, rows)
        less = [(what, sum_) for what, sum_ in form.deductions() if what or sum_]
        agreed = form.agreed("as_printed")
        recorded = ticket(
            ctx.book,
            ctx.context(form.on.text),
            buyer,
            rows_given,
            form.total.text or None,
            less,
            haul,
            form.number.text,
            agreed,
        )
        return FormSaved.of(ctx, recorded, f"/haul/{haul}")

    return save_form(ctx, form, act, lambda: _ticket_page(ctx, haul, stop, form, rows), names_for(form, rows))


def _sheet(ctx: RequestContext, haul: str) -> HaulSheet:
    found = figures.haul(ctx, haul)
    if found is None:
        raise NotHere(shown(haul), "a haul of this workspace", "haul")
    return found


def _stop(ctx: RequestContext, haul: str, buyer: str) -> StopNow:
    stop = next((stop for stop in _sheet(ctx, haul).stops if stop.buyer == buyer), None)
    if stop is None:
        raise NotHere(shown(buyer), "a stop of this haul", "buyer")
    return stop


def _haul_page(ctx: RequestContext, haul: str, given: dict[str, TicketPaidForm] | None = None) -> HaulPage:
    sheet = _sheet(ctx, haul)
    open_ = [t.ticket for stop in sheet.stops for t in stop.tickets if t.open > 0]
    return HaulPage(
        title="On the way" if sheet.status == "started" else "Haul gone by",
        sheet=sheet,
        doubts=WORDS,
        paying={name: TicketPaidForm(prefix=f"{name}-") for name in open_} | (given or {}),
        cautions={stop.buyer: _cautions(stop, sheet.status) for stop in sheet.stops},
        windows={t.ticket: (verdict(t), sentence(t, ctx.show.say)) for stop in sheet.stops for t in stop.tickets},
        after=tuple(after_lines(sheet.after, ctx.show.say)) if sheet.after else (),
    )


def _cautions(stop: StopNow, status: str) -> tuple[CautionCard, ...]:
    """What can hurt of all that is handed over there; nothing once the haul is over."""
    if status == "finished":
        return ()
    return cards_of_grades(
        [*(line.grade for line in stop.lines), *(line.grade for t in stop.tickets for line in t.lines)]
    )


def _ticket_page(ctx: RequestContext, haul: str, stop: StopNow, blank: TicketForm, rows: int) -> TicketPage:
    expected: Sequence[ExpectedLine | None] = (*stop.lines, *[None] * rows)
    bins = ctx.bins
    return TicketPage(
        title=f"Ticket from {stop.name}",
        haul=haul,
        stop=stop,
        cautions=_cautions(stop, _sheet(ctx, haul).status),
        blank=blank,
        rows=tuple((row, expected[row]) for row in range(rows)),
        grades=tuple((grade.id, grade.name) for grade in shipped().grades.values()),
        bins=tuple(b.id for b in bins.values() if b.mg > 0),
        planned=any(line.planned_mg is not None for line in stop.lines),
    )


def _rows(typed: Typed) -> int:
    """How many rows the page had that was sent."""
    text = typed.get("rows", "")
    given = int(text) if text.isascii() and text.isdecimal() and len(text) < 3 else ROWS_MORE
    return max(1, min(given, ROWS_MOST))
