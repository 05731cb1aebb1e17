"""A phone with the page in its pocket: a real browser with a folder of its own, which can be switched off and on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from browser import CHROMIUM, FLAGS, PHONE, SOON, Watched
from playwright.sync_api import Browser, Page, expect
from slow_scripts import weakened
from workspaces import made

from partway.actions.bins import bins
from partway.actions.buyers import buyers
from partway.actions.buyers.buyers import Terms
from partway.actions.buyers.quoting import quote
from partway.actions.home.settings import set_
from partway.actions.recording.context import Context
from partway.ledger.events.ids import new_id
from partway.ledger.workspaces import workspace_id
from partway.storage.workspace import open_workspace
from partway.web.pocket.carried.all import Carrying
from partway.web.pocket.child import files_of
from partway.web.pocket.kept import KeptFile, pocket_folder, read_kept
from partway.web.pocket.kept import keep as keep_files

KEPT = """async names => {
  const kept = await caches.open('partway pocket data');
  for (const name of names) if (!await kept.match('/pocket/' + name)) return false;
  return navigator.serviceWorker.controller !== null;
}"""
ROWS = """async store => {
  const opened = await new Promise((done, failed) => {
    const asked = indexedDB.open('partway pocket', 1);
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
  const asked = opened.transaction(store).objectStore(store).getAll();
  const rows = await new Promise(done => { asked.onsuccess = () => done(asked.result); });
  opened.close();
  return rows;
}"""


@contextmanager
def phone(
    chromium: Browser,
    folder: Path,
    address: str,
    *,
    flags: tuple[str, ...] = (),
    env: Mapping[str, str | float | bool] | None = None,
    key: str = "",
) -> Iterator[Watched]:
    """The phone, switched on, at the page in its pocket. What was kept in its folder before is there again."""
    context = chromium.browser_type.launch_persistent_context(
        folder,
        executable_path=CHROMIUM,
        args=[*FLAGS, *flags],
        env=dict(env) if env else None,
        viewport=PHONE,
        has_touch=True,
        accept_downloads=True,
    )
    weakened(context)
    page = context.pages[0] if context.pages else context.new_page()
    page.set_default_timeout(SOON)
    watched = Watched(page, address, expected=True)  # a desk that cannot be reached is what this is about
    page.on("console", watched.heard)
    page.on("pageerror", lambda error: watched.complaints.append(f"{page.url}: {error}"))
    page.on("request", watched.asked)
    try:
        watched.open(f"/pocket/?key={key}" if key else "/pocket/")
        yield watched
    finally:
        context.close()


def stocked(page: Page) -> None:
    """Wait until the phone has all that it takes along."""
    expect(page.locator("#q")).to_be_visible()
    page.wait_for_function(KEPT, arg=["data.json", "key.json"])


def go(page: Page, *to: str) -> None:
    """To a screen of the page, as a link of it leads there."""
    page.evaluate("to => { location.hash = to.map(encodeURIComponent).join('/'); }", list(to))
    arrived(page)


def arrived(page: Page) -> None:
    """Wait until the screen is the one of the address."""
    page.wait_for_function("() => document.querySelector('[data-screen]').dataset.screen === location.hash")


def verdict(page: Page, typed: str, name: str) -> str:
    """Ask what a thing is worth, by some letters of its name; what is answered."""
    go(page, "curb")
    page.locator("#q").fill(typed)
    page.locator("a.line", has_text=name).first.tap()
    expect(page.get_by_role("heading", level=1)).to_have_text(name)
    return page.locator(".verdict").first.inner_text()


def note(page: Page, what: str, /, **said: str) -> None:
    """Record something by its form; `said` by the names of its fields."""
    before = len(rows(page))
    go(page, "record", what)
    form = page.locator("main form")
    for name, value in said.items():
        field = form.locator(f"[data-field='{name.rstrip('_')}']").first
        fold = field.locator("xpath=ancestor::details")
        if fold.count() and fold.get_attribute("open") is None:
            fold.locator("summary").first.tap()
        if field.locator("[type=radio]").count():
            field.locator(f"[type=radio][value='{value}']").check()
        elif field.locator("select").count():
            field.locator("select").select_option(value)
        else:
            field.locator("input, textarea").first.fill(value)
    form.get_by_role("button", name="Keep it").tap()
    page.wait_for_url("**#waiting")
    assert len(rows(page)) == before + 1


def rows(page: Page, store: str = "waiting") -> list[dict[str, object]]:
    """What the phone itself keeps, read past the page."""
    found: list[dict[str, object]] = page.evaluate(ROWS, store)
    return found


def hand_back(page: Page) -> None:
    """Press the button."""
    go(page, "waiting")
    page.get_by_role("button", name="Hand back").tap()


def other_house(stocked: Path, folder: Path) -> Path:
    """Another ledger, which tells a phone the same things of itself."""
    now = dt.datetime.now(dt.UTC)
    with open_workspace(stocked) as one, open_workspace(made(folder)) as book:
        set_(book, Context("tester", lambda: now, new_id), "currency", "CAD")
        told = read_kept(pocket_folder(one), workspace_id(one))
        mine = {
            name: KeptFile(file.content.replace(workspace_id(one).encode(), workspace_id(book).encode()), file.state)
            for name, file in told.items()
        }
        keep_files(pocket_folder(book), mine)
    return folder


def stocked_house(folder: Path) -> Path:
    """A workspace with a yard whose prices were heard today and a bin, and all that a phone takes along worked out: to
    be copied, as the key alone takes a busy machine a while.
    """
    now = dt.datetime.now(dt.UTC)
    with open_workspace(made(folder)) as book:
        context = Context("tester", lambda: now, new_id)
        for name, value in (("currency", "CAD"), ("unit", "lb"), ("zone", "UTC"), ("wage", "12")):
            set_(book, context, name, value)
        buyers.buyer(book, context, "harbour-yard", Terms(kind="yard", km="9", name="harbour yard"))
        for grade, price in (("copper-2", "4.10 /lb"), ("light-iron", "0.09 /lb"), ("motors", "0.30 /lb")):
            quote(book, context, "harbour-yard", grade, price)
        bins.add_bin(book, context, "motors", holds="40 lb")
        files = files_of(Carrying(book, now)).files
        keep_files(pocket_folder(book), {name: KeptFile(content, state) for name, (state, content) in files.items()})
    return folder
