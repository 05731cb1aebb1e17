"""The whole day of a newcomer, by pages alone: with signal on the desk's own, without on the page in the pocket. Both
days begin and end at the desk: setting out in the morning, home again and the opening in the evening.
"""

from __future__ import annotations

import datetime as dt
import json
import re
import shutil
import urllib.request
from collections.abc import Callable
from pathlib import Path

import pytest
from browser import PHONE, Running, Watched, running, tab
from playwright.sync_api import Browser, Page, expect
from pocket_phone import go, note, phone, rows, stocked, verdict

from partway.actions.bins import bins
from partway.actions.recording.context import Context
from partway.ledger.events.codec import to_json
from partway.ledger.events.ids import new_id
from partway.ledger.workspaces import workspace_id
from partway.storage.workspace import open_workspace
from partway.web.pocket.carried.all import Carrying
from partway.web.pocket.child import as_json
from partway.web.pocket.kept import DATA, PAPER, KeptFile, keep, pocket_folder, read_kept

ASKED = (
    *("/api/bins", "/api/finds", "/api/buyers", "/api/quotes", "/api/hauls", "/api/tickets", "/api/unpaid"),
    *("/api/per-hour", "/api/per-yard", "/api/stock", "/api/diverted", "/api/notes"),
)
ID = r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{12}"
TIME = r"[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}[0-9:.]*(?:Z|[+-][0-9:]+)?"
OWN = re.compile(f"{ID}|{TIME}")
# A usual microwave oven, taken apart as far as its transformer: 29 lb are 13.15 kg, the rest went as dust and drips.
PIECES = {
    "tray": "0.9 kg",
    "ring": "0.06 kg",
    "cord": "0.3 kg",
    "capacitor": "0.15 kg",
    "cover": "1.8 kg",
    "transformer": "2.95 kg",
    "carcass": "6.7 kg",
}
CURB = (("micro", "Microwave oven", "no"), ("keyb", "Computer keyboard", "unknown"))
TICKET = {"copper-2": ("No. 2 copper", "59.5 lb", "4.20"), "motors": ("Electric motors", "40 lb", "0.30")}


def standing(app: Running) -> dict[str, object]:
    """Balance, money, prices in force and what is noted, without ids and times of day."""
    found = {}
    for path in ASKED:
        with urllib.request.urlopen(app.address + path) as answer:  # noqa: S310 - our own address
            found[path] = json.loads(OWN.sub("-", answer.read().decode()))
    return found


def recorded(app: Running) -> list[str]:
    """The kinds of events, in the order in which they came."""
    return [str(to_json(event)["kind"]) for event in app.book.events()]


@pytest.fixture
def morning(pocket_house: Path, tmp_path: Path, chromium: Browser) -> Path:
    """Set out at the desk, by its pages, with copper for the yard; and what a phone takes along, as of then."""
    house = shutil.copytree(pocket_house, tmp_path / "morning")
    with open_workspace(house) as book:
        bins.add_bin(book, Context("tester", lambda: dt.datetime.now(dt.UTC), new_id), "copper-2", holds="60 lb")
    with running(house, there=True) as app:
        at_the_desk(app, chromium, set_out)
    with open_workspace(house) as book:
        # The load has changed, which the data tells; the test key takes longer and is no part of this day.
        folder, pocket = pocket_folder(book), Carrying(book, dt.datetime.now(dt.UTC)).pocket()
        kept = read_kept(folder, workspace_id(book))
        told = {DATA: as_json(pocket), PAPER: kept[PAPER].content}
        keep(folder, kept | {name: KeptFile(content, pocket.state) for name, content in told.items()})
    return house


def test_a_newcomers_day_without_signal_is_the_same_day(morning: Path, tmp_path: Path, chromium: Browser) -> None:
    near, far = shutil.copytree(morning, tmp_path / "near"), shutil.copytree(morning, tmp_path / "far")
    with running(near, there=True) as app:
        at_the_desk(app, chromium, *DAY_AT_THE_DESK, home_again, open_it)
        wanted, events = standing(app), recorded(app)
    with running(far, there=True) as app, phone(chromium, tmp_path / "phone", app.address) as watched:
        stocked(watched.page)
        started = standing(app)
    with phone(chromium, tmp_path / "phone", app.address) as watched:  # the server is gone, the phone was off
        day_in_the_pocket(watched.page)
        watched.clean()
    with running(far, port=int(app.address.rpartition(":")[2])) as evening:
        with phone(chromium, tmp_path / "phone", evening.address) as watched:
            go(watched.page, "waiting")
            expect(watched.page.get_by_role("heading", level=1)).to_have_text("Nothing waits")
            watched.clean()
        at_the_desk(evening, chromium, home_again, open_it)
        assert recorded(evening) == events
        assert {"found", "quoted", "hauled", "ticketed", "opened"} <= set(events)
        assert standing(evening) == wanted
        same = [path for path in ASKED if started[path] == wanted[path]]
        assert same == ["/api/finds", "/api/buyers"]  # none waits any more: one was opened, one sold


def at_the_desk(app: Running, chromium: Browser, *acts: Callable[[Watched], None]) -> None:
    """Some of the day, on the desk's own pages."""
    context, watched = tab(chromium, app.address, viewport=PHONE, has_touch=True)
    watched.expected = True  # a question comes as a conflict
    for act in acts:
        act(watched)
    context.close()
    watched.clean()


def press(page: Page, button: str) -> None:
    """Press it and wait until what it sends is recorded."""
    page.get_by_role("button", name=button, exact=True).click()
    expect(page.get_by_role("status")).to_be_visible()


# -- at the desk, in the morning and in the evening of both days ----------------------------------------------


def set_out(watched: Watched) -> None:
    page = watched.open("/haul")
    page.get_by_role("button", name="Plan it").click()
    page.get_by_role("button", name=re.compile("Set out on")).click()
    expect(page.get_by_role("heading", name="On the way")).to_be_visible()


def home_again(watched: Watched) -> None:
    page = watched.open("/haul/haul-1")
    page.get_by_role("link", name="Home again").click()
    page.get_by_label("Kilometres").fill("18")
    page.get_by_label("Time").fill("1 h 10")
    press(page, "Finished")


def open_it(watched: Watched) -> None:
    page = watched.open("/bench/microwave-1/whole")
    for piece, mass in PIECES.items():
        page.locator(f"[name='open-mass.{piece}']").fill(mass)
    page.locator("[name='open-minutes']").fill("25")
    page.get_by_role("button", name="Record the opening").click()
    page.get_by_role("button", name="gone: dust, drips").click()
    expect(page.get_by_role("status")).to_contain_text("Opened")


# -- the day with signal: the desk's own pages ----------------------------------------------------------------


def curb_at_the_desk(watched: Watched) -> None:
    for typed, name, works in CURB:
        page = watched.open("/curb")
        page.get_by_label("What is it?").fill(typed)
        page.get_by_role("link", name=name, exact=False).first.click()
        if works == "no":
            page.get_by_role("link", name="No", exact=True).click()
        press(page, "Taken")


def call_at_the_desk(watched: Watched) -> None:
    for grade, price in (("copper-2", "4.25"), ("li-ion", "no")):
        page = watched.open("/buyers/harbour-yard")
        page.get_by_label("Grade", exact=True).fill(grade)
        page.get_by_label("Price", exact=True).fill(price)
        press(page, "Save the price")


def finds_at_the_desk(watched: Watched) -> None:
    page = watched.open("/bench/microwave-1/whole")
    page.get_by_text("Put it on the scale").click()
    page.get_by_label("On the scale now").fill("29 lb")
    press(page, "Weighed")
    page = watched.open("/bench/keyboard-1")
    press(page, "Works")


def ticket_at_the_desk(watched: Watched) -> None:
    page = watched.open("/haul/haul-1")
    page.get_by_role("link", name="Type in the ticket").click()
    for name, mass, price in TICKET.values():
        row = page.locator("fieldset.entry", has_text=name)
        row.get_by_label("Net mass").fill(mass)
        row.get_by_label("Other price").fill(price)
    press(page, "Record the ticket")


def sale_at_the_desk(watched: Watched) -> None:
    page = watched.open("/bench/keyboard-1/whole")
    page.get_by_text("Sold as a part").click()
    page.get_by_label("Price each").fill("25")
    press(page, "Sold")


def books_at_the_desk(watched: Watched) -> None:
    page = watched.open("/books/money")
    page.get_by_text("Money was spent").click()
    page.get_by_label("What for").fill("full tank")
    page.get_by_label("Amount", exact=True).last.fill("30")
    press(page, "Record what was spent")
    page = watched.open("/books/money")
    page.get_by_label("Collecting").check()
    page.get_by_label("How long").fill("2 h")
    press(page, "Record hours")
    page = watched.open("/books/notes")
    page.get_by_label("In your own words").fill("closes at noon")
    page.get_by_label("About").select_option(label="harbour yard")
    press(page, "Note it")


DAY_AT_THE_DESK = (
    curb_at_the_desk,
    call_at_the_desk,
    finds_at_the_desk,
    ticket_at_the_desk,
    sale_at_the_desk,
    books_at_the_desk,
)


# -- the day without: the page in the pocket ------------------------------------------------------------------


def day_in_the_pocket(page: Page) -> None:
    """The same in the same order; nothing of it reaches the desk before the evening."""
    for typed, name, works in CURB:
        verdict(page, typed, name)
        page.get_by_role("link", name="Take it").tap()
        page.locator(f"[data-field=works] [value={works}]").check()
        page.get_by_role("button", name="Keep it").tap()
        page.wait_for_url("**#waiting")
    oven, keyboard = (f"@{row['id']}" for row in rows(page))
    note(page, "quoted", buyer="harbour-yard", grade="No. 2 copper", price="4.25 /lb")
    note(page, "refused", buyer="harbour-yard", grade="li-ion")
    note(page, "weighed", find=oven, mass="29 lb")
    note(page, "tested", find=keyboard, works="yes")
    ticket_in_the_pocket(page)
    note(page, "sold", find=keyboard, price="25")
    note(page, "spent", what="full tank", amount="30", category="fuel")
    note(page, "worked", activity="collect", time="2 h")
    note(page, "noted", text="closes at noon", buyer="harbour-yard")
    expect(page).to_have_title(re.compile(r"^\(11\) "))


def ticket_in_the_pocket(page: Page) -> None:
    go(page, "record", "ticketed")
    form = page.locator("main form")
    form.locator("[data-field=buyer] select").select_option("harbour-yard")
    for n, (name, mass, price) in enumerate(TICKET.values()):
        if n:
            form.get_by_role("button", name="One more").tap()
        line = form.locator("fieldset.part").nth(n)
        for field, value in {"grade": name, "mass": mass, "price": f"{price} /lb"}.items():
            line.locator(f"[data-field={field}] input").fill(value)
    form.get_by_text("More", exact=True).tap()
    form.locator("[data-field=haul] select").select_option("haul-1")
    form.get_by_role("button", name="Keep it").tap()
    page.wait_for_url("**#waiting")
