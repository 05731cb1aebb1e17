"""`partway note`."""

from __future__ import annotations

import click

from partway.cli.context import CommandContext, as_json, recording


@click.command("note")
@click.argument("text", required=False)
@click.option("--find", metavar="FIND", help="About this find, also one of which nothing is left.")
@click.option("--buyer", metavar="BUYER", help="About this buyer.")
@click.option("--bin", "bin_id", metavar="BIN", help="About this bin.")
@recording
def note_command(
    ctx: CommandContext, text: str | None, find: str | None, buyer: str | None, bin_id: str | None
) -> None:
    """Note TEXT down; without it show what was noted, the newest first.

    \b
      partway note "closes at noon on saturdays" --buyer harbour
      partway note "turntable is missing" --find microwave-3
      partway note --buyer harbour       what was noted of it
    """
    from partway.actions.books.notes import note

    if text is not None:
        ctx.record(note, text, find, buyer, bin_id)
        return
    _show(ctx, find, buyer, bin_id)


def _show(ctx: CommandContext, *given: str | None) -> None:
    """The notes about the one thing that was named, or all."""
    from dataclasses import asdict

    from partway.actions.books.notes import about_of
    from partway.errors import Refused
    from partway.reports.books.notes import notes

    ctx.makes = False
    named = zip(("find", "buyer", "bin"), about_of(ctx.book, ctx.context, *given), strict=True)
    about = [f"{sort}:{name}" for sort, name in named if name]
    if len(about) > 1:
        raise Refused("several things", "notes of one find, one buyer or one bin, or of all without any", "note")
    found = notes(ctx.book, ctx.now().tzinfo, about[0] if about else None)
    if ctx.as_json:
        as_json([asdict(one) for one in found])
        return
    for one in found:
        of = " and ".join(name for name in (one.find, one.buyer, one.bin) if name)
        click.echo(f"{one.happened}  {f'{of}: ' if of else ''}{one.text}  ({one.who})")
    if not found:
        click.echo("nothing noted")
