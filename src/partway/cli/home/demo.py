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
@click.option("--workspace", metavar="DIR", help="Make up a workspace of several months there instead.")
@click.option("--seed", type=click.IntRange(0, 2**63 - 1), help="With --workspace: other months for other seeds.")
def demo_command(example: str, save: Path | None, why: bool, workspace: str | None, seed: int | None) -> None:
    """Plan an invented example: harbour-week (the default, in pounds) or quay-day (metric).

    With --workspace, months of finds, openings, prices, hauls and tickets are made
    up in DIR, which must not hold a ledger yet.
    Everything is invented: the town, the buyers, the prices, the finds.
    """
    if workspace is not None:
        _months(workspace, seed)
        return
    source = resources.files("partway.catalogue") / "demo" / f"{example}.toml"
    if save is not None:
        _save(source.read_text(encoding="utf-8"), save)
        click.echo(f"{save}: saved. Change it, then: partway plan --scenario {save}")
        return
    from partway.actions.plans.plan import plan
    from partway.cli.haul.page.printed import show_plan

    with resources.as_file(source) as file:
        scenario = read(file)
    show_plan(page(), plan(scenario, why=why, on_progress=watcher(scenario.currency)), scenario)
    click.echo(
        "\nAll of this is invented. Next:\n"
        "  partway demo --save week.toml               make it yours\n"
        "  partway plan --scenario week.toml --why     what each line is worth\n"
        "  partway depth --scenario week.toml --kind microwave"
    )


def _months(workspace: str, seed: int | None) -> None:
    import datetime as dt

    from partway.actions.demo import demo_months
    from partway.actions.demo.months import SEED
    from partway.storage.workspace import open_workspace

    with open_workspace(workspace) as book:
        count = demo_months(book, dt.datetime.now(dt.UTC), SEED if seed is None else seed)
    click.echo(
        f"{workspace}: {count} events of invented months, ending today. Next:\n"
        f"  partway today --workspace {workspace}\n"
        f"  partway plan --workspace {workspace}\n"
        f"  partway ledger --workspace {workspace}"
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
