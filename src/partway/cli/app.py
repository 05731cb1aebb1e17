"""The command group: commands are imported when they are used, errors become exit statuses here and only here."""

from __future__ import annotations

import importlib
import sys
from typing import NoReturn

import click

from partway import __version__
from partway.errors import PartwayError, Refused

# name: (module, what it does, in a line)
PLANNING = {
    "plan": ("partway.cli.haul.plan", "What to open and how deep, what to haul where, what to keep."),
    "depth": ("partway.cli.bench.depth", "How far to open one find of a kind, and when the answer would change."),
    "curb": ("partway.cli.curb.curb", "Worth lifting? All kinds, one of them, or the things in sight."),
    "kinds": ("partway.cli.what.lists", "The kinds of finds partway knows, or one of them taken apart."),
    "grades": ("partway.cli.what.lists", "The grades buyers price, or one of them with its clues and spoilers."),
    "cautions": ("partway.cli.what.cautions", "What can hurt: all cards, or one of them whole."),
    "check": ("partway.cli.home.files", "Read a scenario or anatomy file and say whether it holds together."),
    "read": ("partway.cli.buyers.reading", "The lines in a photograph of a price board or a ticket."),
    "schema": ("partway.cli.home.files", "JSON Schema of a scenario, or of what --json writes."),
    "demo": ("partway.cli.home.demo", "Plan an invented week, or make up a workspace of several months."),
    "completion": ("partway.cli.home.files", "Tab completion for your shell."),
}
WHAT_IS_IT = {
    "identify": ("partway.cli.what.identify", "What a piece is made of, and which bin that makes: one test at a time."),
    "wire": ("partway.cli.calculators.metal", "Copper in insulated wire, and whether stripping it pays."),
    "density": ("partway.cli.calculators.metal", "Density by weighing in air and water, and what it leaves."),
    "battery": ("partway.cli.calculators.stored", "Energy of a battery, and how it may travel."),
    "capacitor": ("partway.cli.calculators.stored", "What a capacitor may hold, against every limit."),
    "scale": ("partway.cli.calculators.scale", "How far off a scale may be, and the lot that makes little of it."),
    "motor": ("partway.cli.calculators.opening", "Whether opening a motor or a transformer pays."),
    "stainless": ("partway.cli.calculators.opening", "What a magnet says of a piece of steel, and what it cannot."),
}
LEDGER = {
    "serve": ("partway.cli.home.serve", "The app, for a browser here or on your phone."),
    "device": ("partway.cli.home.device", "Phones that may open the app: a key each, and when last here."),
    "pocket": ("partway.cli.home.pocket", "One page for a phone without signal: verdicts, prices, the load."),
    "today": ("partway.cli.home.looking", "The few things to do next."),
    "overview": ("partway.cli.home.looking", "How everything stands."),
    "say": ("partway.cli.home.say", "Record what happened, as you would say it."),
    "take-back": ("partway.cli.home.take_back", "Record what a phone noted without signal, from its file."),
    "find": ("partway.cli.bench.finds", "Record a find."),
    "test": ("partway.cli.bench.finds", "Record whether a find works."),
    "weigh": ("partway.cli.bench.finds", "Record what a find weighs."),
    "open": ("partway.cli.bench.finds", "Record a find opened: pieces, weighed, into bins."),
    "sell": ("partway.cli.bench.finds", "Record a part or a whole find sold."),
    "discard": ("partway.cli.bench.finds", "Record a find given up."),
    "picture": ("partway.cli.bench.pictures", "Keep a photograph of a find, a piece, a bin or a ticket."),
    "list": ("partway.cli.bench.listing", "Put a find or a part of it on offer."),
    "reprice": ("partway.cli.bench.listing", "Ask another price for what is on offer."),
    "take-down": ("partway.cli.bench.listing", "Take down what did not sell."),
    "return": ("partway.cli.bench.listing", "Record that something sold came back."),
    "offers": ("partway.cli.bench.listing", "What is on offer, how long, and what to do with it."),
    "listing-text": ("partway.cli.bench.listing", "The text of a listing, to paste anywhere."),
    "bin": ("partway.cli.bins.bins", "Add a bin, or change one."),
    "recount": ("partway.cli.bins.bins", "Record what a bin holds by the scale."),
    "move": ("partway.cli.bins.bins", "Move from one bin to another, or merge them."),
    "round": ("partway.cli.curb.rounds", "Record a collecting round."),
    "rounds": ("partway.cli.curb.rounds", "What rounds earned by the hour, and which to go on next."),
    "buyer": ("partway.cli.buyers.buyers", "One buyer; with its terms, add it or change them."),
    "buyers": ("partway.cli.buyers.asking", "All buyers: whom to call, and what to ask."),
    "prices": ("partway.cli.buyers.asking", "Who pays what; with a grade, what was said of it over time."),
    "quote": ("partway.cli.buyers.buyers", "Record a price heard."),
    "quotes": ("partway.cli.buyers.buyers", "Record a price list as it was dictated or pasted."),
    "haul": ("partway.cli.haul.trips", "Set out on a haul, and finish it."),
    "paper": ("partway.cli.papers.group", "Papers to print, as PDF: the load, bin labels, prices and more."),
    "ticket": ("partway.cli.haul.trips", "Record what a yard printed."),
    "paid": ("partway.cli.haul.trips", "Record money that came in."),
    "spend": ("partway.cli.books.books", "Record money that went out."),
    "hours": ("partway.cli.books.books", "Record hours worked."),
    "note": ("partway.cli.books.notes", "Note something down, or show what was noted."),
    "correct": ("partway.cli.books.books", "Take an event back, or put it right."),
    "undo": ("partway.cli.books.books", "Take back what you recorded last, all of it."),
    "set": ("partway.cli.books.books", "Settings of the workspace."),
    "place": ("partway.cli.what.place", "What the rules of your place say; you fill it in."),
    "stock": ("partway.cli.home.looking", "What is in the bins, and where it sells best."),
    "search": ("partway.cli.home.search", "Everything that goes by a name."),
    "books": ("partway.cli.books.earned", "What an hour earned: by month, activity, kind or yard."),
    "ledger": ("partway.cli.home.looking", "What happened, in words."),
    "impact": ("partway.cli.books.impact", "What was kept out of the landfill, and what that spared."),
    "year": ("partway.cli.books.year", "The books of a year, for whoever keeps your accounts."),
    "conflicts": ("partway.cli.books.conflicts", "What devices disagree about, and how to settle it."),
    "export-scenario": ("partway.cli.home.looking", "Write the scenario that plan makes of the ledger."),
    "export": ("partway.cli.books.exchange", "Write the ledger as a Data Package (CSV) or as JSON Lines."),
    "import": ("partway.cli.books.exchange", "Add the events of a package or a file of events."),
    "merge": ("partway.cli.books.exchange", "Add the events of another workspace to this one."),
    "backup": ("partway.cli.books.exchange", "Copy the ledger to a file, also while it is in use."),
    "restore": ("partway.cli.books.exchange", "Make a backup the ledger."),
    "doctor": ("partway.cli.home.doctor", "Look the workspace over, and say what to do."),
    "rebuild": ("partway.cli.books.exchange", "Work out balances, quotes and accounts anew from the events."),
}
SECTIONS = (("Planning", PLANNING), ("What is it?", WHAT_IS_IT), ("Your ledger", LEDGER))
COMMANDS = {**PLANNING, **WHAT_IS_IT, **LEDGER}

HELP = """How far to take each find apart, what each piece is, and where and when to sell it.

\b
Start here:
  partway demo                               an invented week, planned
  partway demo --save week.toml              the file behind it, yours to change
  partway plan --scenario week.toml          plan it again
  partway plan --scenario week.toml --why    what each line is worth, and when it flips
  partway depth --scenario week.toml --kind microwave

\b
Your own days:
  partway set currency CAD
  partway find microwave --mass "13.2 kg"
  partway today
  partway plan                               from your ledger
  partway serve                              all of it as an app, also for your phone

Bad input changes nothing: one message says what was given, what was expected and
where, and the exit status is 2. It is 1 where something failed, and 3 where a merge
or import was done and leaves conflicts to settle (partway conflicts).
"""


class Lazy(click.Group):
    """A group that knows its commands by name and loads one only to run it or to show its own help."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(COMMANDS[cmd_name][0])
        command: click.Command = getattr(module, f"{cmd_name.replace('-', '_')}_command")
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        for title, commands in SECTIONS:
            with formatter.section(title):
                formatter.write_dl([(name, line) for name, (_, line) in commands.items()])

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


def _words(error: PartwayError, arguments: list[str]) -> str:
    if not isinstance(error, Refused):
        return str(error)
    from partway.cli.refusals import command_of, in_words

    return in_words(error, command_of(cli, arguments))


def run(arguments: list[str]) -> NoReturn:
    """Run the command line and leave: 0 done, 1 failed, 2 refused, 3 merged with conflicts to settle."""
    try:
        cli.main(arguments, prog_name="partway", standalone_mode=True)
    except PartwayError as error:
        click.echo(f"partway: {_words(error, arguments)}", err=True)
        sys.exit(error.exit_status)
    sys.exit(0)
