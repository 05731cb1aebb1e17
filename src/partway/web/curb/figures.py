"""What the curb's pages and JSON ask, worked out once for each state of prices and wage."""

from __future__ import annotations

from partway.actions.curb import curb as look
from partway.actions.curb.round_report import Rounds, rounds_report
from partway.actions.curb.round_report import rounds_earned as earned_of_rounds
from partway.reports.curb.curb import Curb, Ranking
from partway.reports.curb.recent import recent_kinds
from partway.reports.what.own_kinds import OwnKind, report_own_kinds
from partway.things.scenario import Works
from partway.valuing.learned.odds import AtCurb, Odds, odds_of
from partway.valuing.trips.rounds import RoundEarned
from partway.web.cache import cached, cached_by_prices
from partway.web.context import RequestContext


@cached_by_prices
def ranking(ctx: RequestContext) -> Ranking:
    """Kinds worth stopping for, by money per hour."""
    return look.ranking(ctx.prices)


def verdict(ctx: RequestContext, kind: str, works: Works, signs: str = "") -> Curb:
    """One kind: take it or leave it, and what that hangs on; `signs` are what shows of it."""
    known = odds(ctx).at_curb(ctx.catalogue.anatomy(kind), signs) if ctx.catalogue.knows(kind) else AtCurb()
    return _verdict(ctx, kind, works, known)


@cached_by_prices
def _verdict(ctx: RequestContext, kind: str, works: Works, known: AtCurb) -> Curb:
    return look.curb(ctx.prices, kind, works, known)


@cached
def odds(ctx: RequestContext) -> Odds:
    """How likely finds are to work, as one's own tests have it."""
    return odds_of(ctx.book)


@cached
def rounds(ctx: RequestContext, weekday: int | None, hours: float | None) -> Rounds:
    """What rounds earned, and which to go on next."""
    return rounds_report(ctx.book, ctx.prices, ctx.finds, ctx.now, weekday, hours)


@cached
def rounds_earned(ctx: RequestContext) -> tuple[RoundEarned, ...]:
    """What each round that is over came to."""
    return earned_of_rounds(ctx.book, ctx.prices, ctx.finds)


@cached
def recent(ctx: RequestContext) -> tuple[str, ...]:
    """Kinds that were found lately."""
    return recent_kinds(ctx.book, ctx.now)


@cached
def own_kinds(ctx: RequestContext) -> tuple[OwnKind, ...]:
    """Kinds of one's own."""
    return report_own_kinds(ctx.book)
