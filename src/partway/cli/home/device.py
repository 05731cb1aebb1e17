"""`partway device`."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

import click

from partway.cli.context import CommandContext, as_json, looking, who_option
from partway.errors import Refused

if TYPE_CHECKING:
    from partway.ledger.roles import Role
    from partway.storage.writing.device_keys import DeviceKey

DOING = ("add", "end", "role")


@click.command("device")
@click.argument("do", metavar="[add|end|role]", required=False)
@click.argument("device", metavar="NAME", required=False)
@click.option("--address", metavar="ADDRESS", help="How the device reaches the app, such as https://bench.example.")
@click.option("--person", metavar="PERSON", help="Whose it is, as events say; default you.")
@click.option("--same", is_flag=True, help="The person is who recorded things under that name before.")
@click.option("--as", "role", metavar="ROLE", help="What they may: owner, helper or viewer.")
@who_option
@looking
def device_command(
    ctx: CommandContext,
    do: str | None,
    device: str | None,
    address: str | None,
    person: str | None,
    role: str | None,
    same: bool,
) -> None:
    """Phones and other devices that may open the app: one key each, by name.

    Without arguments all of them, whose they are, and when each was last here. An ended key
    opens nothing from that moment on, in every app of this workspace that runs. Events say
    the person as who typed them. An owner may all, a helper record, a viewer look; without
    --as your own device is the owner's, and for somebody else it has to be said. A name that
    is in the ledger and has no device is asked about: --same says that it is that person.

    \b
      partway device
      partway device add "my phone" --address https://bench.example
      partway device add "phone of Ben" --person Ben --as helper
      partway device role Ben --as viewer
      partway device end "phone of Ben"
    """
    if do is None:
        _list(ctx)
        return
    if do not in DOING or device is None:
        raise Refused(
            f'"{do}" {"and no name" if device is None else ""}'.strip(),
            "add NAME, end NAME, role PERSON, or nothing",
            "do",
        )
    from partway.ledger.roles import Permission, a_role, role_named

    ctx.context.rights.check(Permission.KEYS, ctx.by)
    if do == "add":
        _add(ctx, device, address, person or ctx.by, _role(ctx, person, role), same=same)
    elif do == "role":
        from partway.storage.writing.device_keys import give_role

        named = role_named(role or "")
        give_role(ctx.book, device, named, ctx.by)
        _say(ctx, {"person": device, "role": named.value}, f"{device} is {a_role(named)} here now.")
    else:
        from partway.storage.writing.device_keys import end_key

        end_key(ctx.book, device, ctx.now())
        _say(ctx, {"device": device, "ended": True}, f"The key of {device} opens nothing any more.")


def _role(ctx: CommandContext, person: str | None, role: str | None) -> Role:
    """What was said; an owner for one's own device. Raises Refused."""
    from partway.ledger.roles import Role, role_named

    if role is None and (person is None or person.strip().casefold() == ctx.by.casefold()):
        return Role.OWNER
    return role_named(role or "")


def _add(ctx: CommandContext, device: str, address: str | None, person: str, role: Role, *, same: bool) -> None:
    from partway.cli.home.reached import say_link
    from partway.storage.writing.device_keys import issue_key

    key = issue_key(ctx.book, device, ctx.now(), person, role, ctx.by, same=same)
    if ctx.as_json:
        as_json({"device": device, "person": person, "role": role.value, "key": key})
    elif address is None:
        click.echo(f"{key}\n  The key of {device}, shown this once: for a day it opens ADDRESS/?key={key}")
    else:
        say_link(f"{address.rstrip('/')}/?key={key}", device)


def _list(ctx: CommandContext) -> None:
    from partway.storage.writing.device_keys import device_keys

    keys = device_keys(ctx.book)
    if ctx.as_json:
        as_json([asdict(key) | {"role": key.role.value} for key in keys])
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
    whose = f"{key.name} ({key.role.value if key.person == key.name else f'{key.person}, {key.role.value}'})"
    return f"{whose}: {seen}" if key.ended is None else f"{whose}: ended {on(key.ended)}, {seen}"


def _say(ctx: CommandContext, data: dict[str, object], words: str) -> None:
    if ctx.as_json:
        as_json(data)
    else:
        click.echo(words)
