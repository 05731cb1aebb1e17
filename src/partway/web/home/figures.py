"""What the pages of today ask of the ledger, worked out once for each state of it."""

from __future__ import annotations

from partway.reports.home.firststeps import FirstSteps, first_steps
from partway.reports.home.today import Today, report_today
from partway.web.cache import cached
from partway.web.context import RequestContext


@cached
def steps(ctx: RequestContext) -> FirstSteps:
    """What a new workspace still lacks."""
    return first_steps(ctx.book)


@cached
def today(ctx: RequestContext) -> Today:
    """What matters now."""
    return report_today(ctx.book, ctx.scenario, ctx.now, ctx.finds)
