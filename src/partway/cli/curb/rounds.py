"""`partway round` and `rounds`."""

from __future__ import annotations

import click

from partway.cli.context import CommandContext, as_json, looking, recording
from partway.cli.distances import distance_options
from partway.cli.said import SaidHours

km_option = distance_options("Home to home.")
left_option = click.option("--left", default="", metavar="THINGS", help='Left standing: "sofa bed, tube tv".')
note_option = click.option("--note", default="", metavar="TEXT")


@click.group("round", invoke_without_command=True)
@click.option("--where", metavar="PLACE", help="Where the round went.")
@click.option("--from", "begin", metavar="TIME", help="When it began: 18:10, or a day with its time.")
@click.option("--to", "end", metavar="TIME", help="When it was over.")
@km_option
@left_option
@note_option
@recording
def round_command(
    ctx: CommandContext,
    where: str | None,
    begin: str | None,
    end: str | None,
    km: str | None,
    left: str,
    note: str,
) -> None:
    """Record a collecting round: as it begins and is over, or afterwards.

    \b
      partway round start --where "west streets"
      partway find washer
      partway round end --km 14 --left "sofa bed, tube tv"
      partway round --where "west streets" --from 18:10 --to 19:40 --km 14 --on yesterday

    Finds recorded on a round belong to it; partway rounds says what rounds earned.
    """
    if click.get_current_context().invoked_subcommand is not None:
        return
    from partway.actions.curb.rounds import past_round
    from partway.errors import Refused

    for name, given, said in (("where", where, "place"), ("begin", begin, "beginning"), ("end", end, "end")):
        if given is None:
            expected = "where the round went, when it began and when it was over; or partway round start, round end"
            raise Refused(f"a round with no {said}", expected, name)
    ctx.record(past_round, where, begin, end, km, left, note)


@round_command.command("start")
@click.option("--where", required=True, metavar="PLACE", help="Where the round goes.")
@note_option
@recording
def start_command(ctx: CommandContext, where: str, note: str) -> None:
    """Set out."""
    from partway.actions.curb.rounds import start_round

    ctx.record(start_round, where, note)


@round_command.command("end")
@click.argument("round", required=False)
@km_option
@left_option
@note_option
@recording
def end_command(ctx: CommandContext, round: str | None, km: str | None, left: str, note: str) -> None:  # noqa: A002
    """ROUND is over, by default the one that you are on."""
    from partway.actions.curb.rounds import end_round

    ctx.record(end_round, round, km, left, note)


@click.command("rounds")
@click.option("--hours", type=SaidHours(min=0.0, min_open=True, max=24.0), help="As many as there are today.")
@click.option("--on", "day", metavar="DAY", help="Which round on this day; default today.")
@looking
def rounds_command(ctx: CommandContext, hours: float | None, day: str | None) -> None:
    """What rounds earned by the hour, by place and weekday, and which to go on next."""
    from dataclasses import asdict

    from partway.actions.curb.round_report import rounds_report
    from partway.actions.haul.scenario import scenario_from_book
    from partway.actions.recording.context import when
    from partway.actions.recording.describe import Say
    from partway.ledger.fold import standing

    at = when(day, ctx.now()) if day else ctx.now()
    prices = scenario_from_book(ctx.book, ctx.now().date(), counting=False, waiting={})
    report = rounds_report(ctx.book, prices, standing.finds(ctx.book), ctx.now(), at.weekday(), hours)
    if ctx.as_json:
        as_json(asdict(report))
        return
    for line in report.words(Say.of(ctx.book), ctx.now().tzinfo):
        click.echo(line)
