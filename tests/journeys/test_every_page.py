"""Every page there is, found by its links: readable by everybody, no wider than the screen, asking nobody else."""

from __future__ import annotations

import re
from collections import deque
from pathlib import Path

import pytest
from browser import SIZES, Running, Watched, tab
from fastapi.routing import APIRoute
from playwright.sync_api import Browser

from partway.web.app import page_routers

PER_ROUTE = 1  # pages of one sort that are looked at
WEIGHT_MOST = 150_000  # bytes of one page with all it loads, charts aside
NOT_PAGES = re.compile(r"/(api/.+|static/.*|books/export/.+)")


def routes_of() -> list[APIRoute]:
    """What can be asked for, in the order in which the app looks."""
    found = [r for router in page_routers() for r in router.routes if isinstance(r, APIRoute)]
    return [r for r in found if "GET" in (r.methods or set())]


def route_for(path: str) -> str | None:
    plain = path.partition("?")[0]
    return next((r.path for r in routes_of() if r.path_regex.fullmatch(plain)), None)


def links_on(watched: Watched) -> list[str]:
    found: list[str] = watched.page.evaluate(
        "[...document.querySelectorAll('a[href]')]"
        ".filter(a => a.origin === location.origin && !a.hasAttribute('download')).map(a => a.pathname + a.search)"
    )
    return found


def pages_of(app: Running, browser: Browser) -> list[str]:
    """Addresses of pages, at most a few of each sort, found by links from the first page."""
    context, watched = tab(browser, app.address, viewport=SIZES["phone"])
    seen: dict[str, list[str]] = {}
    known, waiting = {"/"}, deque(["/"])
    while waiting:
        path = waiting.popleft()
        route = route_for(path)
        if route is None or NOT_PAGES.fullmatch(path.partition("?")[0]) or len(seen.get(route, [])) >= PER_ROUTE:
            continue
        seen.setdefault(route, []).append(path)
        watched.open(path)
        for link in links_on(watched):
            if link not in known:
                known.add(link)
                waiting.append(link)
    context.close()
    return [path for paths in seen.values() for path in paths]


@pytest.fixture(scope="session")
def addresses(months: Running, chromium: Browser) -> list[str]:
    found = pages_of(months, chromium)
    assert len(found) > 20
    return found


@pytest.mark.parametrize(("size", "scheme"), [("phone", "light"), ("phone", "dark"), ("desk", "light")])
def test_every_page_is_readable_by_everybody(
    months: Running, chromium: Browser, addresses: list[str], size: str, scheme: str
) -> None:
    context, watched = tab(chromium, months.address, viewport=SIZES[size], color_scheme=scheme)
    wrong, wide, small = [], [], []
    for path in addresses:
        page = watched.open(path)
        wrong += watched.axe()
        if page.evaluate("document.documentElement.scrollWidth > window.innerWidth"):
            wide.append(path)
        small += [f"{path}: {what}" for what in page.evaluate(SMALL)] if size == "phone" else []
    context.close()
    assert wrong == []
    assert wide == [], "wider than the screen"
    assert small == [], "targets below 44 px"
    watched.clean()


# Buttons, fields and links that are not in the middle of a sentence, lower than 44 px.
SMALL = """
[...document.querySelectorAll('button, select, input:not([type=hidden]), summary, nav a, a.button, a.line, textarea')]
  .filter(e => e.checkVisibility({opacityProperty: true, visibilityProperty: true}) && !e.closest('.hidden'))
  .map(e => [(['checkbox', 'radio'].includes(e.type) ? e.closest('label') || e : e).getBoundingClientRect(), e])
  .filter(([box]) => box.width > 0 && box.height < 43.5)
  .map(([box, e]) => `${e.tagName} ${(e.textContent || e.name || '').trim().slice(0, 40)} ${box.height}`)
"""


def test_links_lead_to_every_sort_of_page(addresses: list[str]) -> None:
    """Nothing is hidden: what the app can show is reached by links from its first page."""
    reached = {route_for(path) for path in addresses}
    pages = {r.path for r in routes_of() if not NOT_PAGES.fullmatch(r.path)}
    assert pages - reached - WITHOUT_LINKS == set()


# Reached by sending a form, or from a page that the demo's months do not have.
WITHOUT_LINKS: set[str] = {
    "/haul/plan/{job}",  # test_haul_in_browser.py looks at these four
    "/haul/plan/{job}/now",
    "/haul/plan/{job}/if",
    "/haul/load/{job}/{trip}",
    "/books/conflicts",  # test_conflicts_in_browser.py looks at it; one device alone has none
}


def test_pages_are_light(months: Running, chromium: Browser, addresses: list[str]) -> None:
    context, watched = tab(chromium, months.address, viewport=SIZES["phone"])
    weights: dict[str, int] = {}
    for path in addresses:
        sizes: list[int] = []
        listening = lambda response, into=sizes: into.append(  # noqa: E731
            0 if response.url.endswith("/charts.js") else len(response.body())
        )
        watched.page.on("response", listening)
        watched.open(path)
        watched.page.wait_for_load_state("networkidle")
        watched.page.remove_listener("response", listening)
        weights[path] = sum(sizes)
    context.close()
    assert {path: size for path, size in weights.items() if size > WEIGHT_MOST} == {}


def test_a_failure_page_is_a_page_too(months: Running, chromium: Browser, tmp_path: Path) -> None:
    context, watched = tab(chromium, months.address, viewport=SIZES["phone"])
    watched.expected = True
    watched.open("/nowhere")
    assert watched.axe() == []
    context.close()
    watched.clean()
