"""What is taken along from the books: a month on paper, a year as a page of sums and as a file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar

from fastapi import APIRouter, Query
from fastapi.responses import Response

from partway.errors import Refused
from partway.quantities import shown
from partway.reports.books.told.month import month_named, report_month
from partway.reports.books.told.year import YearBooks
from partway.storage.yearbook.files import FORMS
from partway.web.books import figures
from partway.web.context import At
from partway.web.pages import Page, render
from partway.web.paper import file_answer, pdf_answer
from partway.web.serving.failures import NotHere

router = APIRouter()


@dataclass(frozen=True, kw_only=True)
class YearPage(Page):
    """The sums of a year, and where to take the whole of it. `years` to choose from, the newest first."""

    template: ClassVar[str] = "books/year.html"
    place: ClassVar[str] = "books"
    styles: ClassVar[tuple[str, ...]] = ("books.css",)
    here: str = "export"
    years: tuple[int, ...]
    books: YearBooks


@router.get("/books/year")
def year_page(ctx: At, year: str = "") -> Response:
    """The books of a year, this one where none is named."""
    books = figures.year(ctx, year)
    return render(ctx, YearPage(title=f"Books of {books.year}", years=figures.years(ctx), books=books))


@router.get("/books/year/{name}")
def year_file(ctx: At, name: str) -> Response:
    """The whole of a year: 2026.xlsx or 2026.zip."""
    year, dot, ending = name.partition(".")
    if f"{dot}{ending}" not in FORMS:
        raise NotHere(shown(name), f"a year and {' or '.join(FORMS)}", "year")
    media_type, write = FORMS[f".{ending}"]
    books = figures.year(ctx, year)
    return file_answer(write(books), media_type, f"books-{books.year}.{ending}", "attachment")


@router.get("/papers/month/{month}.pdf")
def month_pdf(ctx: At, month: str) -> Response:
    """Money, hours, buyers and mass of one month, written as 2026-03."""
    from partway.paper.month import month_paper

    try:
        first = month_named(month, ctx.now)
    except Refused as refused:
        raise NotHere(refused.given, refused.expected, refused.where) from None
    return pdf_answer(month_paper(report_month(ctx.book, first, ctx.now), ctx.show, ctx.paper), f"month-{first:%Y-%m}")


@router.get("/papers/year/{name}")
def year_picture(ctx: At, name: str, money: str = "", factors: Annotated[str, Query(alias="set")] = "") -> Response:
    """A picture of a year, 2026.pdf or 2026.png; what was earned only where it is asked for."""
    from partway.paper.year import year_paper

    year, _, ending = name.partition(".")
    if ending not in ("pdf", "png"):
        raise NotHere(shown(name), "a year and .pdf or .png", "year")
    made = year_paper(figures.year_seen(ctx, year, factors), ctx.show, ctx.paper, money=bool(money))
    if ending == "pdf":
        return pdf_answer(made, f"year-{year}")
    return file_answer(made.pictures[0], "image/png", f"year-{year}.png")
