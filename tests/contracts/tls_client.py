"""An app with https in a thread, and a client of another make: Python's ssl, which is OpenSSL."""

from __future__ import annotations

import datetime as dt
import http.client
import socket
import ssl
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest
from waiting import until
from workspaces import new_workspace

from partway.storage.store import SqlBook
from partway.web.secure import sources
from partway.web.secure.files import AUTHORITY, FOLDER
from partway.web.secure.handshakes import HandshakeSocket
from partway.web.secure.sources import OwnAuthority
from partway.web.secure.tls import Tls
from partway.web.serving.door import Door
from partway.web.serving.serve import listening, server_of
from partway.web.serving.setup import Setup

SOON = 60.0  # seconds until a test gives up; none of them takes as long


@dataclass
class Served:
    """An app that runs, with https on `port` and without on `plain`."""

    book: SqlBook
    setup: Setup
    tls: Tls
    port: int
    plain: int
    folder: Path

    @property
    def authority(self) -> Path:
        """What a phone is told to trust."""
        return self.folder / FOLDER / AUTHORITY

    def get(self, path: str, host: str = "127.0.0.1", **headers: str) -> http.client.HTTPResponse:
        """What a client that trusts the authority is answered."""
        client = http.client.HTTPSConnection(host, self.port, timeout=SOON, context=trusting(self.authority))
        client.request("GET", path, headers=headers)
        answer = client.getresponse()
        answer.read()
        client.close()
        return answer

    def certificate(self) -> bytes:
        """What is shown to a new connection, as DER."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=SOON) as sock:
            context = trusting(self.authority)
            with context.wrap_socket(sock, server_hostname="localhost") as secure:
                return secure.getpeercert(binary_form=True) or b""


def trusting(authority: Path | None) -> ssl.SSLContext:
    """A client that trusts one authority and no other; for None those of the system."""
    context = ssl.create_default_context() if authority is None else ssl.create_default_context(cafile=authority)
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    return context


@contextmanager
def served(folder: Path, monkeypatch: pytest.MonkeyPatch, clock: Callable[[], dt.datetime]) -> Iterator[Served]:
    """An app at the address 127.0.0.1, whichever the machine has."""
    monkeypatch.setattr(sources, "own_address", lambda: "127.0.0.1")
    with (
        new_workspace(folder) as book,
        listening("127.0.0.1", 0, HandshakeSocket) as sock,
        listening("127.0.0.1", 0) as here,
    ):
        setup = Setup(book, who="owner", clock=clock, key="desk-key", door=Door(book, clock))
        tls = Tls(setup, OwnAuthority(folder), sock.getsockname()[1])
        tls.look()
        setup.authority = OwnAuthority(folder).authority(clock())
        server = server_of(setup, sock, tls)
        thread = threading.Thread(target=server.run, kwargs={"sockets": [sock, here]})
        thread.start()
        try:
            until(lambda: server.started, SOON)
            yield Served(book, setup, tls, sock.getsockname()[1], here.getsockname()[1], folder)
        finally:
            server.should_exit = server.force_exit = True
            thread.join(SOON)
    assert not thread.is_alive()


def handshake(server: ssl.SSLContext, client: ssl.SSLContext, name: str) -> None:
    """A handshake in memory. Raises ssl.SSLCertVerificationError where the client does not believe the server."""
    to_server, to_client = ssl.MemoryBIO(), ssl.MemoryBIO()
    sides = [
        client.wrap_bio(to_client, to_server, server_hostname=name),
        server.wrap_bio(to_server, to_client, server_side=True),
    ]
    for _ in range(10):
        done = 0
        for side in sides:
            try:
                side.do_handshake()
                done += 1
            except ssl.SSLWantReadError:
                continue
        if done == len(sides):
            return
    raise AssertionError("the handshake did not end")
