"""The one way a form is saved: once, whole or not at all, and what was typed stays when it is not."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from fastapi.responses import RedirectResponse, Response

from partway.actions.ledger.context import Recorded
from partway.actions.ledger.said import clock_said, said
from partway.errors import Refused
from partway.web.blanks import Blank
from partway.web.desk import Desk, Note
from partway.web.failures import status_of
from partway.web.pages import NOTE, Page, render
from partway.web.tokens import Standing, Verdict, content_of

TOKEN = "token"  # noqa: S105 (the name of a field)
SAID = {
    Standing.STALE: (
        "This page was out of date, so nothing was saved. What you typed is still here: look at it and send it again."
    ),
    Standing.OTHER: (
        "This page was saved once already, with something else in it. Nothing more was saved; "
        "send it again if you want both."
    ),
}


@dataclass(frozen=True)
class Done:
    """Something was saved: what to say about it, how to take it back, where to go on."""

    lines: tuple[str, ...]
    undo: tuple[UUID, ...]
    to: str

    @classmethod
    def of(cls, desk: Desk, recorded: Recorded[Any], to: str) -> Done:
        """From what an action recorded."""
        return cls((*said(recorded.told, desk.show.say), *clock_said(recorded.clock)), recorded.undo, to)


def submit(
    desk: Desk,
    form: Blank,
    act: Callable[[], Done],
    again: Callable[[], Page],
    names: dict[str, str] | None = None,
) -> Response:
    """Save a form by `act` and go on, or show the page `again` with what was typed and what is wrong with it.

    `names` maps what the action calls a field to the form's name for it. `act` raises Refused for what it will not
    take, and then has recorded nothing.
    """
    content = content_of(desk.request.url.path, _content(desk))
    with desk.shop.writing:
        verdict = desk.shop.tokens.judge(desk.typed.get(TOKEN, ""), desk.session, content)
        if verdict.standing is Standing.SAVED:
            return _on(desk, verdict.name, verdict.went, again=True)
        if verdict.standing is not Standing.FRESH:
            form.problem = SAID[verdict.standing]
            return render(desk, again(), 409)
        if not form.validate():
            return render(desk, again(), 422)
        return _saved(desk, form, act, again, names, verdict, content)


def _saved(
    desk: Desk,
    form: Blank,
    act: Callable[[], Done],
    again: Callable[[], Page],
    names: dict[str, str] | None,
    verdict: Verdict,
    content: str,
) -> Response:
    try:
        done = act()
    except Refused as refused:
        form.refuse(refused, names)
        return render(desk, again(), status_of(refused))
    desk.shop.tokens.saved(verdict.name, content, done.to)
    desk.shop.leave(verdict.name, Note(done.lines, done.undo, done.to))
    return _on(desk, verdict.name, done.to)


def _on(desk: Desk, name: str, to: str, *, again: bool = False) -> Response:
    """To the next page, which says what was recorded."""
    note = desk.shop.notes.get(name)
    if again and note is not None:
        desk.shop.leave(name, Note(note.lines, note.undo, note.back, again=True))
    response = RedirectResponse(to, 303)
    response.set_cookie(NOTE, name, max_age=60, httponly=True, samesite="strict")
    return response


def _content(desk: Desk) -> Sequence[tuple[str, str]]:
    return [(name, value) for name, value in desk.typed.multi_items() if name != TOKEN]


def inside(path: str, otherwise: str = "/") -> str:
    """A path of this app to go back to; anything else is not followed."""
    safe = path.startswith("/") and not path.startswith(("//", "/\\")) and path.isprintable()
    return path if safe else otherwise
