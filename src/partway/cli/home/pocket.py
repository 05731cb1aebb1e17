"""`partway pocket`: what a phone needs away from the machine, as one document without script."""

from __future__ import annotations

from pathlib import Path

import click

from partway.cli.common import workspace_option
from partway.cli.context import CommandContext


@click.command("pocket")
@click.argument("file", type=click.Path(path_type=Path))
@workspace_option
def pocket_command(file: Path, workspace: str | None) -> None:
    """Write FILE, which must not be there yet: verdicts, prices, the test key and the load on one page.

    \b
      partway pocket yard.html

    It is for a phone's own files, for paper, for any browser: it has no script and asks nothing of
    any host. It says as of which day its prices are, and does not change by itself. It takes half a
    minute. With partway serve the app keeps the same under /pocket.html.
    """
    from partway.storage.exchange.atomic_files import new_file
    from partway.web.pocket.carried.all import Carrying
    from partway.web.pocket.child import files_of
    from partway.web.pocket.kept import PAPER

    ctx = CommandContext(workspace, as_json=False)
    carrying = Carrying(ctx.book, ctx.now())
    with new_file(file) as part:
        part.write_bytes(files_of(carrying).files[PAPER][1])
    click.echo(f"{file}: prices as of {carrying.show.day(carrying.day)}")
