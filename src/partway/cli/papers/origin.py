"""`partway paper origin`: where what is in bins came from."""

from __future__ import annotations

from pathlib import Path

import click

from partway.cli.context import CommandContext, looking
from partway.cli.papers.out import PaperOut, paper_options


@click.command("origin")
@click.option("--bin", "names", multiple=True, metavar="BIN", help="Of this bin; again for more. Default: of all.")
@paper_options
@looking
def origin_command(ctx: CommandContext, file: Path, paper: str | None, names: tuple[str, ...]) -> None:
    """A provenance sheet for a yard that asks: what is in bins, what each part came from, when and where, so far as
    your ledger knows, with lines to sign on.

    What a yard has to ask differs from place to place: check your local code (partway place).
    """
    from partway.actions.bins.bins import bin_named
    from partway.paper.origin import origin_paper
    from partway.reports.bins.origin import report_origins

    out = PaperOut.of(ctx, file, paper)
    sheet = report_origins(ctx.book, [bin_named(ctx.book, name).id for name in names], out.known.now)
    made = origin_paper(sheet, out.known.show, out.paper)
    what = "1 bin" if len(sheet.bins) == 1 else f"{len(sheet.bins)} bins"
    out.write(made, f"where what is in {what} came from", bins=[one.bin for one in sheet.bins], mg=sheet.mg)
