"""`partway spend`, `hours`, `correct` and `set`."""

from __future__ import annotations

from typing import Any

import click

from partway.cli.amounts import AmountCommand
from partway.cli.context import CommandContext, as_json, recording

FEW = 6  # of what is taken back, by name before it is asked about


@click.command("spend", cls=AmountCommand)
@click.argument("what")
@click.argument("amount")
@click.option("--category", default="other", show_default=True, metavar="NAME", help="Such as fuel, blades or fees.")
@recording
def spend_command(ctx: CommandContext, what: str, amount: str, category: str) -> None:
    """Record money that went out: partway spend "fuel, full tank" 62.40 --category fuel."""
    from partway.actions.books.money import spend

    ctx.record(spend, what, amount, category)


@click.command("hours", cls=AmountCommand)
@click.argument("activity", metavar="collect|bench|haul|list|other")
@click.argument("time")
@click.option("--find", metavar="FIND", help="On which find.")
@click.option("--note", default="", metavar="TEXT")
@recording
def hours_command(ctx: CommandContext, activity: str, time: str, find: str | None, note: str) -> None:
    """Record hours: partway hours collect "1 h 30". Openings, sales and hauls bring their own."""
    from partway.actions.books.money import hours

    ctx.record(hours, activity, time, find, note)


@click.command("correct")
@click.argument("event_ids", nargs=-1, required=True, metavar="ID...")
@click.option("--why", default="", metavar="TEXT", help="What was wrong.")
@click.option("--set", "changes", multiple=True, metavar="FIELD=VALUE", help="What is right instead; again for more.")
@click.option("--gap", metavar="loss|residue|left|scale", help="Of an opening: what the mass is that does not add up.")
@click.option("--as-printed", is_flag=True, default=None, help="Of a ticket: it does not add up, and says so.")
@click.option("--preview", is_flag=True, help="Show what would follow, and record nothing.")
@recording
def correct_command(
    ctx: CommandContext,
    event_ids: tuple[str, ...],
    why: str,
    changes: tuple[str, ...],
    gap: str | None,
    as_printed: bool | None,
    preview: bool,
) -> None:
    """Take back events, or put one right; nothing is deleted, and a correction can be taken back too.

    \b
      partway correct 1a2b3c4d --why "typed twice"
      partway correct 1a2b3c4d --set mass="5.2 kg" --set count=2 --set day=yesterday
      partway correct 1a2b3c4d --set line1.mass="10.4 lb" --set line2= --set buyer=ridge
      partway correct 1a2b3c4d --set "line+=motors 12 lb at 0.35 /lb"
      partway correct 1a2b3c4d --set cord="0.4 kg" --set residue="1.1 lb" --gap loss

    ID is the end of the event's id, as partway shows it (partway ledger lists them). Of a ticket,
    line1 is its first line (mass, own, price, amount, bin; empty takes it off) and line+ one
    more. Of an opening, a piece is named as it was opened. What would follow is shown first
    and asked about; --yes asks nothing, and later events that rest on it need it.
    """
    from partway.actions.books.undoing import take_back
    from partway.actions.home.distances import named_km
    from partway.errors import Refused

    said = {}
    for text in changes:
        name, equals, value = text.partition("=")
        if not equals or not name.strip():
            raise Refused(f'"{text}"', 'a field and its value, such as mass="5.2 kg"', "set")
        said[name.strip()] = value.strip()
    said = named_km(said)
    if len(event_ids) == 1:
        _correct_one(
            ctx, event_ids[0], {"why": why, "changes": said or None, "gap": gap, "as_printed": as_printed}, preview
        )
        return
    if said:
        raise Refused(f"{len(event_ids)} events", "one event to put right with --set", "correct")
    ctx.record(take_back, event_ids, why)


@click.command("undo")
@click.argument("event_id", metavar="ID", required=False)
@recording
def undo_command(ctx: CommandContext, event_id: str | None) -> None:
    """Take back what you recorded last, all of it: every price of a list, for one.

    \b
      partway undo
      partway undo 1a2b3c4d     what was recorded together with this one

    What is taken back is shown first and asked about; --yes asks nothing. Nothing is
    deleted, and the next partway undo takes back what was recorded before that.
    """
    from partway.actions.books.last_act import act_of
    from partway.actions.books.undoing import take_back
    from partway.reports.called import Called

    events = act_of(ctx.book, ctx.context, event_id or "")
    called = Called(ctx.book, ctx.now().date(), ctx.now().tzinfo)
    if ctx.may_ask:
        for event in events[:FEW]:
            click.echo(f"  {called.act(event.what)}", err=True)
        if len(events) > FEW:
            click.echo(f"  and {len(events) - FEW} more", err=True)
        click.confirm("take it back?" if len(events) == 1 else f"take back all {len(events)}?", True, True, err=True)
    ctx.record(take_back, [str(event.id) for event in events], "undone")


def _correct_one(ctx: CommandContext, event_id: str, options: dict[str, Any], preview: bool) -> None:
    """Show what follows, ask where somebody is there to answer, and record it."""
    from partway.actions.books.corrections import correct
    from partway.errors import Refused

    previewed = ctx.run(correct, (event_id,), options, preview=True)
    rests = previewed.result.follows.rests
    if preview:
        ctx.tell(previewed)
        return
    if ctx.may_ask:
        ctx.show(previewed, err=True)
        click.confirm("  record it?", abort=True, err=True)
    elif rests and not ctx.yes:
        given = f"a correction that {len(rests)} later events rest on, such as {rests[-1].kind} {rests[-1].id}"
        raise Refused(given, "--preview to see what follows, --yes to record it", "correct")
    ctx.record(correct, event_id, **options)


@click.command("set", cls=AmountCommand)
@click.argument("name", required=False)
@click.argument("value", required=False)
@recording
def set_command(ctx: CommandContext, name: str | None, value: str | None) -> None:
    """Change a setting of the workspace; without VALUE show it, without NAME show them all.

    \b
      partway set currency CAD
      partway set unit lb
      partway set wage 15
      partway set payload "900 lb"
    """
    from partway.actions.home.settings import SETTINGS, set_
    from partway.actions.recording import reading

    if name is not None and value is not None:
        ctx.record(set_, name, value)
        return
    known = {known: what for known, (what, _) in SETTINGS.items()}
    if name is not None:
        asked = reading.one_of(name.replace("-", "_"), known, "setting", "set")
        known = {asked: known[asked]}
    _show(ctx, known)


def _show(ctx: CommandContext, known: dict[str, str]) -> None:
    from partway.ledger.fold.standing import settings

    ctx.makes = False
    now = settings(ctx.book)
    if ctx.as_json:
        as_json({name: now.get(name) for name in known})
        return
    for name, what in known.items():
        click.echo(f"{name:12} {now.get(name, 'not set'):16} {what}")
