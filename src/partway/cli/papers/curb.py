"""`partway paper curb`: the kinds worth stopping for, to take along."""

from __future__ import annotations

from pathlib import Path

import click

from partway.cli.context import CommandContext, looking
from partway.cli.papers.out import PaperOut, paper_options


@click.command("curb")
@paper_options
@looking
def curb_card_command(ctx: CommandContext, file: Path, paper: str | None) -> None:
    """A card for the curb: what can hurt, then the kinds worth stopping for at today's prices, the best first."""
    from partway.actions.curb import curb as look
    from partway.paper.curb import curb_paper
    from partway.reports.curb.card import report_curb_card

    out = PaperOut.of(ctx, file, paper)
    prices = out.known.prices
    card = report_curb_card(prices, look.ranking(prices), look.kinds(prices))
    made = curb_paper(card, out.known.show, out.paper)
    what = "1 kind" if len(card.ranking.lines) == 1 else f"{len(card.ranking.lines)} kinds"
    out.write(made, f"{what} worth stopping for", kinds=len(card.ranking.lines))
