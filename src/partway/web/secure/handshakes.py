"""Connections that have not come to an agreement on https yet are bounded in number.

The app's own bound (web.serving.connections) counts a connection once its handshake is done. Who opens connections and
says nothing would be counted nowhere, and keep each for a minute.
"""

from __future__ import annotations

import asyncio
import socket
from collections import OrderedDict
from contextlib import suppress
from typing import Any

from partway.web.serving.connections import BoundedProtocol

MOST = 100  # handshakes under way at once; a browser begins six


class HandshakeSocket(socket.socket):
    """A listening socket. Where too many of the connections it took are still without https, the oldest is closed."""

    def __init__(self, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        self.waiting: OrderedDict[int, socket.socket] = OrderedDict()  # by the number the system gave them

    def accept(self) -> tuple[socket.socket, Any]:
        """The next connection. A number comes again once its connection was closed: then that one is forgotten."""
        taken, address = super().accept()
        self.waiting.pop(taken.fileno(), None)
        self.waiting[taken.fileno()] = taken
        while len(self.waiting) > MOST:
            number, oldest = self.waiting.popitem(last=False)
            if oldest.fileno() == number:  # else it was closed before
                with suppress(OSError):
                    oldest.shutdown(socket.SHUT_RDWR)
        return taken, address

    def agreed(self, taken: Any) -> None:
        """A handshake is done."""
        self.waiting.pop(taken.fileno(), None)


def protocol_of(sock: HandshakeSocket) -> type[BoundedProtocol]:
    """The app's protocol, which tells the socket of each connection that has https."""

    class Agreed(BoundedProtocol):
        """One connection behind https."""

        def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
            """The handshake is done, or there was none to do: on the machine itself there is no https."""
            if transport.get_extra_info("ssl_object") is not None:
                sock.agreed(transport.get_extra_info("socket"))
            super().connection_made(transport)

    return Agreed
