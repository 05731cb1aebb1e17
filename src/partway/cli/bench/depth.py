"""`partway depth`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from partway.cli.common import json_option, page, scenario_option, workspace_option, write_json
from partway.cli.source import PlanSource

if TYPE_CHECKING:
    from partway.things.scenario import Works


def _kinds(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[Any]:
    from partway.catalogue import shipped

    return [kind for kind in shipped().kinds if kind.startswith(incomplete)]


@click.command("depth")
@scenario_option
@click.option("--kind", required=True, shell_complete=_kinds, help="What it is, such as bread-machine.", metavar="KIND")
@click.option(
    "--works",
    type=click.Choice(["yes", "no", "unknown"]),
    help="Its condition; default the scenario's own find.",
)
@click.option("--mass", help='What it weighs, such as "5.2 kg"; scales the anatomy.', metavar="MASS")
@click.option("--mostly", default="", metavar="WHAT", help="What a thing of no known kind mostly is: steel, boards ...")
@click.option("--cord", default="", metavar="yes|no|unknown", help="Whether such a thing has a cord.")
@click.option("--motor", default="", metavar="yes|no|unknown", help="Whether it has a motor.")
@click.option("--battery", default="", metavar="yes|no|unknown", help="Whether it has a battery.")
@json_option
@workspace_option
def depth_command(
    file: Path | None,
    kind: str,
    works: Works | None,
    mass: str | None,
    as_json: bool,
    workspace: str | None,
    **said: str,
) -> None:
    """How far to open one find at the scenario's prices, and the wage and price at which that changes.

    \b
      partway depth --kind microwave              at the prices in your ledger
      partway depth --scenario week.toml --kind microwave
      partway depth --scenario week.toml --kind fan --works unknown
      partway depth --scenario week.toml --kind bread-machine --mass "12 lb"
      partway depth --kind "foot spa" --mostly plastic-motor --cord yes

    With --mostly the kind is a thing that partway does not know, and the answer is a
    guess from what you say of it.
    """
    from partway.actions.bench.depths import depth
    from partway.actions.recording.said_amounts import kg_said

    source = PlanSource(file, workspace)
    scenario = source.scenario()
    kg = None if mass is None else float(kg_said(mass, "mass", positive=True))
    if any(said.values()):
        from partway.actions.recording.unknown import MadeOf, meant
        from partway.catalogue import shipped

        kind = meant(kind, MadeOf(**said, own=True), shipped().with_own(scenario.anatomies), kg).here
    report = depth(scenario, kind, works, kg)
    if as_json:
        write_json(report)
        return
    from dataclasses import replace

    from partway.cli.bench.depth_page import show_depth

    show_depth(page(), replace(report, notes=source.in_names(report.notes)), scenario)
