"""Who is let in, what is open to all, and how the others are turned away."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote

from starlette.types import Scope, Send

from partway.ledger.roles import Role
from partway.web.pocket.shell import shell_files
from partway.web.serving.failures import PROBLEM, problem
from partway.web.serving.headers import with_headers

KEY = "partway_key"
OPEN = ("/trust", "/trust/authority.crt")
OPEN_FILES = "/static/"


@dataclass(frozen=True, slots=True)
class Caller:
    """Who asks: `who` as events name them (empty: whoever started the app), the key to remember if the address showed
    one, what they are here, and with which device. `desk` is the machine's own browser. Nobody is more than a viewer
    unless that is said.
    """

    who: str
    shown: str = ""
    desk: bool = False
    role: Role = Role.VIEWER
    device: str = ""


STRANGER = Caller("")


class Turned(Exception):
    """A request that is not let in."""

    def __init__(self, status: int, words: str, seconds: int = 0) -> None:
        super().__init__(words)
        self.status, self.words, self.seconds = status, words, seconds


def is_open(method: str, path: str) -> bool:
    """What answers without a key: how to trust the authority, before a key goes over the network, and files that are
    the same in every copy of this program.
    """
    if method not in ("GET", "HEAD"):
        return False
    return path in OPEN or path in shell_files() or (path.startswith(OPEN_FILES) and ".." not in path)


def cookie_name(name: str, *, secure: bool) -> str:
    """A cookie's name. By https one that no other page of this host can set (RFC 6265bis, 4.1.3.2)."""
    return f"__Host-{name}" if secure else name


def key_cookie(*, secure: bool) -> str:
    """The name of the cookie with a browser's key."""
    return cookie_name(KEY, secure=secure)


async def refuse(send: Send, away: Turned, *, api: bool) -> None:
    """Say so: to a program as problem details, to a person in a sentence."""
    body = problem(away.status, away.words) if api else away.words.encode()
    kind = PROBLEM if api else "text/plain; charset=utf-8"
    headers = [(b"content-type", kind.encode()), (b"content-length", str(len(body)).encode())]
    if away.seconds:
        headers.append((b"retry-after", str(away.seconds).encode()))
    await with_headers(send)({"type": "http.response.start", "status": away.status, "headers": headers})
    await send({"type": "http.response.body", "body": body})


def _here(path: str) -> str:
    """A path as an address of this app and of no other.

    What begins with two slashes, or what a browser takes for them, would name a host (WHATWG URL, "relative slash
    state"); a line's end would begin another header.
    """
    return "/" + quote(path.lstrip("/\\"))


async def let_in(scope: Scope, send: Send, key: str, *, secure: bool) -> None:
    """Remember the key in a cookie and take it out of the address."""
    cookie = f"{key_cookie(secure=secure)}={key}; HttpOnly; SameSite=Strict; Path=/; Max-Age=31536000"
    cookie += "; Secure" if secure else ""
    headers = [(b"location", _here(scope["path"]).encode()), (b"set-cookie", cookie.encode())]
    await with_headers(send)({"type": "http.response.start", "status": 303, "headers": headers})
    await send({"type": "http.response.body", "body": b""})
