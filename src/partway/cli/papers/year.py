"""`partway paper year`: a picture of the year, to show somebody."""

from __future__ import annotations

from pathlib import Path

import click

from partway.cli.context import CommandContext, looking
from partway.cli.papers.out import PaperOut, paper_options


@click.command("year")
@click.argument("year", type=click.IntRange(1970, 9998), required=False)
@click.option("--money", is_flag=True, help="With what was left and what an hour brought.")
@click.option("--set", "name", default="", metavar="NAME", help="The factor set for what was spared.")
@paper_options
@looking
def year_paper_command(
    ctx: CommandContext, year: int | None, money: bool, name: str, file: Path, paper: str | None
) -> None:
    """A year on one page, to show somebody: what was kept out of the landfill, month by month.

    FILE may end in .png for a picture to send. What you earned stands on it only with --money.
    """
    from partway.catalogue.factors import chosen_set
    from partway.paper.year import year_paper
    from partway.reports.books.told.year_seen import report_year_seen

    out = PaperOut.of(ctx, file, paper)
    known = out.known
    factors = chosen_set(name, known.settings.get("currency", ""))
    report = report_year_seen(ctx.book, known.prices.grades, year or known.now.year, known.now, factors)
    made = year_paper(report, known.show, out.paper, money=money)
    out.write(made, f"the year {report.year}", year=report.year, kept_mg=report.kept_mg)
