"""What went wrong, as HTTP: one table from error classes to statuses, and nowhere else."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from partway.actions.pocket.take_back import OtherWorkspace
from partway.actions.recording.questions import Asked
from partway.errors import PartwayError, Refused
from partway.ledger.roles import NotAllowed
from partway.storage.refusals import BadLedger

PROBLEM = "application/problem+json"


class NotHere(Refused):
    """An address that names something which is not in the ledger or the catalogue."""


class NotYours(Refused):
    """A request that another site, or somebody without the key, could have sent."""


class TooMuch(Refused):
    """More than a form or a file may hold."""


class Malformed(Refused):
    """A request to the JSON interface that is not of the form its document says."""


class NotJson(Refused):
    """A body of another media type than JSON."""


class SavedElsewhere(Refused):
    """A request that a copy of the ledger carried out before the two were merged."""


class Underway(Refused):
    """A request whose twin has not been answered yet."""


STATUS: tuple[tuple[type[PartwayError], int], ...] = (
    (NotHere, 404),
    (NotYours, 403),
    (NotAllowed, 403),
    (TooMuch, 413),
    (Malformed, 400),
    (NotJson, 415),
    (Underway, 409),
    (SavedElsewhere, 409),
    (Asked, 409),
    (OtherWorkspace, 409),
    (BadLedger, 503),
    (Refused, 422),
    (PartwayError, 500),
)
TITLES = {
    400: "Not understood",
    401: "A key first",
    403: "Not allowed",
    404: "Nothing here",
    405: "Not done that way",
    409: "A question first",
    413: "Too much",
    415: "Not JSON",
    422: "Not taken",
    429: "Slower",
    500: "Something broke",
    503: "The ledger cannot be reached",
}


def for_programs(path: str) -> bool:
    """Whether an address is one of the JSON interface, whose failures are problem details and no page."""
    return path.startswith("/api/") or path in ("/pocket/back", "/pocket/photograph")


def status_of(error: PartwayError) -> int:
    """The HTTP status of an error."""
    return next(status for kind, status in STATUS if isinstance(error, kind))


def problem(status: int, words: str, details: Mapping[str, Any] | None = None) -> bytes:
    """Problem details (RFC 9457). Their type leads to what our page on the JSON interface says of such an answer."""
    title = TITLES.get(status, "Not done")
    told = {"type": f"/api#status-{status}", "title": title, "status": status, "detail": words, **(details or {})}
    return json.dumps(told).encode()
