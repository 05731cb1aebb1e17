"""What the pages and JSON of hauls ask of the ledger, worked out once for each state of it."""

from __future__ import annotations

import datetime as dt

from partway.actions.haul.promised import scenario_to_plan
from partway.actions.haul.scenario import Overrides
from partway.catalogue import shipped
from partway.ledger import trading
from partway.reports.haul.expected_ticket import HaulLine, HaulSheet, haul_lines, haul_sheet
from partway.things.scenario import Scenario
from partway.web.cache import cached
from partway.web.context import RequestContext


@cached
def hauls(ctx: RequestContext) -> dict[str, trading.HaulNow]:
    """All hauls by id."""
    return trading.hauls(ctx.book)


@cached
def haul(ctx: RequestContext, haul: str) -> HaulSheet | None:
    """One haul: what each stop's ticket should say, and what the tickets that came did say."""
    return haul_sheet(ctx.book, haul, shipped().grades, ctx.now)


@cached
def gone(ctx: RequestContext, few: int) -> tuple[HaulLine, ...]:
    """The last few hauls."""
    return haul_lines(ctx.book, few)


@cached
def to_plan(ctx: RequestContext, day: dt.date, given: Overrides) -> Scenario:
    """The scenario of a day, with what was given instead of the ledger's own settings, less what hauls took along."""
    return scenario_to_plan(ctx.book, day, given, ctx.now.tzinfo)
