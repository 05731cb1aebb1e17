"""A bench evening on a phone, by the forms and by the box alone: the same is recorded, in at most a third of the taps.

The box takes dictation: what is spoken comes into the field in one piece, as a phone's keyboard puts it there, for one
tap on its microphone, and no key is pressed. Measured on 30 November 2026: 31 taps and 35 keys by the forms, 5 taps and
194 characters spoken by the box (typed with a thumb, the same sentences are more keys than the forms take). The third
is what was asked for; no outside source.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from typing import Any

from browser import PHONE, Running, running, tab
from playwright.sync_api import Browser, expect
from test_taps import SCREENS, Hand

from partway.actions.bench import finds
from partway.actions.bins import bins
from partway.actions.buyers import buyers
from partway.actions.buyers.buyers import Terms
from partway.actions.buyers.quoting import quote
from partway.actions.home.settings import set_
from partway.actions.recording.context import Context
from partway.ledger.events.codec import to_json
from partway.ledger.events.ids import new_id

SPOKEN = (
    "the oven doesn't work. weighed the motor bin forty one and a half. "
    "sold the keyboard for twenty five, three fifty postage. no. 2 at the harbour four ten. "
    "fuel forty bucks. two hours at the bench"
)
IGNORED = {"said", "on"}  # how a price was said
NUMBERS = {"price", "amount", "postage"}  # 4.10 is 4.1


def settled(app: Running) -> Running:
    """A workspace with what the evening is about: an oven, a keyboard, a bin of motors, a yard."""
    clock = app.app.state.partway.setup.clock
    context = Context("tester", clock, new_id)
    for name, value in (("currency", "CAD"), ("unit", "lb"), ("zone", "UTC")):
        set_(app.book, context, name, value)
    finds.find(app.book, context, "microwave")
    finds.find(app.book, context, "keyboard")
    bins.add_bin(app.book, context, "motors", holds="2 lb")
    buyers.buyer(app.book, context, "harbour-yard", Terms(kind="yard", km="9", name="harbour yard"))
    quote(app.book, context, "harbour-yard", "copper-1", "4.30 /lb")
    set_(app.book, context, "wage", "12")
    return app


def by_forms(hand: Hand) -> None:
    """The evening by the forms, each from Home."""
    page = hand.watched.page

    def start(place: str) -> None:
        if page.url != "about:blank":
            expect(page.locator(".note")).to_be_visible()  # what was typed before is saved
        hand.watched.open("/")
        hand.tap(page.get_by_role("link", name=place, exact=True))

    start("Bench")
    hand.tap(page.get_by_role("link", name="Microwave oven"))
    hand.tap(page.locator("#tested button[value=no]"))
    start("Bins")
    hand.tap(page.locator("a[href='/bins/motors']"))
    hand.type(page.locator("form[action$='/recount'] input[type=text]"), "41.5")
    hand.tap(page.get_by_role("button", name="Recount"))
    start("Bench")
    hand.tap(page.get_by_role("link", name="Computer keyboard"))
    hand.tap(page.locator("a[href$='/whole']"))
    hand.tap(page.locator("#sell > summary"))
    hand.type(page.locator("[name=sell-price]"), "25")
    hand.type(page.locator("[name=sell-postage]"), "3.50")
    hand.tap(page.locator("#sell button").last)
    start("Buyers")
    hand.tap(page.locator("a[href='/buyers/harbour-yard']"))
    hand.tap(page.locator("a[href='/buyers/harbour-yard/list']"))
    hand.type(page.locator("textarea[name=text]"), "no 2 copper 4.10")
    hand.tap(page.get_by_role("button", name="Look at it"))
    hand.tap(page.locator("button[value=save]"))
    start("Books")
    hand.tap(page.locator("a[href^='/books/money']"))
    hand.tap(page.locator("#spend > summary"))
    hand.type(page.locator("#spend [name$=what]"), "fuel")
    hand.type(page.locator("#spend [name$=amount]"), "40")
    hand.tap(page.get_by_role("button", name="Record what was spent"))
    start("Books")
    hand.tap(page.locator("a[href^='/books/money']"))
    hand.tap(page.locator("label:has(input[value=bench])"))
    hand.type(page.locator("[name$=time]").first, "2 h")
    hand.tap(page.get_by_role("button", name="Record hours"))
    expect(page.locator(".note")).to_be_visible()


def by_box(hand: Hand) -> None:
    """The same, said in one go."""
    page = hand.watched.page
    hand.watched.open("/")
    hand.tap(page.locator("#said"))
    hand.taps += 1  # the microphone of the phone's own keyboard
    page.keyboard.insert_text(SPOKEN)
    hand.tap(page.get_by_role("button", name="Read it back"))
    hand.tap(page.get_by_role("button", name="Save", exact=True))
    expect(page.locator(".note")).to_be_visible()


def recorded(app: Running) -> list[Mapping[str, Any]]:
    """What the evening recorded, in an order that does not hang on it; without what the box remembers of words."""
    told = [dict(to_json(event)) for event in app.book.events()]
    told = [one for one in told if not str(one["data"].get("name", "")).startswith("word ")]
    rows = [
        {"kind": e["kind"]} | {k: Decimal(v) if k in NUMBERS else v for k, v in e["data"].items() if k not in IGNORED}
        for e in told
    ]
    return sorted(rows, key=str)


def evening(folder: Path, browser: Browser, way: Callable[[Hand], None]) -> tuple[Hand, list[Mapping[str, Any]]]:
    folder.mkdir()
    with running(folder) as app:
        settled(app)
        context, watched = tab(browser, app.address, viewport=PHONE, has_touch=True, is_mobile=True)
        hand = Hand(watched)
        way(hand)
        context.close()
        watched.clean()
        return hand, recorded(app)


def test_an_evening_by_the_box_takes_a_third(tmp_path: Path, chromium: Browser) -> None:
    forms, first = evening(tmp_path / "forms", chromium, by_forms)
    box, second = evening(tmp_path / "box", chromium, by_box)
    assert first == second
    assert 3 * box.taps <= forms.taps, (box.taps, forms.taps)
    assert 3 * box.characters <= forms.characters, (box.characters, forms.characters)


def test_the_page_that_reads_back_is_for_gloves(tmp_path: Path, chromium: Browser) -> None:
    """Answers, Save and Undo are 48 px high and 8 px apart; nothing breaks a rule of WCAG; a draft is kept."""
    folder = tmp_path / "w"
    folder.mkdir()
    with running(folder) as app:
        settled(app)
        context, watched = tab(chromium, app.address, viewport=PHONE, has_touch=True, is_mobile=True)
        page = watched.open("/")
        page.locator("#said").fill("boards at the harbour 40c. fuel 40 bucks")
        watched.open("/bins")
        watched.open("/")
        expect(page.locator("#said")).to_have_value("boards at the harbour 40c. fuel 40 bucks")
        page.get_by_role("button", name="Read it back").tap()
        expect(page.locator(".question button")).to_have_count(3)
        boxes = [one.bounding_box() for one in page.locator(".question button").all()]
        assert len(boxes) == 3
        assert all(box and box["height"] >= 48 for box in boxes)
        for one, two in pairwise(boxes):
            assert one
            assert two
            assert two["y"] - one["y"] - one["height"] >= 8
        assert watched.axe() == []
        assert page.evaluate("document.documentElement.scrollHeight") <= SCREENS
        page.locator(".question button").first.tap()
        page.get_by_role("button", name="Save", exact=True).tap()
        expect(page.locator(".note")).to_contain_text("$40.00 on fuel")
        expect(page.locator("#said")).to_have_value("")
        before = app.book.count(("corrected",))
        page.locator(".note").get_by_role("button", name="Undo").tap()
        expect(page.locator(".note")).to_contain_text("Taken back")
        assert app.book.count(("corrected",)) > before
        context.close()
        watched.clean()
