"""Writes that happen once, however often they are sent: the Idempotency-Key header of the IETF's HTTPAPI draft.

draft-ietf-httpapi-idempotency-key-header-07: the key is a string of structured fields, in quotes; a request that was
answered is answered the same again, one that is still being answered gets 409, a key with another request 422. What
was saved or refused the ledger remembers besides, for after a restart (web.serving.durable).
"""

from __future__ import annotations

import hashlib
import re
import threading
from collections import OrderedDict
from dataclasses import dataclass

from fastapi import Request
from fastapi.responses import Response

from partway.errors import Refused
from partway.web.serving.failures import Underway

HEADER = "Idempotency-Key"
KEY = r'^"[A-Za-z0-9_.:+/=-]{1,128}"$'
KEPT_MOST = 2000


@dataclass(frozen=True, slots=True)
class _Seen:
    """A request by its digest, and its answer; none while it is under way."""

    digest: str
    answer: Response | None = None


class Once:
    """The keys that were used since the app was started, and what was answered; the oldest are forgotten."""

    def __init__(self, most: int = KEPT_MOST) -> None:
        self._most, self._lock = most, threading.Lock()
        self._seen: OrderedDict[str, _Seen] = OrderedDict()

    def begin(self, key: str, digest: str) -> Response | None:
        """The answer that was given before; None to the first of its kind. Raises Refused, or Underway."""
        with self._lock:
            seen = self._seen.get(key)
            if seen is None:
                self._seen[key] = _Seen(digest)
                return None
        check_same(key, seen.digest, digest)
        if seen.answer is None:
            raise Underway(f"{key} a second time", "the first to be answered before", HEADER)
        return seen.answer

    def end(self, key: str, digest: str, answer: Response | None) -> None:
        """Keep an answer; without one the key may be used again."""
        with self._lock:
            if answer is None:
                self._seen.pop(key, None)
                return
            self._seen[key] = _Seen(digest, answer)
            answered = [name for name, seen in self._seen.items() if seen.answer is not None]
            for name in answered[: len(answered) - self._most]:
                del self._seen[name]

    def under_way(self) -> set[str]:
        """The keys of requests that are not answered yet."""
        with self._lock:
            return {key for key, seen in self._seen.items() if seen.answer is None}


def check_same(key: str, known: str, digest: str) -> None:
    """Raises Refused for a key that serves for two requests."""
    if known != digest:
        raise Refused(f"{key} with another request", "a key of its own for each request", HEADER)


def key_of(request: Request) -> str | None:
    """The key of a request. One that is not of its form is refused later, with all other parts of the request."""
    given = request.headers.get(HEADER, "")
    return given if re.fullmatch(KEY, given) else None


def digest_of(request: Request, body: bytes) -> str:
    """What is asked: how, where and with what."""
    asked = f"{request.method} {request.url.path}?{request.url.query}\n".encode()
    return hashlib.sha256(asked + body).hexdigest()
