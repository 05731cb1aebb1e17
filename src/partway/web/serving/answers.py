"""Failures as answers: a page for people, problem details (RFC 9457) for programs."""

from __future__ import annotations

import logging
from dataclasses import dataclass
from typing import Any, ClassVar, cast

from fastapi import Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import Response
from starlette.exceptions import HTTPException
from starlette.routing import Match

from partway.actions.recording.questions import Asked
from partway.errors import PartwayError, Refused
from partway.ledger.roles import NotAllowed
from partway.storage.doctor import damage_in
from partway.web.context import AppState, RequestContext
from partway.web.forms import Typed
from partway.web.pages import Page, render
from partway.web.serving.failures import PROBLEM, TITLES, Malformed, NotHere, for_programs, problem, status_of
from partway.web.serving.guard import is_ours_alone
from partway.web.serving.headers import HEADERS, STRICT
from partway.web.wording import by_itself

METHODS = ("DELETE", "GET", "HEAD", "PATCH", "POST", "PUT")
log = logging.getLogger("partway.web")


@dataclass(frozen=True, kw_only=True)
class FailurePage(Page):
    """What went wrong, and what to do now."""

    template: ClassVar[str] = "failure.html"
    status: int
    words: str


def failed(request: Request, error: Exception) -> Response:
    """A refusal or a failure of ours."""
    known = cast(PartwayError, error)
    note_refusal(request, known)
    if status_of(known) >= 500:
        log.error("%s %s: %s", request.method, request.url.path, known)
    words = by_itself(known) if isinstance(known, Refused) else str(known)
    return _answer(request, status_of(known), words, _details(known))


def note_refusal(request: Request, error: PartwayError) -> None:
    """Whoever tried what their role does not let them stands in the log; else that something was refused, and not
    what was typed.
    """
    said = ascii(str(error)) if isinstance(error, NotAllowed) else str(status_of(error))
    level = logging.WARNING if isinstance(error, NotAllowed) else logging.INFO
    log.log(level, "refused %s %s: %s", request.method, ascii(request.scope["path"])[:200], said)


def no_page(request: Request, error: Exception) -> Response:
    """An address that leads nowhere, or cannot be asked that way."""
    status = cast(HTTPException, error).status_code
    if status == 404:
        return failed(request, NotHere(f'"{request.url.path}"', "an address of this app", "address"))
    answer = _answer(request, status, str(cast(HTTPException, error).detail), {})
    answer.headers.update(cast(HTTPException, error).headers or {})
    if status == 405:
        answer.headers["allow"] = _methods(request)
    return answer


def _methods(request: Request) -> str:
    """All that can be done at an address (RFC 9110, 10.2.1); each of its routes knows only its own."""
    scope = dict(request.scope)
    taken = (
        method
        for method in METHODS
        if any(route.matches({**scope, "method": method})[0] is Match.FULL for route in request.app.routes)
    )
    return ", ".join(taken)


def not_understood(request: Request, error: Exception) -> Response:
    """Parts of a request that are not of the form they should be."""
    first = cast(RequestValidationError, error).errors()[0]
    where = ".".join(str(part) for part in first["loc"])
    given = "nothing" if first["type"] == "missing" else ascii(first.get("input"))[:80]
    kind = Malformed if _is_api(request) else Refused
    return failed(request, kind(given, f"{first['msg'][:1].lower()}{first['msg'][1:]}"[:200], where[:200]))


def broke(request: Request, error: Exception) -> Response:
    """A bug of ours, or a ledger that is damaged where nobody looked. Details go to the terminal, never to the page."""
    log.error("%s %s", request.method, request.url.path, exc_info=error)
    damage = damage_in(cast(AppState, request.app.state.partway).setup.book)
    words = "A fault in partway. What was saved before is safe; nothing of this was saved."
    answer = _answer(request, 500, words if damage is None else str(damage), {})
    answer.headers.update(HEADERS)  # this one is answered outside the guard
    if is_ours_alone(cast(AppState, request.app.state.partway).setup, request.scope):
        answer.raw_headers.append(STRICT)
    return answer


def _details(error: PartwayError) -> dict[str, Any]:
    if not isinstance(error, Refused):
        return {}
    told: dict[str, Any] = {"given": error.given, "expected": error.expected, "where": error.where}
    if isinstance(error, Asked):
        told |= {"option": error.option, "choices": [{"answer": a, "means": m} for a, m in error.choices]}
    return told


def _is_api(request: Request) -> bool:
    return for_programs(request.url.path)


def _answer(request: Request, status: int, words: str, details: dict[str, Any]) -> Response:
    title = TITLES.get(status, "Not done")
    if _is_api(request):
        return Response(problem(status, words, details), status, media_type=PROBLEM)
    ctx = RequestContext(request, cast(AppState, request.app.state.partway), Typed())
    page = FailurePage(title=title, status=status, words=words)
    return render(ctx, page, status, bare=status >= 500)  # then the ledger may be what is wrong
