"""Buyers: the sheet of grades and prices."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.catalogue.cards import CautionCard, cards_of_grades
from partway.reports.buyers.sheet import PriceSheet
from partway.web.buyers import figures
from partway.web.context import At
from partway.web.pages import Page, render
from partway.web.serving.failures import NotHere

router = APIRouter()


@dataclass(frozen=True, kw_only=True)
class SheetPage(Page):
    """Who pays what; `family` is the one of which all grades are shown, empty for those that matter."""

    template: ClassVar[str] = "buyers/sheet.html"
    place: ClassVar[str] = "buyers"
    styles: ClassVar[tuple[str, ...]] = ("buyers.css",)
    cautions: tuple[CautionCard, ...]
    prices: PriceSheet
    family: str


@router.get("/buyers")
def sheet_page(ctx: At, family: str = "") -> Response:
    """The sheet of grades and buyers."""
    prices = figures.sheet(ctx, family)
    if family and not prices.families:
        raise NotHere(f'"{family[:80]}"', "a family of grades, such as copper", "family")
    cautions = cards_of_grades(row.grade for group in prices.families for row in group.rows)
    return render(ctx, SheetPage(title="Buyers", cautions=cautions, prices=prices, family=family))
