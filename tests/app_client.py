"""The app without a socket: open a page, fill in one of its forms, send it as a browser would."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

from fastapi import FastAPI
from fastapi.testclient import TestClient
from httpx2 import Response
from months import months_in
from straight import Straight
from workspaces import new_workspace

from partway.actions.recording.context import Context
from partway.ledger.events.ids import new_id
from partway.storage.store import SqlBook
from partway.storage.workspace import FILE, open_workspace
from partway.web.app import create_app
from partway.web.serving.setup import Setup

NOW = dt.datetime(2026, 3, 20, 18, 0, tzinfo=dt.UTC)


@dataclass
class FormSeen:
    """A form as it stands on a page: where it goes and what its fields hold."""

    action: str = ""
    method: str = "get"
    values: list[tuple[str, str]] = field(default_factory=list)
    hidden: set[str] = field(default_factory=set)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.forms: list[FormSeen] = []
        self._inside: FormSeen | None = None
        self._area: str | None = None
        self._select: str | None = None
        self._chosen: str | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "form":
            self._inside = FormSeen(given.get("action", ""), given.get("method", "get").lower(), [])
            self.forms.append(self._inside)
        if self._inside is None:
            return
        name = given.get("name", "")
        if tag == "input" and name:
            kind = given.get("type", "text")
            if kind in ("radio", "checkbox") and "checked" not in given:
                return
            if kind not in ("submit", "button"):
                self._inside.values.append((name, given.get("value", "on" if kind == "checkbox" else "")))
                if kind == "hidden":
                    self._inside.hidden.add(name)
        elif tag == "textarea" and name:
            self._area = name
            self._inside.values.append((name, ""))
        elif tag == "select" and name:
            self._select, self._chosen = name, None
        elif tag == "option" and self._select and (self._chosen is None or "selected" in given):
            self._chosen = given.get("value", "")

    def handle_data(self, data: str) -> None:
        if self._area and self._inside:
            name, before = self._inside.values[-1]
            self._inside.values[-1] = (name, before + data)

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._inside = None
        elif tag == "textarea" and self._inside is not None and self._area:
            name, text = self._inside.values[-1]  # HTML, 13.1.2.5: a newline right after the tag is not content
            self._inside.values[-1] = (name, text.removeprefix("\r").removeprefix("\n"))
            self._area = None
        elif tag == "select" and self._inside is not None and self._select:
            self._inside.values.append((self._select, self._chosen or ""))
            self._select = None


def forms_on(html: str) -> list[FormSeen]:
    """Every form of a page."""
    reader = _Reader()
    reader.feed(html)
    return reader.forms


@dataclass
class Visitor:
    """Somebody with a browser that runs no scripts."""

    book: SqlBook
    client: TestClient
    app: FastAPI

    def context(self) -> Context:
        """To record something without a page."""
        return Context("tester", self.app.state.partway.setup.clock, new_id)

    def open(self, path: str, status: int = 200) -> str:
        """A page, which has to answer with this status."""
        answer = self.client.get(path)
        assert answer.status_code == status, answer.text[:2000]
        return answer.text

    def form(self, html: str, action: str) -> FormSeen:
        """The form of a page that is sent to an address (its path, without a query)."""
        found = [form for form in forms_on(html) if form.action.partition("?")[0] == action]
        assert found, f"no form to {action}; there are {[f.action for f in forms_on(html)]}"
        return found[0]

    def send(self, form: FormSeen, **values: str | list[str]) -> Response:
        """Send a form with some of its fields changed, and follow; a list sends a field several times."""
        body: dict[str, Any] = {}
        for name, value in form.values:
            body.setdefault(name, []).append(value)
        body |= values
        return self.client.post(form.action, data=body)

    def fill(self, path: str, action: str, **values: str | list[str]) -> Response:
        """Open a page, fill in one of its forms, send it, and follow where it leads."""
        return self.send(self.form(self.open(path), action), **values)

    def count(self) -> int:
        """How many events the ledger has."""
        return self.book.state()[0]


@contextmanager
def visitor(folder: Path, *, demo: bool = False, now: dt.datetime = NOW, **setup: Any) -> Iterator[Visitor]:
    """A visitor of a new workspace in a folder; `demo` fills it with the invented months, ending now."""
    if demo:
        months_in(folder, now - dt.timedelta(hours=2))
    with open_workspace(folder) if (folder / FILE).exists() else new_workspace(folder) as book:
        app = create_app(Setup(book, who="tester", clock=lambda: now, **setup))
        with Straight(app, base_url="http://localhost") as client:
            yield Visitor(book, client, app)
