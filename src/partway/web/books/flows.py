"""Where the kilograms went: from finds through grades to buyers, people, residue, or still here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.valuing.ends.flows import Rows, rows_of
from partway.web.books import figures
from partway.web.books.page import windows_of
from partway.web.context import At
from partway.web.drawings.flows import FlowsChart, flows_chart
from partway.web.pages import Page, render

router = APIRouter()
MOST = 7


@dataclass(frozen=True, kw_only=True)
class FlowsPage(Page):
    """The ribbons, and the same as a table."""

    template: ClassVar[str] = "books/flows.html"
    place: ClassVar[str] = "books"
    styles: ClassVar[tuple[str, ...]] = ("books.css", "charts.css")
    here: str = "flows"
    windows: list[tuple[str, str, bool]]
    chart: FlowsChart | None
    rows: dict[str, tuple[Rows, ...]]
    every: bool


@router.get("/books/flows")
def flows_page(ctx: At, months: str = "3", every: str = "") -> Response:
    """The flows of a stretch of months; `every` shows all kinds, grades and buyers, however little passed."""
    most = None if every else MOST
    flows = figures.flows(ctx, months, most)
    page = FlowsPage(
        title="Where it went",
        windows=windows_of(months),
        chart=flows_chart(flows),
        rows=rows_of(flows),
        every=bool(every),
    )
    return render(ctx, page)
