"""What went wrong, as HTTP: one table from error classes to statuses, and nowhere else."""

from __future__ import annotations

from partway.actions.ledger.asked import Asked
from partway.errors import PartwayError, Refused
from partway.storage.refusals import BadLedger

ELSEWHERE = "https://www.rfc-editor.org/rfc/rfc9110#name-"


class NotHere(Refused):
    """An address that names something which is not in the ledger or the catalogue."""


class NotYours(Refused):
    """A request that another site, or somebody without the key, could have sent."""


class TooMuch(Refused):
    """More than a form or a file may hold."""


STATUS: tuple[tuple[type[PartwayError], int], ...] = (
    (NotHere, 404),
    (NotYours, 403),
    (TooMuch, 413),
    (Asked, 409),
    (BadLedger, 503),
    (Refused, 422),
    (PartwayError, 500),
)
TITLES = {
    403: "Not from here",
    404: "Nothing here",
    409: "A question first",
    413: "Too much",
    422: "Not taken",
    500: "Something broke",
    503: "The ledger cannot be reached",
}


def status_of(error: PartwayError) -> int:
    """The HTTP status of an error."""
    return next(status for kind, status in STATUS if isinstance(error, kind))
