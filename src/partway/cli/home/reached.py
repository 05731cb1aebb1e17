"""How a started app is reached: by whom, under which names, and what is said of it on the terminal."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import click

if TYPE_CHECKING:
    from partway.storage.writing.device_keys import DeviceKey
    from partway.web.secure.sources import CertificateSource
    from partway.web.secure.tls import Tls
    from partway.web.serving.setup import Setup

FIRST = "phone"  # what the first device is called, where no other name is given
PLAIN = "Not encrypted: no work without signal, no camera, and others on the network can read along."


def begin(setup: Setup, source: CertificateSource | None, port: int, proxied: str, *, phone: bool) -> Tls | None:
    """Put into the setup how the app is reached; with a certificate, what serves it. Raises Refused."""
    from partway.web.secure.names import own_address
    from partway.web.serving.door import Door
    from partway.web.serving.setup import HERE

    if phone or proxied:
        setup.door = Door(setup.book, setup.clock)
    if proxied:
        setup.address, setup.tls_before = proxied, True
        setup.hosts = (*HERE, _host_of(proxied))
    elif source is not None:
        from partway.web.secure.tls import Tls

        tls = Tls(setup, source, port)
        tls.look()
        setup.authority = source.authority(setup.clock())
        return tls
    elif phone:
        address = own_address()
        setup.address, setup.hosts = f"http://{address}:{port}", (*HERE, address)
    return None


def _host_of(address: str) -> str:
    host = urlsplit(address).hostname or ""
    return f"[{host}]" if ":" in host else host


def say_where(setup: Setup, here: int, device: str | None) -> None:
    """Where the app is, and the key of a new device, once. `here` is the port for this machine's own browser."""
    if setup.book.refusal is not None:
        click.echo(f"partway: {setup.book.where} can only be looked at: {setup.book.refusal.given}.", err=True)
        click.echo("  What is typed is refused. Once that is mended, start partway serve again.", err=True)
    if setup.door is None:
        click.echo(f"partway: http://localhost:{here}   (Ctrl+C ends it; --phone lets a phone in)")
        return
    if setup.tls_before:
        click.echo(f"partway: {setup.address}, by way of a proxy that passes it on to 127.0.0.1:{here}")
        click.echo("  Each device needs a key: partway device add NAME   (Ctrl+C ends it)")
        return
    _say_devices(setup, device)
    if setup.authority:
        _say_trust(setup)
    elif setup.address.startswith("http:"):
        click.echo(f"  {PLAIN}")
    click.echo(f"  On this machine: http://localhost:{here}/?key={setup.key}   (Ctrl+C ends it)")


def _say_devices(setup: Setup, device: str | None) -> None:
    """The key of a new device, or which have one. A ledger that cannot be written takes no new ones."""
    from partway.storage.writing.device_keys import device_keys, issue_key

    there = [known for known in device_keys(setup.book) if known.ended is None]
    if setup.book.refusal is not None:
        say_link(f"{setup.address}/?key={setup.key}", "this start")
    elif device or not there:
        name = device or FIRST
        key = issue_key(setup.book, name, setup.clock(), setup.who, owner=setup.who)
        say_link(f"{setup.address}/?key={key}", name)
    else:
        click.echo(f"partway: {setup.address}, for {', '.join(map(_seen, there))}")
        click.echo('  One more device: --for NAME. A phone was lost: partway device end "its name"')


def _seen(known: DeviceKey) -> str:
    return known.name if known.seen is not None else f"{known.name} (not used yet)"


def say_link(link: str, name: str) -> None:
    """An address with a key in it, also as a QR code."""
    import segno

    picture = io.StringIO()
    segno.make(link).terminal(out=picture, compact=True)
    click.echo(picture.getvalue())
    click.echo(f"partway: {link}\n  The key of {name}, shown this once; it opens for a day, to whoever has it.")


def _say_trust(setup: Setup) -> None:
    from cryptography import x509

    from partway.web.secure.authority import fingerprint_of

    print_ = fingerprint_of(x509.load_der_x509_certificate(setup.authority))
    click.echo(f"  First on a phone that was not here before, without a key: {setup.address}/trust")
    click.echo(f"  What it has to show there (SHA-256): {print_[:47]}\n{' ' * 39}{print_[48:]}")
