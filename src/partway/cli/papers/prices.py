"""`partway paper prices`: a buyer's price sheet."""

from __future__ import annotations

from pathlib import Path

import click

from partway.cli.context import CommandContext, looking
from partway.cli.papers.out import PaperOut, paper_options


@click.command("prices")
@click.argument("buyer")
@paper_options
@looking
def prices_paper_command(ctx: CommandContext, buyer: str, file: Path, paper: str | None) -> None:
    """A buyer's price sheet: what it says of each grade and how old that is, with room for what it says today."""
    from partway.actions.buyers.buyers import buyer_named
    from partway.paper.prices import prices_paper
    from partway.reports.books.conflicts import mark_of, report_conflicts
    from partway.reports.buyers.one import doubts_of, report_buyer

    out = PaperOut.of(ctx, file, paper)
    known, of = out.known, buyer_named(ctx.book, buyer).buyer
    lines = report_conflicts(ctx.book, known.show.say.units, known.now.tzinfo, f"buyer:{of}")
    doubts = {grade: mark_of(codes) for grade, codes in doubts_of(lines, of).items()}
    one = report_buyer(ctx.book, of, known.now)
    made = prices_paper(one, doubts, known.show, out.paper, known.day)
    out.write(made, f"prices of {known.show.buyer(of)}", buyer=of, grades=len(one.asked))
