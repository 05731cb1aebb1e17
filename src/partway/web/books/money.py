"""Money and hours by hand: what was spent, what came in for tickets, and hours that nothing else records."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.books import money
from partway.reports.books.ledger_page import PageLine, Reader
from partway.valuing.learned.offers import AskedAgainstGot
from partway.web.books import figures
from partway.web.buyers import figures as buyer_figures
from partway.web.context import At, RequestContext
from partway.web.forms import ChoiceField, Form, LineField
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form

router = APIRouter()
HERE = "/books/money"
WHEN = ("When", "empty for now; yesterday, 2026-03-14")
ACTIVITIES = (
    ("collect", "Collecting"),
    ("bench", "Bench"),
    ("haul", "Driving"),
    ("list", "Listing"),
    ("other", "Other"),
)
CATEGORIES = ("fuel", "blades", "fees", "other")
RECENT = 8
FEW = 3  # lines before the others are folded away
SHOWN = 12  # open tickets, the newest


class WorkedForm(Form):
    """Hours worked."""

    activity = ChoiceField("At what", "openings, sales and hauls bring their own", choices=ACTIVITIES, look="buttons")
    time = LineField("How long", "such as 45 min or 1 h 30")
    find = LineField("On which find", "may be left empty")
    note = LineField("Note", "may be left empty")
    on = LineField(*WHEN)


class SpendForm(Form):
    """Money that went out."""

    what = LineField("What for", "such as fuel, full tank")
    amount = LineField("Amount", mode="decimal")
    category = ChoiceField("Sort", choices=[(name, name) for name in CATEGORIES], look="buttons", default="fuel")
    on = LineField(*WHEN)


class PaidForm(Form):
    """Money that came in for a ticket."""

    buyer = ChoiceField("Who paid")
    amount = LineField("Amount", mode="decimal")
    ticket = LineField("For which ticket", "empty for the only open one of that buyer")
    how = LineField("How", "such as cash or check; may be left empty")
    on = LineField(*WHEN)


@dataclass(frozen=True, kw_only=True)
class MoneyPage(Page):
    """Three forms, what is still owed and what it comes to, what was asked and got, and what was recorded last. `names`
    are those of buyers; `resale` has each kind by its name.
    """

    template: ClassVar[str] = "books/money.html"
    place: ClassVar[str] = "books"
    styles: ClassVar[tuple[str, ...]] = ("books.css",)
    here: str = "money"
    hours: WorkedForm
    spend: SpendForm
    paid: PaidForm
    owed: tuple[tuple[str, str, Decimal], ...]
    owed_more: int
    owed_sum: Decimal
    few: int = FEW
    names: dict[str, str]
    resale: tuple[tuple[str, AskedAgainstGot], ...]
    recent: tuple[PageLine, ...]


@router.get(HERE)
def money_page(ctx: At) -> Response:
    """The forms, empty."""
    return render(ctx, _page(ctx))


@router.post(f"{HERE}/hours")
def hours(ctx: At) -> Response:
    """Hours worked."""
    form = WorkedForm(ctx.typed, prefix="hours-")

    def act() -> FormSaved:
        context = ctx.context(form.on.text)
        told = money.hours(
            ctx.book, context, form.activity.text, form.time.text, form.find.text or None, form.note.text
        )
        return FormSaved.of(ctx, told, HERE)

    return save_form(ctx, form, act, lambda: _page(ctx, hours=form))


@router.post(f"{HERE}/spend")
def spend(ctx: At) -> Response:
    """Money that went out."""
    form = SpendForm(ctx.typed, prefix="spend-")

    def act() -> FormSaved:
        context = ctx.context(form.on.text)
        told = money.spend(ctx.book, context, form.what.text, form.amount.text, form.category.text or "other")
        return FormSaved.of(ctx, told, HERE)

    return save_form(ctx, form, act, lambda: _page(ctx, spend=form), {"spend": "amount"})


@router.post(f"{HERE}/paid")
def paid(ctx: At) -> Response:
    """Money that came in."""
    form = PaidForm(ctx.typed, prefix="paid-")

    def act() -> FormSaved:
        context = ctx.context(form.on.text)
        told = money.paid(
            ctx.book,
            context,
            form.buyer.text,
            form.amount.text,
            form.ticket.text or None,
            form.how.text,
            form.agreed("as_printed"),
        )
        return FormSaved.of(ctx, told, HERE)

    return save_form(ctx, form, act, lambda: _page(ctx, paid=form))


def _page(
    ctx: RequestContext, hours: WorkedForm | None = None, spend: SpendForm | None = None, paid: PaidForm | None = None
) -> MoneyPage:
    owed = figures.owed(ctx)
    names = buyer_figures.names(ctx)
    paying = paid or PaidForm(prefix="paid-")
    paying.buyer.choices = [("", "Choose"), *names.items()]
    return MoneyPage(
        title="Money and hours",
        hours=hours or WorkedForm(prefix="hours-"),
        spend=spend or SpendForm(prefix="spend-"),
        paid=paying,
        owed=owed[:SHOWN],
        owed_more=len(owed[SHOWN:]),
        owed_sum=sum((left for _, _, left in owed), Decimal(0)),
        names=names,
        resale=figures.resale(ctx),
        recent=_recent(ctx),
    )


def _recent(ctx: RequestContext) -> tuple[PageLine, ...]:
    reader = Reader(ctx.book, ctx.show.say.units, ctx.now.tzinfo, ctx.called)
    return reader.leaf(("worked", "spent", "paid"), most=RECENT).lines
