"""Money and hours by hand: what was spent, what came in for tickets, and hours that nothing else records."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.books import money
from partway.reports.books.ledger_page import PageLine, Reader
from partway.things.buyers import buyer_name
from partway.web.blanks import Blank, Choice, Line
from partway.web.books import figures
from partway.web.desk import At, Desk
from partway.web.pages import Page, render
from partway.web.posting import Done, submit

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
SHOWN = 12  # open tickets, the newest


class HoursBlank(Blank):
    """Hours worked."""

    activity = Choice("At what", "openings, sales and hauls bring their own", choices=ACTIVITIES, look="buttons")
    time = Line("How long", "such as 45 min or 1 h 30")
    find = Line("On which find", "may be left empty")
    note = Line("Note", "may be left empty")
    on = Line(*WHEN)


class SpendBlank(Blank):
    """Money that went out."""

    what = Line("What for", "such as fuel, full tank")
    amount = Line("Amount", mode="decimal")
    category = Choice("Sort", choices=[(name, name) for name in CATEGORIES], look="buttons", default="fuel")
    on = Line(*WHEN)


class PaidBlank(Blank):
    """Money that came in for a ticket."""

    buyer = Choice("Who paid")
    amount = Line("Amount", mode="decimal")
    ticket = Line("For which ticket", "empty for the only open one of that buyer")
    how = Line("How", "such as cash or check; may be left empty")
    on = Line(*WHEN)


@dataclass(frozen=True, kw_only=True)
class MoneyPage(Page):
    """Three forms, what is still owed, and what was recorded last."""

    template: ClassVar[str] = "books/money.html"
    place: ClassVar[str] = "books"
    styles: ClassVar[tuple[str, ...]] = ("books.css",)
    here: str = "money"
    hours: HoursBlank
    spend: SpendBlank
    paid: PaidBlank
    owed: tuple[tuple[str, str, Decimal], ...]
    owed_more: int
    buyers: bool
    recent: tuple[PageLine, ...]


@router.get(HERE)
def money_page(desk: At) -> Response:
    """The forms, empty."""
    return render(desk, _page(desk))


@router.post(f"{HERE}/hours")
def hours(desk: At) -> Response:
    """Hours worked."""
    form = HoursBlank(desk.typed, prefix="hours-")

    def act() -> Done:
        context = desk.context(form.on.text)
        told = money.hours(
            desk.book, context, form.activity.text, form.time.text, form.find.text or None, form.note.text
        )
        return Done.of(desk, told, HERE)

    return submit(desk, form, act, lambda: _page(desk, hours=form))


@router.post(f"{HERE}/spend")
def spend(desk: At) -> Response:
    """Money that went out."""
    form = SpendBlank(desk.typed, prefix="spend-")

    def act() -> Done:
        context = desk.context(form.on.text)
        told = money.spend(desk.book, context, form.what.text, form.amount.text, form.category.text or "other")
        return Done.of(desk, told, HERE)

    return submit(desk, form, act, lambda: _page(desk, spend=form), {"spend": "amount"})


@router.post(f"{HERE}/paid")
def paid(desk: At) -> Response:
    """Money that came in."""
    form = PaidBlank(desk.typed, prefix="paid-")

    def act() -> Done:
        context = desk.context(form.on.text)
        told = money.paid(
            desk.book,
            context,
            form.buyer.text,
            form.amount.text,
            form.ticket.text or None,
            form.how.text,
            form.agreed("as_printed"),
        )
        return Done.of(desk, told, HERE)

    return submit(desk, form, act, lambda: _page(desk, paid=form))


def _page(
    desk: Desk, hours: HoursBlank | None = None, spend: SpendBlank | None = None, paid: PaidBlank | None = None
) -> MoneyPage:
    owed = figures.owed(desk)
    buyers = [(buyer.buyer, buyer_name(buyer.buyer, buyer.name)) for buyer in desk.buyers.values()]
    paying = paid or PaidBlank(prefix="paid-")
    paying.buyer.choices = [("", "Choose"), *buyers]
    return MoneyPage(
        title="Money and hours",
        hours=hours or HoursBlank(prefix="hours-"),
        spend=spend or SpendBlank(prefix="spend-"),
        paid=paying,
        owed=owed[:SHOWN],
        owed_more=len(owed[SHOWN:]),
        buyers=bool(buyers),
        recent=_recent(desk),
    )


def _recent(desk: Desk) -> tuple[PageLine, ...]:
    reader = Reader(desk.book, desk.show.say.unit, desk.now.tzinfo)
    return reader.leaf(("worked", "spent", "paid"), most=RECENT).lines
