"""`partway read`: the lines of text in a photograph."""

from __future__ import annotations

from pathlib import Path

import click

from partway.cli.bench.pictures import photograph_in
from partway.cli.common import json_option, write_json


@click.command("read")
@click.argument("file", type=click.Path(path_type=Path))
@json_option
def read_command(file: Path, as_json: bool) -> None:
    """Print the lines in FILE, a photograph of a price board or a ticket. Nothing is recorded.

    \b
      partway read board.jpg > list.txt
      partway quotes harbour < list.txt

    Hold them against the board first: figures may be wrong. One that could not be read is
    a question mark, and asked about where the list is recorded. This needs a part that is
    not installed with the rest, some 300 MB: pip install "partway[reading]". It asks no
    other machine.
    """
    from partway.photographs.reading import text_in

    text = text_in(photograph_in(file))
    if as_json:
        write_json({"lines": text.splitlines()})
    else:
        click.echo(text)
