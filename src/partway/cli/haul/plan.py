"""`partway plan`."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click

from partway.cli.common import json_option, page, scenario_option, watcher, workspace_option, write_json
from partway.cli.source import PlanSource, away_option, bench_option, trips_option, wage_option


@click.command("plan")
@scenario_option
@click.option("--why", is_flag=True, help="Defend each line: what the best plan without it loses, and its flip price.")
@click.option(
    "--seconds",
    default=10.0,
    show_default=True,
    type=click.FloatRange(0.1, 86400.0),
    help="Search no longer than this.",
)
@click.option(
    "--gap",
    default=1e-6,
    show_default=True,
    type=click.FloatRange(0.0, 1.0),
    help="Be content this close to the bound.",
)
@bench_option
@away_option
@wage_option
@trips_option
@json_option
@workspace_option
def plan_command(
    file: Path | None,
    why: bool,
    seconds: float,
    gap: float,
    bench: float | None,
    away: float | None,
    wage: float | None,
    trips: int | None,
    as_json: bool,
    workspace: str | None,
) -> None:
    """What to open and where to stop, what goes to which buyer in which order, what to keep.

    The plan is the best there is for the scenario's hours, vehicle and quotes, or says how far from
    the best it may be. It is checked a second time without the solver before you see it.

    \b
      partway plan                                from your ledger
      partway plan --bench 4 --trips 2
      partway plan --scenario week.toml --why
      partway plan --scenario week.toml --json | jq .routes
    """
    from partway.actions.plans.plan import Limits, plan

    source = PlanSource(file, workspace, bench, away, wage, trips)
    scenario = source.scenario()
    report = plan(scenario, Limits(seconds, gap), why, watcher(scenario.currency), _steps())
    if report.doubts:
        from partway.storage.disagreements import (
            with_kept,
        )  # reaches for the ledger, which a scenario file does not need

        report = with_kept(scenario, report, workspace)
    if as_json:
        write_json(report)
        return
    from dataclasses import replace

    from partway.cli.haul.page.printed import show_plan

    show_plan(page(), replace(report, notes=source.in_names(report.notes)), scenario)


def _steps() -> Callable[[str, int, int], None]:
    """A bar on stderr while lines are defended, which solves once a line."""
    import sys

    def step(what: str, n: int, of: int) -> None:
        if sys.stderr.isatty():
            end = "\r" if n + 1 < of else "\n"
            click.echo(f"  why: {n + 1} of {of} lines{end}", err=True, nl=False)

    return step
