"""`partway find`, `test`, `weigh`, `open`, `sell` and `discard`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from partway.cli.amounts import AmountCommand
from partway.cli.asking import grade_settled
from partway.cli.context import CommandContext, recording
from partway.cli.said import SaidCount

if TYPE_CHECKING:
    from partway.actions.bench.results import OpenResult
    from partway.actions.recording.context import Recorded

mass_argument = click.argument("mass")
sure_option = click.option("--sure", is_flag=True, default=None, help="A mass far from your others is right.")


def _kinds(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[Any]:
    from partway.catalogue import shipped

    catalogue = shipped()
    return [k for k in catalogue.kinds if k.startswith(incomplete) and not catalogue.anatomy(k).became]


@click.command("find")
@click.argument("kind", shell_complete=_kinds)
@click.option("--count", default=1, show_default=True, type=SaidCount(), help="How many alike.")
@click.option("--mass", metavar="MASS", help='What all of them weigh together, such as "13.2 kg".')
@click.option("--works", default="unknown", show_default=True, metavar="yes|no|unknown", help="Does it work.")
@click.option("--from", "source", default="", metavar="TEXT", help="Where it comes from.")
@click.option("--note", default="", metavar="TEXT", help="Anything else.")
@click.option("--model", default="", metavar="TEXT", help="The maker's model number, as printed on it.")
@click.option("--photo", default="", metavar="PATH", help="Where its photo lies.")
@click.option("--mostly", default="", metavar="WHAT", help="What a thing of no known kind mostly is: steel, boards ...")
@click.option("--cord", default="", metavar="yes|no|unknown", help="Whether such a thing has a cord.")
@click.option("--motor", default="", metavar="yes|no|unknown", help="Whether it has a motor.")
@click.option("--battery", default="", metavar="yes|no|unknown", help="Whether it has a battery.")
@click.option("--sign", "signs", multiple=True, metavar="SIGN", help="What shows: cord-cut, note-works, -boxed ...")
@click.option("--round", metavar="ROUND", help="Found on this round; else on the one that you are on.")
@click.option("--unknown", "own", is_flag=True, help="It is none of the kinds whose names are near.")
@sure_option
@recording
def find_command(ctx: CommandContext, **said: Any) -> None:
    """Record a find: KIND as `partway kinds` lists it, or another name of it.

    \b
      partway find microwave --mass "13.2 kg" --from "maple street"
      partway find fan --count 3 --works no

    A thing that partway does not know is recorded, too: say what it is mostly, and
    what it brings is a guess from that. A bag of screws is a find as well.

    \b
      partway find "foot spa" --mass 2.1kg --mostly plastic-motor --cord yes
      partway find "bag of screws" --mass 3kg --mostly screws

    What shows of whether it works changes how likely it is to: a sign, or a sign
    with a hyphen before it that you looked for and did not see.

    \b
      partway find microwave --sign note-works --sign=-wet

    It gets a name such as microwave-3, to write on it and to use from then on. Where
    two machines share a ledger, set PARTWAY_MARK=b on one of them: it then says
    microwave-b3, and no two finds get one name.
    """
    from partway.actions.bench.finds import find

    ctx.record(find, **said)


@click.command("test")
@click.argument("find")
@click.argument("works", metavar="yes|no|unknown")
@recording
def test_command(ctx: CommandContext, find: str, works: str) -> None:
    """Record whether FIND works."""
    from partway.actions.bench.finds import test

    ctx.record(test, find, works)


@click.command("weigh", cls=AmountCommand)
@click.argument("find")
@mass_argument
@sure_option
@recording
def weigh_command(ctx: CommandContext, find: str, mass: str, sure: bool | None) -> None:
    """Record what all that is left of FIND weighs."""
    from partway.actions.bench.finds import weigh

    ctx.record(weigh, find, mass, sure=sure)


@click.command("open")
@click.argument("find")
@click.argument("pieces", nargs=-1, metavar="[PIECE=MASS]...")
@click.option("--op", "operations", multiple=True, metavar="OP", help="An operation that was run; again for more.")
@click.option("--minutes", default="0", metavar="TIME", help='How long it took: 14, "1 h 10".')
@click.option("--residue", metavar="MASS", help="What nobody takes.")
@click.option("--loss", metavar="MASS", help="What is gone.")
@click.option("--gap", metavar="loss|residue|left|scale", help="What the mass is that does not add up.")
@click.option("--count", type=SaidCount(), help="How many of several alike; default as the masses fit.")
@click.option("--steps", is_flag=True, help="Ask step by step: operation, pieces, masses.")
@click.option("--instead", default="", metavar="EVENT", help="The opening that this one puts right.")
@click.option(
    "--answer",
    "answers",
    multiple=True,
    metavar="PIECE=ANSWER",
    help="What a piece turned out to be that is asked about; again for more.",
)
@sure_option
@recording
def open_command(
    ctx: CommandContext, find: str, pieces: tuple[str, ...], answers: tuple[str, ...], steps: bool, **said: Any
) -> None:
    """Record FIND opened: what came out, weighed, and into which bin.

    With --steps it is asked about step by step: what can hurt, then the operation, then
    its pieces one by one; Enter takes the likely answer. Operations and pieces go by
    their ids or by their names as partway kinds prints them, or how those begin.

    \b
      partway open microwave-3 --steps
      partway open microwave-3 --op "take the tray" "Cord with plug=0.3kg" --gap left
      partway open microwave-3 --op cord-and-tray --op discharge --minutes 9 \\
          cord=0.3kg capacitor=0.15kg "cover=1.8 kg" --gap left
      partway open fan-1 "motor=1.4 kg:motors" "2x blade=0.6 kg:residue"

    The piece `whole` is the find as it is, put into a bin: open tap-1 whole=2kg.
    PIECE=MASS goes into the bin of the only grade it sells as; :GRADE says which,
    @BIN names the bin. Where a piece is asked about, the answer is a name of it:
    transformer.copper=3.1kg; --answer transformer=copper says it of one not weighed.
    What pieces turned out to be is learned from. A missing bin is made. The mass balance is shown; a gap
    beyond the loss that the operations allow has to be explained:

    \b
      --gap loss      gone          --gap residue   what nobody takes
      --gap left      still in it   --gap scale     it was weighed wrong

    Something was wrong with an opening? Say all of it again with --instead and its id:
    the one before no longer counts, and both happen at once.
    """
    from dataclasses import replace

    from partway.actions.bench.answering import answer_given
    from partway.actions.bench.pieces import piece_given
    from partway.actions.books.opening_anew import record_opening

    if steps:
        from partway.cli.bench.by_steps import refuse_more, steps_recorded

        refuse_more(bool(pieces or answers or said["operations"]))
        if done := steps_recorded(ctx, find, said):
            _told(ctx, done)
        return
    given = [piece_given(text) for text in pieces]
    given = [replace(one, grade=grade_settled(ctx, one.grade, "piece")) if one.grade else one for one in given]
    seen = [answer_given(text) for text in answers]
    _told(ctx, ctx.run(record_opening, (find,), {"pieces": given, "answers": seen, **said}))


def _told(ctx: CommandContext, done: Recorded[OpenResult]) -> None:
    ctx.tell(done)
    if done.result.new_kind and not ctx.as_json:
        click.echo(f"  make it a kind of your own: partway kinds --from {done.result.find} --hazards ...")


@click.command("sell", cls=AmountCommand)
@click.argument("find")
@click.argument("price")
@click.option("--part", "what", default="", metavar="PIECE", help="A piece of it; default the whole find.")
@click.option("--count", default=1, show_default=True, type=SaidCount(), help="How many.")
@click.option("--mass", metavar="MASS", help="What they weigh together.")
@click.option("--fee", default="0", metavar="MONEY", help="What the place of sale took, of all together.")
@click.option("--postage", default="0", metavar="MONEY", help="What sending cost, of all together.")
@click.option("--minutes", default="0", metavar="TIME", help="To list and pack.")
@click.option("--listing", default="", metavar="LISTING", help="The offer it was sold by; default its oldest.")
@recording
def sell_command(ctx: CommandContext, find: str, price: str, **said: Any) -> None:
    """Record FIND, or a part of it, sold by the unit at PRICE each.

    \b
      partway sell microwave-3 40
      partway sell bread-machine-1 22 --part motor --mass "900 g" --fee 3.08 --postage 9
      partway sell microwave-3-offer-1 36
    """
    from partway.actions.bench.selling import sell

    ctx.record(sell, find, price, **said)


@click.command("discard", cls=AmountCommand)
@click.argument("find")
@click.option("--mass", metavar="MASS", help="What it weighs, where it was not weighed before.")
@recording
def discard_command(ctx: CommandContext, find: str, mass: str | None) -> None:
    """Record that what is left of FIND is given up: it becomes residue."""
    from partway.actions.bench.selling import discard

    ctx.record(discard, find, mass)
