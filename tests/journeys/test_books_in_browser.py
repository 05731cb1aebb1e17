"""The books in a real browser: hours put right by keyboard alone, the drawings, and a file read without scripts."""

from __future__ import annotations

from pathlib import Path

import pytest
from browser import SIZES, Running, tab
from playwright.sync_api import Browser, expect


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
    page.locator(f'a[href="/books/ledger/{last.id}"]').focus()
    page.keyboard.press("Enter")
    watched.expected = True  # 409: what would follow is shown first
    page.get_by_label("Minutes").focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("45")
    page.keyboard.press("Enter")
    follows = int(filled.book.accounts()["minutes:collect"]) - 45
    expect(page.get_by_text(f"{follows} min")).to_be_visible()  # what would follow comes first
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
    context, watched = tab(chromium, months.address, viewport=SIZES["phone"])
    watched.page.set_default_timeout(60_000)  # the chart library is large, and the machine may be busy
    page = watched.open("/books")
    expect(page.locator(".chart .bars path").first).to_be_visible()
    page = watched.open("/books/flows?months=12")
    expect(page.locator(".chart .sankey-node").first).to_be_visible()
    drawn = page.locator(".chart .sankey-link").count()
    assert drawn > 20
    page.get_by_role("link", name="Every kind, grade and buyer").click()
    expect(page.locator(".chart .sankey-node").first).to_be_visible()
    assert page.locator(".chart .sankey-link").count() > drawn
    context.close()
    watched.clean()


def test_a_file_is_looked_at_and_added_without_scripts(
    months: Running, empty: Running, chromium: Browser, tmp_path: Path
) -> None:
    """The drawings need scripts; their numbers, the forms and the files do not."""
    context, watched = tab(
        chromium, months.address, viewport=SIZES["phone"], java_script_enabled=False, accept_downloads=True
    )
    page = watched.open("/books/flows?months=0")
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
