"""`partway list`, `reprice`, `take-down`, `return` and `offers`: what is on offer by the unit."""

from __future__ import annotations

from typing import Any

import click

from partway.cli.amounts import AmountCommand
from partway.cli.common import page, write_json
from partway.cli.context import CommandContext, looking, recording
from partway.cli.said import SaidCount
from partway.cli.words import typed


@click.command("list")
@click.argument("find")
@click.option("--asking", required=True, metavar="MONEY", help="What is asked for each.")
@click.option("--where", default="", metavar="TEXT", help="Where it is offered, in your own words.")
@click.option("--part", "what", default="", metavar="PIECE", help="A piece of it; default the whole find.")
@click.option("--as", "part", default="", metavar="NAME", help="By which name of the catalogue, where it has several.")
@click.option("--count", default=1, show_default=True, type=SaidCount(), help="How many.")
@click.option("--bin", "bin_id", default="", metavar="BIN", help="Where a piece lies that was taken out before.")
@click.option("--minutes", default="0", metavar="TIME", help="To photograph it and write the offer.")
@click.option("--note", default="", metavar="TEXT", help="Anything else.")
@recording
def list_command(ctx: CommandContext, find: str, asking: str, **said: Any) -> None:
    """Put FIND, or a piece of it, on offer by the unit.

    \b
      partway list microwave-3 --asking 40 --where "the board by the shop"
      partway list bread-machine-1 --part motor --bin motors --asking 22

    The offer gets a name, such as microwave-3-offer-1. `partway sell` of the find
    ends it; what did not sell is taken down. Days on offer count, sold or not: that
    is how partway learns how likely a thing sells, and how soon.
    """
    from partway.actions.bench.listing import put_on_offer

    ctx.record(put_on_offer, find, asking, **said)


@click.command("reprice", cls=AmountCommand)
@click.argument("listing")
@click.argument("asking")
@recording
def reprice_command(ctx: CommandContext, listing: str, asking: str) -> None:
    """Ask another price, ASKING, for each of LISTING: its name, or the find's where it has one alone."""
    from partway.actions.bench.listing import reprice

    ctx.record(reprice, listing, asking)


@click.command("take-down")
@click.argument("listing")
@click.option("--count", type=SaidCount(), help="How many; default all that are left.")
@click.option("--note", default="", metavar="TEXT", help="Why.")
@recording
def take_down_command(ctx: CommandContext, listing: str, **said: Any) -> None:
    """Take LISTING down, unsold."""
    from partway.actions.bench.listing import take_down

    ctx.record(take_down, listing, **said)


@click.command("return")
@click.argument("sale")
@click.option("--refund", metavar="MONEY", help="All the money that went back; default what it was sold for.")
@click.option("--count", type=SaidCount(), help="How many; default all of the sale.")
@click.option("--postage", default="0", metavar="MONEY", help="What sending it back cost you.")
@click.option("--bin", "bin_id", default="", metavar="BIN", help="Where it lies now; default in its find.")
@click.option("--again", is_flag=True, help="It is on offer again, by the listing it was sold by.")
@recording
def return_command(ctx: CommandContext, sale: str, **said: Any) -> None:
    """Record that something sold came back: SALE is its listing, its find or the id of its entry.

    \b
      partway return microwave-3 --refund 40 --postage 9
      partway return microwave-3-offer-1 --again
    """
    from partway.actions.bench.listing import take_back

    ctx.record(take_back, sale, **said)


@click.command("offers")
@looking
def offers_command(ctx: CommandContext) -> None:
    """What is on offer: how long, what it is expected to fetch, and what to do with it."""
    from partway.actions.haul.scenario import scenario_from_book
    from partway.actions.recording.describe import Say
    from partway.reports.bench.offers import offer_words, report_offers

    scenario = scenario_from_book(ctx.book, ctx.now().date(), counting=False)
    report = report_offers(ctx.book, scenario, ctx.now())
    if ctx.as_json:
        write_json(report)
        return
    money = Say.of(ctx.book).money
    console = page()
    for line in report.offers:
        console.print(f"{offer_words(line, money)}{typed(line.listing)}", soft_wrap=True, highlight=False, markup=False)
    if not report.offers:
        console.print("Nothing is on offer.", highlight=False)


@click.command("listing-text")
@click.argument("find")
@click.option("--part", "piece", default="", metavar="PIECE", help="A piece of it; default the whole find.")
@click.option("--packed", default="", metavar="MASS", help="What it weighs packed.")
@click.option("--postage", default="", metavar="MONEY", help="What sending it costs.")
@looking
def listing_text_command(ctx: CommandContext, find: str, piece: str, packed: str, postage: str) -> None:
    """The text of a listing for FIND, or a piece of it, to paste anywhere.

    \b
      partway listing-text microwave-3 --packed "14.5 kg" --postage 22
      partway listing-text bread-machine-1 --part motor

    It says what the ledger knows and nothing else: what was not tested or weighed is
    said not to be. What can hurt is shown first, on stderr; it is not in the text.
    """
    from partway.actions.pictures.writing import text_of_listing

    found = text_of_listing(ctx.book, ctx.now(), find, piece, packed, postage)
    if ctx.as_json:
        write_json(found)
        return
    for line in ctx.careful.lines(found.cautions):
        click.echo(line, err=True)
    click.echo(found.text, nl=False)
