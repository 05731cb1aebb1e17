"""What every request and every answer is held to: whose page sent it, how long it is, what a page may load."""

from __future__ import annotations

import secrets
from urllib.parse import parse_qs, quote, urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import cookie_parser
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from partway.web.serving.failures import PROBLEM, problem
from partway.web.serving.setup import Setup

BODY_MOST = 16_000_000
KEY = "partway_key"
SAFE = ("GET", "HEAD", "OPTIONS")
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


class Guard:
    """Stands before the app: refuses other hosts (DNS rebinding), other sites' writes (cross-site request forgery),
    strangers on the network, and bodies without end; adds the headers that keep a page to itself.
    """

    def __init__(self, app: ASGIApp, setup: Setup) -> None:
        self.app, self.setup = app, setup

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        refusal = self._problem(scope, headers)
        if refusal is not None:
            await _refuse(send, *refusal, api=scope["path"].startswith("/api/"))
        elif self._key_shown(scope):
            await _let_in(scope, send, self.setup.key)
        else:
            await self.app(scope, _Counted(receive).receive, _with_headers(send))

    def _problem(self, scope: Scope, headers: Headers) -> tuple[int, str] | None:
        host = headers.get("host", "")
        if _name(host) not in self.setup.hosts:
            return 400, "This app does not answer under that name."
        if self.setup.key and not self._knows_key(scope, headers) and not self._key_shown(scope):
            return 401, "Open the address that partway serve printed, key and all."
        if scope["method"] not in SAFE and not _from_here(headers, host):
            return 403, "A write has to come from a page of this app. Nothing was saved."
        if _length(headers) > BODY_MOST:
            return 413, f"More than {BODY_MOST:,} bytes. Nothing was saved."
        return None

    def _knows_key(self, scope: Scope, headers: Headers) -> bool:
        given = cookie_parser(headers.get("cookie", "")).get(KEY, "")
        return secrets.compare_digest(given.encode(), self.setup.key.encode())

    def _key_shown(self, scope: Scope) -> bool:
        given = parse_qs(scope["query_string"].decode("latin-1")).get("key", [""])[0]
        return bool(self.setup.key) and secrets.compare_digest(given.encode(), self.setup.key.encode())


class _Counted:
    """Stops reading a body that says nothing of its length and does not end."""

    def __init__(self, receive: Receive) -> None:
        self._receive, self._read = receive, 0

    async def receive(self) -> Message:
        message = await self._receive()
        self._read += len(message.get("body", b""))
        return {"type": "http.disconnect"} if self._read > BODY_MOST else message


def _name(host: str) -> str:
    """A host without its port."""
    return host[: host.index("]") + 1] if host.startswith("[") and "]" in host else host.partition(":")[0]


def _from_here(headers: Headers, host: str) -> bool:
    """Whether a page of this app sent it, by what the browser says of itself (Fetch Metadata, or Origin)."""
    site = headers.get("sec-fetch-site")
    if site is not None and site not in ("same-origin", "none"):
        return False
    origin = headers.get("origin")
    return origin is None or _place(origin) == host


def _place(origin: str) -> str | None:
    """Host and port of an origin; None for what is no address, such as "http://["."""
    try:
        return urlsplit(origin).netloc
    except ValueError:
        return None


def _length(headers: Headers) -> int:
    given = headers.get("content-length", "0")
    return int(given) if given.isdecimal() and len(given) < 19 else BODY_MOST + 1


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sending


async def _refuse(send: Send, status: int, words: str, *, api: bool) -> None:
    body = problem(status, words) if api else words.encode()
    kind = PROBLEM if api else "text/plain; charset=utf-8"
    headers = [(b"content-type", kind.encode()), (b"content-length", str(len(body)).encode())]
    await _with_headers(send)({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})


def _here(path: str) -> str:
    """A path as an address of this app and of no other.

    What begins with two slashes, or what a browser takes for them, would name a host (WHATWG URL, "relative slash
    state"); a line's end would begin another header.
    """
    return "/" + quote(path.lstrip("/\\"))


async def _let_in(scope: Scope, send: Send, key: str) -> None:
    """Remember the key in a cookie and take it out of the address."""
    cookie = f"{KEY}={key}; HttpOnly; SameSite=Strict; Path=/; Max-Age=31536000"
    headers = [(b"location", _here(scope["path"]).encode()), (b"set-cookie", cookie.encode())]
    await _with_headers(send)({"type": "http.response.start", "status": 303, "headers": headers})
    await send({"type": "http.response.body", "body": b""})
