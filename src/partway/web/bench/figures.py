"""What the bench's pages and JSON ask of the ledger, worked out once for each state of it."""

from __future__ import annotations

import datetime as dt

from partway.actions.bench import benching
from partway.ledger.fold.standing import FindNow
from partway.reports.bench.find import FindAtBench
from partway.reports.bench.offers import OffersReport, report_offers
from partway.reports.bench.queue import Queue
from partway.valuing.finds.waiting import Unvalued
from partway.web.cache import cached
from partway.web.context import RequestContext


@cached
def queue(ctx: RequestContext, hours: float | None) -> Queue:
    """The waiting finds by money per bench hour, and how many fit the hours. Raises Refused."""
    return benching.queue(ctx.book, ctx.prices, ctx.finds, hours)


@cached
def find(ctx: RequestContext, now: FindNow, works: str | None) -> FindAtBench | Unvalued:
    """One find at the bench, as if it were in another condition where `works` says so. Raises Refused."""
    return benching.at_bench(ctx.book, ctx.prices, now, works)


@cached
def offers(ctx: RequestContext, day: dt.date) -> OffersReport:
    """What is on offer on a day, and what was asked against what was got."""
    return report_offers(ctx.book, ctx.prices, ctx.now)


@cached
def bins_by_grade(ctx: RequestContext) -> dict[str, tuple[str, ...]]:
    """Ids of the bins that hold each grade."""
    return benching.bins_by_grade(ctx.book)
