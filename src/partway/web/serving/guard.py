"""What every request and every answer is held to: whose page sent it, how long it is, what a page may load."""

from __future__ import annotations

import logging
import math
from urllib.parse import parse_qs, urlsplit

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers
from starlette.requests import cookie_parser
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from partway.ledger.roles import Role
from partway.storage.refusals import BadLedger
from partway.storage.writing.device_keys import KeyHolder
from partway.web.serving.door import Slowed
from partway.web.serving.entry import STRANGER, Caller, Turned, is_open, key_cookie, let_in, refuse
from partway.web.serving.failures import for_programs
from partway.web.serving.headers import strictly, with_headers
from partway.web.serving.rules import SAFE
from partway.web.serving.setup import HERE, Setup

log = logging.getLogger("partway.web")
BODY_MOST = 16_000_000


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
        await self._answer(scope, receive, strictly(send) if is_ours_alone(self.setup, scope) else send)
        if self.setup.door is not None and self.setup.door.has_to_note:
            await run_in_threadpool(self.setup.door.note)

    async def _answer(self, scope: Scope, receive: Receive, send: Send) -> None:
        headers = Headers(scope=scope)
        caller = Caller("", desk=True, role=Role.OWNER)
        try:
            self._check_host(headers)
            if self.setup.asks_for_key:
                caller = await self._caller(scope, headers)
            self._check_rest(scope, headers)
        except Turned as away:
            self._log(scope, away)
            await refuse(send, away, api=for_programs(scope["path"]))
            return
        if caller.shown:
            await let_in(scope, send, caller.shown, secure=self._is_secure(scope))
            return
        scope.setdefault("state", {}).update(caller=caller)
        await self.app(scope, _Counted(receive).receive, with_headers(send))

    def _log(self, scope: Scope, away: Turned) -> None:
        """Who was turned away, but for wrong keys, which are counted where they are looked at."""
        if away.status not in (401, 429):
            path = ascii(scope["path"])[:200]
            log.warning("turned away %s %s from %s: %s", scope["method"], path, _from(scope), away.status)

    def _check_host(self, headers: Headers) -> None:
        if _name(headers.get("host", "")).lower() not in self.setup.hosts:
            raise Turned(400, "This app does not answer under that name.")

    async def _caller(self, scope: Scope, headers: Headers) -> Caller:
        """Who asks, by the key in the address or in the cookie. Raises Turned for a stranger, but for what is open."""
        shown = parse_qs(scope["query_string"].decode("latin-1")).get("key", [""])[0]
        given = cookie_parser(headers.get("cookie", "")).get(key_cookie(secure=self._is_secure(scope)), "")
        away = Turned(401, "Open the address that partway serve printed, key and all, or ask for a new key.")
        asks = ((shown if scope["method"] == "GET" else "", self._opened), (given, self._known))
        for key, ask in asks:
            try:
                caller = await run_in_threadpool(ask, key, given, scope) if key else None
            except Slowed as slowed:
                caller, seconds = None, math.ceil(slowed.seconds)
                away = Turned(429, f"Too many wrong keys from here. Wait {seconds} s.", seconds)
            except BadLedger as refused:
                raise Turned(503, f"The ledger cannot be asked: {refused.given}.") from None
            if caller is not None:
                return caller
        if is_open(scope["method"], scope["path"]):
            return STRANGER  # who gets what is the same for all
        raise away

    def _opened(self, shown: str, given: str, scope: Scope) -> Caller | None:
        """Who shows the key of an address, with a key of their own for it. Raises Slowed, and BadLedger."""
        setup = self.setup
        made = setup.start.open_link(shown, setup.clock(), given)
        if made:
            log.info("let in the machine's own browser, as %s, from %s", ascii(setup.who), _from(scope))
            return Caller(setup.who, made, desk=True, role=Role.OWNER)
        opened = None if setup.door is None else setup.door.open(shown, _from(scope), given)
        return None if opened is None else _of(opened[1], opened[0])

    def _known(self, key: str, _: str, scope: Scope) -> Caller | None:
        """Who was let in with this key before. Raises Slowed, and BadLedger."""
        setup = self.setup
        if setup.start.opens(key):
            return Caller(setup.who, desk=True, role=Role.OWNER)
        holder = None if setup.door is None else setup.door.who(key, _from(scope))
        return None if holder is None else _of(holder)

    def _check_rest(self, scope: Scope, headers: Headers) -> None:
        if scope["method"] not in SAFE and not self._from_here(scope, headers):
            raise Turned(403, "A write has to come from a page of this app. Nothing was saved.")
        if _length(headers) > BODY_MOST:
            raise Turned(413, f"More than {BODY_MOST:,} bytes. Nothing was saved.")

    def _is_secure(self, scope: Scope) -> bool:
        return _is_secure(self.setup, scope)

    def _from_here(self, scope: Scope, headers: Headers) -> bool:
        """Whether a page of this app sent it, by what the browser says of itself (Fetch Metadata, or Origin)."""
        site = headers.get("sec-fetch-site")
        if site is not None and site not in ("same-origin", "none"):
            return False
        origin = headers.get("origin")
        if origin is None:
            return True
        scheme, place = _place(origin)
        return place == headers.get("host", "") and not (self._is_secure(scope) and scheme != "https")


def _is_secure(setup: Setup, scope: Scope) -> bool:
    """Whether this request came by https, ended here or by the proxy that stands before the app."""
    return setup.tls_before or scope.get("scheme") == "https"


def is_ours_alone(setup: Setup, scope: Scope) -> bool:
    """Whether this came by https under a name that no other program answers to."""
    name = _name(Headers(scope=scope).get("host", "")).lower()
    return setup.own_name and _is_secure(setup, scope) and name not in HERE


def _from(scope: Scope) -> str:
    return str((scope.get("client") or ("",))[0])


def _of(holder: KeyHolder, shown: str = "") -> Caller:
    return Caller(holder.person, shown, role=holder.role, device=holder.device)


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


def _place(origin: str) -> tuple[str, str | None]:
    """Scheme, and host with port, of an origin; None for what is no address, such as "http://["."""
    try:
        parts = urlsplit(origin)
    except ValueError:
        return "", None
    return parts.scheme, parts.netloc


def _length(headers: Headers) -> int:
    given = headers.get("content-length", "0")
    return int(given) if given.isdecimal() and len(given) < 19 else BODY_MOST + 1
