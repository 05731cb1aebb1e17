"""`partway haul`, `ticket` and `paid`."""

from __future__ import annotations

import click

from partway.cli.amounts import AmountCommand
from partway.cli.asking import grade_settled
from partway.cli.context import CommandContext, as_json, looking, recording
from partway.cli.distances import distance_options


@click.group("haul")
def haul_command() -> None:
    """Set out on a haul, and finish it.

    \b
      partway haul start harbour ridge
      partway haul finish --km 61 --minutes "2 h 10"
      partway haul show haul-3
    """


@haul_command.command("start")
@click.argument("stops", nargs=-1, metavar="BUYER...")
@click.option("--note", default="", metavar="TEXT")
@recording
def start_command(ctx: CommandContext, stops: tuple[str, ...], note: str) -> None:
    """Set out to the buyers named, in their order."""
    from partway.actions.haul.hauls import start

    ctx.record(start, stops, note)


@haul_command.command("finish")
@click.argument("haul", required=False)
@distance_options("Of the whole trip.")
@click.option("--minutes", metavar="TIME", help="From setting out to the end.")
@click.option("--note", default="", metavar="TEXT")
@recording
def finish_command(ctx: CommandContext, haul: str | None, km: str | None, minutes: str | None, note: str) -> None:
    """Finish HAUL, by default the one under way."""
    from partway.actions.haul.hauls import finish

    ctx.record(finish, haul, km, minutes, note)


@haul_command.command("show")
@click.argument("haul")
@looking
def show_command(ctx: CommandContext, haul: str) -> None:
    """HAUL as it stands: its tickets and what to ask about them; once it is over, planned against got."""
    from dataclasses import asdict

    from partway.actions.haul.show_haul import haul_lines_of, haul_shown
    from partway.actions.recording.describe import Say

    sheet = haul_shown(ctx.book, haul, ctx.now())
    if ctx.as_json:
        as_json(asdict(sheet))
        return
    for line in haul_lines_of(sheet, Say.of(ctx.book)):
        click.echo(line)


@click.command("ticket", cls=AmountCommand)
@click.argument("buyer")
@click.argument("lines", nargs=-1, metavar="LINE...")
@click.option("--total", metavar="MONEY", help="As printed; default what the lines make, its fee off.")
@click.option("--less", multiple=True, metavar="WHAT=MONEY", help="Taken off: dirt=3.50; again for more.")
@click.option("--haul", metavar="HAUL", help="On which haul.")
@click.option("--number", default="", metavar="TEXT", help="Number on the ticket.")
@click.option("--as-printed", is_flag=True, default=None, help="It does not add up, and says so nevertheless.")
@recording
def ticket_command(
    ctx: CommandContext,
    buyer: str,
    lines: tuple[str, ...],
    total: str | None,
    less: tuple[str, ...],
    haul: str | None,
    number: str,
    as_printed: bool | None,
) -> None:
    """Record the ticket that BUYER printed, a LINE for each grade.

    \b
      partway ticket harbour "copper-2 10.2 lb at 4.10 /lb" "light-iron 180 lb at 0.11 /lb = 19.80"
      partway ticket harbour "no 2 copper 10.2 lb at 4.10" "motors 38 lb at 38c"
      partway ticket harbour "copper-light 6 lb at 3.75 /lb ~6.2 lb @copper-2" --total 22.50

    A grade goes by its id or by what it is called in a price list; what may mean several is asked.
    The masses are the yard's; your bins give up your own: all that is in the bin
    where that is near the yard's, else what comes after ~ (a mass, all, or yard).
    @BIN names the bin where the yard paid it as another grade. Arithmetic that does
    not add up is asked about.
    """
    from dataclasses import replace

    from partway.actions.haul.tickets import ticket
    from partway.actions.haul.tickets_read import line_given
    from partway.cli.buyers.heard import price_heard
    from partway.errors import Refused

    taken = []
    for text in less:
        what, equals, amount = text.rpartition("=")
        if not equals:
            raise Refused(f'"{text}"', 'what it is and how much, such as "dirt=3.50"', "less")
        taken.append((what, amount))
    given = [line_given(line) for line in lines]
    read = []
    for line in given:
        grade = grade_settled(ctx, line.grade, "line")
        price = price_heard(ctx, buyer, grade, line.price, printed=True)
        read.append(replace(line, grade=grade, price=price))
    ctx.record(ticket, buyer, read, total, taken, haul, number, as_printed=as_printed)


@click.command("paid", cls=AmountCommand)
@click.argument("buyer")
@click.argument("amount")
@click.option("--ticket", metavar="TICKET", help="For which; default the only open one.")
@click.option("--how", default="", metavar="TEXT", help="Cash, cheque, transfer.")
@click.option("--as-printed", is_flag=True, default=None, help="It is more than was owed, and came in nevertheless.")
@recording
def paid_command(
    ctx: CommandContext, buyer: str, amount: str, ticket: str | None, how: str, as_printed: bool | None
) -> None:
    """Record AMOUNT that came in from BUYER."""
    from partway.actions.books.money import paid

    ctx.record(paid, buyer, amount, ticket, how, as_printed=as_printed)
