"""The bench in a real browser: live balance, clock, by keyboard alone, without scripts, readable by everybody."""

from __future__ import annotations

import datetime as dt

import pytest
from browser import SIZES, Running, tab
from playwright.sync_api import Browser, Page, expect

from partway.actions.bench import finds
from partway.actions.home.settings import set_
from partway.actions.recording.context import Context
from partway.ledger.events.ids import new_id
from partway.ledger.fold import standing


def weighed_find(app: Running) -> str:
    """A find that is weighed, whole, alone of its kind in hand, and opens in steps: one of the demo, else a new one.

    At the demo's wage a microwave is worth opening on some days and left shut on others; at 5 an hour it opens.
    """
    set_(app.book, Context("tester", clock, new_id), "wage", "5")
    kept = [f for f in standing.finds(app.book).values() if f.kind == "microwave"]
    found = [f for f in kept if f.mg and f.count == 1]
    if not found:
        finds.find(app.book, Context("tester", clock, new_id), "microwave", mass="13 kg", works="no")
        return weighed_find(app)
    return found[0].id


def clock() -> dt.datetime:
    return dt.datetime.now(dt.UTC)


def weigh_all(page: Page) -> None:
    """Something near the usual into every row that shows, the rest of it into the last."""
    fields = page.locator("form.opening fieldset.weigh:visible input[name^='open-mass.']")
    for n in range(fields.count()):
        fields.nth(n).fill("0.2 kg")


@pytest.mark.parametrize("size", SIZES)
def test_the_balance_follows_what_is_typed_and_the_clock_fills_the_minutes(
    filled: Running, chromium: Browser, size: str
) -> None:
    context, watched = tab(chromium, filled.address, viewport=SIZES[size])
    watched.expected = True  # nothing weighed is asked about
    page = watched.open(f"/bench/{weighed_find(filled)}/whole")
    page.locator("[name='open-mass.cord']").fill("31 kg")
    expect(page.locator("#balance")).to_contain_text("would fit")
    expect(page.locator("#balance")).to_contain_text("too much")
    page.locator("[name='open-mass.cord']").fill("0.3 kg")
    expect(page.locator("#balance")).to_contain_text("missing")
    page.get_by_role("button", name="Start the clock").click()
    page.get_by_role("button", name="Stop the clock").click()
    expect(page.locator("[name='open-minutes']")).to_have_value("1")
    page.reload()
    page.get_by_role("button", name="Go on").click()
    page.get_by_role("button", name="Record the opening").click()  # with the clock running
    expect(page.locator("[name='open-minutes']")).to_have_value("1")
    assert watched.axe() == []
    context.close()
    watched.clean()


@pytest.mark.parametrize("scripts", [True, False])
def test_from_the_queue_to_the_bins_asked_where_the_rest_is_and_taken_back(
    filled: Running, chromium: Browser, scripts: bool
) -> None:
    context, watched = tab(chromium, filled.address, viewport=SIZES["phone"], java_script_enabled=scripts)
    watched.expected = True  # the question comes as a conflict
    find = weighed_find(filled)
    before = filled.book.state()[0]
    page = watched.open("/bench?hours=99&all=yes")  # cheap hours put more in the queue than it shows at first
    page.locator(f"a.go[href='/bench/{find}']").first.click()
    page.get_by_role("link", name="All on one page").click()
    page.wait_for_url("**/whole*")
    weigh_all(page)
    page.get_by_role("button", name="Check the balance").click()
    expect(page.locator("#balance")).to_contain_text("Mass balance")
    expect(page.locator("[name='open-mass.cord']")).to_have_value("0.2 kg")
    page.get_by_role("button", name="Record the opening").click()
    page.get_by_role("button", name="it is right, record it").click()  # all pieces of one mass are odd
    expect(page.get_by_role("alert").first).to_contain_text("missing")
    assert filled.book.state()[0] == before
    page.get_by_role("button", name="gone: dust, drips").click()
    expect(page.get_by_role("status")).to_contain_text("Opened")
    assert standing.find(filled.book, find).closed
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("status")).to_contain_text("Taken back")
    assert not standing.find(filled.book, find).closed
    context.close()
    watched.clean()


def test_a_test_by_keyboard_alone(filled: Running, chromium: Browser) -> None:
    touched = filled.book.subjects(("opened",), "find:")
    waiting = [f for f in standing.finds(filled.book).values() if f"find:{f.id}" not in touched]
    find = next(f.id for f in waiting if f.works == "unknown" and f.count == 1)
    context, watched = tab(chromium, filled.address, viewport=SIZES["phone"])
    page = watched.open(f"/bench/{find}")
    page.get_by_role("button", name="Works", exact=True).focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_contain_text("works")
    assert standing.find(filled.book, find).works == "yes"
    assert watched.axe() == []
    context.close()
    watched.clean()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_with_everything_open_and_something_wrong_everybody_can_read_it(
    filled: Running, chromium: Browser, scheme: str
) -> None:
    context, watched = tab(chromium, filled.address, viewport=SIZES["phone"], color_scheme=scheme)
    watched.expected = True
    page = watched.open(f"/bench/{weighed_find(filled)}/whole?by=mass&works=yes")
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    assert watched.axe() == []
    assert not page.evaluate("document.documentElement.scrollWidth > innerWidth")
    watched.open(f"/bench/{weighed_find(filled)}/whole")
    page.locator("[name='open-mass.cord']").fill("lots")
    with page.expect_navigation():  # the balance on the page before says what is wrong as well
        page.get_by_role("button", name="Record the opening").click()
    expect(page.get_by_role("alert").first).to_contain_text("Cord with plug")
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    assert watched.axe() == []
    assert not page.evaluate("document.documentElement.scrollWidth > innerWidth")
    watched.open("/bench?hours=0.3")
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    assert watched.axe() == []
    context.close()
    watched.clean()
