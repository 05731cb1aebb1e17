"""`partway books`."""

from __future__ import annotations

import click

from partway.cli.common import page
from partway.cli.context import CommandContext, as_json, looking


@click.command("books")
@click.option(
    "--per",
    type=click.Choice(["month", "activity", "kind", "yard", "place", "person"]),
    help="In a line each: by month, by what was done, by kind of find, by yard, by place, by who recorded it.",
)
@click.option(
    "--months",
    type=click.Choice(["1", "3", "12", "0"]),
    default="3",
    show_default=True,
    help="The last so many, this one counted; 0 for all.",
)
@looking
def books_command(ctx: CommandContext, per: str | None, months: str) -> None:
    """What an hour earned: this month, lately, and by month, activity, kind, yard, place or person.

    \b
      partway books
      partway books --per kind --months 12
      partway books --per yard
      partway books --per place --months 0
      partway books --per person
    """
    from dataclasses import asdict

    from partway.actions.haul.scenario import prices_from_book
    from partway.actions.recording.describe import Say
    from partway.ledger.fold import standing
    from partway.reports.books.hours_earned import hours_earned
    from partway.reports.books.per_hour import report_per_hour
    from partway.reports.books.per_yard import report_per_yard
    from partway.valuing.window import window

    seen = window(ctx.book, ctx.now(), int(months))
    if per == "yard":
        yards = report_per_yard(ctx.book, seen)
        if ctx.as_json:
            as_json(asdict(yards))
            return
        from partway.cli.books.earned_page import show_yards

        show_yards(page(), yards, Say.of(ctx.book))
        return
    finds = standing.finds(ctx.book)
    prices = prices_from_book(ctx.book, ctx.now().date(), finds)
    if per == "place":
        from partway.actions.curb.round_report import rounds_earned
        from partway.cli.books.earned_page import show_places
        from partway.reports.books.per_place import report_per_place

        places = report_per_place(rounds_earned(ctx.book, prices, finds), seen, prices.currency)
        if ctx.as_json:
            as_json(asdict(places))
        else:
            show_places(page(), places, Say.of(ctx.book))
        return
    report = report_per_hour(ctx.book, prices, seen)
    if ctx.as_json:
        as_json(asdict(hours_earned(report)))
        return
    from partway.cli.books.earned_page import show_books

    show_books(page(), report, Say.of(ctx.book), per)
