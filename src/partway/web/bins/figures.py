"""What the bins' pages and JSON ask of the ledger, worked out once for each state of it."""

from __future__ import annotations

from partway.reports.bins.all import Bins, report_bins
from partway.reports.bins.one import OneBin, report_bin
from partway.web.cache import cached
from partway.web.desk import Desk


@cached
def bins(desk: Desk) -> Bins:
    """All bins: what can hurt, how old and how full they are, where they sell best."""
    return report_bins(desk.book, desk.now)


@cached
def one(desk: Desk, bin_id: str) -> OneBin:
    """One bin: what it fetches at each buyer, what the next lot would add, how it filled."""
    return report_bin(desk.book, bin_id, desk.now)
