"""What two devices disagree about, on every page that shows a figure of it, in Debian's Chromium."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from browser import SIZES, running, tab
from disagreement import Person, part
from playwright.sync_api import Browser

from partway.ledger.memory import MemoryBook

PAGES = {
    "/books/conflicts": 8,
    "/bench": 0,
    "/bench/microwave-1": 2,
    "/bench/fan-1": 1,
    "/bins": 0,
    "/bins/copper-2": 1,
    "/bins/motors": 1,
    "/buyers/harbour": 1,
}


@pytest.mark.parametrize("size", SIZES)
def test_what_is_in_conflict_is_seen_and_settled(size: str, chromium: Browser, tmp_path: Path) -> None:
    shots = os.environ.get("PARTWAY_SHOTS")
    with running(tmp_path) as app:
        me, friend = Person(app.book, "jo"), Person(MemoryBook(), "sam")
        part(me, friend)
        me.hears_of(friend)
        context, seen = tab(chromium, app.address, viewport=SIZES[size])
        for path, count in PAGES.items():
            page = seen.open(path)
            assert page.locator(".conflict").count() == count, path
            assert page.locator(".state.doubt").first.is_visible(), path
            width = page.evaluate("document.documentElement.scrollWidth")
            assert width <= SIZES[size]["width"], path
            assert seen.axe() == []
            if shots:
                page.screenshot(path=f"{shots}/{size}{path.replace('/', '_')}.png", full_page=True)
        seen.expected = True  # 409: what would follow is shown first
        page = seen.open("/bench/microwave-1")
        page.locator(".conflict a.line", has_text="given up").first.click()
        page.get_by_role("button", name="Take it back").click()
        page.get_by_role("button", name="Record it").click()
        page = seen.open("/books/conflicts")
        assert page.locator(".conflict").count() == 6
        assert page.get_by_text("microwave-1").count() == 0
        seen.clean()
        context.close()
