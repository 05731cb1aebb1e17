"""`partway serve`."""

from __future__ import annotations

import secrets
from typing import TYPE_CHECKING

import click

from partway.cli.common import workspace_option
from partway.errors import Refused

if TYPE_CHECKING:
    from partway.web.serving.setup import Setup

PORT = 8737


@click.command("serve")
@workspace_option
@click.option("--port", default=PORT, show_default=True, type=click.IntRange(1, 65535), help="Port to listen on.")
@click.option("--phone", is_flag=True, help="Also let a phone on your network in, by an address with a key in it.")
@click.option("--who", metavar="NAME", help="Who says so; default $PARTWAY_WHO or your user name.")
def serve_command(workspace: str | None, port: int, phone: bool, who: str | None) -> None:
    """The app, for a browser on this machine or, with --phone, on your phone.

    It answers on this machine alone unless you say --phone. Then the address that is printed, also as a
    QR code, holds a key; whoever has it can write in your ledger. What goes over your network is not encrypted.
    Nothing is ever asked of another host.
    """
    import os

    from partway.actions.recording.zones import machine_zone
    from partway.cli.common import user_name
    from partway.storage.workspace import open_workspace
    from partway.web.serving.serve import listening, served
    from partway.web.serving.setup import HERE, Setup

    name = who or os.environ.get("PARTWAY_WHO") or user_name()
    address = _own_address() if phone else ""
    with listening("0.0.0.0" if phone else "127.0.0.1", port) as sock, open_workspace(workspace) as book:  # noqa: S104 (asked for)
        setup = Setup(
            book=book,
            who=name,
            mark=os.environ.get("PARTWAY_MARK", ""),
            hosts=(*HERE, address) if phone else HERE,
            key=secrets.token_urlsafe(12) if phone else "",
            address=f"http://{address}:{port}" if phone else "",
            workspace=workspace,
            zone=machine_zone(),
        )
        _say_where(setup, port)
        served(setup, sock)


def _say_where(setup: Setup, port: int) -> None:
    if setup.book.refusal is not None:
        click.echo(f"partway: {setup.book.where} can only be looked at: {setup.book.refusal.given}.", err=True)
        click.echo("  What is typed is refused. Once that is mended, start partway serve again.", err=True)
    if not setup.key:
        click.echo(f"partway: http://localhost:{port}   (Ctrl+C ends it; --phone lets a phone in)")
        return
    import io

    import segno

    link = f"{setup.address}/?key={setup.key}"
    picture = io.StringIO()
    segno.make(link).terminal(out=picture, compact=True)
    click.echo(picture.getvalue())
    click.echo(f"partway: {link}\n  On this machine: http://localhost:{port}/?key={setup.key}   (Ctrl+C ends it)")


def _own_address() -> str:
    """This machine's address on its network. Connecting a datagram socket sends nothing."""
    import socket

    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # a documentation address (RFC 5737): only the way out is looked up
        except OSError:
            raise Refused("a machine without a network", "a network that the phone is on, too", "phone") from None
        return str(probe.getsockname()[0])
