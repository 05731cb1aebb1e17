"""What the commands that write a paper share: the file, which paper, and what is said of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from partway.cli.context import CommandContext, as_json

if TYPE_CHECKING:
    from partway.paper.typeset import Typeset
    from partway.web.pocket.carried.all import Carrying

F = TypeVar("F", bound=Callable[..., Any])


def paper_options(command: F) -> F:
    """The file to write and the paper it is for, as `file` and `paper`."""
    to = click.option(
        "-o",
        "--output",
        "file",
        type=click.Path(path_type=Path),
        required=True,
        metavar="FILE",
        help="The PDF to write.",
    )
    return to(click.option("--paper", metavar="PAPER", help="a4 or letter; default by your place.")(command))


@dataclass(frozen=True)
class PaperOut:
    """A paper that is to be written: refused at once where its file is there already."""

    ctx: CommandContext
    file: Path
    known: Carrying
    paper: str

    @classmethod
    def of(cls, ctx: CommandContext, file: Path, paper: str | None) -> PaperOut:
        """Before anything is worked out. Raises Refused."""
        from partway.storage.exchange.atomic_files import refuse_if_there
        from partway.web.paper import paper_of
        from partway.web.pocket.carried.all import Carrying

        refuse_if_there(file)
        known = Carrying(ctx.book, ctx.now())
        usual = paper_of(known.settings.get("locale", ""), known.settings.get("zone", ""))
        return cls(ctx, file, known, paper or usual)

    def write(self, made: Typeset, what: str, **data: Any) -> None:
        """Write it, and say what it is; `data` is what JSON says of it besides."""
        from partway.storage.exchange.atomic_files import new_file

        with new_file(self.file) as part:
            part.write_bytes(made.pictures[0] if made.pictures and self.file.suffix.lower() == ".png" else made.pdf)
        if self.ctx.as_json:
            as_json({"file": str(self.file), **data, "paper": self.paper, "lacking": made.lacking})
            return
        click.echo(f"{self.file}: {what}, {self.paper}")
        if made.lacking:
            click.echo(f"  {made.lacking}")
