"""`partway paper month`: a month's money, hours, buyers and mass."""

from __future__ import annotations

from pathlib import Path

import click

from partway.cli.context import CommandContext, looking
from partway.cli.papers.out import PaperOut, paper_options


@click.command("month")
@click.argument("month", default="", metavar="[MONTH]")
@paper_options
@looking
def month_command(ctx: CommandContext, month: str, file: Path, paper: str | None) -> None:
    """A month on paper: money to the cent, hours, buyers, and where the weight went.

    MONTH is written as 2026-03; default: this one, so far. No tax advice.
    """
    from partway.paper.month import month_paper
    from partway.reports.books.told.month import month_named, report_month

    out = PaperOut.of(ctx, file, paper)
    first = month_named(month, out.known.now)
    report = report_month(ctx.book, first, out.known.now)
    made = month_paper(report, out.known.show, out.paper)
    out.write(made, f"{first:%B %Y}", month=f"{first:%Y-%m}", left=report.earned.net)
