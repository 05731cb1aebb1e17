"""What each task takes with a finger at 390 x 844, and how tall each place is. As a table of then and now:

PYTHONPATH=tests .venv/bin/python tests/journeys/test_taps.py

Taps and characters are counted apart. An opening, a ticket, one mass put right and a newcomer's verdict are counted
where they are tried: test_work_in_browser.py, test_haul_in_browser.py, tests/unit/test_first_run.py. What a task took
before is the count of whoever asked for fewer; heights before are our own.
"""

from __future__ import annotations

import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

import pytest
from browser import PHONE, Running, Watched, launched, running, tab
from playwright.sync_api import Browser, Locator, expect, sync_playwright

SCREENS = 3 * PHONE["height"]
# Height in pixels before this was asked for, with the demo's months.
PLACES = {
    "/": 2783, "/curb": 4465, "/curb/microwave": 3086, "/bench": 4645, "/bins": 7696, "/bins/labels": 8870,
    "/haul": 1467, "/haul/haul-16": 2225, "/buyers": 16236, "/buyers/harbour-yard": 5005, "/prices/copper-2": 1505,
    "/books": 4121, "/books/overview": None, "/books/money": 3048, "/books/flows": 4841, "/settings": 4061,
    "/what": 1866, "/what/key?context=taps": None,
}  # fmt: skip


@dataclass
class Hand:
    """One finger on the app: what it taps and types is counted."""

    watched: Watched
    taps: int = 0
    characters: int = 0

    def open(self, path: str) -> None:
        """Where the task begins; costs nothing."""
        self.watched.open(path)
        self.taps = self.characters = 0

    def tap(self, what: Locator) -> None:
        """A tap on what is there."""
        what.first.tap()
        self.taps += 1

    def type(self, field: Locator, text: str) -> None:
        """Tap a field and type."""
        self.tap(field)
        self.watched.page.keyboard.type(text)
        self.characters += len(text)


def known_kind(hand: Hand) -> None:
    """A verdict on a kind that the catalogue knows, from Home."""
    page = hand.watched.page
    hand.open("/")
    hand.tap(page.get_by_role("link", name="Curb", exact=True))
    hand.type(page.locator("#q"), "mi")
    hand.tap(page.locator("#found").get_by_role("link", name="Microwave oven"))
    expect(page.locator(".verdict")).to_be_visible()


def unknown_thing(hand: Hand) -> None:
    """A verdict on a thing that no kind is, from Home: its name, and what it is mostly."""
    page = hand.watched.page
    hand.open("/")
    hand.tap(page.get_by_role("link", name="Curb", exact=True))
    hand.type(page.locator("#q"), "foot spa")
    expect(page.locator("#found [name=it-name]")).to_have_value("foot spa")  # all that was typed is looked up
    hand.tap(page.locator("#found summary"))
    mostly = page.locator("#found [name=it-mostly]")
    hand.taps += 2  # the list opens, and one of it is chosen: the phone's own, which no page can tap
    mostly.select_option("plastic-motor")
    hand.tap(page.get_by_role("button", name="Worth lifting?"))
    expect(page.locator(".verdict")).to_be_visible()


def label(hand: Hand) -> None:
    """The labels to print, from Home."""
    page = hand.watched.page
    hand.open("/")
    hand.tap(page.get_by_role("link", name="Bins", exact=True))
    hand.tap(page.get_by_role("link", name="Labels", exact=True))
    expect(page.get_by_role("heading", name="Labels")).to_be_visible()


# Task: what it took before (None: there was no way), and what it may take.
TASKS = {known_kind: (3, 3), unknown_thing: (None, 6), label: (3, 2)}


def height(watched: Watched, path: str) -> int:
    """Pixels of a page as it opens."""
    page = watched.open(path)
    watched.settled()
    return int(page.evaluate("document.documentElement.scrollHeight"))


@pytest.mark.parametrize("task", TASKS, ids=lambda task: task.__name__)
def test_a_task_takes_no_more_taps(task: object, months: Running, chromium: Browser) -> None:
    context, watched = tab(chromium, months.address, viewport=PHONE, has_touch=True, is_mobile=True)
    hand = Hand(watched)
    task(hand)  # type: ignore[operator]
    assert hand.taps <= TASKS[task][1]  # type: ignore[index]
    context.close()
    watched.clean()


@pytest.mark.parametrize("path", PLACES)
def test_no_place_is_over_three_screens(path: str, months: Running, chromium: Browser) -> None:
    context, watched = tab(chromium, months.address, viewport=PHONE, has_touch=True)
    assert height(watched, path) <= SCREENS
    context.close()
    watched.clean()


def main() -> None:
    """Print both tables."""
    with tempfile.TemporaryDirectory() as folder, running(Path(folder), demo=True) as app, sync_playwright() as play:
        browser = launched(play)
        _, watched = tab(browser, app.address, viewport=PHONE, has_touch=True)
        for task, (before, most) in TASKS.items():
            hand = Hand(watched)
            task(hand)
            then = "no way" if before is None else before
            sys.stdout.write(f"{task.__name__:16} {then!s:>6} -> {hand.taps} taps ({most}), {hand.characters} typed\n")
        for path, was in PLACES.items():
            sys.stdout.write(f"{path:24} {was or '':>6} -> {height(watched, path)} px\n")
        browser.close()


if __name__ == "__main__":
    main()
