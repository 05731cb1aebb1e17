"""What the books' pages and JSON ask of the ledger, worked out once for each state of it."""

from __future__ import annotations

from decimal import Decimal

from partway.catalogue.factors import FactorSet, chosen_set
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.balance.sheet import sheet, tips_in
from partway.quantities import shown
from partway.reports.books.impact import ImpactReport, report_impact
from partway.reports.books.per_hour import PerHour, report_per_hour
from partway.reports.books.per_place import PerPlace, report_per_place
from partway.reports.books.per_yard import PerYard, report_per_yard
from partway.reports.books.told.year import YearBooks, report_year, years_of
from partway.reports.books.told.year_seen import YearSeen, report_year_seen
from partway.valuing.ends.diverted import Diverted, report_diverted
from partway.valuing.ends.flows import FlowNames, Flows, report_flows
from partway.valuing.learned.offers import AskedAgainstGot
from partway.valuing.window import Window, window
from partway.web.bench import figures as bench_figures
from partway.web.buyers import figures as buyer_figures
from partway.web.cache import cached
from partway.web.context import RequestContext
from partway.web.curb import figures as curb_figures
from partway.web.serving.failures import NotHere

MONTHS = {"1": "This month", "3": "3 months", "12": "12 months", "0": "All of it"}


@cached
def seen(ctx: RequestContext, months: str) -> Window:
    """What the ledger says of the last so many months, read once for all pages of the books. Raises NotHere."""
    if months not in MONTHS:
        raise NotHere(shown(months), f"one of {', '.join(MONTHS)} months; 0 for all", "months")
    return window(ctx.book, ctx.now, int(months))


@cached
def per_hour(ctx: RequestContext, months: str) -> PerHour:
    """What an hour really brought: by month, by activity, by kind."""
    return report_per_hour(ctx.book, ctx.prices, seen(ctx, months))


@cached
def per_yard(ctx: RequestContext, months: str) -> PerYard:
    """What each yard brought, and for an hour on the road to it."""
    return report_per_yard(ctx.book, seen(ctx, months))


@cached
def per_place(ctx: RequestContext, months: str) -> PerPlace:
    """What each place brought by the hour of the rounds to it."""
    return report_per_place(curb_figures.rounds_earned(ctx), seen(ctx, months), ctx.prices.currency)


@cached
def diverted(ctx: RequestContext, months: str) -> Diverted:
    """What was kept out of the landfill, in all and by the steps of a stretch."""
    tips = tips_in(ctx.book.facts("buyer:", "terms"))
    return report_diverted(sheet(ctx.book.summed(), tips), tips, seen(ctx, months).steps)


@cached
def flows(ctx: RequestContext, months: str, most: int | None) -> Flows:
    """Kilograms from finds through grades to where they ended; the `most` biggest of each by themselves."""
    moved = seen(ctx, months).moved
    known = ctx.catalogue
    kinds = {source[5:] for source, _, _ in moved if source.startswith("find:") and known.knows(source[5:])}
    names = FlowNames(
        {kind: known.anatomy(kind).name for kind in kinds},
        {grade.id: grade.name for grade in ctx.prices.grades.values()},
        buyer_figures.names(ctx),
        [buyer.buyer for buyer in ctx.buyers.values() if buyer.kind == "tip"],
    )
    return report_flows(moved, names, most)


@cached
def impact(ctx: RequestContext, months: str, name: str) -> ImpactReport:
    """What was kept out of the landfill and what that spared, by one factor set. Raises NotHere."""
    return report_impact(ctx.book, ctx.catalogue, ctx.prices.grades, seen(ctx, months), _factors(ctx, name))


@cached
def years(ctx: RequestContext) -> tuple[int, ...]:
    """The years there are books of, the newest first."""
    return years_of(ctx.book, ctx.now)


@cached
def year(ctx: RequestContext, name: str) -> YearBooks:
    """The books of a year, this one where none is named. Raises NotHere."""
    return report_year(ctx.book, _one_year(ctx, name), ctx.now, curb_figures.rounds_earned(ctx))


@cached
def year_seen(ctx: RequestContext, name: str, factors: str) -> YearSeen:
    """A year in a few figures, to show somebody. Raises NotHere."""
    year = _one_year(ctx, name)
    return report_year_seen(ctx.book, ctx.prices.grades, year, ctx.now, _factors(ctx, factors))


def _one_year(ctx: RequestContext, name: str) -> int:
    there = {str(one): one for one in years(ctx)}
    if name and name not in there:
        raise NotHere(shown(name), f"a year of this ledger: {', '.join(there)}", "year")
    return there[name] if name else ctx.now.year


def _factors(ctx: RequestContext, name: str) -> FactorSet:
    try:
        return chosen_set(name, ctx.show.say.currency)
    except Refused as refusal:
        raise NotHere(refusal.given, refusal.expected, refusal.where) from None


@cached
def owed(ctx: RequestContext) -> tuple[tuple[str, str, Decimal], ...]:
    """Tickets of which something is still to come, with their buyers, the newest first."""
    newest = sorted(trading.owed(ctx.book).values(), key=lambda ticket: _age(ticket.id), reverse=True)
    return tuple((ticket.id, ticket.buyer, ticket.open) for ticket in newest)


@cached
def resale(ctx: RequestContext) -> tuple[tuple[str, AskedAgainstGot], ...]:
    """What was asked for parts and what they got, by kind with its name, the most money first."""
    kinds = bench_figures.offers(ctx, ctx.today).kinds
    return tuple((ctx.catalogue.anatomy(line.kind).name, line) for line in kinds)


def _age(ticket: str) -> tuple[int, str]:
    """Tickets are numbered as they come: ticket-9 is older than ticket-10."""
    return len(ticket), ticket
