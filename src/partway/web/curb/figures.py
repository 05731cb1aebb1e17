"""What the curb's pages and JSON ask, worked out once for each state of prices and wage."""

from __future__ import annotations

from partway.actions.curb import curb as look
from partway.reports.curb.curb import Curb, Ranking
from partway.reports.curb.recent import recent_kinds
from partway.things.scenario import Works
from partway.web.cache import cached, cached_by_prices
from partway.web.desk import Desk


@cached_by_prices
def ranking(desk: Desk) -> Ranking:
    """Kinds worth stopping for, by money per hour."""
    return look.ranking(desk.prices)


@cached_by_prices
def verdict(desk: Desk, kind: str, works: Works) -> Curb:
    """One kind: take it or leave it, and what that hangs on."""
    return look.curb(desk.prices, kind, works)


@cached
def recent(desk: Desk) -> tuple[str, ...]:
    """Kinds that were found lately."""
    return recent_kinds(desk.book, desk.now)
