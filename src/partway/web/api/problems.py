"""What an answer that is not a yes looks like, and which ones an address can give."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from partway.web.serving.failures import PROBLEM

MEANS = {
    400: "Not understood: a field, parameter or body that is not of the form stated here.",
    401: "The app was opened to a phone, and no key was shown, or one that was ended.",
    403: "A write that a page of another site sent, or that the role of whoever asks does not let them.",
    404: "Nothing goes by that name.",
    409: "A question first (its option and choices say which); or a request with the same key is still being answered, "
    "or was carried out by a copy of this ledger before the two were merged; or entries of another workspace.",
    413: "More than a body may hold.",
    415: "A body that is not application/json.",
    422: "Understood and refused: what was given, what was expected, where. Nothing was written.",
    429: "Too many wrong keys came from there; Retry-After says how many seconds to wait.",
    503: "The ledger cannot be reached.",
}
READING = (400, 401, 422, 429, 503)
NAMED = (*READING, 404)
WRITING = (400, 401, 403, 409, 413, 415, 422, 429, 503)


@dataclass(frozen=True, slots=True)
class ProblemChoice:
    """One answer to a question, and what it means."""

    answer: str
    means: str


@dataclass(frozen=True, slots=True)
class Problem:
    """Problem details (RFC 9457). A question names the field of the body (`option`) in which its answer is sent."""

    type: str
    title: str
    status: int
    detail: str
    given: str = ""
    expected: str = ""
    where: str = ""
    option: str = ""
    choices: tuple[ProblemChoice, ...] = ()


def may(*statuses: int) -> dict[int | str, dict[str, Any]]:
    """The answers of an address that are not a yes, for its document."""
    content = {PROBLEM: {"schema": {"$ref": "#/components/schemas/Problem"}}}
    return {status: {"description": MEANS[status], "content": content} for status in sorted(statuses)}
