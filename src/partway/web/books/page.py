"""Books: what an hour brought, which kinds are worth it, what was kept out of the landfill."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.ledger.balance.sheet import sheet, tips_in
from partway.quantities import shown
from partway.reports.books.per_hour import PerHour, report_per_hour
from partway.valuing.diverted import Diverted, report_diverted
from partway.valuing.window import Window, window
from partway.web.desk import At, Desk
from partway.web.drawings.per_hour import months_chart
from partway.web.pages import Page, render
from partway.web.serving.failures import NotHere

router = APIRouter()
MONTHS = {"1": "This month", "3": "3 months", "12": "12 months", "0": "All of it"}


@dataclass(frozen=True, kw_only=True)
class BooksPage(Page):
    """The overview. `windows` are the stretches to choose from, (months, name, chosen)."""

    template: ClassVar[str] = "books/books.html"
    place: ClassVar[str] = "books"
    styles: ClassVar[tuple[str, ...]] = ("books.css",)
    charts: ClassVar[bool] = True
    here: str = "overview"
    windows: list[tuple[str, str, bool]]
    hour: PerHour
    chart: dict[str, Any]
    diverted: Diverted
    by_year: bool


@router.get("/books")
def books_page(desk: At, months: str = "3") -> Response:
    """The overview of a stretch of months."""
    seen = window_of(desk, months)
    hour = desk.kept(("per hour", months), lambda: report_per_hour(desk.book, desk.prices, seen))
    page = BooksPage(
        title="Books",
        windows=windows_of(months),
        hour=hour,
        chart=months_chart(hour.months, desk.show.say.currency),
        diverted=desk.kept(("diverted", months), lambda: diverted_of(desk, seen)),
        by_year=months == "0",
    )
    return render(desk, page)


def windows_of(months: str) -> list[tuple[str, str, bool]]:
    """The stretches to choose from."""
    return [(value, name, value == months) for value, name in MONTHS.items()]


def window_of(desk: Desk, months: str) -> Window:
    """What the ledger says of the last so many months, read once for all pages of the books."""
    if months not in MONTHS:
        raise NotHere(shown(months), f"one of {', '.join(MONTHS)} months; 0 for all", "months")
    return desk.kept(("window", months), lambda: window(desk.book, desk.now, int(months)))


def diverted_of(desk: Desk, seen: Window) -> Diverted:
    """What was kept out of the landfill, in all and by the steps of a stretch."""
    tips = tips_in(desk.book.facts("buyer:", "terms"))
    return report_diverted(sheet(desk.book.summed(), tips), tips, seen.steps)
