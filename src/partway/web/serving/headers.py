"""Headers that keep a page to itself: what it may load, who may frame it, how long it is kept."""

from __future__ import annotations

from starlette.datastructures import MutableHeaders
from starlette.types import Message, Send

POLICY = {
    "default-src": "'none'",
    "script-src": "'self'",
    "style-src": "'self'",
    "img-src": "'self' data:",
    "connect-src": "'self'",
    "manifest-src": "'self'",
    "form-action": "'self'",
    "base-uri": "'none'",
    "frame-ancestors": "'none'",
}
# Headers of every answer that does not say otherwise. No page ever allows a script or a style in its text.
HEADERS = {
    "content-security-policy": "; ".join(f"{name} {value}" for name, value in POLICY.items()),
    "cache-control": "private, no-cache",
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}


STRICT = (b"strict-transport-security", b"max-age=31536000; includeSubDomains")  # a year (RFC 6797, 6.1)


def strictly(send: Send) -> Send:
    """Has the browser come by https alone from now on (HSTS). For a name that is the app's and nobody else's: where
    another program answers by http under the same name, it could not be reached any more.
    """

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            message["headers"] = [*message.get("headers", []), STRICT]
        await send(message)

    return sending


def with_headers(send: Send) -> Send:
    """Adds them to an answer, where it does not say otherwise."""

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sending
