"""Books: what an hour brought, which kinds are worth it, what was kept out of the landfill."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.reports.books.conflicts import in_doubt
from partway.reports.books.per_hour import PerHour
from partway.reports.books.per_place import PerPlace
from partway.valuing.ends.diverted import Diverted
from partway.web.books import figures
from partway.web.context import At
from partway.web.drawings.per_hour import MonthsChart, months_chart
from partway.web.pages import Page, render

router = APIRouter()


@dataclass(frozen=True, kw_only=True)
class BooksPage(Page):
    """The overview. `windows` are the stretches to choose from, (months, name, chosen)."""

    template: ClassVar[str] = "books/books.html"
    place: ClassVar[str] = "books"
    styles: ClassVar[tuple[str, ...]] = ("books.css", "charts.css")
    here: str = "overview"
    windows: list[tuple[str, str, bool]]
    hour: PerHour
    places: PerPlace
    chart: MonthsChart | None
    diverted: Diverted
    doubt: tuple[str, ...]
    by_year: bool


@router.get("/books")
def books_page(ctx: At, months: str = "3") -> Response:
    """The overview of a stretch of months."""
    hour = figures.per_hour(ctx, months)
    page = BooksPage(
        title="Books",
        windows=windows_of(months),
        hour=hour,
        places=figures.per_place(ctx, months),
        chart=months_chart(hour.months, ctx.show.number),
        diverted=figures.diverted(ctx, months),
        doubt=in_doubt(ctx.conflicts),
        by_year=months == "0",
    )
    return render(ctx, page)


def windows_of(months: str) -> list[tuple[str, str, bool]]:
    """The stretches to choose from."""
    return [(value, name, value == months) for value, name in figures.MONTHS.items()]
