"""`partway year`."""

from __future__ import annotations

from pathlib import Path

import click

from partway.cli.common import page
from partway.cli.context import CommandContext, as_json, looking


@click.command("year")
@click.argument("year", type=click.IntRange(1970, 9998), required=False)
@click.option(
    "-o",
    "--output",
    "file",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write the whole of it: a spreadsheet (.xlsx), or CSV files (.zip).",
)
@looking
def year_command(ctx: CommandContext, year: int | None, file: Path | None) -> None:
    """The books of a year, for whoever keeps your accounts: amounts by category, the road, what is still owed.

    \b
      partway year
      partway year 2026 -o books-2026.xlsx
      partway year 2026 -o books-2026.zip

    Every amount stands in the file, and they add up to the cent with the ledger. Categories are
    plain words; what counts as income or expense where you are is for whoever keeps your books.
    """
    from dataclasses import asdict

    from partway.actions.curb.round_report import rounds_earned
    from partway.actions.haul.scenario import prices_from_book
    from partway.actions.recording.describe import Say
    from partway.cli.books.year_page import show_year
    from partway.ledger.fold import standing
    from partway.reports.books.told.year import report_year
    from partway.storage.exchange.atomic_files import new_file, refuse_if_there
    from partway.storage.yearbook.files import FORMS, form_of

    if file is not None:
        form = form_of(file)
        refuse_if_there(file)
    finds = standing.finds(ctx.book)
    rounds = rounds_earned(ctx.book, prices_from_book(ctx.book, ctx.now().date(), finds), finds)
    books = report_year(ctx.book, year or ctx.now().year, ctx.now(), rounds)
    if file is not None:
        with new_file(file) as part:
            part.write_bytes(FORMS[form][1](books))
    if ctx.as_json:
        as_json(asdict(books))
        return
    show_year(page(), books, Say.of(ctx.book))
    if file is not None:
        click.echo(f"{file}: {len(books.lines)} amounts, {len(books.drives)} drives, {len(books.open)} open items")
