"""A haul under way: what each stop's ticket should say, the tickets that came, the money, and the end of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.books import money
from partway.actions.haul import hauls
from partway.actions.haul.after_words import after_lines
from partway.actions.haul.show_haul import grades_at
from partway.actions.haul.trip_end import end_set
from partway.actions.haul.window import sentence, verdict
from partway.catalogue.cards import CautionCard, cards_of_grades
from partway.ledger.fold.standing import settings
from partway.quantities import shown
from partway.reports.haul.expected_ticket import HaulSheet, StopNow
from partway.reports.haul.ticket_words import WORDS
from partway.valuing.trips.ticket_seen import Doubt, LineSeen, What
from partway.web.context import At, RequestContext
from partway.web.forms import DistanceField, Form, LineField
from partway.web.haul import figures
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form
from partway.web.serving.failures import NotHere

router = APIRouter()


class TicketPaidForm(Form):
    """Money that came in for one ticket."""

    amount = LineField("Came in", mode="decimal")
    how = LineField("How", "cash, cheque, transfer; may stay empty")


class FinishForm(Form):
    """The end of a haul."""

    km = DistanceField("{kilometres}", "the whole way; empty if not known", mode="decimal")
    minutes = LineField("Time", "from setting out to the end, such as 2 h 10; empty if not known")
    note = LineField("Note", "may stay empty")
    on = LineField("When", "empty for now; yesterday, 2026-03-14 15:30")


@dataclass(frozen=True, kw_only=True)
class HaulPage(Page):
    """One haul. `cautions` are by buyer, `paying` are the forms for money, by ticket; `doubts` puts doubts in words.

    `windows` has the verdict on each ticket, and what to say at the scale window; `asks` what else is worth a word of
    it, `hidden` how many differences are not; `after` is what was planned and what came of it. `ends_at` is where trips
    end, "" at home.
    """

    template: ClassVar[str] = "haul/haul.html"
    place: ClassVar[str] = "haul"
    styles: ClassVar[tuple[str, ...]] = ("haul.css",)
    sheet: HaulSheet
    doubts: dict[What, str]
    paying: dict[str, TicketPaidForm]
    cautions: dict[str, tuple[CautionCard, ...]]
    windows: dict[str, tuple[str, str]]
    asks: dict[str, tuple[tuple[LineSeen, Doubt], ...]]
    hidden: dict[str, int]
    after: tuple[str, ...]
    ends_at: str


@dataclass(frozen=True, kw_only=True)
class FinishPage(Page):
    """The form that ends a haul."""

    template: ClassVar[str] = "haul/finish.html"
    place: ClassVar[str] = "haul"
    styles: ClassVar[tuple[str, ...]] = ("haul.css",)
    sheet: HaulSheet
    blank: FinishForm


@router.get("/haul/{haul}")
def haul_page(ctx: At, haul: str) -> Response:
    """A haul as it stands."""
    return render(ctx, _haul_page(ctx, haul))


@router.post("/haul/{haul}/paid/{name}")
def paid(ctx: At, haul: str, name: str) -> Response:
    """Money for one of its tickets."""
    sheet = sheet_of(ctx, haul)
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
    return render(ctx, FinishPage(title="Finish the haul", sheet=sheet_of(ctx, haul), blank=FinishForm()))


@router.post("/haul/{haul}/finish")
def finish(ctx: At, haul: str) -> Response:
    """Home again."""
    sheet = sheet_of(ctx, haul)
    form = FinishForm(ctx.typed)

    def act() -> FormSaved:
        km, minutes = form.km.text or None, form.minutes.text or None
        recorded = hauls.finish(ctx.book, ctx.context(form.on.text), haul, km, minutes, form.note.text)
        return FormSaved.of(ctx, recorded, f"/haul/{haul}")

    return save_form(ctx, form, act, lambda: FinishPage(title="Finish the haul", sheet=sheet, blank=form))


def sheet_of(ctx: RequestContext, haul: str) -> HaulSheet:
    """A haul of this workspace. Raises NotHere."""
    found = figures.haul(ctx, haul)
    if found is None:
        raise NotHere(shown(haul), "a haul of this workspace", "haul")
    return found


def _haul_page(ctx: RequestContext, haul: str, given: dict[str, TicketPaidForm] | None = None) -> HaulPage:
    sheet = sheet_of(ctx, haul)
    tickets = [t for stop in sheet.stops for t in stop.tickets]
    open_ = [t.ticket for t in tickets if t.open > 0]
    asks = {t.ticket: sheet.small.worth_asking(t) for t in tickets}
    return HaulPage(
        title="On the way" if sheet.status == "started" else "Haul gone by",
        sheet=sheet,
        doubts=WORDS,
        paying={name: TicketPaidForm(prefix=f"{name}-") for name in open_} | (given or {}),
        cautions={stop.buyer: cautions_at(stop, sheet.status) for stop in sheet.stops},
        windows={t.ticket: (verdict(t), sentence(t, ctx.show.say)) for t in tickets},
        asks=asks,
        hidden={t.ticket: sum(len(line.doubts) for line in t.lines) - len(asks[t.ticket]) for t in tickets},
        after=tuple(after_lines(sheet.after, ctx.show.say)) if sheet.after else (),
        ends_at=end_set(settings(ctx.book)),
    )


def cautions_at(stop: StopNow, status: str) -> tuple[CautionCard, ...]:
    """What can hurt of all that is handed over there; nothing once the haul is over."""
    return () if status == "finished" else cards_of_grades(grades_at(stop))
