"""`partway conflicts`, and conflicts as other commands show them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from partway.cli.context import CommandContext, as_json, recording

if TYPE_CHECKING:
    from partway.reports.books.conflicts import ConflictLine

SIGN = "\N{NOT EQUAL TO}"
LEAVE = "leave"
ALL = "All of them, and how to settle each: partway conflicts"


@click.command("conflicts")
@click.option("--settle", "settles", is_flag=True, help="Ask of each which event is wrong, and take that one out.")
@recording
def conflicts_command(ctx: CommandContext, settles: bool) -> None:
    """What cannot all be true, after ledgers of several devices were merged, and how to settle each.

    Nothing is lost by a merge: every event of both ledgers counts until somebody who was
    there says which one is wrong and takes it out: with partway correct ID, or asked about
    one after another with --settle. Until then every figure that hangs on it is marked.
    """
    from dataclasses import asdict

    from partway.actions.recording.words import units
    from partway.actions.recording.zones import zone_here
    from partway.reports.books.conflicts import report_conflicts

    ctx.makes = False  # there is nothing to settle where there is no ledger
    called = None if ctx.as_json else ctx.called  # for programs ids, to the letter
    lines = report_conflicts(ctx.book, units(ctx.book), zone_here(ctx.book), called=called)
    if ctx.as_json:
        as_json([asdict(line) for line in lines])
        return
    if settles and lines:
        _settle(ctx, lines)
        return
    click.echo("\n\n".join(map(in_full, lines)) or "No conflicts: all that is in the ledger can be true.")


def _settle(ctx: CommandContext, lines: Sequence[ConflictLine]) -> None:
    """Each conflict asked about: the event that is wrong is taken out. Enter leaves it, as nobody can tell but you."""
    from partway.actions.books.corrections import correct
    from partway.actions.recording.words import units
    from partway.actions.recording.zones import zone_here
    from partway.cli.asking import chosen
    from partway.errors import Refused
    from partway.reports.books.conflicts import report_conflicts

    if not ctx.may_ask:
        raise Refused("questions where nobody is there to answer", "a terminal, or partway correct ID", "settle")
    for line in lines:
        still = report_conflicts(ctx.book, units(ctx.book), zone_here(ctx.book))
        if _events(line) not in map(_events, still):
            continue  # settled with one before
        click.echo(f"{SIGN} {line.words}. Which one is wrong?", err=True)
        choices = [(side.event, text) for side, text in zip(line.sides, sides(line, ids=False), strict=True)]
        wrong = chosen([*choices, (LEAVE, "I cannot tell: leave it")], LEAVE, ids=False)
        if wrong == LEAVE:
            continue
        try:
            ctx.record(correct, wrong, "settled")
        except Refused as refused:  # the others can be settled all the same
            click.echo(f"  left as it is: {refused}", err=True)


def _events(line: ConflictLine) -> tuple[str, ...]:
    return tuple(side.event for side in line.sides)


def in_full(line: ConflictLine) -> str:
    """One conflict with its sides and what settles it."""
    numbered = (f"    {number}. {side}" for number, side in enumerate(sides(line), 1))
    return "\n".join([f"{SIGN} {line.words}.", *numbered, f"  {settle(line)}"])


def sides(line: ConflictLine, *, ids: bool = True) -> list[str]:
    """One line for each event; its id at the end."""
    return [
        f"{side.who}{_where(side.device, side.here)}, {side.happened}: {side.says}{f'  [{side.id}]' if ids else ''}"
        for side in line.sides
    ]


def _where(device: str, here: bool) -> str:
    if here:
        return ", on this device"
    return f", on device {device}" if device else ""


def settle(line: ConflictLine) -> str:
    """What to type."""
    ways = " or ".join(f"partway correct {side.id}" for side in line.sides)
    wrong = "Take out the one that is wrong" if len(line.sides) > 1 else "Take out this event, if it is wrong"
    return f"{wrong}: {ways}{_instead(line)}"


def _instead(line: ConflictLine) -> str:
    if line.instead == "recount":
        return f"; or put the bin on the scale: partway recount {line.subjects[0].partition(':')[2]} MASS"
    return "; or say again what is right" if line.instead == "say-again" else ""


def mark(text: str) -> str:
    """A mark in words behind a figure, with its sign; nothing where there is none."""
    return f"  {SIGN} {text}" if text else ""


def to_settle(lines: Sequence[ConflictLine]) -> str:
    """What a merge ends with."""
    count = "1 conflict" if len(lines) == 1 else f"{len(lines)} conflicts"
    return "\n".join([f"merged, with {count} to settle (partway conflicts):", *map(in_full, lines)])
