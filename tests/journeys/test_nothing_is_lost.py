"""A ticket and a price list while everything goes wrong: at every step of typing one, the page is loaded again, the tab
closed, another page opened and gone back from, the network lost, the server killed. Nothing typed is lost; and pressed
twice, gone back to and pressed again, or sent without an answer that came, nothing is saved twice.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from browser import PHONE, Running, before_script, running
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect
from playwright.sync_api import Error as PlaywrightError
from slow_scripts import weakened

from partway.actions.bins.bins import add_bin, recount
from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.quoting import quote
from partway.actions.haul.hauls import start
from partway.actions.home.settings import set_
from partway.actions.recording.context import Context
from partway.ledger.events.ids import new_id

BUYER = "harbour-yard"
KEPT = "Object.keys(localStorage).filter(name => name.startsWith('partway draft '))"


def context() -> Context:
    return Context("tester", lambda: dt.datetime.now(dt.UTC), new_id)


def stocked(app: Running) -> None:
    """A yard that pays for copper and iron, some of both, and a haul to it. Invented."""
    for name, value in {"currency": "CAD", "unit": "kg", "wage": "5"}.items():
        set_(app.book, context(), name, value)
    buyer(app.book, context(), BUYER, Terms(kind="yard", name="harbour yard", km="9"))
    for grade, price in {"copper-2": "9 /kg", "light-iron": "0.25 /kg"}.items():
        quote(app.book, context(), BUYER, grade, price)
        add_bin(app.book, context(), grade)
        recount(app.book, context(), grade, 20_000_000)
    start(app.book, context(), [BUYER])


@dataclass
class Site:
    """The app that can be killed and comes back at the same address, and one browser with one page at a time."""

    folder: Path
    browsing: BrowserContext
    held: ExitStack = field(default_factory=ExitStack)
    app: Running = field(init=False)
    page: Page = field(init=False)
    port: int = 0

    def up(self) -> None:
        self.app = self.held.enter_context(running(self.folder, port=self.port))
        self.port = int(self.app.address.rpartition(":")[2])

    def down(self) -> None:
        self.held.close()

    def go(self, path: str) -> None:
        self.page.goto(f"{self.app.address}{path}")


@pytest.fixture
def site(tmp_path: Path, chromium: Browser) -> Iterator[Site]:
    browsing = weakened(chromium.new_context(viewport=PHONE, has_touch=True, is_mobile=True))
    site = Site(tmp_path, browsing)
    site.up()
    stocked(site.app)
    site.page = browsing.new_page()
    yield site
    browsing.close()
    site.down()


class Task:
    """Something that is typed in steps. A step begins at the page's own address and says what then stands there."""

    path: str
    kind: str  # of the events that it adds
    saves: int  # so many of them
    steps: tuple[Callable[[Any, Page], None], ...]
    fields: str  # what is read as typed
    presses: re.Pattern[str]  # the buttons of all steps
    last: re.Pattern[str]  # the one that saves

    def standing(self, page: Page) -> dict[str, str]:
        """What is typed and chosen on the page now."""
        read = "all => all.filter(i => i.type !== 'radio' || i.checked).map(i => [i.name, i.value])"
        return {name: value for name, value in page.eval_on_selector_all(self.fields, read) if value}

    def saved(self, app: Running) -> int:
        """Events that stand."""
        voided = app.book.voided()
        return sum(event.id not in voided for event in app.book.events((self.kind,)))

    def press(self, page: Page) -> None:
        """The button that is next, pressed by somebody impatient."""
        page.locator("main form button:visible").filter(has_text=self.presses).first.dblclick()


class TicketTask(Task):
    path = f"/haul/haul-1/ticket/{BUYER}"
    kind, saves = "ticketed", 1
    fields = "main form [name^=mass_], main form [name^=price_], main form [name=total], main form [name=number]"
    presses = re.compile("Record the ticket|record it as printed")
    last = re.compile("record it as printed")

    def first_line(self, page: Page) -> None:
        page.locator("#mass_0").fill("20")

    def all_lines(self, page: Page) -> None:
        page.locator("#mass_1").fill("19.5")
        page.locator("#price_1").fill("0.20")
        whole = page.locator("details.whole")
        if whole.get_attribute("open") is None:
            whole.locator("summary").tap()
        page.locator("[name=total]").fill("190.00")  # not what 20 x 9.00 + 19.5 x 0.20 make
        page.locator("[name=number]").fill("B 204")

    def asked(self, page: Page) -> None:
        self.press(page)
        expect(page.locator(".question")).to_contain_text("190")

    steps = (first_line, all_lines, asked)
    in_short = first_line
    resent = Task.press

    def to_the_end(self, page: Page) -> None:
        """To the button that saves, from wherever the last interruption left the page."""
        if not page.locator(".question").count():
            self.asked(page)


class ListTask(Task):
    path = f"/buyers/{BUYER}/list"
    kind, saves = "quoted", 3
    fields = "main form textarea, main form [name=on], main form [name^=ask-], main form [name^=other-]"
    presses = re.compile("Look at it|Go on with these|Save 3")
    last = re.compile("Save 3 lines")

    def first_line(self, page: Page) -> None:
        page.locator("[name=text]").fill("no 2 copper 4.10")

    def all_lines(self, page: Page) -> None:
        page.locator("[name=text]").fill("no 2 copper 4.10\nlight iron 9.5\nbrass 2.60")

    def answered(self, page: Page) -> None:
        """Each question gets an answer: the first choice, or words of one's own where there is a field for them."""
        self.look(page)
        for number, question in enumerate(page.locator("fieldset.ask").all()):
            own = question.locator("input[type=text]")
            if number == 0 and own.count():
                own.fill("0.25" if own.get_attribute("inputmode") else "brass-yellow")
            else:
                question.locator("label", has=page.locator("[type=radio]")).first.tap()

    def look(self, page: Page) -> None:
        if not page.locator("ol.heard").count():
            self.press(page)
        expect(page.locator("ol.heard")).to_be_visible()

    def ready(self, page: Page) -> None:
        while not page.locator("main button", has_text=self.last).count():
            self.look(page)
            before = page.locator("ol.heard").inner_text()
            page.locator("main button", has_text="Go on with these").dblclick()
            expect(page.locator("ol.heard")).not_to_have_text(before)

    steps = (first_line, all_lines, answered, ready)
    to_the_end = ready

    def in_short(self, page: Page) -> None:
        for step in self.steps:
            step(self, page)

    def resent(self, page: Page) -> None:
        self.ready(page)
        self.press(page)


def no_answer(page: Page) -> None:
    """Until the browser shows its own page in place of ours."""
    expect(page.locator(".places")).to_have_count(0)


def reloaded(site: Site, _: Task) -> None:
    site.page.reload()


def closed(site: Site, task: Task) -> None:
    site.page.close()
    site.page = site.browsing.new_page()
    site.go(task.path)


def gone_back(site: Site, task: Task) -> None:
    site.go("/bins")
    try:
        site.page.go_back()
    except PlaywrightError:  # a page that answered a form is not asked for again unasked
        site.go(task.path)


def without_network(site: Site, task: Task) -> None:
    site.browsing.set_offline(True)
    task.press(site.page)
    no_answer(site.page)
    site.browsing.set_offline(False)
    site.go(task.path)


def killed(site: Site, task: Task) -> None:
    site.down()
    task.press(site.page)
    no_answer(site.page)
    site.up()
    site.go(task.path)


TASKS = [TicketTask(), ListTask()]
LOSSES = [reloaded, closed, gone_back, without_network, killed]


@pytest.mark.parametrize("task", TASKS, ids=lambda task: task.kind)
@pytest.mark.parametrize("loss", LOSSES)
def test_nothing_typed_is_lost_at_any_step_and_nothing_is_saved_twice(
    site: Site, task: Any, loss: Callable[[Site, Task], None]
) -> None:
    site.go(task.path)
    before = task.saved(site.app)
    for step in task.steps:
        step(task, site.page)
        was = task.standing(site.page)
        assert was
        loss(site, task)
        if site.page.locator("ol.heard, .question").count() == 0 and step in task.steps[2:]:
            task.press(site.page)  # asked the same again, it has the same answers
            expect(site.page.locator("ol.heard, .question")).to_be_visible()
        expect(site.page.locator("main form").first).to_be_visible()
        assert task.standing(site.page).items() >= was.items(), step.__name__
        assert task.saved(site.app) == before
    task.to_the_end(site.page)
    site.page.locator("main button", has_text=task.last).dblclick()
    expect(site.page.locator("section.note")).to_be_visible()
    assert task.saved(site.app) == before + task.saves
    site.page.wait_for_load_state()
    assert site.page.evaluate(KEPT) == []
    gone_back_and_pressed_again(site, task)
    assert task.saved(site.app) == before + task.saves


def gone_back_and_pressed_again(site: Site, task: Task) -> None:
    """As far as Back leads to a button that saves."""
    try:
        site.page.go_back()
    except PlaywrightError:
        return
    again = site.page.locator("main form button").filter(has_text=task.presses)
    if again.count():
        again.first.tap()
        site.page.wait_for_load_state()


def saved_unanswered(site: Site, task: Task) -> None:
    """What is posted arrives and is saved, and the answer gets lost on the way back, with its cookies."""

    def swallow(route: Route) -> None:
        route.fetch(max_redirects=0)
        site.browsing.clear_cookies(name="partway_note")
        route.abort()

    site.page.route(f"**{task.path}", swallow)
    task.press(site.page)
    no_answer(site.page)
    site.page.close()
    site.page = site.browsing.new_page()


@pytest.mark.parametrize("restarted", [False, True], ids=["", "restarted"])
@pytest.mark.parametrize("task", TASKS, ids=lambda task: task.kind)
def test_what_was_saved_without_an_answer_is_not_saved_again(site: Site, task: Any, restarted: bool) -> None:
    """The browser still has what was typed, and does not know. Sent again, it is told."""
    site.go(task.path)
    before = task.saved(site.app)
    task.in_short(site.page)
    saved_unanswered(site, task)
    added = task.saved(site.app) - before
    assert added >= 1
    if restarted:
        site.down()
        site.up()
    site.go(task.path)
    expect(site.page.locator(".draft-note")).to_be_visible()
    back = site.page.get_by_role("button", name="Put it back")
    if back.count():  # there is a ticket more than when this was typed
        expect(site.page.locator(".draft-note")).to_contain_text("it may be saved")
        back.tap()
    task.resent(site.page)
    expect(site.page.locator("section.note")).to_contain_text("Nothing was saved twice")
    assert task.saved(site.app) == before + added
    site.page.wait_for_load_state()
    assert site.page.evaluate(KEPT) == []


def test_a_ticket_saved_without_an_answer_and_changed_since_is_asked_about(site: Site) -> None:
    """It may be another one: then it is sent once more."""
    task = TicketTask()
    site.go(task.path)
    task.first_line(site.page)
    saved_unanswered(site, task)
    site.go(task.path)
    site.page.get_by_role("button", name="Put it back").tap()
    site.page.locator("#mass_0").fill("")
    site.page.locator("#mass_1").fill("20")
    task.press(site.page)
    expect(site.page.locator(".wrong")).to_contain_text("saved once already, with something else")
    assert task.saved(site.app) == 1
    task.press(site.page)
    expect(site.page.locator("section.note")).to_contain_text("Sold 20 kg of Light iron")
    assert task.saved(site.app) == 2


@pytest.mark.parametrize("task", TASKS, ids=lambda task: task.kind)
def test_what_is_typed_before_the_script_comes_is_kept_and_wins_over_an_older_draft(site: Site, task: Any) -> None:
    """On a slow network a thumb is quicker."""
    site.go(task.path)
    task.all_lines(site.page)
    older = task.standing(site.page)
    site.page.close()
    site.page = site.browsing.new_page()
    with before_script(site.browsing, "draft.js"):
        site.page.goto(f"{site.app.address}{task.path}", wait_until="commit")
        task.first_line(site.page)
        early = task.standing(site.page)
    site.page.wait_for_load_state()
    both = task.standing(site.page)
    assert both == older | early
    closed(site, task)
    assert task.standing(site.page) == both


def test_a_list_changed_under_its_preview_is_offered_again_when_the_one_before_is_saved(site: Site) -> None:
    """Save means the lines above; what was typed below them is not among those."""
    site.go(ListTask.path)
    site.page.locator("[name=text]").fill("no 2 copper 4.10 /lb")
    site.page.get_by_role("button", name="Look at it").tap()
    site.page.locator("textarea[name=text]").fill("no 2 copper 4.10 /lb\nlight iron 0.30 /kg")
    site.page.get_by_role("button", name="Save 1 line").tap()
    expect(site.page.locator("section.note")).to_be_visible()
    site.go(ListTask.path)
    expect(site.page.locator("textarea[name=text]")).to_have_value("")
    site.page.get_by_role("button", name="Put it back").tap()
    expect(site.page.locator("textarea[name=text]")).to_have_value(re.compile("light iron"))
    site.page.get_by_role("button", name="Look at it").tap()
    site.page.get_by_role("button", name="Save 2 lines").tap()
    expect(site.page.locator("section.note")).to_be_visible()
    site.page.wait_for_load_state()
    assert site.page.evaluate(KEPT) == []


@pytest.mark.parametrize("task", TASKS, ids=lambda task: task.kind)
def test_a_draft_that_is_broken_on_purpose_is_noticed(site: Site, task: Any) -> None:
    """The journeys above see it: without its script nothing typed is there again."""
    site.browsing.route("**/static/draft.js", lambda route: route.abort())
    site.go(task.path)
    task.first_line(site.page)
    assert task.standing(site.page)
    closed(site, task)
    assert task.standing(site.page) == {}
