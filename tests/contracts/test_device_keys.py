"""A key for each device, by name: it opens, it is ended at once and everywhere, events name it, guessers are slowed.

OWASP ASVS 5.0.0 is the list that is gone by (owasp.org/www-project-application-security-verification-standard);
docs/reliability.md says which of its lines these tests are for.
"""

from __future__ import annotations

import datetime as dt
import logging
import re
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from app_client import FormSeen, forms_on
from cryptography.hazmat.primitives.serialization import Encoding
from fastapi import FastAPI
from fastapi.routing import APIRoute
from httpx2 import Response
from ledgers.servers import empty_workspace
from starlette.routing import Mount, Route
from straight import Straight
from warm import commands
from workspaces import new_workspace

from partway.actions.recording.questions import Asked
from partway.errors import Refused
from partway.ledger.roles import Role
from partway.storage.backup.backup import backup
from partway.storage.store import SqlBook
from partway.storage.workspace import FILE, open_workspace
from partway.storage.writing import device_keys as keys
from partway.storage.writing.sessions import AWAY_MOST, LIFE, LINK_FOR, key_holder, open_link, saw_keys
from partway.web.app import create_app
from partway.web.pocket.shell import shell_files
from partway.web.secure.authority import authority_in
from partway.web.secure.names import HostNames
from partway.web.serving.door import AGAIN, Door
from partway.web.serving.serve import begin_log
from partway.web.serving.setup import Setup
from partway.web.serving.tries import EACH, FREE, PLACES_MOST, Tries

NOW = dt.datetime(2026, 3, 20, 18, 0, tzinfo=dt.UTC)
ANN = keys.KeyHolder("phone of Ann", "phone of Ann", Role.OWNER)
METHODS = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS")
# What may be asked for by somebody without a key, and why.
OPEN = {
    ("GET", "/trust"): "how to trust, before a key goes over the network",
    ("GET", "/trust/authority.crt"): "the public part of the authority",
    ("GET", "/static/partway.css"): "the same in every copy of this program",
    ("GET", "/static/mark.svg"): "the same in every copy of this program",
    **dict.fromkeys((("GET", path) for path in shell_files()), "the page in the pocket, the same in every copy"),
}


@dataclass
class Locked:
    """An app that was opened to the network: whoever has no key is a stranger."""

    book: SqlBook
    app: FastAPI
    setup: Setup
    at: list[dt.datetime] = field(default_factory=lambda: [NOW])
    seconds: list[float] = field(default_factory=lambda: [0.0])

    def browser(self, key: str = "", address: str = "192.168.1.5") -> Straight:
        """A browser at an address, which has opened the address with the key, if it was given one."""
        client = Straight(self.app, base_url="http://localhost", client=(address, 50000))
        if key:
            assert client.get("/settings", params={"key": key}, follow_redirects=False).status_code == 303
        return client


@contextmanager
def locked(folder: Path, authority: bytes = b"") -> Iterator[Locked]:
    with new_workspace(folder) as book:
        at, seconds = [NOW], [0.0]
        door = Door(book, lambda: at[0], Tries(lambda: seconds[0]))
        setup = Setup(
            book, who="owner", key="desk-key", door=door, clock=lambda: at[0], address="https://x", authority=authority
        )
        yield Locked(book, create_app(setup), setup, at, seconds)


def test_each_device_opens_with_its_own_key(tmp_path: Path) -> None:
    with locked(tmp_path) as there:
        ann, ben = (keys.issue_key(there.book, name, NOW) for name in ("phone of Ann", "phone of Ben"))
        assert ann != ben and len(ann) >= 22  # 128 bits in base 64
        for key in (ann, ben, "desk-key"):
            assert there.browser(key).get("/settings").status_code == 200
        for key in ("", "desk-kez", ann[:-1], ann + "x", "x" * 5000, "\u00e9", "%00"):
            stranger = there.browser()
            assert stranger.get("/settings", params={"key": key}).status_code == 401


def test_a_key_is_in_a_cookie_that_scripts_and_other_sites_do_not_get(tmp_path: Path) -> None:
    with locked(tmp_path) as there:
        key = keys.issue_key(there.book, "phone", NOW)
        answer = there.browser().get("/bins", params={"key": key}, follow_redirects=False)
        assert answer.headers["location"] == "/bins"
        assert "HttpOnly" in answer.headers["set-cookie"] and "SameSite=Strict" in answer.headers["set-cookie"]


def test_an_ended_key_opens_nothing_at_once(tmp_path: Path) -> None:
    with locked(tmp_path) as there:
        ann, ben = (keys.issue_key(there.book, name, NOW) for name in ("phone of Ann", "phone of Ben"))
        hers, his = there.browser(ann), there.browser(ben)
        assert hers.get("/settings").status_code == 200
        keys.end_key(there.book, "phone of Ann", NOW)
        assert hers.get("/settings").status_code == 401
        assert hers.post("/api/find", json={"kind": "microwave"}).status_code == 401
        assert his.get("/settings").status_code == 200
        again = keys.issue_key(there.book, "phone of Ann", NOW)
        assert hers.get("/settings").status_code == 401  # the new key is another one
        assert there.browser(again).get("/settings").status_code == 200


def test_another_process_ends_a_key(tmp_path: Path) -> None:
    with locked(tmp_path) as there:
        phone = there.browser(keys.issue_key(there.book, "phone", NOW))
        assert phone.get("/settings").status_code == 200
        ran = commands().run("partway.cli:main", "device", "end", "phone", "--workspace", str(tmp_path))
        assert ran.returncode == 0, ran.stderr
        assert "opens nothing any more" in ran.stdout
        assert phone.get("/settings").status_code == 401


def test_a_key_of_another_workspace_opens_nothing(tmp_path: Path) -> None:
    with locked(tmp_path / "one") as there, new_workspace(tmp_path / "two") as other:
        key = keys.issue_key(other, "phone", NOW)
        assert there.browser().get("/", params={"key": key}).status_code == 401


def test_events_say_which_device(tmp_path: Path) -> None:
    with locked(tmp_path) as there:
        phone = there.browser(keys.issue_key(there.book, "phone of Ann", NOW))
        desk = there.browser("desk-key")
        for client in (phone, desk):
            assert client.post("/api/find", json={"kind": "microwave"}).status_code == 200
        page = phone.get("/bins/new").text
        form = next(form for form in forms_on(page) if form.action == "/bins/new")
        assert sent(phone, form, grade="copper-2").status_code == 200
        assert [event.who for event in there.book.events(("found", "bin"))] == ["phone of Ann", "owner"]
        every = {event.kind: event.who for event in there.book.events()}
        assert set(every.values()) == {"phone of Ann", "owner"}


def sent(client: Straight, form: FormSeen, **values: str) -> Response:
    return client.post(form.action, data=dict(form.values) | values)


def test_only_a_digest_of_a_key_is_kept(tmp_path: Path) -> None:
    with locked(tmp_path) as there:
        key = keys.issue_key(there.book, "phone", NOW)
        own = there.browser(key).cookies["partway_key"]
        backup(there.book, tmp_path / "backup.sqlite")
    for file in (tmp_path / FILE, tmp_path / "backup.sqlite"):
        content = b"".join(path.read_bytes() for path in tmp_path.glob(f"{file.name}*"))
        assert key.encode() not in content and own.encode() not in content
        with closing(sqlite3.connect(file)) as connection:
            assert [name for (name,) in connection.execute("SELECT name FROM device_key")] == ["phone"] * 2


@pytest.mark.parametrize("kind", ["sqlite", "postgres"])
def test_the_list_of_keys_on_each_database(kind: str, tmp_path: Path) -> None:
    with empty_workspace(kind, tmp_path) as where, open_workspace(where) as one, open_workspace(where) as two:
        shown = keys.issue_key(one, " phone of Ann ", NOW)
        with pytest.raises(Refused, match="no other device has"):
            keys.issue_key(two, "phone of Ann", NOW)
        assert keys.device_keys(two) == (keys.DeviceKey("phone of Ann", NOW, None, None, "phone of Ann", Role.OWNER),)
        first = opened(two, shown, NOW)
        assert key_holder(one, first, NOW) == ANN
        later = NOW + dt.timedelta(days=2)
        saw_keys(two, {keys.key_digest(first)}, later)
        assert keys.device_keys(one)[0].seen == later
        keys.end_key(two, "phone of Ann", later)
        assert key_holder(one, first, later) is None
        saw_keys(one, {keys.key_digest(first)}, later + dt.timedelta(days=1))  # of an ended key nothing is noted
        assert keys.device_keys(one) == (keys.DeviceKey("phone of Ann", NOW, later, later, "phone of Ann", Role.OWNER),)
        with pytest.raises(Refused, match="none yet"):
            keys.end_key(one, "phone of Ann", later)
        second = opened(one, keys.issue_key(one, "phone of Ann", later), later)
        assert (key_holder(two, first, later), key_holder(two, second, later)) == (None, ANN)
        assert [key.ended for key in keys.device_keys(one)] == [None, later]


def opened(book: SqlBook, shown: str, at: dt.datetime, before: str = "") -> str:
    """The key that a browser gets for the one of an address."""
    found = open_link(book, shown, at, before)
    assert found is not None
    return found[0]


@pytest.mark.parametrize("kind", ["sqlite", "postgres"])
def test_the_key_of_an_address_opens_for_a_day_and_is_never_the_devices(kind: str, tmp_path: Path) -> None:
    """ASVS 6.4.1, 7.2.2, 7.2.4."""
    with empty_workspace(kind, tmp_path) as where, open_workspace(where) as book:
        shown = keys.issue_key(book, "phone", NOW)
        assert key_holder(book, shown, NOW) is None  # as a cookie it opens nothing
        browser, home_screen = opened(book, shown, NOW), opened(book, shown, NOW + dt.timedelta(hours=23))
        assert len({shown, browser, home_screen}) == 3
        assert open_link(book, shown, NOW + LINK_FOR) is None
        assert open_link(book, browser, NOW) is None  # and what a browser has is no address
        assert len(keys.device_keys(book)) == 1
        again = opened(book, shown, NOW, before=browser)  # who is let in anew has one key, and not two
        later = NOW + dt.timedelta(days=2)
        assert [key_holder(book, key, later) is not None for key in (browser, home_screen, again)] == [
            False, True, True,
        ]  # fmt: skip
        assert [key.ended for key in keys.device_keys(book)] == [None]
        keys.end_key(book, "phone", later)
        assert not any(key_holder(book, key, later) for key in (browser, home_screen, again))
        assert open_link(book, shown, NOW) is None
        assert [key.ended for key in keys.device_keys(book)] == [later]


def test_a_key_ends_where_it_is_not_used_and_after_a_year(tmp_path: Path) -> None:
    """ASVS 7.3.1, 7.3.2."""
    with locked(tmp_path) as there:
        phone = there.browser(keys.issue_key(there.book, "phone", NOW))
        there.at[0] += AWAY_MOST - dt.timedelta(hours=1)
        assert phone.get("/settings").status_code == 200
        there.at[0] += AWAY_MOST - dt.timedelta(hours=1)  # used in between
        assert phone.get("/settings").status_code == 200
        there.at[0] += AWAY_MOST
        assert phone.get("/settings").status_code == 401
        phone = there.browser(keys.issue_key(there.book, "another", there.at[0]))
        until = there.at[0] + LIFE
        while there.at[0] + dt.timedelta(days=80) < until:
            there.at[0] += dt.timedelta(days=80)
            assert phone.get("/settings").status_code == 200
        there.at[0] = until
        assert phone.get("/settings").status_code == 401


def test_the_address_of_a_start_opens_for_a_day(tmp_path: Path) -> None:
    with locked(tmp_path) as there:
        desk = there.browser("desk-key")
        cookie = desk.cookies["partway_key"]
        assert cookie != "desk-key"
        bare = there.browser()
        bare.cookies.set("partway_key", "desk-key")
        assert bare.get("/settings").status_code == 401
        assert desk.get("/", params={"key": "desk-key"}, follow_redirects=False).status_code == 303
        assert desk.cookies["partway_key"] != cookie
        bare.cookies.set("partway_key", cookie)
        assert bare.get("/settings").status_code == 401  # ended as the other began
        there.at[0] += LINK_FOR + dt.timedelta(seconds=1)
        assert there.browser().get("/", params={"key": "desk-key"}).status_code == 401
        assert desk.get("/settings").status_code == 200


@pytest.mark.parametrize("name", ["", "  ", "x" * 41, "a\nb", "a\x00b", "\u202eabc"])
def test_what_is_no_name_is_refused(name: str, tmp_path: Path) -> None:
    with new_workspace(tmp_path) as book:
        with pytest.raises(Refused) as refused:
            keys.issue_key(book, name, NOW)
        assert refused.value.exit_status == 2
        assert keys.device_keys(book) == ()


def test_last_seen_is_noted_once_an_hour(tmp_path: Path) -> None:
    with locked(tmp_path) as there:
        phone = there.browser(keys.issue_key(there.book, "phone", NOW))
        assert keys.device_keys(there.book)[0].seen == NOW
        mark = there.book.mark()
        there.at[0] = NOW + AGAIN - dt.timedelta(seconds=1)
        phone.get("/trust")
        phone.get("/settings")
        assert there.book.mark() == mark  # nothing was written
        there.at[0] = NOW + AGAIN
        phone.get("/settings")
        assert keys.device_keys(there.book)[0].seen == NOW + AGAIN


def guess(there: Locked, address: str, number: int) -> int:
    return there.browser(address=address).get("/settings", params={"key": f"guess-{number}"}).status_code


def test_a_guesser_is_slowed_and_nobody_else(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    with locked(tmp_path) as there, caplog.at_level(logging.WARNING, "partway.web"):
        known, fresh = (keys.issue_key(there.book, name, NOW) for name in ("known", "fresh"))
        beside = there.browser(known, "192.168.1.66")  # at the guesser's own address, let in before
        assert [guess(there, "192.168.1.66", n) for n in range(FREE)] == [401] * FREE
        slowed = there.browser(address="192.168.1.66").get("/settings", params={"key": "guess"})
        assert slowed.status_code == 429
        assert 0 < int(slowed.headers["retry-after"]) <= EACH
        # a right key from there is not looked at either: else guessing would not be slowed
        assert there.browser(address="192.168.1.66").get("/", params={"key": fresh}).status_code == 429
        assert beside.get("/settings").status_code == 200
        there.browser("desk-key", "192.168.1.66")
        there.browser(fresh, "192.168.1.5")  # asserts that it is let in
        assert guess(there, "192.168.1.5", 1) == 401
        assert there.browser(address="192.168.1.66").get("/trust").status_code == 200
        there.seconds[0] += EACH
        there.browser(fresh, "192.168.1.66")
    said = [record.getMessage() for record in caplog.records if "192.168.1.66" in record.getMessage()]
    assert len(said) == 4  # the 1., 2., 4. and 8.
    assert not any("guess" in line or known in line for line in said)


def test_an_ended_key_is_slowed_like_a_guess(tmp_path: Path) -> None:
    with locked(tmp_path) as there:
        phone = there.browser(keys.issue_key(there.book, "phone", NOW))
        keys.end_key(there.book, "phone", NOW)
        answers = [phone.get("/settings").status_code for _ in range(FREE + 2)]
        assert answers == [401] * FREE + [429] * 2


def test_strangers_without_a_key_are_not_counted(tmp_path: Path) -> None:
    with locked(tmp_path) as there:
        key = keys.issue_key(there.book, "phone", NOW)
        stranger = there.browser()
        assert {stranger.get("/settings").status_code for _ in range(3 * FREE)} == {401}
        there.browser(key)


def test_a_name_that_is_in_the_ledger_is_no_helpers_unless_the_owner_says_so(tmp_path: Path) -> None:
    with locked(tmp_path) as there:
        hers = there.browser(keys.issue_key(there.book, "phone of Ann", NOW, "Ann"))
        assert hers.post("/api/find", json={"kind": "microwave"}).status_code == 200
        keys.issue_key(there.book, "tablet of Ann", NOW, "ann")  # another device of hers
        for name in ("phone of Ann", "tablet of Ann"):
            keys.end_key(there.book, name, NOW)
        with pytest.raises(Asked, match="Ann, who recorded something already") as asked:
            keys.issue_key(there.book, "phone", NOW, "ann", Role.HELPER)
        assert (asked.value.exit_status, asked.value.option) == (2, keys.SAME)
        assert all(key.ended for key in keys.device_keys(there.book))
        desk = there.browser("desk-key")

        def form() -> FormSeen:
            return next(form for form in forms_on(desk.get("/devices").text) if form.action == "/devices")

        given = {"device": "phone", "person": "Ann", "role": "helper"}
        answer = sent(desk, form(), **given)
        assert answer.status_code == 409 and 'name="answer-same"' in answer.text
        assert sent(desk, form(), **given, **{"answer-same": "yes"}).status_code == 200
        keys.issue_key(there.book, "other phone", NOW, "Ann", Role.HELPER)  # whose name that is was said
        keys.issue_key(there.book, "own phone", NOW, "owner", owner="owner")
    ran = commands().run("partway.cli:main", "device", "end", "phone", "--workspace", str(tmp_path))
    ran = commands().run("partway.cli:main", "device", "end", "other phone", "--workspace", str(tmp_path))
    words = ("device", "add", "phone", "--person", "Ann", "--as", "helper", "--workspace", str(tmp_path))
    ran = commands().run("partway.cli:main", *words)
    assert (ran.returncode, ran.stdout) == (2, "") and "--same" in ran.stderr, ran.stderr
    assert commands().run("partway.cli:main", *words, "--same").returncode == 0


def leaving(client: Straight) -> FormSeen:
    return next(form for form in forms_on(client.get("/devices").text) if form.action == "/devices/leave")


def test_a_device_ends_its_own_key_and_its_browser_forgets(tmp_path: Path) -> None:
    """ASVS 7.4.4, 14.3.1; the header is that of W3C Clear Site Data, 3.1."""
    with locked(tmp_path) as there:
        shown = keys.issue_key(there.book, "phone of Ann", NOW)
        hers, home_screen, his = there.browser(shown), there.browser(shown), there.browser("desk-key")
        was = hers.cookies["partway_key"]
        answer = sent(hers, leaving(hers))
        assert answer.status_code == 200 and "Signed out" in answer.text
        assert answer.headers["clear-site-data"] == '"cache", "cookies", "storage"'
        assert "partway_key" not in hers.cookies
        hers.cookies.set("partway_key", was)
        assert hers.get("/settings").status_code == home_screen.get("/settings").status_code == 401
        assert there.browser().get("/", params={"key": shown}).status_code == 401  # what stands in a history
        assert his.get("/settings").status_code == 200
        was = his.cookies["partway_key"]
        assert sent(his, leaving(his)).status_code == 200
        his.cookies.set("partway_key", was)
        assert his.get("/settings").status_code == 401
        assert there.browser("desk-key").get("/settings").status_code == 200


def test_a_viewer_may_leave_and_a_page_of_nobody_may_not(tmp_path: Path) -> None:
    with locked(tmp_path) as there:
        viewer = there.browser(keys.issue_key(there.book, "phone of Cleo", NOW, "Cleo", Role.VIEWER))
        assert viewer.post("/devices/leave").status_code == 409  # without a token of ours
        assert viewer.get("/settings").status_code == 200
        assert sent(viewer, leaving(viewer)).status_code == 200
    with new_workspace(tmp_path / "two") as book:
        bare = Straight(create_app(Setup(book)), base_url="http://localhost")
        assert "Sign out" not in bare.get("/devices").text


def test_cookies_by_https_are_of_this_host_alone_and_the_name_by_https_alone(tmp_path: Path) -> None:
    """ASVS 3.3.1, 3.3.3, 3.4.1; RFC 6265bis, 4.1.3.2, and RFC 6797, 6.1."""
    hsts = "strict-transport-security"
    with locked(tmp_path) as there:
        there.setup.tls_before, there.setup.hosts = True, ("bench.example", "localhost")
        shown = keys.issue_key(there.book, "phone", NOW)

        def by(name: str) -> list[Response]:
            client = Straight(there.app, base_url=f"https://{name}")
            asked = [client.get("/settings", params={"key": "wrong"})]
            asked += [client.get("/devices", params={"key": shown}, follow_redirects=False), client.get("/devices")]
            return [*asked, sent(client, next(one for one in forms_on(asked[-1].text)))]

        cookies = [one for answer in by("bench.example") for one in answer.headers.get_list("set-cookie")]
        assert len(cookies) > 2
        for cookie in cookies:
            assert cookie.startswith("__Host-") and "; Secure" in cookie and "Path=/" in cookie
        shown = keys.issue_key(there.book, "second phone", NOW)
        assert all(hsts not in answer.headers for answer in by("bench.example"))
        there.setup.own_name = True
        shown = keys.issue_key(there.book, "third phone", NOW)
        for answer in by("bench.example"):
            seconds, _, subdomains = answer.headers[hsts].partition("; ")
            assert int(seconds.removeprefix("max-age=")) >= 365 * 24 * 3600 and subdomains == "includeSubDomains"
        shown = keys.issue_key(there.book, "fourth phone", NOW)
        assert all(hsts not in answer.headers for answer in by("localhost"))  # where other programs answer by http


def test_who_was_let_in_or_turned_away_stands_in_the_log(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    """ASVS 16.3.1 to 16.3.3: what, from where, and whose; never a key, and one line each."""
    with locked(tmp_path) as there, caplog.at_level(logging.INFO, "partway.web"):
        key = keys.issue_key(there.book, "phone of Ann", NOW, "Ann")
        phone = there.browser(key, "192.168.1.7")
        phone.post("/api/find", json={"kind": "a\nb"})
        phone.post("/api/find", json={"kind": "microwave"}, headers={"origin": "https://else.example"})
        phone.get("/", headers={"host": "else.example"})
        sent(phone, leaving(phone))
    said = [record.getMessage() for record in caplog.records]
    assert said == [
        "let in 'phone of Ann' of 'Ann' from 192.168.1.7",
        "refused POST '/api/find': 422",
        "turned away POST '/api/find' from 192.168.1.7: 403",
        "turned away GET '/' from 192.168.1.7: 400",
        "'phone of Ann' of 'Ann' left",
    ]
    assert key not in caplog.text


def test_a_line_of_the_log_begins_with_the_time(capsys: pytest.CaptureFixture[str]) -> None:
    """ASVS 16.2.2: in UTC, by RFC 3339."""
    log = logging.getLogger("partway")
    before, level = list(log.handlers), log.level
    try:
        begin_log()
        logging.getLogger("partway.web").info("something")
    finally:
        log.handlers, log.level = before, level
    when, *rest = capsys.readouterr().err.split()
    assert rest == ["INFO", "partway.web", "something"]
    assert abs(dt.datetime.fromisoformat(when) - dt.datetime.now(dt.UTC)) < dt.timedelta(minutes=10)


def test_one_household_of_ipv6_is_one_place() -> None:
    tries = Tries(lambda: 0.0)
    for n in range(FREE):
        tries.wrong(f"2001:db8:1:2::{n:x}")
    assert tries.wait("2001:db8:1:2:ffff::1") > 0
    assert tries.wait("2001:db8:1:3::1") == 0
    assert tries.wait("::ffff:192.0.2.1") == 0
    for _ in range(FREE):
        tries.wrong("::ffff:192.0.2.1")
    assert tries.wait("192.0.2.1") > 0


def test_the_count_of_places_has_an_end() -> None:
    tries = Tries(lambda: 0.0)
    for n in range(PLACES_MOST + 50):
        tries.wrong(f"10.1.{n // 250}.{n % 250}")
    assert len(tries._places) == PLACES_MOST


def routes_of(routes: Iterable[Any]) -> Iterator[Any]:
    """Every route, also those of routers that were put into the app."""
    for route in routes:
        within = getattr(route, "original_router", None)
        if within is None:
            yield route
        else:
            assert not route.include_context.prefix
            yield from routes_of(within.routes)


def asked(app: FastAPI) -> Iterator[tuple[str, str]]:
    """Every address there is, with something in each of its places, by every method."""
    for one in routes_of(app.routes):
        if isinstance(one, Mount):
            path = f"{one.path}/partway.css"
        elif isinstance(one, APIRoute | Route):
            path = re.sub(r"\{[^}]+\}", "1", one.path)
        else:  # a route of a sort that this test does not know must not go by unseen
            raise AssertionError(one)
        for method in METHODS:
            yield method, path


def test_without_a_key_nothing_answers_but_what_is_meant_to(tmp_path: Path) -> None:
    known = authority_in(tmp_path, HostNames(("localhost",), ("127.0.0.1",)), NOW).certificate
    with locked(tmp_path / "ledger", known.public_bytes(Encoding.DER)) as there:
        every = sorted(set(asked(there.app)))
        assert len({path for _, path in every}) > 150
        assert {("POST", "/api/find"), ("POST", "/devices"), ("GET", "/api/openapi.json")} <= set(every)
        assert {path for _, path in OPEN} <= {path for _, path in every} | {"/static/mark.svg"}
        stranger = there.browser()
        before = there.book.state()
        answered = set()
        for method, path in [*every, ("GET", "/static/mark.svg"), ("GET", "/static/../devices"), ("GET", "/nowhere")]:
            answer = stranger.request(method, path, follow_redirects=False)
            if answer.status_code != 401:
                answered.add((method, path))
            else:
                assert "set-cookie" not in answer.headers
        assert answered == set(OPEN) | {("HEAD", path) for _, path in OPEN if path != "/static/mark.svg"}
        assert there.book.state() == before


def test_what_is_open_says_nothing_of_the_ledger(tmp_path: Path) -> None:
    with locked(tmp_path) as there:
        keys.issue_key(there.book, "phone of Ann", NOW)
        assert there.browser("desk-key").post("/api/set", json={"name": "name", "value": "the secret yard"}).is_success
        page = there.browser().get("/trust").text
        assert "the secret yard" not in page and "Ann" not in page
        assert "the secret yard" in there.browser("desk-key").get("/settings").text


def test_keys_are_made_and_ended_at_the_desk_alone(tmp_path: Path) -> None:
    """A phone that was stolen must not make itself another key before its own is ended."""
    with locked(tmp_path) as there:
        desk, phone = there.browser("desk-key"), there.browser(keys.issue_key(there.book, "phone", NOW))
        form = next(form for form in forms_on(desk.get("/devices").text) if form.action == "/devices")
        sent(desk, form, device="phone of Ben")
        page = desk.get("/devices").text
        link = re.search(r"QR code with the key of phone of Ben", page)
        assert link
        assert "QR code" not in phone.get("/devices").text
        ben = there.app.state.partway.fresh_keys["phone of Ben"].partition("?key=")[2]
        there.browser(ben)
        assert "QR code" not in desk.get("/devices").text  # it was used
        offered = [form.action for form in forms_on(phone.get("/devices").text)]
        assert [action for action in offered if action.startswith("/devices")] == ["/devices/leave"]
        for address, body in (("/devices", {"device": "another"}), ("/devices/end", {"device": "phone of Ben"})):
            assert phone.post(address, data=body).status_code == 403
        assert {key.name for key in keys.device_keys(there.book) if key.ended is None} == {"phone", "phone of Ben"}
        ending = [form for form in forms_on(desk.get("/devices").text) if form.action == "/devices/end"]
        assert sent(desk, next(f for f in ending if ("device", "phone of Ben") in f.values))
        assert there.browser().get("/", params={"key": ben}).status_code == 401


def test_the_command(tmp_path: Path) -> None:
    new_workspace(tmp_path).close()

    def run(*words: str) -> tuple[int, str, str]:
        ran = commands().run("partway.cli:main", "device", *words, "--workspace", str(tmp_path))
        return ran.returncode, ran.stdout, ran.stderr

    assert run()[1].startswith("No device has a key yet.")
    status, out, _ = run("add", "phone of Ann", "--address", "https://bench.example/")
    assert status == 0
    key = re.search(r"https://bench\.example/\?key=(\S+)", out)
    assert key
    assert re.fullmatch(r"phone of Ann \(.+, owner\): not used yet\n", run()[1])
    with open_workspace(tmp_path) as book:
        found = open_link(book, key[1], dt.datetime.now(dt.UTC))
        holder = found and found[1]
        assert holder is not None and (holder.device, holder.role) == ("phone of Ann", Role.OWNER)
    for words in (("add", "phone of Ann"), ("end", "phone of Ben"), ("add",), ("take", "x"), ("add", " ")):
        status, out, err = run(*words)
        assert (status, out) == (2, "") and "got" in err, words
    assert run("end", "phone of Ann")[0] == 0
    assert run()[1].startswith("phone of Ann (") and ": ended " in run()[1]


HOSTILE = "'\"><script>alert(1)</script>\u202ekg\u202c {{ 7 * 7 }}"


def test_the_forms_of_devices_take_nothing_hostile_and_nothing_twice(tmp_path: Path) -> None:
    """What tests/contracts/test_every_form.py asks of forms that are there without a phone."""
    with locked(tmp_path) as there:
        desk = there.browser("desk-key")

        def form(action: str) -> FormSeen:
            return next(form for form in forms_on(desk.get("/devices").text) if form.action == action)

        for wrong in (HOSTILE, "", "9" * 200_000, "a\x00b"):
            answer = sent(desk, form("/devices"), device=wrong)
            assert answer.status_code in (413, 422)
            assert "<script>alert" not in answer.text and "49" not in re.sub(r"[\w-]{20,}", "", answer.text)
        assert keys.device_keys(there.book) == ()
        once = form("/devices")
        assert sent(desk, once, device="phone").status_code == 200
        assert "saved already" in sent(desk, once, device="phone").text
        assert sent(desk, form("/devices"), device="phone").status_code == 422  # the name is taken
        assert desk.post("/devices", data={"device": "other"}).status_code == 409  # no token
        assert [key.name for key in keys.device_keys(there.book)] == ["phone"]
        assert desk.post("/devices/end", data={"device": "phone"}).status_code == 409
        ending = form("/devices/end")
        assert sent(desk, ending, device="nobody").status_code == 422
        assert sent(desk, form("/devices/end")).status_code == 200
        assert sent(desk, ending).status_code in (200, 422)
        assert [key.ended for key in keys.device_keys(there.book)] == [NOW]
        with there.book.reading() as connection:
            kept = connection.exec_driver_sql("SELECT answer FROM answered").scalars().all()
        assert kept and not any("key=" in answer for answer in kept)
