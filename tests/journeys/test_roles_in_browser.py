"""What a helper and a viewer see, what their pages do not offer, and what an act that is refused says, in a browser.

That each address refuses whom it has to is held by tests/contracts/test_roles.py.
"""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest
from browser import PHONE, Running, Watched, running, tab
from playwright.sync_api import Browser, expect
from pocket_phone import hand_back, note, phone, rows, stocked

from partway.actions.books.money import hours
from partway.actions.home.settings import set_
from partway.actions.recording.context import Context
from partway.ledger.events.ids import new_id
from partway.ledger.roles import PRICES, Role
from partway.storage.writing.device_keys import give_role, issue_key
from partway.web.serving.door import Door


def now() -> dt.datetime:
    return dt.datetime.now(dt.UTC)


@dataclass
class Yard:
    """A running app that asks for a key, with a device of Ben, who helps, and of Cleo, who looks."""

    app: Running
    keys: dict[str, str]

    def count(self) -> int:
        return self.app.book.state()[0]


@pytest.fixture
def yard(pocket_house: Path, tmp_path: Path) -> Iterator[Yard]:
    with running(shutil.copytree(pocket_house, tmp_path / "house"), there=True) as app:
        hours(app.book, Context("Ann", now, new_id), "bench", "30 min")
        setup = app.app.state.partway.setup
        setup.who, setup.key, setup.door = "Ann", "desk-key", Door(app.book, now)
        roles = {"Ben": Role.HELPER, "Cleo": Role.VIEWER}
        yield Yard(
            app, {who: issue_key(app.book, f"phone of {who}", now(), who, role, "Ann") for who, role in roles.items()}
        )


@contextmanager
def browser_of(who: str, yard: Yard, chromium: Browser) -> Iterator[Watched]:
    context, watched = tab(chromium, yard.app.address, viewport=PHONE, has_touch=True)
    watched.expected = True  # an act is refused, with its status
    watched.open(f"/?key={yard.keys[who]}")
    yield watched
    context.close()
    watched.clean()


def told(watched: Watched, path: str, words: str, *offered: str) -> None:
    """Open a page: what it says of what is not for this one, and all the buttons that it offers in its main part."""
    page = watched.open(path)
    expect(page.get_by_role("note")).to_have_text(words)
    assert page.locator("main form[method=post] button").all_text_contents() == list(offered)
    assert watched.axe() == []


def test_a_helper_records_and_is_told_what_is_the_owners(yard: Yard, chromium: Browser) -> None:
    set_(yard.app.book, Context("Ann", now, new_id), PRICES, "no")
    with browser_of("Ben", yard, chromium) as watched:
        page = watched.page
        watched.open("/curb/microwave")
        page.get_by_role("button", name="Taken").tap()
        expect(page.get_by_role("status")).to_contain_text("microwave")
        (found,) = yard.app.book.events(("found",))
        assert found.who == "Ben"
        count = yard.count()
        arranges = "settings, buyers' terms, kinds of one's own or rules of the place"
        told(watched, "/settings", f"A helper may not change {arranges} here. Ask Ann.")
        told(watched, "/buyers/harbour-yard", "A helper may not record prices heard here. Ask Ann.", "Note it")
        expect(page.get_by_text("4.10").first).to_be_visible()  # what is not theirs to say, they may know
        (worked,) = yard.app.book.events(("worked",))
        watched.open(f"/books/ledger/{worked.id}")
        expect(page.locator("main")).to_contain_text("Ask Ann")
        expect(page.locator("main form[method=post]")).to_have_count(0)
        assert yard.count() == count


def test_a_price_that_was_typed_as_the_owner_took_the_right_away(yard: Yard, chromium: Browser) -> None:
    with browser_of("Ben", yard, chromium) as watched:
        page = watched.open("/buyers/harbour-yard")
        page.get_by_label("Grade", exact=True).fill("copper-2")
        page.get_by_label("Price", exact=True).fill("9")
        set_(yard.app.book, Context("Ann", now, new_id), PRICES, "no")
        count = yard.count()
        page.get_by_role("button", name="Save the price").tap()
        expect(page.locator("main")).to_contain_text("A helper may not record prices heard here. Ask Ann.")
        assert watched.axe() == []
        page.get_by_role("link", name="Back to today").tap()
        expect(page.get_by_role("heading", level=1)).to_be_visible()
        assert yard.count() == count


def test_a_viewer_sees_all_of_it_and_is_offered_nothing(yard: Yard, chromium: Browser) -> None:
    words = "A viewer may not record anything here. Ask Ann."
    give_role(yard.app.book, "Cleo", Role.HELPER, "Ann")
    with browser_of("Cleo", yard, chromium) as watched:
        page = watched.open("/books/notes")
        page.get_by_label("In your own words").fill("closes at noon")
        give_role(yard.app.book, "Cleo", Role.VIEWER, "Ann")
        count = yard.count()
        page.get_by_role("button", name="Note it").tap()
        expect(page.locator("main")).to_contain_text(words)
        for path in ("/curb/microwave", "/books/notes", "/books/money"):
            told(watched, path, words)
        watched.open("/bins/motors")
        expect(page.locator("main")).to_contain_text("40")
        assert yard.count() == count


def test_what_a_viewer_recorded_without_signal_is_refused_and_stays_on_the_phone(
    yard: Yard, tmp_path: Path, chromium: Browser
) -> None:
    with phone(chromium, tmp_path / "phone", yard.app.address, key=yard.keys["Cleo"]) as watched:
        page = watched.page
        stocked(page)
        count = yard.count()
        page.context.set_offline(True)
        note(page, "spent", what="fuel", amount="30")
        page.context.set_offline(False)
        hand_back(page)
        expect(page.locator(".note")).to_contain_text("A viewer may not record anything here. Ask Ann.")
        assert len(rows(page)) == 1
        assert yard.count() == count
        watched.clean()
