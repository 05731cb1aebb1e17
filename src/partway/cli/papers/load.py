"""`partway paper load`: the load sheet of a trip."""

from __future__ import annotations

from pathlib import Path

import click

from partway.cli.context import CommandContext, looking
from partway.cli.papers.out import PaperOut, paper_options
from partway.cli.source import PlanSource, away_option, bench_option, trips_option, wage_option


@click.command("load")
@click.option("--trip", default=1, show_default=True, type=int, metavar="N", help="Which trip of the plan.")
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
@paper_options
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

    out = PaperOut.of(ctx, file, paper)  # before a search that may take its ten seconds
    scenario = PlanSource(None, ctx.workspace, bench, away, wage, trips).scenario()
    sheet = load_sheet(
        scenario, plan(scenario, Limits(seconds)), trip, standing.bins(ctx.book), trading.buyers(ctx.book)
    )
    made = load_paper(sheet, out.known.show, out.paper)
    out.write(made, f"load {sheet.trip} of {sheet.trips}", trip=sheet.trip, trips=sheet.trips)
