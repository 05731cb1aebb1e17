"""Prices of one grade over time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.catalogue import shipped
from partway.reports.bins.all import Hazard, hazard
from partway.reports.buyers.price_history import PriceHistory
from partway.web.buyers import figures
from partway.web.context import At
from partway.web.drawings.price_history import PriceChart, history_chart
from partway.web.pages import Page, render
from partway.web.serving.failures import NotHere

router = APIRouter()
SPANS: tuple[tuple[str, str, int | None], ...] = (
    ("90", "90 days", 90),
    ("365", "a year", 365),
    ("all", "all there is", None),
)


@dataclass(frozen=True, kw_only=True)
class PricesPage(Page):
    """A grade's prices; `chart` is what is drawn, and `history` says the same as a table."""

    template: ClassVar[str] = "prices/prices.html"
    place: ClassVar[str] = "buyers"
    styles: ClassVar[tuple[str, ...]] = ("buyers.css", "charts.css")
    history: PriceHistory
    chart: PriceChart | None
    hazards: tuple[Hazard, ...]
    buyers: tuple[tuple[str, str], ...]
    buyer: str
    span: str
    spans: tuple[tuple[str, str, int | None], ...] = SPANS


@router.get("/prices/{grade}")
def prices_page(ctx: At, grade: str, buyer: str = "", days: str = "365") -> Response:
    """The prices of a grade, of one buyer where it is asked for."""
    known = shipped().grades.get(grade)
    if known is None:
        raise NotHere(f'"{grade[:80]}"', "a grade of the catalogue", "grade")
    buyers = ctx.buyers
    if buyer and buyer not in buyers:
        raise NotHere(f'"{buyer[:80]}"', "a buyer of this workspace", "buyer")
    span = days if days in {name for name, _, _ in SPANS} else "365"
    back = next(number for name, _, number in SPANS if name == span)
    history = figures.price_history(ctx, grade, buyer, back)
    return render(
        ctx,
        PricesPage(
            title=known.name,
            history=history,
            chart=history_chart(history, ctx.show.number),
            hazards=tuple(hazard(name) for name in known.hazards),
            buyers=tuple(figures.names(ctx).items()),
            buyer=buyer,
            span=span,
        ),
    )
