"""`partway curb`."""

from __future__ import annotations

from typing import Any

import click

from partway.cli.common import page
from partway.cli.context import CommandContext, as_json, looking
from partway.errors import Refused

ROOM = ("left_kg", "left_l", "minutes")


@click.command("curb")
@click.argument("kind", nargs=-1, metavar="[KIND]...")
@click.option("--works", type=click.Choice(["yes", "no", "unknown"]), default="unknown", help="Whether it works.")
@click.option("--sign", "signs", multiple=True, metavar="SIGN", help="What shows: cord-cut, note-works, -boxed ...")
@click.option("--mass", default="", metavar="MASS", help="About how heavy a thing of no known kind is.")
@click.option("--mostly", default="", metavar="WHAT", help="What a thing of no known kind mostly is: steel, boards ...")
@click.option("--cord", default="", metavar="yes|no|unknown", help="Whether such a thing has a cord.")
@click.option("--motor", default="", metavar="yes|no|unknown", help="Whether it has a motor.")
@click.option("--battery", default="", metavar="yes|no|unknown", help="Whether it has a battery.")
@click.option("--unknown", "own", is_flag=True, help="It is none of the kinds whose names are near.")
@click.option("--by", type=click.Choice(["hour", "space"]), default="hour", help="Order of the list: money by what.")
@click.option("--in-sight", "in_sight", default="", metavar="THINGS", help='"washer, 2 window fan, microwave=no".')
@click.option("--left-kg", default="", metavar="MASS", help="What the vehicle still carries; a bare number is kg.")
@click.option("--left-l", default="", metavar="VOLUME", help="What it still holds; a bare number is litres.")
@click.option("--minutes", default="", metavar="TIME", help="Left for loading and unloading.")
@looking
def curb_command(ctx: CommandContext, kind: tuple[str, ...], in_sight: str, by: str, **said: Any) -> None:
    """Worth lifting? The kinds that pay best; with KIND take it or leave it; or which of several things first.

    \b
      partway curb
      partway curb microwave oven --works no
      partway curb microwave --sign note-works --sign=-wet
      partway curb "foot spa" --mostly plastic-motor --cord yes
      partway curb --in-sight "dryer, microwave, 2 window fan=no" --left-kg 120 --left-l 400
    """
    room = {name: said.pop(name) for name in ROOM}
    name = " ".join(kind)
    if (name and in_sight) or (any(room.values()) and not in_sight):
        raise Refused("a kind and what is left on the vehicle", "a kind, or --in-sight with what is left", "in_sight")
    if in_sight:
        _in_sight(ctx, in_sight, room)
    elif name:
        _one_kind(ctx, name, **said)
    elif any(said[field] for field in ("signs", "mostly", "own")) or said["works"] != "unknown":
        raise Refused("no kind", "the kind that this is said of", "kind")
    else:
        _ranking(ctx, by)


def _ranking(ctx: CommandContext, by: str) -> None:
    """Kinds worth stopping for."""
    from dataclasses import asdict

    from partway.actions.curb.curb import ranking
    from partway.actions.recording.describe import Say
    from partway.cli.curb.curb_page import show_ranking

    report = ranking(_prices(ctx))
    if ctx.as_json:
        as_json(asdict(report))
        return
    show_ranking(page(), report, Say.of(ctx.book), by=by)


def _one_kind(
    ctx: CommandContext, name: str, works: Any, signs: tuple[str, ...], mass: str, own: bool, **made_of: str
) -> None:
    """The verdict on one kind."""
    from dataclasses import asdict

    from partway.actions.bench.finds import said_signs
    from partway.actions.curb.curb import curb
    from partway.actions.recording import reading
    from partway.actions.recording.describe import Say
    from partway.actions.recording.unknown import MadeOf
    from partway.cli.curb.curb_page import show_curb
    from partway.valuing.known import catalogue_of
    from partway.valuing.learned.odds import odds_of

    known = catalogue_of(ctx.book)
    kg = reading.mass_mg(ctx.book, mass, "mass") / 1e6 if mass else None
    found = _meant(ctx, name, MadeOf(**made_of, own=own), kg)
    anatomy = known.anatomy(found)
    odds = odds_of(ctx.book).at_curb(anatomy, said_signs(anatomy, signs))
    report = curb(_prices(ctx), found, works, odds)
    if ctx.as_json:
        as_json(asdict(report))
        return
    show_curb(page(), report, Say.of(ctx.book), ctx.careful)


def _meant(ctx: CommandContext, name: str, said: Any, kg: float | None) -> str:
    """The kind by which it is looked up, asked about where somebody is there."""
    from dataclasses import replace

    from partway.actions.recording.questions import Asked
    from partway.actions.recording.unknown import meant
    from partway.cli.asking import answered
    from partway.valuing.known import catalogue_of

    while True:
        try:
            return meant(name, said, catalogue_of(ctx.book), kg).here
        except Asked as question:
            if not ctx.may_ask or not question.choices:
                raise
            answer = str(answered(question.given, question.choices, question.likely))
            if question.option == "kind":
                name = answer
            else:
                said = replace(said, **{question.option: answer})


def _in_sight(ctx: CommandContext, things: str, room: dict[str, str]) -> None:
    """Which of several things to lift first."""
    from dataclasses import asdict

    from partway.actions.curb.in_sight import in_sight, room_left, sight_lines, things_seen
    from partway.actions.recording.describe import Say
    from partway.valuing.learned.odds import odds_of

    scenario = _prices(ctx)
    left = room_left(ctx.book, room["left_kg"], room["left_l"], room["minutes"])
    report = in_sight(scenario, things_seen(scenario, things), left, odds_of(ctx.book))
    if ctx.as_json:
        as_json(asdict(report))
        return
    for line in sight_lines(report, Say.of(ctx.book)):
        click.echo(line)


def _prices(ctx: CommandContext) -> Any:
    from partway.actions.haul.scenario import prices_from_book
    from partway.ledger.fold import standing

    return prices_from_book(ctx.book, ctx.now().date(), standing.finds(ctx.book))
