"""`partway picture`: a photograph of a find, a piece, a bin or a ticket."""

from __future__ import annotations

from pathlib import Path

import click

from partway.cli.context import CommandContext, recording


@click.command("picture")
@click.argument("of", metavar="FIND")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--of",
    "sort",
    type=click.Choice(["find", "bin", "ticket", "kind"]),
    default="find",
    show_default=True,
    help="What FIND names: a bin, a ticket, or a kind whose piece it is.",
)
@click.option("--piece", default="", metavar="PIECE", help="The piece that it shows, of the find or the kind.")
@click.option("--note", default="", metavar="TEXT", help="Anything to say of it.")
@recording
def picture_command(ctx: CommandContext, of: str, file: Path, sort: str, piece: str, note: str) -> None:
    """Keep FILE, a photograph, and record that it is of FIND.

    \b
      partway picture microwave-3 cord-cut.jpg
      partway picture microwave-3 plate.jpg --piece transformer --note "the plate"
      partway picture copper-2 bin.jpg --of bin
      partway picture microwave magnetron.jpg --of kind --piece magnetron

    JPEG, PNG or WebP. It is turned upright, made small and written anew: the place and
    the time that a telephone writes into its pictures are not kept. Your own photograph
    of a piece stands where its drawing stood.
    """
    from partway.actions.pictures.picturing import picture
    from partway.photographs.cleaning import cleaned

    ctx.record(picture, of, cleaned(photograph_in(file)), sort=sort, piece=piece, note=note)


def photograph_in(file: Path) -> bytes:
    """The file's bytes, no more than a photograph may have. Raises Refused."""
    from partway.errors import Refused
    from partway.photographs.limits import SENT_MOST

    try:
        with file.open("rb") as binary:
            return binary.read(SENT_MOST + 1)
    except OSError as error:
        raise Refused((error.strerror or str(error)).lower(), "a file that can be read", "file") from error
