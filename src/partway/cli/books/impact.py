"""`partway impact`."""

from __future__ import annotations

import click

from partway.cli.common import page
from partway.cli.context import CommandContext, as_json, looking


@click.command("impact")
@click.option("--set", "name", default="", metavar="NAME", help="The factor set: epa-warm-15, uk-2025.")
@click.option(
    "--months",
    type=click.Choice(["1", "3", "12", "0"]),
    default="0",
    show_default=True,
    help="The last so many, this one counted; 0 for all.",
)
@looking
def impact_command(ctx: CommandContext, name: str, months: str) -> None:
    """What was kept out of the landfill, what that spared, and what that figure leaves out.

    \b
      partway impact
      partway impact --months 12
      partway impact --set uk-2025

    Emissions are an estimate by one published set of factors at a time, named with its
    edition; what it has no figure for is shown, not guessed.
    """
    from dataclasses import asdict

    from partway.actions.haul.scenario import prices_from_book
    from partway.actions.recording.describe import Say
    from partway.catalogue.factors import chosen_set
    from partway.ledger.fold import standing
    from partway.reports.books.impact import report_impact
    from partway.valuing.known import estimates_of
    from partway.valuing.window import window

    factors = chosen_set(name, standing.settings(ctx.book).get("currency", ""))
    prices = prices_from_book(ctx.book, ctx.now().date(), standing.finds(ctx.book))
    report = report_impact(
        ctx.book, estimates_of(ctx.book), prices.grades, window(ctx.book, ctx.now(), int(months)), factors
    )
    if ctx.as_json:
        as_json(asdict(report))
        return
    from partway.cli.books.impact_page import show_impact

    show_impact(page(), report, Say.of(ctx.book))
