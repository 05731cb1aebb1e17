"""What the bins' pages and JSON ask of the ledger, worked out once for each state of it."""

from __future__ import annotations

from partway.reports.bins.all import Bins, report_bins
from partway.reports.bins.one import OneBin, report_bin
from partway.web.cache import cached
from partway.web.context import RequestContext


@cached
def bins(ctx: RequestContext) -> Bins:
    """All bins: what can hurt, how old and how full they are, where they sell best."""
    return report_bins(ctx.book, ctx.now)


@cached
def one(ctx: RequestContext, bin_id: str) -> OneBin:
    """One bin: what it fetches at each buyer, what the next lot would add, how it filled."""
    return report_bin(ctx.book, bin_id, ctx.now)
