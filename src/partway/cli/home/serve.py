"""`partway serve`."""

from __future__ import annotations

import secrets
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

import click

from partway.cli.common import workspace_option
from partway.errors import Refused

if TYPE_CHECKING:
    from partway.web.secure.sources import CertificateSource

PORT = 8737


@click.command("serve")
@workspace_option
@click.option("--port", default=PORT, show_default=True, type=click.IntRange(1, 65535), help="Port to listen on.")
@click.option("--phone", is_flag=True, help="Also let a phone on your network in, by https and a key of its own.")
@click.option("--for", "device", metavar="NAME", help="With --phone: a key for one more device, by its name.")
@click.option("--plain", is_flag=True, help="With --phone: http, not encrypted; no work without signal, no camera.")
@click.option(
    "--certificate", metavar="FILE", type=click.Path(path_type=Path), help="With --phone: a certificate of your own."
)
@click.option("--key", metavar="FILE", type=click.Path(path_type=Path), help="The private key of that certificate.")
@click.option(
    "--behind", metavar="ADDRESS", help="A proxy here ends https; how people reach it, such as https://bench.example."
)
@click.option("--who", metavar="NAME", help="Who says so; default $PARTWAY_WHO or your user name.")
def serve_command(
    workspace: str | None,
    port: int,
    phone: bool,
    device: str | None,
    plain: bool,
    certificate: Path | None,
    key: Path | None,
    behind: str | None,
    who: str | None,
) -> None:
    """The app, for a browser on this machine or, with --phone, on your phone.

    It answers on this machine alone unless you say --phone. Then each phone needs a key,
    which is made for it by name; whoever has the key can write in your ledger, until
    partway device ends it. What goes over your network is encrypted; your phone has to be
    told once whom to trust, on the page /trust. Nothing is ever asked of another host.

    \b
      partway serve --phone                        a key for the first phone, as a QR code
      partway serve --phone --for "phone of Ann"   one more
      partway serve --behind https://bench.example (docs/hosting.md)
    """
    import os

    from partway.actions.recording.zones import machine_zone
    from partway.cli.common import user_name
    from partway.cli.home.reached import begin, say_where
    from partway.storage.workspace import data_folder, open_workspace
    from partway.web.serving.serve import begin_log, listening, served
    from partway.web.serving.setup import Setup

    _check(phone, device, plain, certificate, key, behind)
    source = None if plain or not phone else _source(data_folder(workspace), certificate, key)
    proxied = "" if behind is None else _proxied(behind)
    with ExitStack() as stack:
        kind = _socket_kind(source)
        sock = stack.enter_context(listening("0.0.0.0" if phone else "127.0.0.1", port, kind))  # noqa: S104 (asked for)
        here = stack.enter_context(listening("127.0.0.1", port + 1, otherwise=True)) if source else None
        book = stack.enter_context(open_workspace(workspace))
        setup = Setup(
            book=book,
            who=who or os.environ.get("PARTWAY_WHO") or user_name(),
            mark=os.environ.get("PARTWAY_MARK", ""),
            key=secrets.token_urlsafe(16) if phone else "",
            workspace=workspace,
            zone=machine_zone(),
        )
        setup.own_name = bool(proxied or certificate)
        tls = begin(setup, source, port, proxied, phone=phone)
        say_where(setup, port if here is None else here.getsockname()[1], device)
        begin_log()
        served(setup, sock, tls, here)


def _check(
    phone: bool, device: str | None, plain: bool, certificate: Path | None, key: Path | None, behind: str | None
) -> None:
    """Options that do not go together. Raises Refused."""
    together = (
        "--phone with it" if behind is None else "--behind alone: the proxy ends https, and each device has a key"
    )
    for name, given in (("--for", device), ("--plain", plain), ("--certificate", certificate), ("--key", key)):
        if given and (not phone or behind is not None):
            raise Refused(f"{name} without --phone" if behind is None else f"{name} with --behind", together, name)
    if phone and behind is not None:
        raise Refused("--phone with --behind", together, "--behind")
    if bool(certificate) != bool(key):
        raise Refused("one of --certificate and --key", "both, or neither", "--certificate")
    if plain and certificate:
        raise Refused("--plain with --certificate", "one of them", "--plain")


def _source(folder: Path, certificate: Path | None, key: Path | None) -> CertificateSource:
    """Where the certificate comes from; what can be refused is refused before a ledger is made."""
    from partway.actions.recording.zones import now_of
    from partway.web.secure.names import only_local, own_address
    from partway.web.secure.sources import BroughtFiles, OwnAuthority

    if certificate and key:
        brought = BroughtFiles(certificate, key)
        brought.current(now_of(None))
        return brought
    only_local(own_address())
    return OwnAuthority(folder)


def _socket_kind(source: CertificateSource | None) -> type:
    import socket

    if source is None:
        return socket.socket
    from partway.web.secure.handshakes import HandshakeSocket

    return HandshakeSocket


def _proxied(address: str) -> str:
    """The address at which a proxy answers, without a slash at its end. Raises Refused."""
    from urllib.parse import urlsplit

    try:
        parts = urlsplit(address)
        host, rest = parts.hostname, (parts.path.strip("/"), parts.query, parts.fragment, parts.username)
        fits = parts.scheme == "https" and bool(host) and not any(rest) and parts.port != 0
    except ValueError:
        fits = False
    if not fits:
        raise Refused(f'"{address[:80]}"', "the https address of the proxy, such as https://bench.example", "--behind")
    return address.rstrip("/").lower()
