"""`partway curb`."""

from __future__ import annotations

import click

from partway.cli.context import CommandContext, as_json, looking


@click.command("curb")
@click.option(
    "--in-sight", "in_sight", required=True, metavar="THINGS", help='"top-loading washer, 2 window fan, microwave=no".'
)
@click.option("--left-kg", default="", metavar="MASS", help="What the vehicle still carries; a bare number is kg.")
@click.option("--left-l", default="", metavar="VOLUME", help="What it still holds; a bare number is litres.")
@click.option("--minutes", default="", metavar="TIME", help="Left for loading and unloading.")
@looking
def curb_command(ctx: CommandContext, in_sight: str, left_kg: str, left_l: str, minutes: str) -> None:
    """Which of the things in sight to lift first, with what is left on the vehicle.

    \b
      partway curb --in-sight "dryer, microwave, 2 window fan=no" --left-kg 120 --left-l 400
    """
    from dataclasses import asdict

    from partway.actions.curb.in_sight import in_sight as lifted
    from partway.actions.curb.in_sight import room_left, sight_lines, things_seen
    from partway.actions.haul.scenario import scenario_from_book
    from partway.actions.recording.describe import Say
    from partway.valuing.learned.odds import odds_of

    scenario = scenario_from_book(ctx.book, ctx.now().date(), counting=False, waiting={})
    room = room_left(ctx.book, left_kg, left_l, minutes)
    report = lifted(scenario, things_seen(scenario, in_sight), room, odds_of(ctx.book))
    if ctx.as_json:
        as_json(asdict(report))
        return
    for line in sight_lines(report, Say.of(ctx.book)):
        click.echo(line)
