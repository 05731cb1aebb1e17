"""Every screen of the page in the pocket: readable by everybody, for gloves, and no wider than the narrowest phone."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from browser import DRAWN, NARROW, SIZES, running
from playwright.sync_api import Browser, expect
from pocket_phone import go, hand_back, note, phone, stocked
from test_every_page import CLOSE, LETTERS, SMALL

SCREENS: dict[str, tuple[str, ...]] = {
    "names": ("curb",),
    "a kind": ("curb", "microwave"),
    "materials": ("curb", "", "made-of"),
    "a material": ("curb", "", "made-of", "steel"),
    "prices": ("prices",),
    "a yard": ("prices", "harbour-yard"),
    "whence": ("key",),
    "a question of the key": ("key", "loose", "usual"),
    "record": ("record",),
    "taken": ("record", "found", "microwave"),
    "a ticket": ("record", "ticketed"),
    "waiting": ("waiting",),
    "more": ("more",),
}
LOOKS = (
    ("phone", "light", 1),
    ("phone", "dark", 1),
    ("narrow", "light", 1),
    ("desk", "light", 1),
    ("phone", "light", 2),
)
LONG = 3 * SIZES["phone"]["height"]  # no page of a place is over three screens


@pytest.fixture(scope="module")
def found(pocket_house: Path, tmp_path_factory: pytest.TempPathFactory, chromium: Browser) -> dict[str, list[str]]:
    """What is wrong with each screen, by what it is, in each size and scheme and with letters twice as large."""
    folder = tmp_path_factory.mktemp("looks")
    wrong: dict[str, list[str]] = {"wcag": [], "wide": [], "small": [], "close": [], "long": []}
    house = shutil.copytree(pocket_house, folder / "house")
    with running(house, there=True) as app, phone(chromium, folder / "phone", app.address) as watched:
        page = watched.page
        stocked(page)
        note(page, "quoted", buyer="harbour-yard", grade="coper", price="4.25 /lb")  # asked: which grade
        note(page, "spent", what="fuel", amount="thirty something")  # refused: no amount
        hand_back(page)
        expect(page.locator(".queue .is-refused, .queue .is-asked")).to_have_count(2)
        for name, to in SCREENS.items():
            go(page, *to)
            if name == "a kind":
                page.locator(".caution summary").tap()
            for size, scheme, letters in LOOKS:
                look = f"{name}, {size} {scheme} x{letters}"
                page.set_viewport_size(NARROW if size == "narrow" else SIZES[size])
                page.emulate_media(color_scheme=scheme, reduced_motion="reduce")  # type: ignore[arg-type]
                watched.letters(letters * LETTERS)
                page.evaluate(DRAWN)
                wrong["wcag"] += [f"{look}: {one}" for one in watched.axe()]
                if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
                    wrong["wide"].append(look)
                wrong["small"] += [f"{look}: {one}" for one in page.evaluate(SMALL) if size != "desk"]
                wrong["close"] += [f"{look}: {one}" for one in page.evaluate(CLOSE) if size != "desk"]
                tall = page.evaluate("document.documentElement.scrollHeight")
                if (size, letters) == ("phone", 1) and name != "a kind" and tall > LONG:
                    wrong["long"].append(f"{look}: {tall}")
            watched.letters(LETTERS)
            page.set_viewport_size(SIZES["phone"])
        watched.clean()
    return wrong


@pytest.mark.parametrize("what", ["wcag", "wide", "small", "close", "long"])
def test_every_screen_is_for_everybody(found: dict[str, list[str]], what: str) -> None:
    assert found[what] == []
