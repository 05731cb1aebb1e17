"""`partway paper`: papers to print and take along, as PDF."""

from __future__ import annotations

from pathlib import Path

import click

from partway.cli.context import CommandContext, as_json, looking
from partway.cli.source import PlanSource, away_option, bench_option, trips_option, wage_option


@click.group("paper")
def paper_command() -> None:
    """Papers to print and take along, as PDF in black and white.

    \b
      partway paper load -o load.pdf
      partway paper load --trip 2 --paper letter -o second.pdf

    Letter or A4 follows your place (partway set locale, zone); --paper says another. The file must
    not be there yet. A character that the paper's fonts lack is written as [?] and named.
    """


@paper_command.command("load")
@click.option(
    "-o", "--output", "file", type=click.Path(path_type=Path), required=True, metavar="FILE", help="The PDF to write."
)
@click.option("--trip", default=1, show_default=True, type=int, metavar="N", help="Which trip of the plan.")
@click.option("--paper", metavar="PAPER", help="a4 or letter; default by your place.")
@click.option(
    "--seconds",
    default=10.0,
    show_default=True,
    type=click.FloatRange(0.1, 86400.0),
    help="Search for the plan no longer than this.",
)
@bench_option
@away_option
@wage_option
@trips_option
@looking
def load_command(
    ctx: CommandContext,
    file: Path,
    trip: int,
    paper: str | None,
    seconds: float,
    bench: float | None,
    away: float | None,
    wage: float | None,
    trips: int | None,
) -> None:
    """The load sheet of a trip: what can hurt, what rides in which order, own weights, what each lot should pay, and
    room for what the ticket says.

    The plan is made from the ledger as partway plan makes it, with the same options.
    """
    from partway.actions.plans.plan import Limits, plan
    from partway.ledger import trading
    from partway.ledger.fold import standing
    from partway.paper.load import load_paper
    from partway.reports.haul.load_sheet import load_sheet
    from partway.storage.exchange.atomic_files import new_file, refuse_if_there
    from partway.web.paper import paper_of
    from partway.web.pocket.carried.all import Carrying

    refuse_if_there(file)  # before a search that may take its ten seconds
    known = Carrying(ctx.book, ctx.now())
    size = paper or paper_of(known.settings.get("locale", ""), known.settings.get("zone", ""))
    scenario = PlanSource(None, ctx.workspace, bench, away, wage, trips).scenario()
    sheet = load_sheet(
        scenario, plan(scenario, Limits(seconds)), trip, standing.bins(ctx.book), trading.buyers(ctx.book)
    )
    made = load_paper(sheet, known.show, size)
    with new_file(file) as part:
        part.write_bytes(made.pdf)
    if ctx.as_json:
        as_json({"file": str(file), "trip": sheet.trip, "trips": sheet.trips, "paper": size, "lacking": made.lacking})
        return
    click.echo(f"{file}: load {sheet.trip} of {sheet.trips}, {size}")
    if made.lacking:
        click.echo(f"  {made.lacking}")
