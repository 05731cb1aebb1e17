"""Tokens that let a form be sent once, by the browser it was shown to.

A token is signed with a secret of this process and names the browser's session, so another site cannot make one
(protection against cross-site request forgery), and what was saved under it is remembered, so that pressing twice
saves once. A token of an earlier start of the app saves nothing; whether something was saved under it the ledger knows.
"""

from __future__ import annotations

import enum
import hashlib
import secrets
import threading
from collections import OrderedDict
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from itsdangerous import BadData, URLSafeTimedSerializer

AGE_MOST = 12 * 3600  # seconds: a working day
KEPT_MOST = 10_000
NAME_MOST = 64


class TokenStanding(enum.Enum):
    """Whether a form may be saved."""

    FRESH = "fresh"
    SAVED = "saved"  # the same form, saved already
    OTHER = "other"  # saved already, with something else in it
    STALE = "stale"  # too old, of another browser or of an earlier start of the app


@dataclass(frozen=True, slots=True)
class Verdict:
    """`name` identifies the form; `went` is where its saving led to, once it was saved."""

    standing: TokenStanding
    name: str = ""
    went: str = ""


Saved = tuple[str, str]  # the content of a form that was saved, as a digest, and where its saving led to


def _unknown(_: str) -> Saved | None:
    return None


def of_saved(name: str, saved: Saved, content: str) -> Verdict:
    """What a token says under which something was saved: this content, or another."""
    digest, went = saved
    return Verdict(TokenStanding.SAVED if digest == content else TokenStanding.OTHER, name, went)


class Tokens:
    """Tokens of one process."""

    def __init__(self) -> None:
        signed = {"digest_method": hashlib.sha256}
        self._serializer = URLSafeTimedSerializer(secrets.token_bytes(32), salt="partway form", signer_kwargs=signed)
        self._lock = threading.Lock()
        self._saved: OrderedDict[str, Saved] = OrderedDict()

    def new(self, session: str) -> str:
        """A token for one form shown to a session."""
        return str(self._serializer.dumps([session, secrets.token_urlsafe(12)]))

    def judge(
        self,
        token: str,
        session: str,
        content: str | Callable[[], str],
        before: Callable[[str], Saved | None] = _unknown,
    ) -> Verdict:
        """What a token says of a form with this content; `before` knows what was saved under a name before this start.

        `content` is asked for only where something was saved under the token: it may take long.
        A token that is not of this start, or too old, is good for one thing: to find out what was saved under it.
        """
        of, name, ours = self._opened(token)
        if not session or not secrets.compare_digest(of.encode(), session.encode("utf-8", "replace")):
            return Verdict(TokenStanding.STALE)
        with self._lock:
            saved = self._saved.get(name)
        if saved is None and not ours:
            saved = before(name)
        if saved is None:
            return Verdict(TokenStanding.FRESH, name) if ours else Verdict(TokenStanding.STALE)
        return of_saved(name, saved, content() if callable(content) else content)

    def _opened(self, token: str) -> tuple[str, str, bool]:
        """The session and name in a token, and whether this process signed it, not too long ago."""
        try:
            ours, given = self._serializer.loads_unsafe(token, max_age=AGE_MOST)
            of, name = given
        except (BadData, ValueError, TypeError, RecursionError):
            return "", "", False
        if not isinstance(of, str) or not isinstance(name, str) or len(name) > NAME_MOST or not name.isascii():
            return "", "", False
        return of, name, ours

    def saved(self, name: str, content: str, went: str) -> None:
        """Remember that a form was saved."""
        with self._lock:
            self._saved[name] = (content, went)
            while len(self._saved) > KEPT_MOST:
                self._saved.popitem(last=False)


def content_of(path: str, fields: Iterable[tuple[str, str]]) -> str:
    """A digest of what a form says and where it was sent."""
    digest = hashlib.sha256(path.encode())
    for name, value in sorted(fields):
        for part in (name, value):
            coded = part.encode("utf-8", "surrogatepass")
            digest.update(len(coded).to_bytes(8, "big"))
            digest.update(coded)
    return digest.hexdigest()
