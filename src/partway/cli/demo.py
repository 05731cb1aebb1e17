"""`partway demo`."""

from __future__ import annotations

import os
from importlib import resources
from pathlib import Path

import click

from partway.cli.common import page, read, watcher
from partway.errors import Refused

EXAMPLES = {
    "harbour-week": "a week's finds, prices by the pound, seven buyers",
    "quay-day": "one day, metric, four buyers",
}


@click.command("demo")
@click.argument("example", default="harbour-week", type=click.Choice(list(EXAMPLES)))
@click.option("--save", type=click.Path(path_type=Path), help="Write the example's file here instead.", metavar="FILE")
@click.option("--why", is_flag=True, help="Defend each line.")
def demo_command(example: str, save: Path | None, why: bool) -> None:
    """Plan an invented example: harbour-week (the default, in pounds) or quay-day (metric).

    Everything in it is made up: the town, the buyers, the prices, the finds.
    """
    source = resources.files("partway.catalogue") / "demo" / f"{example}.toml"
    if save is not None:
        _save(source.read_text(encoding="utf-8"), save)
        click.echo(f"{save}: saved. Change it, then: partway plan --scenario {save}")
        return
    from partway.actions.planning import plan
    from partway.cli.plan_page import show_plan

    with resources.as_file(source) as file:
        scenario = read(file)
    show_plan(page(), plan(scenario, why=why, on_progress=watcher(scenario.currency)), scenario)
    click.echo(
        "\nAll of this is invented. Next:\n"
        "  partway demo --save week.toml               make it yours\n"
        "  partway plan --scenario week.toml --why     what each line is worth\n"
        "  partway depth --scenario week.toml --kind microwave"
    )


def _save(text: str, file: Path) -> None:
    """Write all of it or nothing: a file beside the wanted one is linked into its place once it is whole."""
    part = file.with_name(f".{file.name}.{os.getpid()}.part")
    try:
        part.write_text(text, encoding="utf-8")
        os.link(part, file)
    except FileExistsError:
        raise Refused("a file that is already there", "a new name; nothing was overwritten", str(file)) from None
    except OSError as error:
        raise Refused(error.strerror or "an error", "a place that can be written to", str(file)) from None
    finally:
        part.unlink(missing_ok=True)
