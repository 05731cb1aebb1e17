"""Buyers: whom to call and what to ask, the prices by family of grades, and a search among them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.catalogue.cards import CautionCard, cards_of_grades
from partway.reports.buyers.calls import BuyerRow
from partway.reports.buyers.search import LONGEST
from partway.reports.buyers.sheet import BuyerColumn, GradeRow, PriceSheet
from partway.things.buyers import phone_address
from partway.things.families import family_name
from partway.web.buyers import figures
from partway.web.context import At, RequestContext
from partway.web.pages import Page, render
from partway.web.serving.failures import NotHere

router = APIRouter()
ROWS = 8  # buyers in sight before the others are folded away
ASKS = 2  # grades named in a buyer's row
MATCHES = 3  # grades that a search shows with all their prices
NAMED = 6  # others that it names


@dataclass(frozen=True, kw_only=True)
class FoundPricesPage(Page):
    """The prices of the grades that a text may mean: the part of the page that is asked for anew while somebody types.

    `matches` are shown with all their prices, `more` are named.
    """

    template: ClassVar[str] = "buyers/found.html"
    typed: str
    columns: tuple[BuyerColumn, ...]
    matches: tuple[GradeRow, ...]
    more: tuple[GradeRow, ...]
    found_cautions: tuple[CautionCard, ...]
    named: int = NAMED


@dataclass(frozen=True, kw_only=True)
class BuyersPage(Page):
    """Each buyer in a row; each family in a line; what was searched for. `dialled` are addresses of calls, by buyer."""

    template: ClassVar[str] = "buyers/buyers.html"
    place: ClassVar[str] = "buyers"
    styles: ClassVar[tuple[str, ...]] = ("buyers.css",)
    scripts: ClassVar[tuple[str, ...]] = ("curb.js",)
    cautions: tuple[CautionCard, ...]
    calls: tuple[BuyerRow, ...]
    dialled: dict[str, str]
    prices: PriceSheet
    longest: int
    typed: str
    columns: tuple[BuyerColumn, ...]
    matches: tuple[GradeRow, ...]
    more: tuple[GradeRow, ...]
    found_cautions: tuple[CautionCard, ...]
    named: int = NAMED
    rows: int = ROWS
    asks: int = ASKS


@dataclass(frozen=True, kw_only=True)
class SheetPage(Page):
    """Who pays what, in full; `family` is the one of which all grades are shown, empty for all that matter."""

    template: ClassVar[str] = "buyers/sheet.html"
    place: ClassVar[str] = "buyers"
    styles: ClassVar[tuple[str, ...]] = ("buyers.css",)
    cautions: tuple[CautionCard, ...]
    prices: PriceSheet
    family: str


@router.get("/buyers")
def buyers_page(ctx: At, q: str = "", family: str = "", part: str = "") -> Response:
    """The buyers; of one `family` the sheet; for `q` the grades it may mean; with `part` found, these alone."""
    typed = q[:LONGEST]
    if part == "found":
        return render(ctx, _found(ctx, typed))
    return render(ctx, _sheet(ctx, family) if family else _buyers(ctx, typed))


@router.get("/prices")
def whole_sheet_page(ctx: At) -> Response:
    """The whole sheet of grades and buyers."""
    return render(ctx, _sheet(ctx, ""))


def _buyers(ctx: RequestContext, typed: str) -> BuyersPage:
    prices, found = figures.sheet(ctx), _found(ctx, typed)
    grades = [row.grade for row in (*prices.rows, *found.matches)]
    calls = figures.calls(ctx)
    return BuyersPage(
        title="Buyers",
        cautions=cards_of_grades(grades),
        calls=calls,
        dialled={row.buyer: phone_address(row.phone) for row in calls if row.phone},
        prices=prices,
        longest=LONGEST,
        typed=found.typed,
        columns=found.columns,
        matches=found.matches,
        more=found.more,
        found_cautions=found.found_cautions,
    )


def _found(ctx: RequestContext, typed: str) -> FoundPricesPage:
    rows = figures.found(ctx, typed) if typed.strip() else ()
    return FoundPricesPage(
        title="Found",
        typed=typed,
        columns=figures.sheet(ctx).columns,
        matches=rows[:MATCHES],
        more=rows[MATCHES:],
        found_cautions=cards_of_grades(row.grade for row in rows[:MATCHES]),
    )


def _sheet(ctx: RequestContext, family: str) -> SheetPage:
    prices = figures.sheet(ctx, family)
    if family and not prices.families:
        raise NotHere(f'"{family[:80]}"', "a family of grades, such as copper", "family")
    cautions = cards_of_grades(row.grade for row in prices.rows)
    title = f"Prices: {family_name(family)}" if family else "All prices"
    return SheetPage(title=title, cautions=cautions, prices=prices, family=family)
