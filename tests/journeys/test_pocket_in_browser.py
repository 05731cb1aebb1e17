"""The page in the pocket, in a real browser whose network is off and whose server is gone."""

from __future__ import annotations

import datetime as dt
import json
import shutil
from pathlib import Path

import pytest
from browser import Running, running
from playwright.sync_api import Browser, Page, Route, expect
from pocket_phone import arrived, go, hand_back, note, other_house, phone, rows, stocked, verdict

from partway.ledger.events.codec import to_json
from partway.ledger.workspaces import workspace_id
from partway.storage.workspace import open_workspace
from partway.web.pocket.kept import pocket_folder, read_kept


def recorded(app: Running) -> list[str]:
    """The kinds of events, in the order in which they came."""
    return [str(to_json(event)["kind"]) for event in app.book.events()]


def port_of(app: Running) -> int:
    return int(app.address.rpartition(":")[2])


@pytest.fixture
def house(pocket_house: Path, tmp_path: Path) -> Path:
    return shutil.copytree(pocket_house, tmp_path / "house")


def test_it_answers_with_the_network_off_and_the_server_gone(house: Path, tmp_path: Path, chromium: Browser) -> None:
    with running(house, there=True) as app, phone(chromium, tmp_path / "phone", app.address) as watched:
        page = watched.page
        stocked(page)
        online = verdict(page, "micro", "Microwave oven")
        page.context.set_offline(True)
        page.reload()
        assert verdict(page, "micro", "Microwave oven") == online
        expect(page.locator("[data-age]")).to_contain_text("Prices as of today. No answer from the desk")
        watched.clean()
    with phone(chromium, tmp_path / "phone", app.address) as watched:  # the server is gone, the phone was off
        page = watched.page
        assert verdict(page, "micro", "Microwave oven") == online
        assert page.locator(".caution .first").count() > 0  # what can hurt comes along
        go(page, "prices", "harbour-yard")
        expect(page.locator(".price", has_text="No. 2 copper")).to_contain_text("4.10")
        go(page, "key")
        taps = 0
        while page.locator(".answers a").count():  # where from, how heavy, then one test after another
            page.locator(".answers a").first.tap()
            arrived(page)
            taps += 1
        assert taps >= 3
        expect(page.locator(".verdict")).not_to_have_text("")
        go(page, "more")
        expect(page.locator("summary").first).to_be_visible()
        watched.clean()


def test_what_is_kept_says_how_old_it_is(house: Path, tmp_path: Path, chromium: Browser) -> None:
    """On every screen; the page counts the days, whatever it was when it was loaded."""
    with running(house, there=True) as app, phone(chromium, tmp_path / "phone", app.address) as watched:
        page = watched.page
        stocked(page)
        said = verdict(page, "micro", "Microwave oven")
        page.context.set_offline(True)
        now = dt.datetime.now(dt.UTC)
        page.clock.install()
        for days, words, old in (
            (9, "9 days old.", ""),
            (15, "Worth a second look", ""),
            (31, "Too old to go by", "Old: "),
        ):
            then = now + dt.timedelta(days=days)
            page.clock.set_fixed_time(then)
            page.reload()
            for screen in ("curb", "prices", "key", "record", "waiting", "more"):
                go(page, screen)
                expect(page.locator("[data-age]")).to_contain_text(words)
            expect(page.locator("[data-age]")).to_contain_text(f"{now:%A}, {days} days old")
            assert verdict(page, "micro", "Microwave oven") == old + said
        watched.clean()


def test_four_entries_are_handed_back_once_each(house: Path, tmp_path: Path, chromium: Browser) -> None:
    """Recorded with the server gone, the phone off and on, the server restarted, handed back again."""
    with running(house, there=True) as app:
        before = len(recorded(app))
        with phone(chromium, tmp_path / "phone", app.address) as watched:
            stocked(watched.page)
    with phone(chromium, tmp_path / "phone", app.address) as watched:
        page = watched.page
        note(page, "found", kind="microwave oven", source="maple street")
        find = rows(page)[0]["id"]
        note(page, "tested", find=f"@{find}", works="no")
        note(page, "quoted", buyer="harbour-yard", grade="No. 2 copper", price="4.25 /lb")
        note(page, "spent", what="fuel", amount="30")
        expect(page).to_have_title("(4) 4 entries wait · partway")
        hand_back(page)
        expect(page.locator(".note")).to_contain_text("Nothing is lost")
        assert len(rows(page)) == 4
        sent = rows(page)
    with running(house, port=port_of(app)) as again:
        with phone(chromium, tmp_path / "phone", again.address) as watched:  # opening it is the first attempt
            go(watched.page, "waiting")
            expect(watched.page.get_by_role("heading", level=1)).to_have_text("Nothing waits")
            assert rows(watched.page) == []
            assert [one["answer"]["outcome"] for one in rows(watched.page, "done")] == ["done"] * 4  # type: ignore[index]
            watched.clean()
        assert recorded(again)[before:] == ["found", "tested", "quoted", "spent"]
    with running(house, port=port_of(app)) as third, phone(chromium, tmp_path / "phone", third.address) as watched:
        page = watched.page
        stocked(page)
        body = {
            "schema": 1,
            "workspace": sent[0]["workspace"],
            "intents": [{k: one[k] for k in ("id", "what", "body", "typed", "day")} for one in sent],
        }
        answer = page.evaluate(
            """body => fetch('/pocket/back', {method: 'POST', body: JSON.stringify(body),
            headers: {'content-type': 'application/json'}}).then(answer => answer.json())""",
            body,
        )
        assert [one["outcome"] for one in answer["results"]] == ["already"] * 4
        assert len(recorded(third)) == before + 4


def test_a_hand_back_that_is_cut_after_the_desk_saved_is_known_again(
    house: Path, tmp_path: Path, chromium: Browser
) -> None:
    with running(house, there=True) as app:
        before = len(recorded(app))
        with phone(chromium, tmp_path / "phone", app.address) as watched:
            page = watched.page
            stocked(page)
            note(page, "spent", what="fuel", amount="30")
            note(page, "worked", activity="collect", time="2 h")

            def cut(route: Route) -> None:
                route.fetch()
                route.abort()

            page.route("**/pocket/back", cut)
            hand_back(page)
            expect(page.locator(".note")).to_contain_text("Nothing is lost")
            assert len(recorded(app)) == before + 2  # the desk has them
            assert len(rows(page)) == 2  # the phone does not know, and keeps them
            page.unroute("**/pocket/back")
        with phone(chromium, tmp_path / "phone", app.address) as watched:
            go(watched.page, "waiting")
            expect(watched.page.get_by_role("heading", level=1)).to_have_text("Nothing waits")
            assert [one["answer"]["outcome"] for one in rows(watched.page, "done")] == ["already"] * 2  # type: ignore[index]
            assert len(recorded(app)) == before + 2


def test_another_ledgers_entries_are_said_and_not_mixed(pocket_house: Path, tmp_path: Path, chromium: Browser) -> None:
    one, other = shutil.copytree(pocket_house, tmp_path / "one"), other_house(pocket_house, tmp_path / "other")
    with running(one, there=True) as app, phone(chromium, tmp_path / "phone", app.address) as watched:
        stocked(watched.page)
        note_without_signal(watched.page)
    with running(other, port=port_of(app)) as second, phone(chromium, tmp_path / "phone", second.address) as watched:
        before = len(recorded(second))
        stocked(watched.page)
        page = watched.page
        go(page, "waiting")
        expect(page.locator(".queue")).to_contain_text("Of another ledger")
        hand_back(page)
        page.wait_for_load_state("networkidle")
        assert len(rows(page)) == 1
        assert len(recorded(second)) == before
        with page.expect_download() as saved:
            page.get_by_role("button", name="Save as a file").tap()
        told = json.loads(saved.value.path().read_text(encoding="utf-8"))
        assert told["workspace"] == rows(page)[0]["workspace"]
        assert [one["id"] for one in told["intents"]] == [one["id"] for one in rows(page)]
        page.get_by_role("button", name="Drop it").tap()
        assert len(rows(page)) == 1  # once is not enough
        page.get_by_role("button", name="Really drop it").tap()
        expect(page.get_by_role("heading", level=1)).to_have_text("Nothing waits")


def test_what_waits_is_changed_or_dropped_with_what_speaks_of_it(
    house: Path, tmp_path: Path, chromium: Browser
) -> None:
    with running(house, there=True) as app, phone(chromium, tmp_path / "phone", app.address) as watched:
        page, before = watched.page, len(recorded(app))
        stocked(page)
        page.context.set_offline(True)
        note(page, "noted", text="closes at one", buyer="harbour-yard")
        note(page, "found", kind="keyboard")
        note(page, "tested", find=f"@{rows(page)[-1]['id']}", works="no")
        page.get_by_role("link", name="Change it").first.tap()
        arrived(page)
        page.locator("main form input").first.fill("closes at noon")
        page.get_by_role("button", name="Keep it").tap()
        page.wait_for_url("**#waiting")
        page.locator(".queue li", has_text="Taken").first.get_by_role("button", name="Drop it").tap()
        page.get_by_role("button", name="Really drop it and the 1 about it").tap()
        expect(page.get_by_role("heading", level=1)).to_have_text("One entry waits")
        page.context.set_offline(False)
        hand_back(page)
        expect(page.get_by_role("heading", level=1)).to_have_text("Nothing waits")
        page.get_by_text("What the desk took").tap()
        expect(page.locator("main")).to_contain_text("Take it back at the desk: Books, Ledger")
        assert recorded(app)[before:] == ["noted"]
        watched.open("/buyers/harbour-yard")
        expect(page.locator(".noted")).to_contain_text("closes at noon")


def test_what_a_new_ledger_gives_along_is_no_more_than_a_full_one(pocket_house: Path) -> None:
    """With hardly a price the paper asks the most questions: issue 17 allows a file 600 kB."""
    with open_workspace(pocket_house) as book:
        kept = read_kept(pocket_folder(book), workspace_id(book))
    assert {name for name, file in kept.items() if len(file.content) >= 600_000} == set()


def note_without_signal(page: Page) -> None:
    page.context.set_offline(True)
    note(page, "spent", what="fuel", amount="30")
    page.context.set_offline(False)


def test_plain_http_under_a_name_keeps_no_page_and_says_so(house: Path, tmp_path: Path, chromium: Browser) -> None:
    """No secure context, no worker (W3C Secure Contexts); what is recorded still stays, and is handed back."""
    with running(house, there=True) as app:
        app.app.state.partway.setup.hosts = ("bench.example",)  # a name for documents (RFC 2606)
        address = f"http://bench.example:{port_of(app)}"
        flags = ("--host-resolver-rules=MAP bench.example 127.0.0.1",)
        with phone(chromium, tmp_path / "phone", address, flags=flags) as watched:
            page = watched.page
            expect(page.locator("#q")).to_be_visible()
            assert page.evaluate("[isSecureContext, 'serviceWorker' in navigator]") == [False, False]
            expect(page.locator("[data-notes]")).to_contain_text("By plain http nothing of this page stays")
            assert page.locator("[data-notes] a").get_attribute("href") == "/trust"
            before = len(recorded(app))
            note(page, "spent", what="fuel", amount="30")
            hand_back(page)
            expect(page.get_by_role("heading", level=1)).to_have_text("Nothing waits")
            assert recorded(app)[before:] == ["spent"]
            assert watched.outside == []
