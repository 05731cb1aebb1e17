"""`partway bin`, `recount` and `move`."""

from __future__ import annotations

import click

from partway.cli.amounts import AmountCommand
from partway.cli.common import page
from partway.cli.context import CommandContext, as_json, recording


@click.command("bin")
@click.argument("grade")
@click.option("--id", "bin_id", default="", metavar="BIN", help="Its short name; default the grade.")
@click.option("--name", default="", metavar="TEXT", help="What is written on it.")
@click.option("--capacity", metavar="VOLUME", help='Such as "60 L" or "5 US gal".')
@click.option("--holds", metavar="MASS", help="What was in it before this ledger began.")
@recording
def bin_command(
    ctx: CommandContext, grade: str, bin_id: str, name: str, capacity: str | None, holds: str | None
) -> None:
    """Add a bin for GRADE, or change one; of a bin that is there, without options, show it.

    \b
      partway bin copper-2
      partway bin copper-2 --capacity "20 L" --holds "10 lb"
      partway bin motors --id motors-shed --name "blue drum in the shed"
    """
    from partway.actions.bins.bins import add_bin, bin_to_show

    if not (bin_id or name or capacity or holds):
        shown = bin_to_show(ctx.book_or_none, grade)
        if shown:
            _show(ctx, shown)
            return
    ctx.record(add_bin, grade, bin_id, name, capacity, holds)


def _show(ctx: CommandContext, bin_id: str) -> None:
    """One bin: what is in it, and what it brings at each buyer."""
    from dataclasses import asdict

    from partway.actions.recording.describe import Say
    from partway.reports.bins.one import report_bin

    report = report_bin(ctx.book, bin_id, ctx.now())
    if ctx.as_json:
        as_json(asdict(report))
        return
    from partway.cli.bins.bin_page import show_bin

    show_bin(page(), report, Say.of(ctx.book), ctx.careful)


@click.command("recount", cls=AmountCommand)
@click.argument("bin_id", metavar="BIN")
@click.argument("mass")
@recording
def recount_command(ctx: CommandContext, bin_id: str, mass: str) -> None:
    """Put BIN on the scale: MASS is what it holds, without the bin itself."""
    from partway.actions.bins.bins import recount

    ctx.record(recount, bin_id, mass)


@click.command("move", cls=AmountCommand)
@click.argument("bin_id", metavar="BIN")
@click.argument("to_bin", metavar="TO")
@click.argument("mass", required=False)
@click.option("--regrade", is_flag=True, default=None, help="TO holds another grade, and that is what it is now.")
@recording
def move_command(ctx: CommandContext, bin_id: str, to_bin: str, mass: str | None, regrade: bool | None) -> None:
    """Move MASS, or all that is in BIN, to the bin TO. Moving all of it merges the two."""
    from partway.actions.bins.bins import move

    ctx.record(move, bin_id, to_bin, mass=mass, regrade=regrade)
