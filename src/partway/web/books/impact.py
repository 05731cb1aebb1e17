"""What was kept out of the landfill and what that spared, by one named factor set."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.catalogue.factors import factor_sets
from partway.reports.books.impact import ImpactReport
from partway.web.books import figures
from partway.web.books.page import windows_of
from partway.web.context import At
from partway.web.pages import Page, render

router = APIRouter()


@dataclass(frozen=True, kw_only=True)
class ImpactPage(Page):
    """The figures of a stretch. `sets` are the factor sets to choose from, (id, name, chosen)."""

    template: ClassVar[str] = "books/impact.html"
    place: ClassVar[str] = "books"
    styles: ClassVar[tuple[str, ...]] = ("books.css",)
    here: str = ""
    windows: list[tuple[str, str, bool]]
    months: str
    sets: list[tuple[str, str, bool]]
    impact: ImpactReport


@router.get("/books/impact")
def impact_page(ctx: At, months: str = "0", set: str = "") -> Response:  # noqa: A002 the address says it so
    """The impact of a stretch of months by one factor set."""
    found = figures.impact(ctx, months, set)
    page = ImpactPage(
        title="What that spared",
        windows=windows_of(months),
        months=months,
        sets=[(one.id, one.called, one.id == found.set) for one in factor_sets().values()],
        impact=found,
    )
    return render(ctx, page)
