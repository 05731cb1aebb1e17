"""Curb and the first steps in a real browser: by keyboard alone, and without scripts."""

from __future__ import annotations

import pytest
from browser import SIZES, Running, tab
from playwright.sync_api import Browser, expect

from partway.ledger.fold import standing
from partway.reports.home.firststeps import first_steps


@pytest.mark.parametrize("size", SIZES)
def test_from_two_letters_to_taken_by_keyboard_alone(filled: Running, chromium: Browser, size: str) -> None:
    before = set(standing.finds(filled.book))
    context, watched = tab(chromium, filled.address, viewport=SIZES[size])
    page = watched.open("/curb")
    page.get_by_label("What is it?").focus()
    page.keyboard.type("brad", delay=20)  # a slip: what was meant is found while it is typed, the page stays
    expect(page.locator("#found a").first).to_contain_text("Bread machine")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    expect(page.locator("#found a").first).to_be_focused()
    page.keyboard.press("Enter")
    expect(page).to_have_url(f"{filled.address}/curb/bread-machine")
    page.get_by_role("link", name="No", exact=True).focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("link", name="No", exact=True)).to_have_attribute("aria-current", "true")
    page.get_by_role("button", name="Taken").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_contain_text("bread machine")
    assert watched.axe() == []
    (new,) = set(standing.finds(filled.book)) - before
    assert standing.find(filled.book, new).works == "no"
    page.go_back()  # pressing it again on the old page records no second one
    page.get_by_role("button", name="Taken").click()
    expect(page.get_by_role("status")).to_contain_text("Nothing was saved twice")
    assert len(standing.finds(filled.book)) == len(before) + 1
    context.close()
    watched.clean()


def test_the_verdict_and_the_button_are_in_sight_at_once(months: Running, chromium: Browser) -> None:
    context, watched = tab(chromium, months.address, viewport=SIZES["phone"])
    for kind in ("microwave", "toaster", "fridge", "car-battery"):
        page = watched.open(f"/curb/{kind}")
        bar = page.locator("nav.places").bounding_box()
        assert bar is not None
        tops = [page.locator(what).first.bounding_box() for what in (".verdict", ".cautions", ".brings", ".works")]
        found = [box["y"] for box in tops if box is not None]
        assert len(found) == 4 and found == sorted(found)  # the caution before the money
        assert found[-1] < bar["y"]
    context.close()
    watched.clean()


def test_an_empty_workspace_is_walked_into_without_scripts(empty: Running, chromium: Browser) -> None:
    context, watched = tab(chromium, empty.address, viewport=SIZES["phone"], java_script_enabled=False)
    page = watched.open("/")
    expect(page.get_by_role("heading", name="Where do you scrap?")).to_be_visible()
    page.get_by_role("link", name="Settings", exact=True).click()
    page.get_by_label("Currency").fill("dollars")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("alert")).to_contain_text("Currency")
    expect(page.get_by_label("Currency")).to_have_value("dollars")
    page.get_by_label("Currency").fill("CAD")
    page.get_by_label("lb", exact=True).check()
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("status")).to_contain_text("CAD")
    page = watched.open("/curb")
    page.get_by_label("What is it?").fill("mi")
    page.get_by_role("button", name="Look").click()
    page.get_by_role("link", name="Microwave oven", exact=True).click()
    page.get_by_role("button", name="Taken").click()
    expect(page.get_by_role("status")).to_contain_text("icrowave")
    assert [step.lacking for step in first_steps(empty.book).todo] == ["buyer", "quote", "wage", "hours"]
    context.close()
    assert watched.outside == []


def test_the_demo_is_one_button_away(empty: Running, chromium: Browser) -> None:
    context, watched = tab(chromium, empty.address, viewport=SIZES["phone"])
    page = watched.open("/")
    assert watched.axe() == []
    page.get_by_role("button", name="Load the demo").click()
    expect(page.get_by_role("heading", name="Next")).to_be_visible(timeout=30_000)
    expect(page.locator(".workspace")).to_contain_text("demo")
    context.close()
    watched.clean()
