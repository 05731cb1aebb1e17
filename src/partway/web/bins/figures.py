"""What the bins' pages and JSON ask of the ledger, worked out once for each state of it."""

from __future__ import annotations

from collections.abc import Mapping

from partway.reports.bins.all import Bins, report_bins
from partway.reports.bins.one import OneBin, report_bin
from partway.reports.own_pictures import grades_pictured
from partway.valuing.room.good_lot import GoodLot, good_lot
from partway.valuing.room.inflow import measured_inflow
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


@cached
def own_pictures(ctx: RequestContext) -> Mapping[str, str]:
    """One's own photograph of each grade that has one, which stands where its drawing would."""
    return grades_pictured(ctx.book, ctx.bins, ctx.catalogue)


@cached
def flows_in(ctx: RequestContext) -> Mapping[str, float]:
    """Kilograms of each grade that come in each week, as the ledger has it."""
    return measured_inflow(ctx.book, ctx.today)


@cached
def good_lot_of(ctx: RequestContext, grade: str) -> GoodLot | None:
    """What an even flow makes a good lot of a grade."""
    return good_lot(ctx.prices, grade, flows_in(ctx).get(grade, 0.0))
