"""`partway place`."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

import click

from partway.cli.common import page
from partway.cli.context import CommandContext, as_json, recording

if TYPE_CHECKING:
    from rich.console import Console

    from partway.reports.what.place_cards import PlaceCards, PlaceLine


@click.command("place")
@click.argument("card", required=False)
@click.argument("says", required=False)
@click.option("--source", metavar="TEXT", help="Where it is written: by-law, notice, whom you asked.")
@click.option("--seen", metavar="DAY", help="The day it was looked up; default today.")
@recording
def place_command(
    ctx: CommandContext, card: str | None, says: str | None, source: str | None, seen: str | None
) -> None:
    """What differs from place to place: curbside goods, identity, payment, drop-offs.

    Without arguments all place cards, with CARD one of them, with SAYS what the rule is
    here. Never advice: partway ships the questions, you fill in what your place says.

    \b
      partway place
      partway place curbside "not after 7 on collection day" --source "by-law 12, section 4"
      partway place payment "no cash for copper" --source "notice at the yard" --seen 2026-03-01
    """
    from partway.actions.what.placing import fill_in

    if card is not None and says is not None:
        ctx.record(fill_in, card, says, source, seen)
        return
    _look(ctx, card, source or seen)


def _look(ctx: CommandContext, card: str | None, said: str | None) -> None:
    """Show the cards; what was said besides is not dropped in silence."""
    from partway.actions.what.placing import card_named
    from partway.errors import Refused
    from partway.reports.what.place_cards import report_place_cards

    if said is not None:
        raise Refused("--source or --seen without what the rule says", 'partway place CARD "what it says"', "place")
    ctx.makes = False  # looking makes no ledger
    named = None if card is None else card_named(card)
    report = report_place_cards(ctx.book, ctx.now().date())
    chosen = [line for line in report.cards if named in (None, line.id)]
    if ctx.as_json:
        as_json({**asdict(report), "cards": [asdict(line) for line in chosen]})
        return
    show_place_cards(page(), report, chosen)


def show_place_cards(console: Console, report: PlaceCards, lines: list[PlaceLine]) -> None:
    """Each question with what was filled in, or that nothing was."""
    import datetime as dt

    from rich.text import Text

    from partway.spoken.texts import dated

    console.print(report.note)
    for line in lines:
        console.print()
        console.print(Text.assemble((line.name, "bold"), f" ({line.id}): {line.question}"))
        if line.says is None:
            console.print(Text(f"  Not filled in. Why it matters: {line.why}."))
            continue
        again = f"; {line.days} days ago, look again" if line.standing == "look again" else ""
        console.print(Text(f"  {line.says}"))
        seen = f", seen {dated(dt.date.fromisoformat(line.seen))}" if line.seen else ""
        console.print(Text(f"  {line.source}{seen}{again}"))
