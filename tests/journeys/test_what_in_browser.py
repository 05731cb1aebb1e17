"""What is it? in a real browser: an unknown piece to its bin by thumb and by keyboard, without scripts as well."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from browser import PHONE, SIZES, Running, Watched, tab
from playwright.sync_api import Browser, Locator, expect

from partway.actions.what.found_out import confirmed

THUMB = 64  # px: what a gloved thumb hits
SMALLEST = {"width": 320, "height": 640}


def box(of: Locator) -> dict[str, float]:
    found = of.bounding_box()
    assert found is not None
    return {"x": found["x"], "y": found["y"], "width": found["width"], "height": found["height"]}


def tapped(watched: Watched, what: Locator) -> None:
    """Tap what leads to another page, and wait for that."""
    with watched.page.expect_navigation():
        what.tap()


def test_an_unknown_tap_to_its_bin_by_thumb_without_scripts(filled: Running, chromium: Browser) -> None:
    """Only taps: where it is from, what is seen, one test after another, its bin, and what it was."""
    before = confirmed(filled.book, "screws")
    context, watched = tab(chromium, filled.address, viewport=PHONE, has_touch=True, java_script_enabled=False)
    page = watched.open("/")
    page.get_by_role("navigation", name="Places").get_by_role("link", name="What?").tap()
    page.wait_for_url("**/what")
    tapped(watched, page.get_by_role("link", name="Screws, bolts and small hardware"))
    taps = 0
    while page.locator(".asks").count() and taps < 8:
        taps += 1
        answers = page.locator("button.answer:visible")
        assert all(box(answers.nth(n))["height"] >= THUMB for n in range(answers.count()))
        expect(page.get_by_role("button", name="Not sure")).to_be_visible()
        wanted = page.locator('.asks button[value="look=yellow"], .asks button[value="magnet=none"]')
        wanted = wanted if wanted.count() else page.locator('.asks button[value="colour=yellow"]')
        tapped(watched, wanted.first if wanted.count() else page.get_by_role("button", name="Not sure"))
    assert 0 < taps < 8
    expect(page.locator(".verdict")).to_contain_text("Into")
    page.get_by_role("button", name="Yellow brass", exact=True).tap()
    expect(page.get_by_role("status")).to_contain_text("confirmed there by now")
    assert confirmed(filled.book, "screws").get("brass-yellow", 0) == before.get("brass-yellow", 0) + 1
    page.go_back()  # the same page sent again records it no second time
    page.get_by_role("button", name="Yellow brass", exact=True).tap()
    expect(page.get_by_role("status")).to_contain_text("Nothing was saved twice")
    tapped(watched, page.get_by_role("button", name="Undo"))
    assert confirmed(filled.book, "screws") == before
    context.close()
    assert watched.outside == []


@pytest.mark.parametrize("size", SIZES)
def test_the_key_by_keyboard_alone(months: Running, chromium: Browser, size: str) -> None:
    context, watched = tab(chromium, months.address, viewport=SIZES[size])
    page = watched.open("/what")
    page.get_by_role("link", name="Taps and bathroom fittings").focus()
    page.keyboard.press("Enter")
    expect(page).to_have_url(f"{months.address}/what/key?context=taps")
    first = page.get_by_role("heading", level=2).first.inner_text()
    page.locator(".asks button").first.focus()
    page.keyboard.press("Tab")
    expect(page.locator(".asks button").nth(1)).to_be_focused()
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile(r"/what/key\?context=taps&answer=\w+%3D\w+$"))
    expect(page.get_by_role("heading", level=2).first).not_to_have_text(first)
    page.get_by_role("link", name="Back", exact=True).focus()
    page.keyboard.press("Enter")
    expect(page).to_have_url(f"{months.address}/what/key?context=taps")
    expect(page.get_by_role("heading", level=2).first).to_have_text(first)
    page.go_back()  # the browser's own way back leads through the questions too
    expect(page.get_by_role("link", name="ask again")).to_have_count(1)
    assert watched.axe() == []
    context.close()
    watched.clean()


def test_a_board_by_toggles_and_a_wire_by_the_calculator(months: Running, chromium: Browser) -> None:
    context, watched = tab(chromium, months.address, viewport=PHONE, has_touch=True, java_script_enabled=False)
    page = watched.open("/what/guide/boards")
    labels = page.locator(".seen label")
    assert all(box(labels.nth(n))["height"] >= THUMB for n in range(labels.count()))
    for seen in ("green or blue fibre board", "a large processor socket", "card or memory slots"):
        page.get_by_role("checkbox", name=seen).check()
    page.get_by_role("button", name="Which grade is it?").tap()
    expect(page.locator(".verdict")).to_have_text("PC main boards")
    expect(page.get_by_role("checkbox", checked=True)).to_have_count(3)
    page = watched.open("/what/wire")
    page.get_by_label("Size of a conductor").fill("14 ga uge")
    page.get_by_role("button", name="Work it out").tap()
    expect(page.get_by_role("alert")).to_contain_text("Size of a conductor")
    expect(page.get_by_label("Size of a conductor")).to_have_value("14 ga uge")
    page.get_by_label("Size of a conductor").fill("14")
    page.get_by_label("Over all").fill("3 mm")
    page.get_by_role("button", name="Work it out").tap()
    expect(page.get_by_role("status")).to_contain_text("of its mass is copper")
    context.close()
    assert watched.outside == []


def test_six_places_fit_the_smallest_phone(months: Running, chromium: Browser) -> None:
    for viewport in (PHONE, SMALLEST):
        context, watched = tab(chromium, months.address, viewport=viewport)
        for path in ("/what", "/what/key?context=loose", "/what/wire", "/cautions/mains", "/place"):
            watched.open(path)
            assert_bar_fits(watched, viewport["width"])
            assert not watched.page.evaluate("document.documentElement.scrollWidth > innerWidth"), path
            assert watched.axe() == []
        context.close()
        watched.clean()


def assert_bar_fits(watched: Watched, width: int) -> None:
    links = watched.page.locator("nav.places a")
    boxes = [box(links.nth(n)) for n in range(links.count())]
    assert len(boxes) == 6
    assert all(one["height"] >= 44 and one["width"] >= 44 for one in boxes)
    assert boxes[0]["x"] >= 0 and boxes[-1]["x"] + boxes[-1]["width"] <= width
    for left, right in pairwise(boxes):
        assert left["x"] + left["width"] <= right["x"] + 0.5
        assert left["y"] == right["y"] and left["height"] == right["height"]
    assert links.nth(4).evaluate("a => a.scrollWidth <= a.clientWidth")


def test_the_first_answers_are_in_sight_and_the_caution_above_them(months: Running, chromium: Browser) -> None:
    context, watched = tab(chromium, months.address, viewport=PHONE)
    page = watched.open("/what/key?context=taps&answer=look=bright&answer=magnet=none")
    bar = box(page.locator("nav.places"))
    tops = [box(page.locator(what).first)["y"] for what in (".caution", ".asks h2", "button.answer")]
    assert tops == sorted(tops) and tops[-1] + THUMB < bar["y"]
    context.close()
    watched.clean()
