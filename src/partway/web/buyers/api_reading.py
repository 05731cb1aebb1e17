"""Reading for bins, buyers and hauls: where a lot sells, what was quoted when, what a ticket should say."""

from __future__ import annotations

from typing import Annotated

from fastapi import Path, Query

from partway.catalogue import shipped
from partway.errors import Refused
from partway.quantities import shown
from partway.reports.bins.all import Bins
from partway.reports.bins.labels import BinLabel, report_labels
from partway.reports.bins.one import OneBin
from partway.reports.buyers.calls import BuyerRow
from partway.reports.buyers.one import OneBuyer
from partway.reports.buyers.price_history import PriceHistory, report_price_history
from partway.reports.buyers.sheet import PriceSheet
from partway.reports.haul.expected_ticket import HaulSheet
from partway.web.api.bodies import LINE
from partway.web.api.reading import AT_NAME, named, reads
from partway.web.bins import figures as bin_figures
from partway.web.buyers import figures
from partway.web.context import At
from partway.web.haul import figures as haul_figures
from partway.web.home.api import Bin, Buyer
from partway.web.serving.failures import NotHere

router = reads("prices")

Grade = Annotated[str, Path(max_length=LINE, examples=["copper-2"])]
Haul = Annotated[str, Path(max_length=LINE, examples=["haul-16"])]
OfBuyer = Annotated[str, Query(max_length=LINE, description="Of this buyer only.", examples=["harbour-yard"])]


@router.get("/filling")
def filling(ctx: At) -> Bins:
    """The bins as they fill: how old, how full, which lot or price is near."""
    return bin_figures.bins(ctx)


@router.get("/bins/{bin}/offers", responses=AT_NAME)
def offers(ctx: At, bin: Bin) -> OneBin:  # noqa: A002 (its name in the address)
    """One bin: what it fetches at each buyer, what the next lot would add, how it filled."""
    named(ctx.bins, bin, "bin")
    return bin_figures.one(ctx, bin)


@router.get("/labels")
def labels(
    ctx: At,
    bin: Annotated[list[str] | None, Query(max_length=200, description="Of these bins only.")] = None,  # noqa: A002
) -> tuple[BinLabel, ...]:
    """What is printed on the labels of bins."""
    return report_labels(ctx.book, dict(shipped().grades), bin or ())


@router.get("/calls")
def calls(ctx: At) -> tuple[BuyerRow, ...]:
    """Whom to call: each buyer with when it was last heard and what to ask it, the most money first."""
    return figures.calls(ctx)


@router.get("/prices")
def prices(
    ctx: At,
    family: Annotated[str, Query(max_length=LINE, description="All grades of this family.", examples=["copper"])] = "",
) -> PriceSheet:
    """The sheet of grades and buyers: who pays what, how long ago they said so, who pays best."""
    families = {grade.family for grade in shipped().grades.values()}
    if family and family not in families:
        raise Refused(shown(family), f"one of {', '.join(sorted(families))}", "family")
    return figures.sheet(ctx, family)


@router.get("/prices/{grade}", responses=AT_NAME)
def price_history(
    ctx: At,
    grade: Grade,
    buyer: OfBuyer = "",
    days: Annotated[int, Query(ge=1, le=3660, description="How far back.")] = 365,
) -> PriceHistory:
    """What buyers said of one grade over time, with the range that held. No trend is claimed."""
    named(shipped().grades, grade, "grade")
    if buyer:
        named(ctx.buyers, buyer, "buyer")
    unit = ctx.show.say.unit
    return report_price_history(ctx.book, grade, ctx.today, unit, buyer=buyer, days=days)


@router.get("/buyers/{buyer}/sheet", responses=AT_NAME)
def buyer_sheet(ctx: At, buyer: Buyer) -> OneBuyer:
    """One buyer: terms, refusals, its word on each grade, what was delivered, what it owes."""
    named(ctx.buyers, buyer, "buyer")
    return figures.buyer(ctx, buyer)


@router.get("/hauls/{haul}", responses=AT_NAME)
def haul_now(ctx: At, haul: Haul) -> HaulSheet:
    """A haul: what each stop's ticket should say, and what the tickets that came did say."""
    named(haul_figures.hauls(ctx), haul, "haul")
    found = haul_figures.haul(ctx, haul)
    if found is None:
        raise NotHere(f'"{haul[:80]}"', "a haul that is there", "haul")
    return found
