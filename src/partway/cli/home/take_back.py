"""`partway take-back`: what a phone noted without signal, from the file that it saved."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from partway.cli.common import json_option, workspace_option
from partway.cli.context import CommandContext, as_json, blaming, who_option
from partway.errors import Refused, ToSettle

if TYPE_CHECKING:
    from partway.web.pocket.bodies import BackBody
    from partway.web.pocket.rows import BackRow

TAKEN = ("done", "already")
MARKS = {"done": "", "already": "", "refused": "not taken: ", "asked": "not taken, a question first: ", "failed": ""}


@click.command("take-back")
@click.argument("file", type=click.Path(path_type=Path))
@json_option
@who_option
@workspace_option
def take_back_command(file: Path, as_json: bool, who: str | None, workspace: str | None) -> None:
    """Record what a phone noted without signal and saved as FILE.

    Each entry is done once, however often its file comes, also where the phone handed it
    to the app before. One that is refused or asks something is left out and told; the
    exit status is 3 then, and put right on the phone it may come again.

    \b
      partway take-back noted.json
    """
    ctx = CommandContext(workspace, as_json, who)
    with blaming(ctx):
        _take(ctx, file)


def _take(ctx: CommandContext, file: Path) -> None:
    from partway.actions.pocket.take_back import take_back
    from partway.web.pocket.acts import ACTS
    from partway.web.pocket.rows import row_of

    body = _read(file)
    intents = [entry.intent() for entry in body.intents]
    answers = take_back(ctx.book, ctx.context, body.workspace, intents, ACTS)
    rows = [row_of(answer, ctx.called) for answer in answers]
    if ctx.as_json:
        as_json([asdict(row) for row in rows])
    else:
        for answer, row in zip(answers, rows, strict=True):
            _show(row, len(answer.told.careful))
    left = sum(row.outcome not in TAKEN for row in rows)
    if left:
        raise ToSettle(f"{left} of {len(rows)} entries were not taken; put right on the phone they may come again")


def _read(file: Path) -> BackBody:
    """The file, read as the app reads what a phone posts. Raises Refused naming file and field."""
    from partway.web.api.bodies import read_body
    from partway.web.api.strict_json import parsed
    from partway.web.pocket.bodies import BackBody

    try:
        return read_body(BackBody, parsed(file.read_bytes()))
    except OSError as error:
        raise Refused(f'"{file}" ({error.strerror})', "a file that a phone saved", "file") from None
    except Refused as refused:
        raise type(refused)(refused.given, refused.expected, f"{file}, {refused.where}") from None


def _show(row: BackRow, cautions: int) -> None:
    """One entry: what can hurt first."""
    for line in row.more[:cautions]:
        click.echo(line)
    click.echo(f"{MARKS[row.outcome]}{row.words}")
    for choice in row.choices:
        click.echo(f"  {row.field}={choice.value}  {choice.words}")
    for line in row.more[cautions:]:
        click.echo(f"  {line}")
