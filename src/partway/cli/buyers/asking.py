"""`partway buyers` and `prices`: whom to call about what, and who pays what."""

from __future__ import annotations

import click

from partway.cli.asking import grade_settled
from partway.cli.common import page
from partway.cli.context import CommandContext, as_json, looking
from partway.cli.said import SaidCount


@click.command("buyers")
@looking
def buyers_command(ctx: CommandContext) -> None:
    """All buyers: when each was last heard, its number, and what to ask it; the most money first.

    partway buyer BUYER shows one of them.
    """
    from dataclasses import asdict

    from partway.actions.recording.describe import Say
    from partway.reports.buyers.calls import report_calls
    from partway.reports.buyers.sheet import report_sheet

    today = ctx.now().date()
    rows = report_calls(ctx.book, today, report_sheet(ctx.book, today))
    if ctx.as_json:
        as_json([asdict(row) for row in rows])
        return
    from partway.cli.buyers.buyers_page import show_buyers

    show_buyers(page(), rows, Say.of(ctx.book), ctx.careful)


@click.command("prices")
@click.argument("grade", nargs=-1, metavar="[GRADE]...")
@click.option("--family", default="", metavar="FAMILY", help="All grades of a family, such as copper.")
@click.option("--buyer", default="", metavar="BUYER", help="With GRADE: what this one said.")
@click.option("--days", type=SaidCount(1, 3660), default=365, show_default=True, help="With GRADE: how far back.")
@looking
def prices_command(ctx: CommandContext, grade: tuple[str, ...], family: str, buyer: str, days: int) -> None:
    """Who pays what today; with GRADE, what buyers said of it over time. No trend is claimed.

    \b
      partway prices
      partway prices no 2 copper
      partway prices --family brass
    """
    from partway.errors import Refused

    if grade and family:
        raise Refused("a grade and a family", "one of them", "family")
    if buyer and not grade:
        raise Refused("a buyer without a grade", "the grade as well; partway buyer BUYER shows all it said", "buyer")
    if grade:
        _history(ctx, " ".join(grade), buyer, days)
    else:
        _sheet(ctx, family)


def _sheet(ctx: CommandContext, family: str) -> None:
    from dataclasses import asdict

    from partway.actions.recording import reading
    from partway.actions.recording.describe import Say
    from partway.catalogue import shipped
    from partway.reports.buyers.sheet import report_sheet

    families = {grade.family for grade in shipped().grades.values()} - {""}
    of = reading.one_of(family, families, "family of grades", "family") if family else ""
    report = report_sheet(ctx.book, ctx.now().date(), of)
    if ctx.as_json:
        as_json(asdict(report))
        return
    from partway.cli.buyers.buyers_page import show_sheet

    show_sheet(page(), report, Say.of(ctx.book), ctx.careful)


def _history(ctx: CommandContext, grade: str, buyer: str, days: int) -> None:
    from dataclasses import asdict

    from partway.actions.buyers.buyers import buyer_named
    from partway.actions.recording.describe import Say
    from partway.reports.buyers.price_history import report_price_history

    say, of = Say.of(ctx.book), grade_settled(ctx, grade, "grade")
    said_by = buyer_named(ctx.book, buyer).buyer if buyer else ""
    report = report_price_history(ctx.book, of, ctx.now().date(), say.unit, buyer=said_by, days=days)
    if ctx.as_json:
        as_json(asdict(report))
        return
    from partway.cli.buyers.buyers_page import show_history

    show_history(page(), report, say, ctx.careful)


def show_one(ctx: CommandContext, given: str) -> None:
    """One buyer as it stands."""
    from dataclasses import asdict

    from partway.actions.buyers.buyers import buyer_to_show
    from partway.actions.recording.describe import Say
    from partway.reports.buyers.one import report_buyer

    name = buyer_to_show(ctx.book_or_none, given)
    report = report_buyer(ctx.book, name, ctx.now())
    if ctx.as_json:
        as_json(asdict(report))
        return
    from partway.cli.buyers.buyers_page import show_buyer

    show_buyer(page(), report, Say.of(ctx.book), ctx.careful)
