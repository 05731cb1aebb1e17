"""`partway buyer`, `quote` and `quotes`."""

from __future__ import annotations

import sys
from dataclasses import replace

import click

from partway.cli.amounts import AmountCommand
from partway.cli.asking import grade_settled
from partway.cli.context import CommandContext, recording
from partway.cli.distances import distance_options


@click.command("buyer")
@click.argument("buyer_id", metavar="BUYER")
@click.option("--kind", metavar="yard|mail-in|drop-off|tip", help="What it is; a new buyer needs it.")
@click.option("--name", metavar="TEXT", help="Name for people to read.")
@distance_options("By road from home, one way.")
@click.option("--back-km", metavar="KM", help='By road home, where that is another way; "same" where it is not.')
@click.option("--at", metavar="LAT,LON", help='Instead of a distance: degrees, such as "30.65, -40.57".')
@click.option("--minutes", metavar="TIME", help="On site at each visit.")
@click.option("--refuses", multiple=True, metavar="NAME", help="A grade, family or hazard turned away; again for more.")
@click.option("--postage", multiple=True, metavar="MASS=COST", help='A parcel, such as "20 kg=17"; again for more.')
@click.option(
    "--open", "hours", multiple=True, metavar="HOURS", help='Opening hours, "sat 08:00-12:00"; again for more.'
)
@click.option("--phone", metavar="NUMBER", help="Its telephone number.")
@click.option("--note", metavar="TEXT", help="Whom to ask for.")
@click.option("--ticket-fee", metavar="MONEY", help="What it keeps back of each ticket that pays; 0 for none.")
@click.option("--ticket-share", metavar="PERCENT", help='The same as a share of what it pays: "2 %"; 0 for none.')
@recording
def buyer_command(
    ctx: CommandContext,
    buyer_id: str,
    refuses: tuple[str, ...],
    postage: tuple[str, ...],
    hours: tuple[str, ...],
    **said: str | None,
) -> None:
    """Show BUYER; or add it, or change its terms: what is not said stays as it was.

    \b
      partway buyer harbour
      partway buyer harbour --kind yard --km 14 --minutes 20 --refuses li-ion
      partway buyer harbour --ticket-fee 5 --ticket-share "2 %"
      partway buyer ridge --kind yard --km 9 --back-km 12
      partway buyer boards --kind mail-in --postage "10 lb=14" --postage "40 lb=22"
    """
    from partway.actions.buyers.buyers import Terms, buyer
    from partway.actions.home.distances import in_unit
    from partway.cli.buyers.asking import show_one
    from partway.errors import Refused

    if not (refuses or postage or hours or any(text is not None for text in said.values())):
        show_one(ctx, buyer_id)
        return
    steps = [text.rpartition("=") for text in postage]
    for text, (_, equals, _) in zip(postage, steps, strict=True):
        if not equals:
            raise Refused(f'"{text}"', 'a mass and what a parcel of it costs, such as "20 kg=17"', "postage")
    if (back := said.pop("back_km", None)) is not None:
        said["back_km"] = in_unit(back, "km")
    shipping = [(mass, cost) for mass, _, cost in steps] or None
    ctx.record(buyer, buyer_id, Terms(refuses=refuses or None, shipping=shipping, open=hours or None, **said))


@click.command("quote", cls=AmountCommand)
@click.argument("buyer")
@click.argument("grade")
@click.argument("price")
@click.option("--from", "from_lot", metavar="MASS", help="A tier: the price of lots from this mass.")
@click.option("--minimum", metavar="MASS", help="The smallest lot.")
@click.option("--piece", metavar="MASS", help="What one piece weighs, for a price by the piece.")
@click.option("--most", metavar="MASS|PIECES", help='The most of it taken at one visit: "200 kg" or "5 pieces".')
@recording
def quote_command(
    ctx: CommandContext,
    buyer: str,
    grade: str,
    price: str,
    from_lot: str | None,
    minimum: str | None,
    piece: str | None,
    most: str | None,
) -> None:
    """Record a price heard from BUYER for GRADE: "4.10 /lb", "38 c/lb", "180 /short ton"; `no` ends it.

    GRADE is its id, or what it is called in a price list; what may mean several is
    asked. A price below zero is what you pay.

    \b
      partway quote harbour "no 2 copper" 4.10
      partway quote harbour copper-2 "4.10 /lb"
      partway quote depot tube-whole -5
      partway quote ridge copper-2 "4.30 /lb" --from "60 lb"
      partway quote ridge alternator "6 each" --piece "12 lb"
      partway quote harbour motors no
    """
    from partway.actions.buyers.quoting import quote
    from partway.cli.buyers.heard import price_heard, with_unit

    of = grade_settled(ctx, grade, "grade", buyer)
    heard = with_unit(ctx.book_or_none, price_heard(ctx, buyer, of, price))
    ctx.record(quote, buyer, of, heard, from_lot, minimum, piece, most)


@click.command("quotes", cls=AmountCommand)
@click.argument("buyer")
@click.argument("text", nargs=-1)
@click.option("--comma", is_flag=True, help="Decimals come after a comma: 4,10.")
@recording
def quotes_command(ctx: CommandContext, buyer: str, text: tuple[str, ...], comma: bool) -> None:
    """Record a whole price list of BUYER, as it was dictated or pasted.

    \b
      partway quotes harbour "no 2 copper 4.10, motors 38c, 304 stainless not taking"
      partway quotes harbour "copper 4.10 max 400 lb, car batteries 6 each of 40 lb max 5"
      partway quotes harbour < list.txt

    Without TEXT it is read from standard input. Each line is shown as it was
    understood; what is not clear is asked, and with --yes, or where nobody can
    answer, refused. The list is saved as a whole or not at all.
    """
    from partway.actions.buyers.price_lists import read_list, save_list
    from partway.cli.buyers.list_page import asked_all, show_cautions, show_lines

    said = " ".join(text) if text else sys.stdin.read()
    lines = read_list(ctx.book_or_none, buyer, said, comma=comma, who=ctx.by)
    asking = ctx.may_ask and bool(text)
    if asking:
        lines = asked_all(lines)
    if not ctx.as_json:
        show_cautions(lines, ctx.careful)
        show_lines(lines)
    if asking and not click.confirm("save all of it?", err=True, default=True):
        raise click.Abort
    saved = ctx.run(save_list, (buyer, lines), {})
    ctx.tell(saved if ctx.as_json else replace(saved, result=replace(saved.result, cautions=())))
