"""The command group: commands are imported when they are used, errors become exit statuses here and only here."""

from __future__ import annotations

import importlib
import sys
from typing import NoReturn

import click

from partway import __version__
from partway.errors import PartwayError

# name: (module, what it does, in a line)
COMMANDS = {
    "plan": ("partway.cli.plan", "What to open and how deep, what to haul where, what to keep."),
    "depth": ("partway.cli.depth", "How far to open one find of a kind, and when the answer would change."),
    "kinds": ("partway.cli.lists", "The kinds of finds partway knows, or one of them taken apart."),
    "grades": ("partway.cli.lists", "The grades buyers price, or one of them with its clues and spoilers."),
    "check": ("partway.cli.files", "Read a scenario or anatomy file and say whether it holds together."),
    "schema": ("partway.cli.files", "JSON Schema of a scenario, a plan or a depth report."),
    "demo": ("partway.cli.demo", "Plan an invented week in a made-up harbour town."),
    "completion": ("partway.cli.files", "Tab completion for your shell."),
}

HELP = """How far to take each find apart, what each piece is, and where to sell it.

\b
Start here:
  partway demo                               an invented week, planned
  partway demo --save week.toml              the file behind it, yours to change
  partway plan --scenario week.toml          plan it again
  partway plan --scenario week.toml --why    what each line is worth, and when it flips
  partway depth --scenario week.toml --kind microwave

Bad input changes nothing: one message says what was given, what was expected and
where, and the exit status is 2.
"""


class Lazy(click.Group):
    """A group that knows its commands by name and loads one only to run it or to show its own help."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(COMMANDS[cmd_name][0])
        command: click.Command = getattr(module, f"{cmd_name}_command")
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, line) in COMMANDS.items()])

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            ctx.fail(f"no command {args[0]!r}{_closest(args[0])}; partway --help lists them")
        return super().resolve_command(ctx, args)


def _closest(name: str) -> str:
    import difflib

    found = difflib.get_close_matches(name, COMMANDS, n=1, cutoff=0.5)
    return f", did you mean {found[0]!r}?" if found else ""


@click.group(cls=Lazy, help=HELP, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 88})
@click.version_option(__version__, prog_name="partway", message="%(prog)s %(version)s")
def cli() -> None:
    """The group; each command does its own work."""


def run(arguments: list[str]) -> NoReturn:
    """Run the command line and leave: 0 done, 1 failed, 2 refused."""
    try:
        cli.main(arguments, prog_name="partway", standalone_mode=True)
    except PartwayError as error:
        click.echo(f"partway: {error}", err=True)
        sys.exit(error.exit_status)
    sys.exit(0)
