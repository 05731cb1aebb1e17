"""What the pages of today ask of the ledger, worked out once for each state of it."""

from __future__ import annotations

from partway.actions.bench.benching import best
from partway.reports.books.overview import Overview, report_overview
from partway.reports.home.firststeps import FirstSteps, first_steps
from partway.reports.home.today import FEW, There, Today, report_today
from partway.web.cache import cached
from partway.web.context import RequestContext


@cached
def steps(ctx: RequestContext) -> FirstSteps:
    """What a new workspace still lacks."""
    return first_steps(ctx.book)


@cached
def today(ctx: RequestContext) -> Today:
    """What comes next."""
    first = best(ctx.book, ctx.prices, ctx.finds, FEW)
    return report_today(ctx.book, ctx.prices, ctx.now, first, There(ctx.finds, ctx.bins, ctx.conflicts))


@cached
def overview(ctx: RequestContext) -> Overview:
    """How everything stands."""
    return report_overview(ctx.book, ctx.scenario, ctx.now, ctx.finds)
