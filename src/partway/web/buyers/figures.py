"""What the buyers' pages and JSON ask of the ledger, worked out once for each state of it."""

from __future__ import annotations

from partway.reports.buyers.calls import BuyerRow, report_calls
from partway.reports.buyers.one import OneBuyer, report_buyer
from partway.reports.buyers.price_history import PriceHistory, report_price_history
from partway.reports.buyers.search import find_grades
from partway.reports.buyers.sheet import GradeRow, PriceSheet, report_sheet
from partway.things.buyers import buyer_name
from partway.web.cache import cached
from partway.web.context import RequestContext


@cached
def sheet(ctx: RequestContext, family: str = "") -> PriceSheet:
    """The sheet of grades and prices, of one family of grades or of all."""
    return report_sheet(ctx.book, ctx.today, family)


@cached
def calls(ctx: RequestContext) -> tuple[BuyerRow, ...]:
    """Each buyer with what to ask it."""
    return report_calls(ctx.book, ctx.today, sheet(ctx))


def found(ctx: RequestContext, text: str) -> tuple[GradeRow, ...]:
    """The rows of the sheet of the grades a text may mean, likeliest first."""
    unknown = [row.grade for family in sheet(ctx).families if not family.name for row in family.rows]
    meant = find_grades(text, unknown)
    rows = {row.grade: row for row in report_sheet(ctx.book, ctx.today, only=meant).rows}
    return tuple(rows[grade] for grade in meant)


@cached
def names(ctx: RequestContext) -> dict[str, str]:
    """What each buyer is called, by its id."""
    return {buyer: buyer_name(buyer, terms.name) for buyer, terms in ctx.buyers.items()}


@cached
def buyer(ctx: RequestContext, buyer: str) -> OneBuyer:
    """One buyer: terms, word on each grade, what was delivered, what it owes."""
    return report_buyer(ctx.book, buyer, ctx.now, sheet(ctx))


@cached
def price_history(ctx: RequestContext, grade: str, buyer: str, days: int | None) -> PriceHistory:
    """What one buyer, or all, said of a grade in the last days, or ever."""
    return report_price_history(ctx.book, grade, ctx.today, ctx.show.say.unit, buyer=buyer, days=days)
