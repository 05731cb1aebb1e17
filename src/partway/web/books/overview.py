"""How everything stands: what waits, what is due, whose price is old, what is owed, and all of it so far."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.reports.books.overview import Overview
from partway.web.buyers import figures as buyer_figures
from partway.web.context import At
from partway.web.home import figures
from partway.web.pages import Page, render

router = APIRouter()
FEW = 3  # lines of a list; its own place has all of them


@dataclass(frozen=True, kw_only=True)
class OverviewPage(Page):
    """How it stands. `names` are those of grades and buyers."""

    template: ClassVar[str] = "books/overview.html"
    place: ClassVar[str] = "books"
    styles: ClassVar[tuple[str, ...]] = ("books.css", "curb.css")
    here: str = "stands"
    stands: Overview
    names: dict[str, str]
    few: int = FEW


@router.get("/books/overview")
def overview_page(ctx: At) -> Response:
    """How everything stands."""
    grades = {grade.id: grade.name for grade in ctx.prices.grades.values()}
    page = OverviewPage(
        title="How everything stands", stands=figures.overview(ctx), names=grades | buyer_figures.names(ctx)
    )
    return render(ctx, page)
