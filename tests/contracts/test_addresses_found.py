"""Each address leads to its own route though routers that cannot be meant are left out, and apps share their routes
and nothing else.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import fastapi.routing
import pytest
from app_client import visitor
from fastapi import FastAPI
from fastapi.routing import APIRoute
from starlette.routing import Match
from starlette.types import Scope
from workspaces import new_workspace

from partway.web import app as app_module
from partway.web.api.addresses import ROUTERS
from partway.web.app import create_app, page_routers
from partway.web.serving.serve import ready
from partway.web.serving.setup import Setup

ELSEWHERE = ("/", "/nosuch", "/api", "/api/", "/api/nosuch", "/find", "/find/", "/ticket/a/b/c/d", "//books", "/books/")


@pytest.fixture
def app(tmp_path: Path) -> Iterator[FastAPI]:
    with new_workspace(tmp_path) as book:
        yield create_app(Setup(book, who="tester"))


def asked() -> list[tuple[str, str]]:
    """A method and an address of every route, and some of none."""
    found = [
        (method, re.sub(r"\{\w+(:\w+)?\}", "7", route.path))
        for router in (*page_routers(), *ROUTERS)
        for route in router.routes
        if isinstance(route, APIRoute)
        for method in sorted(route.methods or ())
    ]
    assert len(found) > 250
    return [*found, *(("GET", path) for path in ELSEWHERE), *(("DELETE", path) for _, path in found[::20])]


def answering(app: FastAPI, method: str, path: str, prefix: str = "") -> list[tuple[Match, Any]]:
    """Whoever would answer, in order; under a prefix no router is left out."""
    scope = {"type": "http", "method": method, "path": prefix + path, "root_path": prefix, "headers": [], "app": app}
    met = [(route.matches(dict(scope))[0], index) for index, route in enumerate(app.routes)]
    return [one for one in met if one[0] is not Match.NONE]


def test_every_address_leads_where_it_leads_with_no_router_left_out(app: FastAPI) -> None:
    for method, path in asked():
        assert answering(app, method, path) == answering(app, method, path, "/prefix"), (method, path)
    assert answering(app, "GET", "/nosuch") == []


def test_most_routers_are_left_out(app: FastAPI, monkeypatch: pytest.MonkeyPatch) -> None:
    looked: list[APIRoute] = []
    real = APIRoute.matches

    def matches(route: APIRoute, scope: Scope) -> tuple[Match, Scope]:
        looked.append(route)
        return real(route, scope)

    monkeypatch.setattr(APIRoute, "matches", matches)
    answering(app, "GET", "/books")
    near = len(looked)
    answering(app, "GET", "/books", "/prefix")
    assert 0 < near < (len(looked) - near) / 5


def test_two_apps_share_routes_and_no_ledger(tmp_path: Path) -> None:
    with visitor(tmp_path / "one") as one, visitor(tmp_path / "two") as two:
        assert one.app is not two.app
        for here, other, kind in ((one, two, "kettle"), (two, one, "toaster"), (one, two, "microwave")):
            before = other.count(), other.client.get("/api/finds").json()
            sent = here.client.post("/api/find", json={"kind": kind}, headers={"idempotency-key": f'"{kind}"'})
            assert sent.status_code == 200, sent.text
            assert (other.count(), other.client.get("/api/finds").json()) == before
        assert "kettle" in one.client.get("/api/finds").text
        assert "kettle" not in two.client.get("/api/finds").text


def test_nobody_waits_for_a_route_once_the_app_is_ready(app: FastAPI, monkeypatch: pytest.MonkeyPatch) -> None:
    app_module._everywhere.cache_clear()
    fresh = create_app(app.state.partway.setup)
    ready(fresh)

    def late(*_: object, **__: object) -> None:
        raise AssertionError("made while somebody waits")

    monkeypatch.setattr(fastapi.routing, "get_dependant", late)
    for method, path in asked():
        answering(fresh, method, path)
