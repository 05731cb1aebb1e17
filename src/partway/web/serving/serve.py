"""The app on a socket, until it is told to end."""

from __future__ import annotations

import gc
import logging
import socket
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from partway.catalogue import shipped
from partway.errors import Refused
from partway.web.serving.setup import Setup

if TYPE_CHECKING:
    import uvicorn
    from fastapi import FastAPI

    from partway.web.secure.tls import Tls

LOG_LINE = "%(asctime)s.%(msecs)03dZ %(levelname)s %(name)s %(message)s"
LOG_TIME = "%Y-%m-%dT%H:%M:%S"
PROXY = "127.0.0.1"  # a proxy that ends https runs on this machine; nobody else's word is taken for who asks


@contextmanager
def listening(
    host: str, port: int, kind: type[socket.socket] = socket.socket, *, otherwise: bool = False
) -> Iterator[socket.socket]:
    """A socket that listens. Raises Refused where somebody else does already, before anything else is opened; with
    `otherwise` it takes another port instead.
    """
    sock = kind(socket.AF_INET, socket.SOCK_STREAM)
    try:
        sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            _bind(sock, host, port, otherwise)
            sock.listen(128)  # whoever comes while the app still loads waits instead of being turned away
        except OSError as error:
            raise Refused(f"{port}, {(error.strerror or 'not free').lower()}", "a free port", "--port") from None
        yield sock
    finally:
        sock.close()


def _bind(sock: socket.socket, host: str, port: int, otherwise: bool) -> None:
    try:
        sock.bind((host, port if port < 2**16 else 0))
    except OSError:
        if not otherwise:
            raise
        sock.bind((host, 0))


def begin_log() -> None:
    """From now on what is logged goes to standard error, which a service manager keeps: one line an event, when (UTC),
    how grave, of what, and what happened.
    """
    formatter = logging.Formatter(LOG_LINE, LOG_TIME)
    formatter.converter = time.gmtime
    handler = logging.StreamHandler()
    handler.setFormatter(formatter)
    ours = logging.getLogger("partway")
    ours.addHandler(handler)
    ours.setLevel(logging.INFO)


def settle(app: FastAPI) -> None:
    """What is slow the first time is done before anybody waits for it; and what stays until the end is looked through
    for garbage no more: on a long ledger that took as long as a page.
    """
    shipped()
    ready(app)
    gc.collect()
    gc.freeze()


def ready(app: FastAPI) -> None:
    """Have the app look over each of its routes once, for an address that it does not have.

    FastAPI makes what a route takes and answers when it comes past it first, for all of them half a second in which
    nobody else is answered. Under a prefix no route is left out (near.py).
    """
    scope = {"type": "http", "method": "GET", "path": "/ready/ready", "root_path": "/ready", "headers": [], "app": app}
    for route in app.routes:
        route.matches(scope)


def served(setup: Setup, sock: socket.socket, tls: Tls | None = None, here: socket.socket | None = None) -> None:
    """Serve the app until the process is asked to end; with `tls` by https, and on the socket `here`, which this
    machine alone reaches, without.
    """
    server, plain = server_of(setup, sock, tls), [] if here is None else [here]
    server.run(sockets=[sock, *plain])


def server_of(setup: Setup, sock: socket.socket, tls: Tls | None = None) -> uvicorn.Server:
    """The server of the app on a socket."""
    import uvicorn

    from partway.web.app import create_app
    from partway.web.serving.connections import options

    app = create_app(setup)
    settle(app)
    more: dict[str, Any] = options()
    if tls is not None:
        from partway.web.secure.handshakes import HandshakeSocket, protocol_of
        from partway.web.secure.tls import EACH

        if isinstance(sock, HandshakeSocket):
            more["http"] = protocol_of(sock)
        more |= {"callback_notify": tls.look_again, "timeout_notify": EACH}
    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=setup.tls_before,  # who asks is what the proxy says, where there is one, and never otherwise
        forwarded_allow_ips=PROXY,
        **more,
    )
    return uvicorn.Server(config) if tls is None else _both(config, sock, tls)


def _both(config: uvicorn.Config, secure: socket.socket, tls: Tls) -> uvicorn.Server:
    """A server that has https on one of its sockets: uvicorn's own has it on all or on none."""
    import asyncio

    import uvicorn

    class Both(uvicorn.Server):
        async def startup(self, sockets: list[socket.socket] | None = None) -> None:
            await super().startup(sockets=[one for one in sockets or [] if one is not secure])
            listener = await asyncio.get_running_loop().create_server(
                lambda: config.http_protocol_class(  # type: ignore[call-arg]
                    config=config, server_state=self.server_state, app_state=self.lifespan.state
                ),
                sock=secure,
                ssl=tls.context,
                backlog=config.backlog,
            )
            self.servers.append(listener)

    return Both(config)
