"""`partway check`, `partway schema` and `partway completion`."""

from __future__ import annotations

import json
from pathlib import Path

import click


@click.command("check")
@click.argument("file", type=click.Path(path_type=Path))
def check_command(file: Path) -> None:
    """Read FILE, a scenario or a file of anatomies and grades, and say whether it holds together.

    Nothing is computed. A file that does not hold together gets one message with what was given, what
    was expected and where, and exit status 2.
    """
    from partway.storage.scenario.scenario import check_file, read_scenario

    if check_file(file) == "anatomies":
        click.echo(f"{file}: sound anatomies and grades")
        return
    scenario = read_scenario(file)
    finds = sum(find.count for find in scenario.finds)
    click.echo(f"{file}: a sound scenario: {finds} finds, {len(scenario.buyers)} buyers, {len(scenario.stock)} bins")
    for note in scenario.notes:
        click.echo(f"  {note}")


@click.command("schema")
@click.argument(
    "what",
    type=click.Choice(
        [
            *("scenario", "plan", "depth", "identify"),
            *("wire", "density", "battery", "capacitor", "scale", "motor", "stainless"),
        ]
    ),
)
def schema_command(what: str) -> None:
    """JSON Schema of a scenario file, or of what a command of that name writes with --json."""
    click.echo(json.dumps(_schema(what), indent=2, ensure_ascii=False))


def _schema(what: str) -> dict[str, object]:
    if what == "scenario":
        from partway.storage.scenario.scenario import scenario_schema

        return scenario_schema()
    from partway.storage.schemas import report_schema

    return report_schema(what)


@click.command("completion")
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
def completion_command(shell: str) -> None:
    """Print the script that makes the tab key know partway's commands and kinds.

    \b
      bash:  eval "$(partway completion bash)"
      zsh:   eval "$(partway completion zsh)"
      fish:  partway completion fish | source
    """
    from click.shell_completion import get_completion_class

    from partway.cli.app import cli

    completion = get_completion_class(shell)
    if completion is None:  # the choice above leaves none out
        raise click.UsageError(f"no completion for {shell}")
    click.echo(completion(cli, {}, "partway", "_PARTWAY_COMPLETE").source())
