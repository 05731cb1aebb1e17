"""A haul by hand: planned, watched, asked what if, set out on, its ticket typed in. On phone and desk, with scripts and
without.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from browser import SIZES, Running, Watched, before_script, tab
from long_haul import endless_haul
from playwright.sync_api import Browser, Page, expect
from test_every_page import SMALL

from partway.actions.bins import bins
from partway.actions.buyers import buyers, quoting
from partway.actions.haul import hauls
from partway.actions.home import settings
from partway.actions.plans.plan import Limits
from partway.actions.recording.context import Context
from partway.ledger import trading
from partway.ledger.events.ids import new_id
from partway.web.serving.setup import Setup

SCRIPTS = [pytest.param(True, id="scripts"), pytest.param(False, id="no-scripts")]
SOON = 60_000  # ms after which a test gives up on a plan


def stocked(app: Running) -> None:
    """Copper and batteries, a yard and a depot that are quoted and lie on the map. Invented."""
    clock = Setup(app.book).clock

    def context() -> Context:
        return Context("me", clock, new_id)

    for name, value in {"currency": "CAD", "unit": "kg", "wage": "5", "home": "30.65, -40.57"}.items():
        settings.set_(app.book, context(), name, value)
    yard = buyers.Terms(kind="yard", name="harbour yard", at="30.70, -40.62", minutes="20")
    depot = buyers.Terms(kind="drop-off", name="town depot", at="30.66, -40.55", minutes="10")
    for buyer, terms in {"harbour-yard": yard, "town-depot": depot}.items():
        buyers.buyer(app.book, context(), buyer, terms)
    for buyer, grade, price in (("harbour-yard", "copper-2", "9 /kg"), ("town-depot", "li-ion", "3 /kg")):
        quoting.quote(app.book, context(), buyer, grade, price)
    for grade, kg in {"copper-2": 20, "li-ion": 15}.items():
        bins.add_bin(app.book, context(), grade)
        bins.recount(app.book, context(), grade, kg * 1_000_000)


def looked_over(watched: Watched, scripts: bool) -> None:
    if scripts:
        assert watched.axe() == []
        assert not watched.page.evaluate("document.documentElement.scrollWidth > innerWidth")
        if watched.page.viewport_size == SIZES["phone"]:
            assert watched.page.evaluate(SMALL) == [], "targets below 48 px"


def planned(page: Page) -> None:
    """From the bar of places to the plan."""
    page.get_by_role("link", name="Haul", exact=True).click()
    page.get_by_role("button", name="Plan it").click()
    expect(page.get_by_role("heading", name="The money")).to_be_visible(timeout=SOON)


@pytest.mark.parametrize("scripts", SCRIPTS)
@pytest.mark.parametrize("size", SIZES)
def test_a_haul_from_its_plan_to_its_ticket(empty: Running, chromium: Browser, size: str, scripts: bool) -> None:
    stocked(empty)
    context, watched = tab(chromium, empty.address, viewport=SIZES[size], java_script_enabled=scripts)
    page = watched.open("/")
    planned(page)
    looked_over(watched, scripts)
    expect(page.locator("main")).to_contain_text("North is up")
    page.get_by_role("link", name="Load sheet").click()
    expect(page.locator("main")).to_contain_text("check your place card")
    looked_over(watched, scripts)
    page.go_back()
    page.get_by_role("button", name=re.compile("Set out on")).click()
    expect(page.get_by_role("heading", name="On the way")).to_be_visible()
    looked_over(watched, scripts)
    page.get_by_role("link", name="Type in the ticket from harbour yard").click()
    looked_over(watched, scripts)
    page.get_by_label("Net mass").first.fill("20")  # a bare number is in the workspace's unit
    page.get_by_label("Net mass").first.press("Enter")  # records it; the button for more rows comes after
    expect(page.get_by_role("status")).to_be_visible()
    looked_over(watched, scripts)
    page.get_by_role("link", name="Home again").click()
    page.get_by_label("Kilometres").fill("31")
    page.get_by_label("Time").fill("1 h 40")
    page.get_by_role("button", name="Finished").click()
    expect(page.get_by_role("heading", name="Haul gone by")).to_be_visible()
    looked_over(watched, scripts)
    context.close()
    watched.clean()
    (ticket,) = trading.tickets(empty.book).values()
    assert (ticket.haul, str(ticket.total)) == ("haul-1", "180.00")
    assert trading.hauls(empty.book)["haul-1"].status == "finished"


def test_a_ticket_of_five_lines_is_six_taps_and_digits(empty: Running, chromium: Browser) -> None:
    """From the haul's page on. The keyboard's own key to the next field counts as a tap."""
    stocked(empty)
    clock = Setup(empty.book).clock
    for grade in ("light-iron", "motors", "brass-yellow", "wire-building"):
        quoting.quote(empty.book, Context("me", clock, new_id), "harbour-yard", grade, "1 /kg")
        bins.add_bin(empty.book, Context("me", clock, new_id), grade)
        bins.recount(empty.book, Context("me", clock, new_id), grade, 20_000_000)
    hauls.start(empty.book, Context("me", clock, new_id), ["harbour-yard"])
    context, watched = tab(chromium, empty.address, viewport=SIZES["phone"])
    page = watched.open("/haul/haul-1")
    taps = 0

    def tap(act: Callable[[], None]) -> None:
        nonlocal taps
        taps += 1
        act()

    tap(page.get_by_role("link", name="Type in the ticket").click)
    expect(page.get_by_label("Net mass").first).to_be_focused()
    page.wait_for_load_state()  # the field is ready before the script is; nobody types five digits in between
    for line in range(5):
        if line:
            tap(lambda: page.keyboard.press("Enter"))
        page.keyboard.type("20")
    expect(page.locator("#sum")).to_contain_text("5 lines, 100 kg")
    expect(page.locator("#sum")).to_contain_text("260.00")  # 20 x (9 + 4 x 1)
    looked_over(watched, scripts=True)
    tap(page.get_by_role("button", name="Record the ticket").click)
    expect(page.get_by_role("status")).to_be_visible()
    context.close()
    watched.clean()
    (ticket,) = trading.tickets(empty.book).values()
    assert (str(ticket.total), len(ticket.lines)) == ("260.00", 5)
    assert taps <= 6


def test_what_was_typed_and_ticked_is_there_again(empty: Running, chromium: Browser) -> None:
    """Also in a row that was asked for; recorded, it is forgotten."""
    stocked(empty)
    hauls.start(empty.book, Context("me", Setup(empty.book).clock, new_id), ["harbour-yard"])
    context, watched = tab(chromium, empty.address, viewport=SIZES["phone"])
    page = watched.open("/haul/haul-1/ticket/harbour-yard")
    page.get_by_label("Net mass").fill("20")
    page.get_by_role("button", name="More rows").click()
    page.locator("#mass_1").fill("3")
    page.locator("#grade_1").fill("light-iron")
    watched.open("/haul")
    watched.open("/haul/haul-1/ticket/harbour-yard")
    expect(page.locator("#mass_1")).to_have_value("3")
    expect(page.locator("#mass_0")).to_have_value("20")
    expect(page.locator("#sum")).to_contain_text("180.00")
    page.locator("#mass_1").fill("")
    page.get_by_role("button", name="Record the ticket").click()
    expect(page.get_by_role("status")).to_be_visible()
    watched.open("/haul/haul-1/ticket/harbour-yard")
    expect(page.locator("#mass_0")).to_have_value("")
    hauls.finish(empty.book, Context("me", Setup(empty.book).clock, new_id), "haul-1")
    page.get_by_role("link", name="Haul", exact=True).click()
    page.get_by_role("button", name="Plan it").click()
    expect(page.get_by_role("heading", name="The money")).to_be_visible(timeout=SOON)
    page.get_by_role("link", name="Load sheet").click()
    page.get_by_role("checkbox").first.check()
    page.reload()
    expect(page.get_by_role("checkbox").first).to_be_checked()
    looked_over(watched, scripts=True)
    context.close()
    watched.clean()


def test_a_slider_that_is_let_go_asks_for_its_plan(empty: Running, chromium: Browser) -> None:
    stocked(empty)
    context, watched = tab(chromium, empty.address, viewport=SIZES["phone"])
    page = watched.open("/")
    planned(page)
    page.get_by_role("link", name="Move the sliders").click()
    page.evaluate("window.stays = true")
    slider = page.get_by_label("An hour of mine is worth")
    slider.focus()
    page.keyboard.press("End")
    expect(page.locator("#outcome")).to_contain_text("Planned", timeout=SOON)
    assert page.evaluate("window.stays"), "the page was loaded again"
    assert "wage=50" in page.url
    looked_over(watched, scripts=True)
    with before_script(context, "haul.js"):
        page.goto(page.url.partition("?")[0], wait_until="commit")
        page.get_by_label("An hour of mine is worth").press("End")
        expect(page.locator("#outcome")).to_contain_text("Nothing is moved")
    expect(page.locator("#outcome")).to_contain_text("Planned", timeout=SOON)
    assert "wage=50" in page.url
    context.close()
    watched.clean()


@pytest.mark.parametrize("scripts", SCRIPTS)
def test_a_search_is_watched_and_stopped(empty: Running, chromium: Browser, scripts: bool) -> None:
    stocked(empty)
    jobs = empty.app.state.partway.jobs
    job = jobs.submit(endless_haul(), Limits(600.0, 0.0))
    context, watched = tab(chromium, empty.address, viewport=SIZES["phone"], java_script_enabled=scripts)
    page = watched.open(f"/haul/plan/{job}")
    looked_over(watched, scripts)
    # By itself: from the first look on, by scripts or because the page comes again.
    expect(page.locator("[data-said=best]")).not_to_have_text("none yet", timeout=SOON)
    page.get_by_role("button", name="Stop and take the best so far").click()
    expect(page.get_by_text("Best so far", exact=True)).to_be_visible(timeout=SOON)
    expect(page.locator("main")).to_contain_text("A better plan may exist, by at most")
    looked_over(watched, scripts)
    context.close()
    watched.clean()
