"""Lists that end: at 390 x 844 no page of buyers, bins and prices is over three screens, and what to do is in sight."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from browser import SIZES, Running, Watched, running, tab
from playwright.sync_api import Browser, expect
from quoted_everywhere import fill

from partway.actions.recording.context import Context
from partway.catalogue import shipped
from partway.ledger import trading
from partway.ledger.events.ids import new_id
from partway.ledger.fold import standing

SCREENS = 3 * SIZES["phone"]["height"]
BAR = 70  # the bar of places under the thumb hides so much


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """Every grade quoted at seven buyers, and in a bin."""
    with running(tmp_path_factory.mktemp("full")) as app:
        fill(app.book, Context("tester", app.app.state.partway.setup.clock, new_id))
        yield app


def heights(watched: Watched, paths: list[str]) -> dict[str, int]:
    """How high each page is, and nothing on it wider than the screen."""
    found = {}
    for path in paths:
        page = watched.open(path)
        watched.settled()
        found[path] = page.evaluate("document.documentElement.scrollHeight")
        assert page.evaluate("document.documentElement.scrollWidth") <= SIZES["phone"]["width"], path
    return found


def lists(app: Running, bins: int) -> list[str]:
    """The places, each buyer, some bins with what can hurt first, the prices of some grades, a search."""
    hazards = {grade.id: len(grade.hazards) for grade in shipped().grades.values()}
    known = sorted(standing.bins(app.book).values(), key=lambda one: (-hazards.get(one.grade, 0), -one.mg))[:bins]
    buyers = [f"/buyers/{name}" for name in trading.buyers(app.book)]
    places = ["/buyers", "/bins", "/bins/labels", "/prices/copper-2", "/prices/li-ion", "/buyers?q=copper"]
    return [*places, *buyers, *(f"/bins/{one.id}" for one in known)]


def test_no_list_of_the_months_is_over_three_screens(months: Running, chromium: Browser) -> None:
    context, watched = tab(chromium, months.address, viewport=SIZES["phone"], has_touch=True)
    found = heights(watched, lists(months, 12))
    assert {path: height for path, height in found.items() if height > SCREENS} == {}
    context.close()
    watched.clean()


def test_no_list_is_over_three_screens_where_everybody_quotes_everything(full: Running, chromium: Browser) -> None:
    context, watched = tab(chromium, full.address, viewport=SIZES["phone"], has_touch=True)
    found = heights(watched, lists(full, 5))
    assert {path: height for path, height in found.items() if height > SCREENS} == {}
    context.close()
    watched.clean()


def test_a_label_is_two_taps_from_home_without_scrolling(months: Running, chromium: Browser, tmp_path: Path) -> None:
    context, watched = tab(chromium, months.address, viewport=SIZES["phone"], has_touch=True)
    page = watched.open("/")
    page.get_by_role("link", name="Bins", exact=True).tap()
    labels = page.get_by_role("link", name="Labels", exact=True)
    box = labels.bounding_box()
    assert box is not None and box["y"] + box["height"] < SIZES["phone"]["height"] - BAR
    labels.tap()
    expect(page.get_by_role("heading", name="Labels")).to_be_visible()
    page.wait_for_load_state()  # with its style sheets
    every = len(standing.bins(months.book))
    assert page.locator("li.label:visible").count() == 2 < every == page.locator("li.label").count()
    page.emulate_media(media="print")
    assert page.locator("li.label:visible").count() == every
    assert page.locator("form:visible").count() == 0
    context.close()
    watched.clean()


def test_a_call_and_a_list_are_in_sight_of_each_buyer(months: Running, chromium: Browser) -> None:
    context, watched = tab(chromium, months.address, viewport=SIZES["phone"], has_touch=True)
    known = trading.buyers(months.book)
    page = watched.open("/buyers")
    assert page.locator("li.who").count() == len(known)
    assert page.get_by_role("link", name=re.compile("^Call")).count() == sum(bool(one.phone) for one in known.values())
    for one in page.locator("li.who .button").all():
        box = one.bounding_box()
        assert box is not None and box["height"] >= 44
    page = watched.open("/buyers/harbour-yard")
    for name in ("Call", "Type a price list"):
        box = page.get_by_role("link", name=re.compile(f"^{name}")).bounding_box()
        assert box is not None and box["y"] + box["height"] < SIZES["phone"]["height"] - BAR, name
    context.close()
    watched.clean()


@pytest.mark.parametrize("scripts", [True, False])
def test_a_price_is_found_as_its_name_is_typed(months: Running, chromium: Browser, scripts: bool) -> None:
    context, watched = tab(chromium, months.address, viewport=SIZES["phone"], java_script_enabled=scripts)
    page = watched.open("/buyers")
    page.get_by_label("Find a grade").fill("no 2 cop")
    if not scripts:
        page.get_by_role("button", name="Find").click()
    found = page.locator("#found")
    expect(found.get_by_role("link", name="No. 2 copper")).to_be_visible()
    expect(found.locator("td.win").first).to_contain_text("best")
    if scripts:
        assert watched.axe() == []
        page.get_by_label("Find a grade").fill("zzqxj")
        expect(found).to_contain_text("No grade is called zzqxj")
    context.close()
    watched.clean()


def test_families_unfold_without_a_script(months: Running, chromium: Browser) -> None:
    context, watched = tab(chromium, months.address, viewport=SIZES["phone"], java_script_enabled=False)
    page = watched.open("/bins")
    line = page.locator("a.line[href='/bins/copper-2']")
    assert not line.is_visible()
    page.locator("summary", has_text="copper").first.click()
    assert line.is_visible()
    context.close()


def test_a_list_that_is_typed_outlives_leaving_until_it_is_saved(filled: Running, chromium: Browser) -> None:
    context, watched = tab(chromium, filled.address, viewport=SIZES["phone"])
    page = watched.open("/buyers/harbour-yard/list")
    page.locator("textarea[name=text]").fill("no 2 copper 4.10")
    page = watched.open("/bins")
    page = watched.open("/buyers/harbour-yard/list")
    expect(page.locator("textarea[name=text]")).to_have_value("no 2 copper 4.10")
    page.get_by_role("button", name="Look at it").click()
    page = watched.open("/buyers/harbour-yard/list")  # the phone went off before it was saved
    expect(page.locator("textarea[name=text]")).to_have_value("no 2 copper 4.10")
    page.get_by_role("button", name="Look at it").click()
    page.get_by_role("button", name="Save 1 line").click()
    expect(page).to_have_url(re.compile("/buyers/harbour-yard$"))
    page.wait_for_load_state()  # the page that says it was saved has the draft forgotten by then
    page = watched.open("/buyers/harbour-yard/list")
    expect(page.locator("textarea[name=text]")).to_have_value("")
    context.close()
    watched.clean()
