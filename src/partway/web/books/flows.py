"""Where the kilograms went: from finds through grades to buyers, people, residue, or still here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.catalogue import shipped
from partway.ledger import trading
from partway.things.buyers import buyer_name
from partway.valuing.flows import FlowNames, Flows, Rows, report_flows, rows_of
from partway.web.books.page import window_of, windows_of
from partway.web.desk import At, Desk
from partway.web.drawings.flows import flows_chart
from partway.web.pages import Page, render

router = APIRouter()
MOST = 7


@dataclass(frozen=True, kw_only=True)
class FlowsPage(Page):
    """The ribbons, and the same as a table."""

    template: ClassVar[str] = "books/flows.html"
    place: ClassVar[str] = "books"
    styles: ClassVar[tuple[str, ...]] = ("books.css",)
    charts: ClassVar[bool] = True
    here: str = "flows"
    windows: list[tuple[str, str, bool]]
    chart: dict[str, Any]
    rows: dict[str, tuple[Rows, ...]]
    every: bool


@router.get("/books/flows")
def flows_page(desk: At, months: str = "3", every: str = "") -> Response:
    """The flows of a stretch of months; `every` shows all kinds, grades and buyers, however little passed."""
    most = None if every else MOST
    flows = desk.kept(("flows", months, most), lambda: flows_of(desk, months, most))
    page = FlowsPage(
        title="Where it went",
        windows=windows_of(months),
        chart=flows_chart(flows, desk.show.say.unit),
        rows=rows_of(flows),
        every=bool(every),
    )
    return render(desk, page)


def flows_of(desk: Desk, months: str, most: int | None) -> Flows:
    """The flows of a stretch."""
    moved = window_of(desk, months).moved
    kinds = {source[5:] for source, _, _ in moved if source.startswith("find:")} & set(shipped().kinds)
    buyers = trading.buyers(desk.book).values()
    names = FlowNames(
        {kind: shipped().anatomy(kind).name for kind in kinds},
        {grade.id: grade.name for grade in desk.prices.grades.values()},
        {buyer.buyer: buyer_name(buyer.buyer, buyer.name) for buyer in buyers},
        [buyer.buyer for buyer in buyers if buyer.kind == "tip"],
    )
    return report_flows(moved, names, most)
