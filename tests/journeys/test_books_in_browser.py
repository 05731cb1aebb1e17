"""The books in a real browser: hours put right by keyboard alone, the drawings, and a file read without scripts."""

from __future__ import annotations

from pathlib import Path

import pytest
from browser import SIZES, Running, tab
from playwright.sync_api import Browser, expect

from partway.display import length_of_time


@pytest.mark.parametrize("size", SIZES)
def test_hours_are_recorded_and_put_right_by_keyboard_alone(filled: Running, chromium: Browser, size: str) -> None:
    context, watched = tab(chromium, filled.address, viewport=SIZES[size])
    page = watched.open("/books/money")
    page.get_by_label("Collecting").focus()
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    expect(page.get_by_label("How long")).to_be_focused()
    page.keyboard.type("1 h 30")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_contain_text("collect")
    last = filled.book.newest(1)[0]
    assert getattr(last.what, "minutes", 0) == 90
    page.locator("#recent > summary").focus()
    page.keyboard.press("Enter")  # what was recorded last is folded away
    page.locator(f'a[href="/books/ledger/{last.id}"]').focus()
    page.keyboard.press("Enter")
    watched.expected = True  # 409: what would follow is shown first
    page.get_by_label("Minutes").focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("45")
    page.keyboard.press("Enter")
    follows = int(filled.book.accounts()["minutes:collect"]) - 45
    expect(page.get_by_text(length_of_time(follows))).to_be_visible()  # what would follow comes first
    assert watched.axe() == []
    page.get_by_role("button", name="Record it").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_text("What counts instead")).to_be_visible()
    expect(page.locator(".state", has_text="no longer counts")).to_be_visible()
    assert watched.axe() == []
    right = filled.book.newest(1, kinds=("worked",))[0]
    assert getattr(right.what, "minutes", 0) == 45 and last.id in filled.book.voided()
    context.close()
    watched.clean()


def test_the_months_and_the_flows_are_drawn(months: Running, chromium: Browser) -> None:
    context, watched = tab(chromium, months.address, viewport=SIZES["phone"], java_script_enabled=False)
    page = watched.open("/books")
    expect(page.locator(".chart .bar").first).to_be_visible()
    page = watched.open("/books/flows?months=12")
    expect(page.locator(".chart .place").first).to_be_visible()
    drawn = page.locator(".chart .ribbon").count()
    assert drawn > 20
    page.get_by_role("link", name="Every kind, grade and buyer").click()
    assert page.locator(".chart .ribbon").count() > drawn
    context.close()
    watched.clean()


# Words of a drawing that lie on one another, or stick out of it, as the browser has set them.
UNREADABLE = """() => {
  const found = [], svg = document.querySelector('.chart svg').getBoundingClientRect();
  const words = [...document.querySelectorAll('.chart text')].map(e => [e.getBoundingClientRect(), e.textContent]);
  words.forEach(([a, one], n) => {
    if (a.left < svg.left - 1 || a.right > svg.right + 1 || a.top < svg.top - 1 || a.bottom > svg.bottom + 1)
      found.push(`${one} sticks out`);
    words.slice(n + 1).forEach(([b, other]) => {
      if (Math.min(a.right, b.right) - Math.max(a.left, b.left) > 0.5
          && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 3) found.push(`${one} on ${other}`);
    });
  });
  return found;
}"""


@pytest.mark.parametrize("width", [320, 390, 1280])
@pytest.mark.parametrize("path", ["/books?months=12", "/books/flows?months=12", "/prices/copper-2?days=365"])
def test_every_word_of_a_drawing_can_be_read(months: Running, chromium: Browser, path: str, width: int) -> None:
    """With the letters that this browser has, which tests/unit/test_charts.py can only suppose."""
    context, watched = tab(chromium, months.address, viewport={"width": width, "height": 800})
    page = watched.open(path)
    assert page.locator(".chart text").count() > 5
    assert page.evaluate(UNREADABLE) == []
    context.close()
    watched.clean()


@pytest.mark.parametrize("path", ["/books", "/books/overview", "/books/money", "/books/flows"])
def test_the_books_end_after_three_screens(months: Running, chromium: Browser, path: str) -> None:
    context, watched = tab(chromium, months.address, viewport=SIZES["phone"])
    assert watched.open(path).evaluate("document.documentElement.scrollHeight") <= 3 * SIZES["phone"]["height"]
    context.close()
    watched.clean()


def test_a_file_is_looked_at_and_added_without_scripts(
    months: Running, empty: Running, chromium: Browser, tmp_path: Path
) -> None:
    context, watched = tab(
        chromium, months.address, viewport=SIZES["phone"], java_script_enabled=False, accept_downloads=True
    )
    page = watched.open("/books/flows?months=0")
    page.get_by_text("Out of finds (").click()
    expect(page.get_by_role("rowheader", name="Microwave oven").first).to_be_visible()
    page = watched.open("/books/export")
    with page.expect_download() as waited:
        page.get_by_role("link", name="Download lines of events").click()
    file = tmp_path / waited.value.suggested_filename
    waited.value.save_as(file)
    page.goto(f"{empty.address}/books/export")
    page.get_by_label("File").set_input_files(file)
    page.get_by_role("button", name="Look at it").click()
    expect(page.get_by_role("heading", name="What would change")).to_be_visible()
    assert empty.book.state()[0] == 0
    page.get_by_role("button", name="Add").click()
    expect(page.get_by_role("status")).to_contain_text("events added")
    assert empty.book.state() == months.book.state()
    assert dict(empty.book.balances()) == dict(months.book.balances())
    context.close()
