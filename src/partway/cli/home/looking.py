"""`partway today`, `stock`, `ledger` and `export-scenario`: looking, and writing nothing but files asked for."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from partway.cli.common import page, write_json
from partway.cli.context import CommandContext, as_json, looking
from partway.cli.said import SaidCount
from partway.cli.source import PlanSource, away_option, bench_option, ledger_scenario, trips_option, wage_option

if TYPE_CHECKING:
    pass


@click.command("today")
@looking
def today_command(ctx: CommandContext) -> None:
    """What comes next: danger first, then what is due, then what earns most a minute."""
    from dataclasses import asdict

    from partway.actions.bench.benching import best
    from partway.actions.haul.scenario import prices_from_book
    from partway.actions.recording.describe import Say
    from partway.actions.recording.words import units
    from partway.reports.home.today import FEW, There, report_today

    called = None if ctx.as_json else ctx.called  # for programs ids, to the letter
    say, there = Say.of(ctx.book), There.of(ctx.book, units(ctx.book), ctx.now().tzinfo, called)
    prices = prices_from_book(ctx.book, ctx.now().date(), there.finds)
    first = best(ctx.book, prices, there.finds, FEW)
    report = report_today(ctx.book, prices, ctx.now(), first, there)
    if ctx.as_json:
        as_json(asdict(report))
        return
    from partway.cli.home.today_page import show_today

    show_today(page(), report, say, ctx.called, ctx.careful)


@click.command("overview")
@looking
def overview_command(ctx: CommandContext) -> None:
    """How everything stands: finds that wait, bins that are due, prices that are old, what is owed, what came in."""
    from dataclasses import asdict

    from partway.actions.haul.scenario import scenario_from_book
    from partway.actions.recording.describe import Say
    from partway.ledger.fold import standing
    from partway.reports.books.overview import report_overview

    waiting = standing.finds(ctx.book)  # the slowest question of all: asked once
    scenario = scenario_from_book(ctx.book, ctx.now().date(), counting=False, waiting=waiting)
    report = report_overview(ctx.book, scenario, ctx.now(), waiting)
    if ctx.as_json:
        as_json(asdict(report))
        return
    from partway.cli.home.today_page import show_overview

    show_overview(page(), report, Say.of(ctx.book), ctx.called, ctx.careful)


@click.command("stock")
@looking
def stock_command(ctx: CommandContext) -> None:
    """The bins: what is in them, how old it is, where it sells best today."""
    from partway.actions.recording.describe import Say
    from partway.reports.bins.all import report_bins
    from partway.reports.bins.listed import listed

    say = Say.of(ctx.book)
    report = listed(report_bins(ctx.book, ctx.now()), say.currency, say.unit)
    if ctx.as_json:
        write_json(report)
        return
    from partway.cli.home.today_page import show_stock

    show_stock(page(), report, say, ctx.called, ctx.careful)


@click.command("ledger")
@click.option("--kind", "kinds", multiple=True, metavar="KIND", help="found, opened, sold, quoted ...; again for more.")
@click.option("--about", metavar="WHAT", help="A find, bin, buyer, haul or ticket: microwave-3, bin:copper-2.")
@click.option("--since", metavar="WHEN", help="From this day or time on.")
@click.option("--until", metavar="WHEN", help="Before this day or time.")
@click.option("--last", default=20, show_default=True, type=SaidCount(min=0), help="How many; 0 for all.")
@looking
def ledger_command(
    ctx: CommandContext, kinds: tuple[str, ...], about: str | None, since: str | None, until: str | None, last: int
) -> None:
    """What happened, in words, what happened last at the end, whenever it was typed.

    At the end of each line stands the ID that partway correct and partway undo take.
    """
    from dataclasses import asdict

    from partway.actions.books.queries import filters
    from partway.actions.recording.words import units
    from partway.reports.books.ledger import report_ledger

    chosen = filters(ctx.book, ctx.now(), kinds, about, since, until)
    zone, today = ctx.now().tzinfo, ctx.now().date()
    called = None if ctx.as_json else ctx.called  # for programs ids, to the letter
    report = report_ledger(ctx.book, units(ctx.book), zone, **chosen, most=last or None, called=called)
    if ctx.as_json:
        as_json(asdict(report))
        return
    from partway.cli.home.ledger_page import show_ledger

    show_ledger(report, today)


@click.command("export-scenario")
@click.argument("file", required=False, type=click.Path(path_type=Path))
@bench_option
@away_option
@wage_option
@trips_option
@looking
def export_scenario_command(
    ctx: CommandContext,
    file: Path | None,
    bench: float | None,
    away: float | None,
    wage: float | None,
    trips: int | None,
) -> None:
    """Write the scenario that partway plan uses to FILE, which must not be there yet, or to standard output.

    partway plan --scenario FILE then gives the same plan, wherever it is read.
    """
    from partway.storage.scenario.write import save_scenario, scenario_text

    text = scenario_text(ledger_scenario(ctx, PlanSource(None, ctx.workspace, bench, away, wage, trips)))
    if file is None:
        click.echo(text, nl=False)
        return
    save_scenario(text, file)
    click.echo(f"{file}: saved. Plan it: partway plan --scenario {file}")
