"""A find opened step by step with a finger: taps counted, nothing typed lost, nothing saved twice."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from browser import PHONE, Running, Watched, before_script, running, tab
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect

from partway.actions.bench import finds
from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.quoting import quote
from partway.actions.home.settings import set_
from partway.actions.recording.context import Context
from partway.ledger.events.ids import new_id
from partway.ledger.fold import standing

OVEN = "microwave-1"
PRICES = {"copper-2": "9.00", "copper-light": "8.00", "light-iron": "0.25", "motors": "0.80", "wire-cord-plugs": "2.20"}
# What comes out of 13 kg: 12.86. The transformer comes apart, so it is not weighed itself; nor is its trim.
MASSES = {
    "tray": "0.9",
    "ring": "0.06",
    "cord": "0.3",
    "capacitor": "0.15",
    "cover": "1.8",
    "carcass": "6.7",
    "transformer.copper.copper": "0.45",
    "transformer.copper.iron": "2.5",
}
LEFT = (1, 4, len(MASSES))  # pieces that are weighed when something happens
TOUCH: dict[str, Any] = {"viewport": PHONE, "has_touch": True, "is_mobile": True}
ONCE = 1


def clock() -> dt.datetime:
    return dt.datetime.now(dt.UTC)


def context() -> Context:
    return Context("tester", clock, new_id)


def with_finds(app: Running, *kinds: str) -> None:
    """A town that pays, and a find of each kind that does not work."""
    for name, value in {"currency": "CAD", "unit": "kg", "wage": "5"}.items():
        set_(app.book, context(), name, value)
    buyer(app.book, context(), "harbour", Terms(kind="yard", name="harbour yard", km="9"))
    for grade, price in PRICES.items():
        quote(app.book, context(), "harbour", grade, f"{price} /kg")
    for kind in kinds:
        finds.find(app.book, context(), kind, mass="13 kg" if kind == "microwave" else None, works="no", sure=True)


def openings(app: Running) -> int:
    voided = app.book.voided()
    return sum(event.id not in voided for event in app.book.events(("opened",)))


@dataclass
class Finger:
    """Taps on a page, and how many there were; digits are counted apart."""

    page: Page
    taps: int = 0
    digits: int = 0

    def tap(self, what: str) -> None:
        self.page.locator(what).first.tap()
        self.taps += 1

    def type(self, text: str) -> None:
        for sign in text:
            self.page.locator(".keypad button", has_text=sign).first.tap()
            self.digits += 1

    @property
    def piece(self) -> str:
        """The piece that is asked for now; nothing where the section has none."""
        name = self.page.locator("section.here [data-row].here input[data-keys]").get_attribute("name")
        return (name or "").removeprefix("open-mass.")

    def next(self) -> None:
        before = self.page.url
        self.tap(".keypad .next" if self.page.locator(".keypad").is_visible() else "section.here [data-next]")
        self.page.wait_for_url(lambda url: url != before)

    def weigh(self, most: int = 99) -> list[str]:
        """Pieces one after another until the balance, or until so many are typed."""
        done: list[str] = []
        while "#step-end" not in self.page.url and len(done) < most:
            here = self.piece if self.page.locator("section.here [data-row].here").count() else ""
            if here in MASSES:
                self.type(MASSES[here])
                done.append(here)
            if len(done) < most:
                self.next()
        return done


def start(app: Running, browser: Browser, **options: Any) -> tuple[BrowserContext, Watched, Finger]:
    browsing, watched = tab(browser, app.address, **{**TOUCH, **options})
    finger = Finger(watched.open(f"/bench/{OVEN}"))
    finger.tap("[data-start-clock]")
    finger.page.wait_for_url("**/work#step-1")
    return browsing, watched, finger


def test_open_time_and_weigh_eight_pieces_then_put_one_mass_right(empty: Running, chromium: Browser) -> None:
    with_finds(empty, "microwave")
    browsing, watched, finger = start(empty, chromium)
    done = finger.weigh()
    assert sorted(done) == sorted(MASSES)
    expect(finger.page.locator("#balance")).to_contain_text("missing")
    finger.tap("section.here button:has-text('Record')")
    expect(finger.page.get_by_role("status")).to_contain_text("1 min")
    assert finger.taps <= 12, finger.taps
    assert openings(empty) == ONCE and standing.find(empty.book, OVEN).closed
    finger.page.wait_for_load_state()  # the page that says it was saved has the draft forgotten by then
    assert finger.page.evaluate("Object.keys(localStorage).filter(k => k.startsWith('partway ')).length") == 0

    finger.taps = finger.digits = 0
    finger.tap(".note a:has-text('Put right')")
    finger.tap(".recorded a:has-text('Steel cover')")
    finger.type("1.75")
    finger.tap(".keypad .next")
    finger.tap("section.here button:has-text('Record')")
    expect(finger.page.get_by_role("status")).to_contain_text("Put right, ")
    assert finger.taps <= 4, finger.taps
    assert openings(empty) == ONCE
    iron = empty.book.balances("bin:light-iron")["bin:light-iron", "light-iron"]
    assert iron == 1_750_000 + 6_700_000 + 2_500_000
    browsing.close()
    watched.clean()


def reloaded(page: Page, _: BrowserContext) -> Page:
    page.reload()
    return page


def closed(page: Page, browsing: BrowserContext) -> Page:
    address = page.url.partition("#")[0]
    page.close()
    again = browsing.new_page()
    again.goto(address)
    return again


def gone_back(page: Page, _: BrowserContext) -> Page:
    address = page.url.partition("#")[0]
    page.goto(urlsplit(address)._replace(path="/bins").geturl())
    page.go_back()
    return page


def without_network(page: Page, browsing: BrowserContext) -> Page:
    address = page.url.partition("#")[0]
    browsing.set_offline(True)
    page.evaluate("location.hash = '#step-end'")
    page.locator("section.here button:has-text('Record')").tap()
    page.wait_for_timeout(300)
    browsing.set_offline(False)
    page.goto(address)
    page.evaluate("location.hash = '#step-1'")
    return page


def typed(page: Page) -> dict[str, str]:
    """The masses that stand in the form."""
    found = page.eval_on_selector_all("input[data-keys]", "all => all.map(i => [i.name, i.value])")
    return {name.removeprefix("open-mass."): value for name, value in found if value}


@pytest.mark.parametrize("leaving", [reloaded, closed, gone_back, without_network])
def test_whatever_happens_nothing_typed_is_lost_and_nothing_saved_twice(
    empty: Running, chromium: Browser, leaving: Callable[[Page, BrowserContext], Page]
) -> None:
    """After one piece, after half of them and after all: what is there again is gone on with, to the end."""
    with_finds(empty, "microwave")
    browsing, _, finger = start(empty, chromium)
    before = empty.book.state()[0]
    page = finger.page
    for after in LEFT:
        weighed = weigh_up_to(page, after)
        page = leaving(page, browsing)
        expect(page.locator("form.by-step")).to_be_visible()
        assert typed(page) == weighed
        assert empty.book.state()[0] == before
    recorded_once(page, empty)
    browsing.close()


def weigh_up_to(page: Page, pieces: int) -> dict[str, str]:
    """From wherever the page stands, what is not weighed yet is, until so many are; returns what is typed then."""
    finger = Finger(page)
    while len(typed(page)) < pieces:
        here = finger.piece if page.locator("section.here [data-row].here").count() else ""
        if here in MASSES and here not in typed(page):
            finger.type(MASSES[here])
        else:
            finger.next()
    weighed = typed(page)
    assert weighed == {piece: MASSES[piece] for piece in weighed} and len(weighed) == pieces
    return weighed


def recorded_once(page: Page, app: Running) -> None:
    """From wherever the page stands to its end, where Record is pressed twice; gone back to, nothing is left."""
    finger = Finger(page)
    while "#step-end" not in page.url:
        finger.next()
    page.locator("section.here button:has-text('Record')").dblclick()
    expect(page.get_by_role("status")).to_contain_text("mass balance")
    assert openings(app) == ONCE
    page.go_back()
    again = page.locator("section.here button:has-text('Record')")
    if again.count():
        again.tap()
        expect(page.get_by_role("status")).to_contain_text("Nothing was saved twice")
    assert openings(app) == ONCE


def test_the_server_is_killed_and_comes_back(tmp_path: Path, chromium: Browser) -> None:
    """After one piece, after half of them and after all, Record is pressed and nobody is there."""
    with running(tmp_path) as app:
        with_finds(app, "microwave")
        port = int(app.address.rpartition(":")[2])
        browsing, _, finger = start(app, chromium)
        page = finger.page
        weighed = weigh_up_to(page, LEFT[0])
    for after in (*LEFT[1:], None):
        page.evaluate("location.hash = '#step-end'")
        page.locator("section.here button:has-text('Record')").tap()
        expect(page.locator(".places")).to_have_count(0)  # nobody answers: the browser shows a page of its own
        with running(tmp_path, port=port) as app:
            page.goto(f"{app.address}/bench/{OVEN}/work")
            page.evaluate("location.hash = '#step-1'")
            assert typed(page) == weighed and openings(app) == 0
            if after:
                weighed = weigh_up_to(page, after)
            else:
                recorded_once(page, app)
    browsing.close()


def test_an_opening_that_was_saved_without_an_answer_is_not_saved_again(empty: Running, chromium: Browser) -> None:
    """What the browser still has is shown as what it is: sent, and perhaps saved."""
    with_finds(empty, "microwave")
    browsing, _, finger = start(empty, chromium)
    finger.weigh()

    def swallow(route: Route) -> None:
        route.fetch(max_redirects=0)
        browsing.clear_cookies(name="partway_note")
        route.abort()

    finger.page.route("**/work", swallow)
    finger.page.locator("section.here button:has-text('Record')").tap()
    expect(finger.page.locator(".places")).to_have_count(0)
    assert openings(empty) == ONCE
    finger.page.unroute("**/work")
    finger.page.goto(f"{empty.address}/bench/{OVEN}/work")
    expect(finger.page.locator(".draft-note")).to_contain_text("it may be saved")
    assert finger.page.locator("form.by-step").count() == 0
    assert openings(empty) == ONCE
    browsing.close()


BROKEN = "Storage.prototype.setItem = function (name) { %s };"


@pytest.mark.parametrize("how", ["", "throw new Error('full')"])
def test_a_draft_that_is_broken_on_purpose_is_noticed(empty: Running, chromium: Browser, how: str) -> None:
    """The journeys above see a draft that keeps nothing; a browser that refuses to keep is told of."""
    with_finds(empty, "microwave")
    browsing, _, finger = start(empty, chromium)
    finger.page.add_init_script(BROKEN % how)
    finger.page.reload()
    finger.weigh(1)
    if how:
        expect(finger.page.locator(".draft-note")).to_contain_text("keeps nothing")
    assert typed(reloaded(finger.page, browsing)) == {}
    browsing.close()


def test_a_draft_of_a_find_opened_since_is_shown_and_not_used(empty: Running, chromium: Browser) -> None:
    from partway.actions.bench.opening import open_up
    from partway.actions.bench.pieces import PieceGiven

    with_finds(empty, "microwave")
    browsing, _, finger = start(empty, chromium)
    finger.weigh(2)
    cord = [PieceGiven("tray", "0.9 kg"), PieceGiven("cord", "0.3 kg", 1, "wire-cord-plugs")]
    open_up(empty.book, context(), OVEN, cord, ["cord-and-tray"], gap="left", sure=True)
    finger.page.reload()
    expect(finger.page.locator(".draft-note")).to_contain_text("has changed since")
    expect(finger.page.locator(".draft-note")).to_contain_text("0.9")
    assert typed(finger.page) == {}
    finger.page.locator(".draft-note button:has-text('Discard')").tap()
    finger.page.reload()
    assert finger.page.locator(".draft-note").count() == 0
    browsing.close()


def test_the_clock_is_in_sight_everywhere_and_leads_back(empty: Running, chromium: Browser) -> None:
    with_finds(empty, "microwave")
    browsing, watched, finger = start(empty, chromium)
    finger.weigh(2)
    for path in ("/", "/bins", "/books"):
        page = watched.open(path)
        bar = page.locator("[data-clock-bar]")
        expect(bar).to_contain_text("Microwave oven")
        if path == "/":
            line = page.get_by_role("region", name="Under way").get_by_role("link", name="Microwave oven")
            expect(line).to_contain_text("the clock runs")
            assert line.get_attribute("href") == f"/bench/{OVEN}/work#step-1.2"
        over, places = bar.bounding_box(), page.locator(".places").bounding_box()
        assert over and places and over["y"] + over["height"] <= places["y"] + 1
    assert watched.axe() == []
    page.locator("[data-clock-bar]").tap()
    page.wait_for_url("**/work#step-1.2")
    assert typed(page) == {piece: MASSES[piece] for piece in ("tray", "ring")}
    assert not page.locator("[data-clock-bar]").is_visible(), "the step shows it"
    assert watched.axe() == []
    browsing.close()
    watched.clean()


def test_a_start_that_is_tapped_before_the_clock_is_there_counts(empty: Running, chromium: Browser) -> None:
    """On a slow phone the page is in sight before its scripts run."""
    with_finds(empty, "microwave")
    browsing, watched = tab(chromium, empty.address, **TOUCH)
    with before_script(browsing, "clock.js"):
        watched.page.goto(f"{empty.address}/bench/{OVEN}", wait_until="commit")
        watched.page.locator("[data-start-clock]").tap()
        watched.page.wait_for_url("**/work#step-1", wait_until="commit")
    expect(watched.page.get_by_role("button", name="Stop the clock")).to_be_visible()
    assert watched.page.evaluate("localStorage.getItem('partway tapped')") is None
    browsing.close()
    watched.clean()


def test_the_clock_of_what_was_saved_is_forgotten_though_the_page_was_left_at_once(
    empty: Running, chromium: Browser
) -> None:
    with_finds(empty, "microwave")
    browsing, watched, finger = start(empty, chromium)
    finger.weigh()
    with before_script(browsing, "clock.js"):
        finger.page.locator("section.here button:has-text('Record')").tap(no_wait_after=True)
        expect(finger.page.get_by_role("status")).to_contain_text("mass balance")
        finger.page.goto(f"{empty.address}/bins", wait_until="commit")
    expect(finger.page.get_by_role("heading", name="Bins")).to_be_visible()
    finger.page.wait_for_load_state()
    assert finger.page.evaluate("Object.keys(localStorage)") == []
    assert not finger.page.locator("[data-clock-bar]").is_visible()
    browsing.close()
    watched.clean()


def test_stopped_early_only_what_was_done_is_ticked(empty: Running, chromium: Browser) -> None:
    with_finds(empty, "microwave")
    browsing, watched, finger = start(empty, chromium)
    watched.expected = True
    finger.weigh(3)
    finger.page.locator("section.here [data-stop]").scroll_into_view_if_needed()
    finger.page.evaluate("document.querySelector('section.here [data-stop]').click()")
    finger.page.wait_for_url("**#step-end")
    finger.page.locator("section.here button:has-text('Record')").tap()
    finger.page.get_by_role("button", name="still in the find").tap()
    expect(finger.page.get_by_role("status")).to_contain_text("still open")
    (what,) = [event.what for event in empty.book.events(("opened",))]
    assert [run.operation for run in what.runs] == ["cord-and-tray"]  # type: ignore[attr-defined]
    browsing.close()
    watched.clean()


def test_without_scripts_all_of_it_stands_below_each_other_and_saves(empty: Running, chromium: Browser) -> None:
    with_finds(empty, "microwave")
    browsing, watched = tab(chromium, empty.address, java_script_enabled=False, **TOUCH)
    page = watched.open(f"/bench/{OVEN}")
    page.locator("[data-start-clock]").tap()
    for piece, mass in MASSES.items():
        page.locator(f"[name='open-mass.{piece}']").fill(mass)
    page.get_by_role("button", name="Record the opening").click()
    expect(page.get_by_role("status")).to_contain_text("mass balance")
    assert openings(empty) == ONCE
    page.get_by_role("link", name="Put right").click()
    page.locator("[name='open-mass.cover']").fill("1.75")
    page.get_by_role("button", name="Record it so").click()
    expect(page.get_by_role("status")).to_contain_text("Put right, ")
    assert openings(empty) == ONCE
    browsing.close()
    watched.clean()


@pytest.mark.parametrize("kind", ["microwave", "washer-top"])
def test_a_step_fits_the_screen_with_its_field_above_the_keys(empty: Running, chromium: Browser, kind: str) -> None:
    with_finds(empty, kind)
    browsing, watched = tab(chromium, empty.address, **TOUCH)
    page = watched.open(f"/bench/{kind}-1")
    assert page.evaluate("document.documentElement.scrollHeight") <= PHONE["height"]
    page = watched.open(f"/bench/{kind}-1/work#step-1")
    finger = Finger(page)
    seen = 0
    while "#step-end" not in page.url and seen < 60:
        section = page.locator("section.here").bounding_box()
        assert section and section["height"] <= PHONE["height"], page.url
        field = page.locator("section.here [data-row].here input[data-keys]")
        if field.count():
            box, pad = field.bounding_box(), page.locator(".keypad").bounding_box()
            places = page.locator(".places").bounding_box()
            assert box and pad and places
            assert (
                box["y"] >= 0 and box["y"] + box["height"] <= pad["y"] and pad["y"] + pad["height"] <= places["y"] + 1
            )
            keys = page.locator(".keypad button").evaluate_all("all => all.map(k => k.getBoundingClientRect().height)")
            assert min(keys) >= 64
        seen += 1
        finger.next()
    assert seen >= 4 and watched.axe() == []
    browsing.close()
    watched.clean()
