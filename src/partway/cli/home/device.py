"""`partway device`."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

import click

from partway.cli.context import CommandContext, as_json, looking
from partway.errors import Refused

if TYPE_CHECKING:
    from partway.storage.writing.device_keys import DeviceKey

DOING = ("add", "end")


@click.command("device")
@click.argument("do", metavar="[add|end]", required=False)
@click.argument("device", metavar="NAME", required=False)
@click.option("--address", metavar="ADDRESS", help="How the device reaches the app, such as https://bench.example.")
@looking
def device_command(ctx: CommandContext, do: str | None, device: str | None, address: str | None) -> None:
    """Phones and other devices that may open the app: one key each, by name.

    Without arguments all of them, and when each was last here. An ended key opens nothing
    from that moment on, in every app of this workspace that runs. Events say the device's
    name as who typed them.

    \b
      partway device
      partway device add "phone of Ann" --address https://bench.example
      partway device end "phone of Ann"
    """
    if do is None:
        _list(ctx)
    elif do not in DOING or device is None:
        raise Refused(
            f'"{do}" {"and no name" if device is None else ""}'.strip(), "add NAME, end NAME, or nothing", "do"
        )
    elif do == "add":
        _add(ctx, device, address)
    else:
        from partway.storage.writing.device_keys import end_key

        end_key(ctx.book, device, ctx.now())
        _say(ctx, {"device": device, "ended": True}, f"The key of {device} opens nothing any more.")


def _add(ctx: CommandContext, device: str, address: str | None) -> None:
    from partway.cli.home.reached import say_link
    from partway.storage.writing.device_keys import issue_key

    key = issue_key(ctx.book, device, ctx.now())
    if ctx.as_json:
        as_json({"device": device, "key": key})
    elif address is None:
        click.echo(f"{key}\n  The key of {device}, shown this once: it opens ADDRESS/?key={key}")
    else:
        say_link(f"{address.rstrip('/')}/?key={key}", device)


def _list(ctx: CommandContext) -> None:
    from partway.storage.writing.device_keys import device_keys

    keys = device_keys(ctx.book)
    if ctx.as_json:
        as_json([asdict(key) for key in keys])
        return
    for key in keys:
        click.echo(_line(ctx, key))
    if not keys:
        click.echo("No device has a key yet. partway serve --phone makes one for the first.")


def _line(ctx: CommandContext, key: DeviceKey) -> str:
    from partway.ledger.days import day_of
    from partway.reports.called import date_said

    now = ctx.now()

    def on(moment: object) -> str:
        return date_said(day_of(moment, now.tzinfo), now.date())  # type: ignore[arg-type]

    seen = "not used yet" if key.seen is None else f"last here {on(key.seen)}"
    return f"{key.name}: {seen}" if key.ended is None else f"{key.name}: ended {on(key.ended)}, {seen}"


def _say(ctx: CommandContext, data: dict[str, object], words: str) -> None:
    if ctx.as_json:
        as_json(data)
    else:
        click.echo(words)
