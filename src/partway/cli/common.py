"""What the commands share: reading a scenario, writing JSON, and pages that lose their colour in a pipe."""

from __future__ import annotations

import dataclasses
import json
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any, cast

import click

if TYPE_CHECKING:
    from rich.console import Console

    from partway.things.scenario import Scenario

PAGE_WIDTH = 100
QUIET_SECONDS = 1.0

scenario_option = click.option(
    "--scenario",
    "file",
    type=click.Path(path_type=Path),
    help="The scenario, a TOML file; default: what the ledger makes.",
    metavar="FILE",
)
workspace_option = click.option(
    "--workspace",
    metavar="DIR",
    help="The ledger's folder, or address of a PostgreSQL database; default PARTWAY_WORKSPACE, or your data folder.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Write JSON to stdout and nothing else.")


def read(file: Path) -> Scenario:
    """The scenario in a file."""
    from partway.storage.scenario.scenario import read_scenario

    return read_scenario(file)


def write_json(report: Any) -> None:
    """A report as JSON, numbers in full; never NaN."""
    data = dataclasses.asdict(report) if dataclasses.is_dataclass(report) and not isinstance(report, type) else report
    click.echo(json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False))


def page() -> Console:
    """A console for the page: colour on a terminal only, a fixed width when piped."""
    from rich.console import Console

    if not sys.stdout.isatty():
        return Console(file=cast(IO[str], Trimmed()), highlight=False, width=PAGE_WIDTH, no_color=True)
    console = Console(highlight=False)
    return console if console.width <= PAGE_WIDTH else Console(highlight=False, width=PAGE_WIDTH)


class Trimmed:
    """Standard output without the blanks that fill up a page's lines."""

    def write(self, text: str) -> int:
        """Write whole lines; the page always ends its prints with one."""
        lines = text.split("\n")
        sys.stdout.write("\n".join([*(line.rstrip() for line in lines[:-1]), lines[-1]]))
        return len(text)

    def flush(self) -> None:
        """Pass it on."""
        sys.stdout.flush()


def watcher(currency: str) -> Callable[[float, float], None]:
    """Says on stderr how a long search stands, from its second second on; nothing where stderr is not a terminal."""
    began = time.monotonic()
    last = [0.0]

    def heard(objective: float, bound: float) -> None:
        now = time.monotonic() - began
        if not sys.stderr.isatty() or now < QUIET_SECONDS or now - last[0] < 0.5:
            return
        last[0] = now
        more = (bound - objective) / max(1.0, abs(objective))
        click.echo(f"  {now:4.1f} s  {currency} {objective:.2f}, at most {more:.2%} better is possible", err=True)

    return heard


def user_name() -> str:
    """What the system calls whoever runs this."""
    import getpass

    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError):  # a user without a name
        return "somebody"
