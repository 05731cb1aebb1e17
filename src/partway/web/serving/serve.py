"""The app on a socket, until it is told to end."""

from __future__ import annotations

import gc
import socket
from collections.abc import Iterator
from contextlib import contextmanager

from partway.catalogue import shipped
from partway.errors import Refused
from partway.web.serving.setup import Setup


@contextmanager
def listening(host: str, port: int) -> Iterator[socket.socket]:
    """A socket that listens. Raises Refused where somebody else does already, before anything else is opened."""
    sock = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            sock.bind((host, port))
            sock.listen(128)  # whoever comes while the app still loads waits instead of being turned away
        except OSError as error:
            raise Refused(f"{port}, {(error.strerror or 'not free').lower()}", "a free port", "--port") from None
        yield sock
    finally:
        sock.close()


def settle() -> None:
    """What stays until the end is looked through for garbage no more: on a long ledger that took as long as a page."""
    shipped()
    gc.collect()
    gc.freeze()


def served(setup: Setup, sock: socket.socket) -> None:
    """Serve the app until the process is asked to end."""
    import uvicorn

    from partway.web.app import create_app
    from partway.web.serving.connections import options

    app = create_app(setup)
    settle()
    config = uvicorn.Config(app, log_level="warning", access_log=False, server_header=False, **options())
    uvicorn.Server(config).run(sockets=[sock])
