"""`partway conflicts`, and conflicts as other commands show them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from partway.cli.context import CommandContext, as_json, looking

if TYPE_CHECKING:
    from partway.reports.books.conflicts import ConflictLine

SIGN = "\N{NOT EQUAL TO}"
ALL = "All of them, and how to settle each: partway conflicts"


@click.command("conflicts")
@looking
def conflicts_command(ctx: CommandContext) -> None:
    """What cannot all be true, after ledgers of several devices were merged, and how to settle each.

    Nothing is lost by a merge: every event of both ledgers counts until somebody who was
    there says which one is wrong and takes it out with partway correct. Until then every
    figure that hangs on it is marked.
    """
    from dataclasses import asdict

    from partway.actions.recording.words import unit
    from partway.actions.recording.zones import zone_here
    from partway.reports.books.conflicts import report_conflicts

    lines = report_conflicts(ctx.book, unit(ctx.book), zone_here(ctx.book))
    if ctx.as_json:
        as_json([asdict(line) for line in lines])
        return
    click.echo("\n\n".join(map(in_full, lines)) or "No conflicts: all that is in the ledger can be true.")


def in_full(line: ConflictLine) -> str:
    """One conflict with its sides and what settles it."""
    return "\n".join([f"{SIGN} {line.words}.", *(f"    {side}" for side in sides(line)), f"  {settle(line)}"])


def sides(line: ConflictLine) -> list[str]:
    """One line for each event."""
    return [
        f"{side.id}  {side.happened}  {side.who}{_where(side.device, side.here)}: {side.says}" for side in line.sides
    ]


def _where(device: str, here: bool) -> str:
    if here:
        return ", on this device"
    return f", on device {device}" if device else ""


def settle(line: ConflictLine) -> str:
    """What to type."""
    ways = " or ".join(f"partway correct {side.id}" for side in line.sides)
    wrong = "Take out the event that is wrong" if len(line.sides) > 1 else "Take out this event, if it is wrong"
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
