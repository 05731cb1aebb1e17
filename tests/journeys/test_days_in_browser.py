"""Days that lead through several places: a newcomer's first, a phoned price list, a correction. By hand, by keyboard,
on a phone and on a desk, with scripts and without.
"""

from __future__ import annotations

from decimal import Decimal

import pytest
from browser import SIZES, Running, Watched, tab
from playwright.sync_api import Browser, Page, expect

from partway.ledger import trading
from partway.ledger.fold import standing
from partway.reports.home.firststeps import first_steps

SCRIPTS = [pytest.param(True, id="scripts"), pytest.param(False, id="no-scripts")]
LIST = "no 2 copper 4.10, motors 38c, light iron .09, brass 2.2"


def looked_over(watched: Watched, scripts: bool) -> None:
    """What holds on every page on the way: readable by everybody, and no wider than its screen."""
    if scripts:
        assert watched.axe() == []
        assert not watched.page.evaluate("document.documentElement.scrollWidth > innerWidth")


@pytest.mark.parametrize("scripts", SCRIPTS)
@pytest.mark.parametrize("size", SIZES)
def test_a_newcomers_first_day(empty: Running, chromium: Browser, size: str, scripts: bool) -> None:
    context, watched = tab(chromium, empty.address, viewport=SIZES[size], java_script_enabled=scripts)
    watched.expected = True  # a buyer nine km away is typed in words first
    page = watched.open("/")
    looked_over(watched, scripts)
    _says_what_money_is(page)
    looked_over(watched, scripts)
    _finds_a_fan(page)
    _meets_a_buyer(page)
    looked_over(watched, scripts)
    _hears_a_price(page)
    looked_over(watched, scripts)
    page.get_by_role("link", name="partway", exact=True).click()
    assert [step.lacking for step in first_steps(empty.book).todo] == ["hours"]
    page.get_by_role("link", name="Bench", exact=True).click()
    expect(page.locator("main")).to_contain_text("Fan")
    looked_over(watched, scripts)
    context.close()
    watched.clean()
    assert list(standing.finds(empty.book)) == ["fan-1"]
    (quote,) = trading.quotes(empty.book)
    assert (quote.buyer, quote.grade, quote.price, quote.unit) == ("harbour-yard", "motors", Decimal("0.38"), "lb")


def _says_what_money_is(page: Page) -> None:
    page.get_by_role("link", name="Settings", exact=True).click()
    page.get_by_label("Currency").fill("CAD")
    page.get_by_label("lb", exact=True).check()
    page.get_by_label("An hour of yours is worth at least").fill("12")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("status")).to_contain_text("CAD")


def _finds_a_fan(page: Page) -> None:
    page.get_by_role("link", name="Curb", exact=True).click()
    page.get_by_label("What is it?").fill("fa")
    page.keyboard.press("Enter")
    page.get_by_role("link", name="Fan", exact=False).first.click()
    page.get_by_role("link", name="No", exact=True).click()
    page.get_by_role("button", name="Taken").click()
    expect(page.get_by_role("status")).to_contain_text("fan")


def _meets_a_buyer(page: Page) -> None:
    page.get_by_role("link", name="Buyers", exact=True).click()
    page.get_by_role("link", name="Add a buyer").first.click()
    page.get_by_label("Name", exact=True).fill("Harbour yard")
    page.get_by_role("radio", name="yard").first.check()
    page.get_by_label("Road km from home").fill("far")
    page.get_by_role("button", name="Add the buyer").click()
    expect(page.get_by_role("alert")).to_contain_text("Road km")
    expect(page.get_by_label("Name", exact=True)).to_have_value("Harbour yard")
    page.get_by_label("Road km from home").fill("9")
    page.get_by_role("button", name="Add the buyer").click()
    expect(page.get_by_role("status")).to_contain_text("Harbour yard")


def _hears_a_price(page: Page) -> None:
    page.get_by_label("Grade", exact=True).fill("motors")
    page.get_by_label("Price", exact=True).fill("38c")
    page.get_by_role("button", name="Save the price").click()
    expect(page.get_by_role("status")).to_contain_text("motors")


@pytest.mark.parametrize("scripts", SCRIPTS)
@pytest.mark.parametrize("size", SIZES)
def test_a_phoned_price_list(filled: Running, chromium: Browser, size: str, scripts: bool) -> None:
    before = filled.book.state()[0]
    quotes = sum(1 for _ in filled.book.events(("quoted",)))
    context, watched = tab(chromium, filled.address, viewport=SIZES[size], java_script_enabled=scripts)
    watched.expected = True  # a question comes as a conflict
    page = watched.open("/buyers/harbour-yard/list")
    page.locator("textarea[name=text]").fill(LIST)
    with page.expect_navigation():
        page.get_by_role("button", name="Look at it").click()
    looked_over(watched, scripts)
    assert filled.book.state()[0] == before, "looking saves nothing"
    for _ in range(4):
        question = page.locator("fieldset.ask .choices label").first
        if not question.count():
            break
        question.click()
        with page.expect_navigation():  # until then it is the page before that is looked at
            page.get_by_role("button", name="Go on").click()
    page.get_by_role("button", name="Save 4 lines").click()
    expect(page.get_by_role("status")).to_contain_text("No. 2 copper")
    looked_over(watched, scripts)
    after = filled.book.state()[0]
    assert sum(1 for _ in filled.book.events(("quoted",))) == quotes + 4
    heard = {quote.grade: quote.price for quote in trading.quotes(filled.book, "harbour-yard")}
    assert (heard["copper-2"], heard["motors"], heard["light-iron"]) == (
        Decimal("4.10"),
        Decimal("0.38"),
        Decimal("0.09"),
    )
    page.go_back()
    page.get_by_role("button", name="Save 4 lines").click()
    expect(page.get_by_role("status")).to_contain_text("Nothing was saved twice")
    assert filled.book.state()[0] == after
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("status")).to_contain_text("Taken back")
    assert len(filled.book.voided()) >= 4
    context.close()
    watched.clean()


@pytest.mark.parametrize("scripts", SCRIPTS)
def test_a_mass_typed_wrong_is_put_right_in_the_ledger(filled: Running, chromium: Browser, scripts: bool) -> None:
    context, watched = tab(chromium, filled.address, viewport=SIZES["phone"], java_script_enabled=scripts)
    watched.expected = True
    find = next(f for f in standing.finds(filled.book).values() if f.mg and f.count == 1)
    page = watched.open(f"/bench/{find.id}/whole")
    page.get_by_text("Put it on the scale").click()
    weigh = page.locator(f"form[action^='/bench/{find.id}/weigh']")
    weigh.locator("input[type=text]").first.fill("300 lb")
    weigh.get_by_role("button").click()
    page.get_by_role("button", name="it is right, record it").click()  # so thought, in a hurry
    expect(page.get_by_role("status")).to_contain_text("300 lb")
    page.get_by_role("link", name="Books", exact=True).click()
    page.get_by_role("link", name="Ledger", exact=True).click()
    page.locator("main ul.lines a").first.click()
    looked_over(watched, scripts)
    mass = page.get_by_label("mass", exact=False).first
    mass.fill("heavy")
    page.get_by_role("button", name="Say this instead").click()
    expect(page.get_by_role("alert")).to_be_visible()
    expect(mass).to_have_value("heavy")
    mass.fill("30 lb")
    page.get_by_role("button", name="Say this instead").click()
    expect(page.get_by_role("heading", name="What follows")).to_be_visible()
    looked_over(watched, scripts)
    page.get_by_role("button", name="Record it").click()
    expect(page.get_by_role("status")).to_contain_text("Put right")
    assert round(standing.find(filled.book, find.id).mg / 453_592.37) == 30
    page.get_by_role("link", name="Ledger", exact=True).first.click()
    expect(page.locator("main s, main .void").first).to_be_visible()
    looked_over(watched, scripts)
    context.close()
    watched.clean()


def test_by_keyboard_alone_from_the_first_page_to_a_recount(filled: Running, chromium: Browser) -> None:
    """Tab, Enter and letters only: what has the focus can be seen, and the way to the page skips the bars."""
    context, watched = tab(chromium, filled.address, viewport=SIZES["desk"])
    page = watched.open("/bins/copper-2")
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="To the page")).to_be_focused()
    page.keyboard.press("Enter")
    field = page.locator("form[action$='/recount'] input[type=text]").first
    for _ in range(60):
        page.keyboard.press("Tab")
        if field.evaluate("e => e === document.activeElement"):
            break
        summary = page.evaluate(
            "document.activeElement.tagName === 'SUMMARY' && !document.activeElement.parentElement.open"
        )
        if summary:
            page.keyboard.press("Enter")
    expect(field).to_be_focused()
    assert field.evaluate("e => getComputedStyle(e).outlineStyle") != "none"
    page.keyboard.press("Control+A")
    page.keyboard.type("5 lb")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_contain_text("5 lb")
    context.close()
    watched.clean()
