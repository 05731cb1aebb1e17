"""What was saved under a key of a request or the token of a form, as the ledger keeps it for after a restart."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import threading
from dataclasses import asdict, dataclass, field
from functools import cache
from typing import Any, get_type_hints
from uuid import UUID

from fastapi import Request
from fastapi.responses import Response

from partway.actions.recording.describe import Told
from partway.errors import Refused
from partway.storage.store import SqlBook
from partway.storage.writing.answered import Answered, answered_under, forget_answers, keep_answer

A_DAY = dt.timedelta(days=1)


@dataclass
class Durable:
    """The ledger's memory of what was saved under which key. Old ones are looked for once a day, and not by those who
    save.
    """

    book: SqlBook
    _looked: dt.datetime | None = None
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def known(self, key: str) -> Answered | None:
        """What was saved under a key and how it was answered."""
        return answered_under(self.book, key)

    def keep(self, key: str, digest: str, answer: dict[str, Any], since: dt.datetime | None) -> None:
        """Keep an answer, in the transaction that is under way, for good where no time says since when it is kept.
        Raises AnsweredBefore.
        """
        keep_answer(self.book, key, Answered(digest, json.dumps(answer)), since)

    def tidy(self, now: dt.datetime) -> None:
        """Forget what is old, at most once a day; a ledger that cannot be written keeps it."""
        with self._lock:
            if self._looked is not None and now - self._looked < A_DAY:
                return
            self._looked = now
        if self.book.refusal is None:
            forget_answers(self.book, now)

    def keep_refusal(self, key: str, digest: str, answer: Response, now: dt.datetime) -> None:
        """Keep a refusal, which saved nothing. Where the ledger cannot be written it is not kept: asked once more, it
        is refused again, or saved for the first time.
        """
        try:
            self.keep(key, digest, sent(answer), now)
        except Refused:
            return


@dataclass(frozen=True, slots=True)
class KeyOfRequest:
    """The key of a request and the digest of what is asked under it."""

    name: str
    digest: str

    @property
    def intent(self) -> UUID:
        """What stands for both in the events that are saved: a version 8 UUID of their digest (RFC 9562, 5.8)."""
        number = int.from_bytes(hashlib.sha256(f"{self.name}\n{self.digest}".encode()).digest()[:16])
        number &= ~(0xF << 76 | 0b11 << 62)
        return UUID(int=number | 8 << 76 | 0b10 << 62)


def key_name(key: str) -> str:
    """A key of the JSON interface as the ledger has it."""
    return f"key {key}"


def form_name(name: str) -> str:
    """A form's token as the ledger has it."""
    return f"form {name}"


def result_sent(request: Request, result: object) -> dict[str, Any]:
    """The answer to a request with this result, by what its address says it answers."""
    body = _adapter(request.scope["endpoint"]).dump_json(result, by_alias=True)
    return {"status": 200, "type": "application/json", "body": body.decode()}


@cache
def _adapter(endpoint: Any) -> Any:
    from pydantic import TypeAdapter

    return TypeAdapter(get_type_hints(endpoint)["return"])


def sent(answer: Response) -> dict[str, Any]:
    """An answer as it is kept."""
    return {
        "status": answer.status_code,
        "type": answer.headers["content-type"],
        "body": bytes(answer.body).decode(),
    }


def answer_of(kept: Answered) -> Response:
    """The answer that was kept, as it was given."""
    told = json.loads(kept.answer)
    return Response(told["body"].encode(), told["status"], headers={"content-type": told["type"]})


@dataclass(frozen=True, slots=True)
class SavedForm:
    """Where a saved form led to, what was said of it, and how to take it back."""

    to: str
    told: Told
    undo: tuple[UUID, ...]

    def kept(self) -> dict[str, Any]:
        """As it is kept."""
        return {"to": self.to, **asdict(self.told), "undo": [str(event) for event in self.undo]}

    @classmethod
    def of(cls, kept: Answered) -> SavedForm:
        """From what was kept; one of before there were sentences has lines alone."""
        known = json.loads(kept.answer)
        first, *lines = known.get("lines") or [""]
        told = Told(known.get("said", first), tuple(known.get("careful", ())), tuple(known.get("more", lines)))
        return cls(known["to"], told, tuple(UUID(event) for event in known["undo"]))
