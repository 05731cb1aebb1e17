"""Connections to the app are bounded: in number, and in how long one of them may keep the app waiting.

uvicorn closes connections that are idle between two requests, and no others: whoever sent headers a letter at a time,
or nothing at all, kept theirs until the process had no more to give. Its own limit (`limit_concurrency`) counts those
that wait as well, and so turns away who comes next instead of who does not go on.
"""

from __future__ import annotations

import asyncio
from typing import Any, cast

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

MOST = 100  # connections at once; one browser opens six
BACKLOG = 64  # taken from the system's queue at a time; more than that would not be counted before they are there
HEADERS = 10.0  # seconds from the first byte, or from the last answer, to the end of the headers
BODY = 120.0  # seconds for all of a body: 16 MB at a slow 1.1 Mbit/s
READING = 60.0  # seconds in which a browser takes nothing of what it asked for
WAITS = {h11.IDLE: 0, h11.SEND_BODY: 1}  # whose turn it is to say something; headers are given up before bodies
FULL = (
    b"HTTP/1.1 503 Service Unavailable\r\ncontent-type: text/plain; charset=utf-8\r\nretry-after: 1\r\n"
    b"connection: close\r\ncontent-length: 37\r\n\r\nToo many requests at once. Try again."
)


class BoundedProtocol(H11Protocol):
    """One connection. Where there are too many, the one that has let the app wait longest is given up for a new one;
    while the app is at work on all of them a new one is turned away.
    """

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """A place for a new connection, or none."""
        self.transport = transport
        self._phase: tuple[object, object] | None = None
        self._timer: asyncio.TimerHandle | None = None
        self._reading: asyncio.TimerHandle | None = None
        self.since = self.loop.time()
        if not self._has_room():
            transport.write(FULL)
            transport.close()
            return
        super().connection_made(transport)
        self._watch()

    def _has_room(self) -> bool:
        """Whether there is a place, after giving up one that waits if need be."""
        others = [cast(BoundedProtocol, other) for other in self.connections]
        others = [other for other in others if not other.transport.is_closing()]
        if len(others) < MOST:
            return True
        waiting = [other for other in others if other.waits is not None]
        if not waiting:
            return False
        min(waiting, key=lambda other: (other.waits, other.since)).give_up()
        return True

    @property
    def waits(self) -> int | None:
        """What the app waits for the other side to send or take, by how soon it is given up; None while it works."""
        if self._reading is not None:
            return len(WAITS)
        return WAITS.get(self.conn.their_state)

    def give_up(self) -> None:
        """Close the connection at once."""
        self.transport.abort()

    def data_received(self, data: bytes) -> None:
        """More of a request."""
        if self.transport.is_closing():
            return
        super().data_received(data)
        self._watch()

    def on_response_complete(self) -> None:
        """The next request of this connection may come."""
        super().on_response_complete()
        self._watch()

    def _watch(self) -> None:
        """Counts the time of what is waited for from its beginning, not from the last byte."""
        phase = (self.conn.their_state, self.cycle)
        if phase == self._phase:
            return
        self._phase, self.since = phase, self.loop.time()
        _cancel(self._timer)
        seconds = {h11.IDLE: HEADERS, h11.SEND_BODY: BODY}.get(self.conn.their_state)
        self._timer = None if seconds is None else self.loop.call_later(seconds, self.give_up)

    def pause_writing(self) -> None:
        """What was asked for is not taken."""
        super().pause_writing()
        self._reading = self._reading or self.loop.call_later(READING, self.give_up)

    def resume_writing(self) -> None:
        """It is taken again."""
        super().resume_writing()
        _cancel(self._reading)
        self._reading = None

    def connection_lost(self, exc: Exception | None) -> None:
        """Nothing is waited for any more."""
        _cancel(self._timer)
        _cancel(self._reading)
        self._reading = None
        super().connection_lost(exc)


def _cancel(timer: asyncio.TimerHandle | None) -> None:
    if timer is not None:
        timer.cancel()


def options() -> dict[str, Any]:
    """What uvicorn has to be told, so that connections are bounded."""
    return {"http": BoundedProtocol, "ws": "none", "backlog": BACKLOG}
