"""Owner, helper and viewer: what each address answers to each of them, to a wrong key and to nobody.

The addresses are read off the app itself, so one that is added without a rule fails here. OWASP ASVS 5.0.0, 8.2 and
8.3, is gone by (docs/asvs.md).
"""

from __future__ import annotations

import logging
import re
from collections import deque
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from app_client import NOW, FormSeen, forms_on
from fastapi.routing import APIRoute
from ledgers.servers import empty_workspace
from months import months_in
from noted import Phone
from photographs import saved, scene
from starlette.routing import Mount, Route
from straight import Straight
from warm import commands
from workspaces import new_workspace

from partway.errors import Refused
from partway.ledger.roles import CORRECTS, PRICES, Permission, Rights, Role, rights_of
from partway.ledger.workspaces import workspace_id
from partway.storage.photographs.folder import FOLDER
from partway.storage.store import SqlBook
from partway.storage.workspace import open_workspace
from partway.storage.writing import device_keys as keys
from partway.web.app import create_app
from partway.web.serving.door import Door
from partway.web.serving.entry import is_open
from partway.web.serving.rules import SAFE, permission_at, stated
from partway.web.serving.setup import Setup
from partway.web.serving.tries import FREE, Tries

METHODS = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS")
HELPER_MAY = {Permission.LOOK, Permission.RECORD, Permission.CORRECT, Permission.PRICE}
WHO = {"owner": Role.OWNER, "helper": Role.HELPER, "viewer": Role.VIEWER}


@dataclass
class Yard:
    """An app that was opened to the network, with a device of each role."""

    book: SqlBook
    setup: Setup
    app: Any
    keys: dict[str, str]

    def browser(self, who: str = "", address: str = "192.168.1.5") -> Straight:
        """A browser that has opened the address with somebody's key, or with none."""
        client = Straight(self.app, base_url="http://localhost", client=(address, 50000))
        if who:
            key = self.setup.key if who == "desk" else self.keys[who]
            assert client.get("/settings", params={"key": key}, follow_redirects=False).status_code == 303
        return client

    def say(self, name: str, value: str) -> None:
        answer = self.browser("desk").post("/api/set", json={"name": name, "value": value})
        assert answer.status_code == 200, answer.text

    def counting(self) -> int:
        return self.book.state()[0]


@contextmanager
def yard(folder: Path, *, demo: bool = False) -> Iterator[Yard]:
    if demo:
        months_in(folder, NOW)
    with open_workspace(folder) if demo else new_workspace(folder) as book:
        setup = Setup(book, who="Ann", key="desk-key", door=Door(book, lambda: NOW), clock=lambda: NOW)
        setup.tls_before = False
        made = {
            "owner": keys.issue_key(book, "phone of Ann", NOW, "Ann", Role.OWNER, "Ann"),
            "helper": keys.issue_key(book, "phone of Ben", NOW, "Ben", Role.HELPER, "Ann"),
            "viewer": keys.issue_key(book, "phone of Cleo", NOW, "Cleo", Role.VIEWER, "Ann"),
        }
        yield Yard(book, setup, create_app(setup), made)


def routes_of(routes: Any) -> Iterator[Any]:
    for route in routes:
        within = getattr(route, "original_router", None)
        yield from [route] if within is None else routes_of(within.routes)


def addresses(app: Any) -> list[tuple[str, str]]:
    """Every address there is as its route has it, with the methods that it takes."""
    found = []
    for one in routes_of(app.routes):
        assert isinstance(one, Mount | APIRoute | Route), one
        methods = {"GET"} if isinstance(one, Mount) else set(one.methods or ())
        path = f"{one.path}/partway.css" if isinstance(one, Mount) else one.path
        found += [(method, path) for method in methods]
    return sorted(set(found))


def filled(path: str) -> str:
    return re.sub(r"\{[^}]+\}", "1", path)


def test_each_address_that_is_sent_something_has_a_rule(tmp_path: Path) -> None:
    with yard(tmp_path) as there:
        sent = {path for method, path in addresses(there.app) if method not in SAFE}
        assert len(sent) > 80
        rules = stated()
        assert sent - set(rules) == set()
        assert set(rules) - sent == set()
        for path in sent:  # the rule that is found for it is its own, and not another's that looks alike
            assert permission_at("POST", filled(path)) is rules[path], path


def expected(role: Role, act: Permission) -> bool:
    """Whether a device of a role may; keys are made at the machine alone. Written apart from the product's table."""
    if act is Permission.KEYS:
        return False
    return {Role.OWNER: True, Role.HELPER: act in HELPER_MAY, Role.VIEWER: act is Permission.LOOK}[role]


@pytest.mark.parametrize("who", ["owner", "helper", "viewer", "a wrong key", "nobody"])
def test_every_address_for_each_role_for_a_wrong_key_and_for_nobody(who: str, tmp_path: Path) -> None:
    with yard(tmp_path) as there:
        rules = stated()
        client = there.browser(who if who in WHO else "")
        there.setup.door = Door(there.book, lambda: NOW, Tries(lambda: 0.0))  # the wrong key is not to be slowed here
        before = there.counting()
        for method, path in [*addresses(there.app), ("POST", "/nowhere"), ("PUT", "/settings"), ("PATCH", "/api/find")]:
            headers = {"cookie": "partway_key=guess"} if who == "a wrong key" else {}
            address = filled(path)
            answer = client.request(method, address, headers=headers, follow_redirects=False)
            if who not in WHO:
                wanted = {200, 404} if is_open(method, address) else {401, 429}
                assert answer.status_code in wanted, (method, path, answer.status_code)
                continue
            act = Permission.LOOK if method in SAFE else rules.get(path, Permission.UNSTATED)
            allowed = expected(WHO[who], act)
            assert (answer.status_code not in (401, 403)) is allowed, (method, path, answer.status_code)
            if not allowed:
                assert "machine itself" in answer.text or "Ask Ann" in answer.text, (path, answer.text)
        if who in ("viewer", "a wrong key", "nobody"):
            assert there.counting() == before


@pytest.mark.parametrize("role", list(Role))
def test_the_table_says_the_same_as_the_door(role: Role) -> None:
    for act in Permission:
        assert rights_of(role, {}).may(act) is expected(role, act)
    assert Rights().may(Permission.KEYS)  # the owner at the machine itself
    assert not Rights(Role.HELPER).may(Permission.KEYS)
    assert rights_of(Role.HELPER, {CORRECTS: "all"}).may(Permission.CORRECT_OTHERS)
    assert not rights_of(Role.HELPER, {PRICES: "no"}).may(Permission.PRICE)
    for settings in ({CORRECTS: "all"}, {PRICES: "yes"}, {CORRECTS: "nonsense", PRICES: ""}):
        assert not rights_of(Role.VIEWER, settings).may(Permission.CORRECT_OTHERS)
        assert not rights_of(Role.HELPER, settings).may(Permission.ARRANGE)
    assert rights_of(Role.HELPER, {CORRECTS: "nonsense"}).others is False


DIESEL = {"spend-what": "diesel", "spend-amount": "20"}
FIND = {"kind": "microwave"}


def test_events_say_the_person_and_the_device_is_known(tmp_path: Path) -> None:
    with yard(tmp_path) as there:
        again = keys.issue_key(there.book, "tablet of Ben", NOW, "ben", Role.HELPER, "Ann")
        there.keys["tablet"] = again
        for who in ("helper", "tablet", "owner", "desk"):
            assert there.browser(who).post("/api/find", json=FIND).status_code == 200
        found = list(there.book.events(("found",)))
        assert [event.who for event in found] == ["Ben", "Ben", "Ann", "Ann"]
        devices = [there.book.device_of(event.id) for event in found]
        assert devices == ["phone of Ben", "tablet of Ben", "phone of Ann", ""]


def recorded(there: Yard, who: str) -> str:
    """The id of what somebody recorded just now."""
    answer = there.browser(who).post("/api/hours", json={"activity": "bench", "time": "30 min"})
    assert answer.status_code == 200, answer.text
    return str(max(event.id for event in there.book.events(("worked",))))


def undo_form(client: Straight, event: str) -> Any:
    """What the undo button of a page would send."""
    page = client.get("/books/money").text
    token = next(value for form in forms_on(page) for name, value in form.values if name == "token")
    return client.post("/undo", data={"token": token, "event": event, "back": "/"})


WAYS = {
    "the interface": lambda client, event: client.post("/api/correct", json={"events": [event]}),
    "the interface, said anew": lambda client, event: client.post(
        "/api/correct", json={"events": [event], "changes": {"minutes": "90"}}
    ),
    "undo": undo_form,
}


@pytest.mark.parametrize("way", WAYS)
def test_a_helper_puts_right_what_is_theirs_and_nothing_else(way: str, tmp_path: Path) -> None:
    with yard(tmp_path) as there:
        own, others = recorded(there, "helper"), recorded(there, "owner")
        ben, cleo = there.browser("helper"), there.browser("viewer")
        count = there.counting()
        answer = WAYS[way](ben, others)
        assert answer.status_code == 403, answer.text
        assert "may not take back or put right what others recorded here. Ask Ann" in answer.text
        assert WAYS["the interface"](cleo, own).status_code == 403
        assert there.counting() == count and not there.book.voided()
        assert WAYS[way](ben, own).status_code == 200
        assert [str(one) for one in there.book.voided()] == [own]
        there.say(CORRECTS, "all")
        assert WAYS[way](ben, others).status_code == 200


def test_a_helper_does_not_undo_what_the_owner_put_right(tmp_path: Path) -> None:
    """Taking back the owner's correction would bring back what the owner took away."""
    with yard(tmp_path) as there:
        own = recorded(there, "helper")
        assert WAYS["the interface"](there.browser("owner"), own).status_code == 200
        mark = max(event.id for event in there.book.events(("corrected",)))
        assert WAYS["the interface"](there.browser("helper"), str(mark)).status_code == 403


def test_the_page_of_others_event_offers_no_way_to_put_it_right(tmp_path: Path) -> None:
    with yard(tmp_path) as there:
        own, others = recorded(there, "helper"), recorded(there, "owner")
        ben = there.browser("helper")
        assert len(posts(ben.get(f"/books/ledger/{own}").text)) == 2
        page = ben.get(f"/books/ledger/{others}").text
        assert posts(page) == [] and "Ask Ann" in page


def posts(page: str) -> list[FormSeen]:
    return [form for form in forms_on(page) if form.method == "post"]


def test_prices_and_terms(tmp_path: Path) -> None:
    with yard(tmp_path) as there:
        desk, ben = there.browser("desk"), there.browser("helper")
        buyer = {"buyer": "harbour-yard", "kind": "yard", "km": "14", "minutes": "20"}
        assert ben.post("/api/buyer", json=buyer).status_code == 403
        assert desk.post("/api/buyer", json=buyer).status_code == 200
        for name, value in (("currency", "CAD"), ("unit", "lb")):
            there.say(name, value)
        price = {"buyer": "harbour-yard", "grade": "copper-2", "price": "4.10 /lb"}
        assert ben.post("/api/quote", json=price).status_code == 200
        there.say(PRICES, "no")
        count = there.counting()
        refused = ben.post("/api/quote", json=price)
        assert refused.status_code == 403 and "may not record prices heard here" in refused.json()["detail"]
        said = ben.post("/api/say", json={"text": "harbour yard pays 4.20 for no 2 copper", "save": True})
        assert said.status_code == 403, said.text
        assert "prices heard" in said.text  # known only once the line was read
        assert there.counting() == count
        assert [form.action for form in posts(ben.get("/buyers/harbour-yard").text)] == ["/books/notes"]
        assert ben.post("/api/set", json={"name": PRICES, "value": "yes"}).status_code == 403


def test_a_photograph_of_a_viewer_is_not_kept(tmp_path: Path) -> None:
    """By the form of the page and by the interface: refused before anything is written, also beside the ledger."""
    with yard(tmp_path) as there:
        assert there.browser("owner").post("/api/find", json={"kind": "fan"}).status_code == 200
        page, sent = "/photographs/find/fan-1", saved(scene())
        client = there.browser("owner")
        form = next(form for form in posts(client.get(page).text) if form.action.startswith(page))
        client.get("/", params={"key": there.keys["viewer"]})
        values, count = {name: value for name, value in form.values if name != "file"}, there.counting()
        shown = client.get(page)
        assert shown.status_code == 200 and not [form for form in posts(shown.text) if form.action.startswith(page)]
        by_form = client.post(page, data=values, files={"file": ("a.jpg", sent)})
        by_json = client.post("/api/picture?of=fan-1", content=sent, headers={"content-type": "image/jpeg"})
        for answer in (by_form, by_json):
            assert answer.status_code == 403 and "Ask Ann" in answer.text
        assert there.counting() == count and not (tmp_path / FOLDER).exists()
        client.get("/", params={"key": there.keys["helper"]})
        assert client.post(page, data=values, files={"file": ("a.jpg", sent)}).status_code == 200
        assert [event.who for event in there.book.events(("pictured",))] == ["Ben"]
        assert len(list((tmp_path / FOLDER).glob("*"))) == 1


def test_forged_requests_of_a_helper(tmp_path: Path) -> None:
    with yard(tmp_path) as there:
        ben = there.browser("helper")
        for forged in (
            {"X-Role": "owner", "X-Forwarded-User": "Ann"},
            {"cookie": f"partway_key={ben.cookies['partway_key']}; role=owner; who=Ann"},
            {"X-HTTP-Method-Override": "GET"},
        ):
            assert ben.post("/api/set", json={"name": "wage", "value": "1"}, headers=forged).status_code == 403
        assert ben.post("/api/find", json=FIND | {"who": "Ann"}).status_code in (400, 422)
        assert ben.post("/api/find?who=Ann&role=owner", json=FIND).status_code == 200
        assert [event.who for event in there.book.events(("found",))] == ["Ben"]
        for path in ("/settings%3F", "//settings", "/settings/", "/haul%23/../settings", "/SETTINGS", "/%73ettings"):
            answer = ben.post(path, data={"wage": "1"})
            assert answer.status_code in (401, 403, 404, 405), (path, answer.status_code)
        assert not list(there.book.events(("set",)))


def test_a_form_of_another_role_in_the_same_browser(tmp_path: Path) -> None:
    """Two tabs: the first was opened as the owner; then the browser was given a viewer's key."""
    with yard(tmp_path) as there:
        there.say("currency", "CAD")
        client = there.browser("owner")
        form = next(form for form in posts(client.get("/books/money").text) if form.action == "/books/money/spend")
        client.get("/", params={"key": there.keys["viewer"]})
        count = there.counting()
        refused = client.post(form.action, data=dict(form.values) | DIESEL)
        assert refused.status_code == 403 and there.counting() == count
        client.get("/", params={"key": there.keys["helper"]})
        assert client.post(form.action, data=dict(form.values) | DIESEL).status_code == 200
        assert [event.who for event in there.book.events(("spent",))] == ["Ben"]  # who sends it says so


def test_a_role_that_changes_while_a_page_is_open(tmp_path: Path) -> None:
    with yard(tmp_path) as there:
        there.say("currency", "CAD")
        ben = there.browser("helper")
        form = next(form for form in posts(ben.get("/books/money").text) if form.action == "/books/money/spend")
        keys.give_role(there.book, "ben", Role.VIEWER, "Ann")
        values = dict(form.values) | DIESEL
        refused = ben.post(form.action, data=values)
        assert refused.status_code == 403 and "A viewer may not record anything here. Ask Ann." in refused.text
        keys.give_role(there.book, "Ben", Role.HELPER, "Ann")
        assert ben.post(form.action, data=values).status_code == 200  # refusing it did not use it up
        keys.end_key(there.book, "phone of Ben", NOW)
        assert ben.post("/api/find", json=FIND).status_code == 401
        assert not list(there.book.events(("found",)))


@pytest.mark.parametrize("kind", ["sqlite", "postgres"])
def test_two_apps_of_one_ledger_know_the_same_of_everybody(kind: str, tmp_path: Path) -> None:
    """Keys and roles are changed by one app; the other, with a connection of its own, obeys with the next request."""
    with empty_workspace(kind, tmp_path) as where, open_workspace(where) as one, open_workspace(where) as two:
        key = keys.issue_key(one, "phone of Ben", NOW, "Ben", Role.HELPER, "Ann")
        clocked = [(book, Door(book, lambda: NOW)) for book in (one, two)]
        setups = [Setup(book, who="Ann", key="desk-key", door=door, clock=lambda: NOW) for book, door in clocked]
        here, there = (Yard(setup.book, setup, create_app(setup), {"helper": key}) for setup in setups)
        here.say("currency", "CAD")
        ann, ben = here.browser("desk"), there.browser("helper")
        assert here.browser("helper").get("/settings").status_code == 200
        form = next(form for form in posts(ben.get("/books/money").text) if form.action == "/books/money/spend")
        others = ann.post("/api/find", json=FIND).json()["undo"]
        assert ben.post("/api/correct", json={"events": others}).status_code == 403
        assert ben.post(form.action, data=dict(form.values) | DIESEL).status_code == 200
        keys.give_role(one, "Ben", Role.VIEWER, "Ann")
        assert ben.post(form.action, data=dict(form.values) | DIESEL).status_code == 403
        assert not [form for form in posts(ben.get("/books/money").text) if form.action == "/books/money/spend"]
        keys.give_role(one, "Ben", Role.HELPER, "Ann")
        here.say(CORRECTS, "all")
        assert ben.post("/api/correct", json={"events": others}).status_code == 200
        was = two.state()
        keys.end_key(one, "phone of Ben", NOW)
        assert ben.get("/books").status_code == 401
        assert ben.post("/api/find", json=FIND).status_code == 401
        assert there.browser().get("/", params={"key": key}).status_code == 401
        assert two.state() == was and [event.who for event in two.events(("spent",))] == ["Ben"]


def test_a_viewer_gets_no_answer_that_was_kept_for_another_and_spoils_none(tmp_path: Path) -> None:
    with yard(tmp_path) as there:
        key = {"Idempotency-Key": '"the-same-key"'}
        cleo, ben = there.browser("viewer"), there.browser("helper")
        assert cleo.post("/api/find", json=FIND, headers=key).status_code == 403
        assert ben.post("/api/find", json=FIND, headers=key).status_code == 200
        assert cleo.post("/api/find", json=FIND, headers=key).status_code == 403
        with there.book.reading() as connection:
            assert len(connection.exec_driver_sql("SELECT key FROM answered").all()) == 1


def test_what_was_refused_stands_in_the_log(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    with yard(tmp_path) as there, caplog.at_level(logging.WARNING, "partway.web"):
        others = recorded(there, "owner")
        there.browser("viewer").post("/api/find%0Aforged", json=FIND)
        there.browser("helper").post("/api/correct", json={"events": [others]})
    said = [record.getMessage() for record in caplog.records]
    assert len(said) == 2 and all("\n" not in line for line in said)
    assert "Cleo, a viewer" in said[0] and "Ben, a helper" in said[1]


def crawled(client: Straight, most: int) -> Iterator[tuple[str, str]]:
    """Pages that links lead to, by a few of each sort."""
    waiting, seen = deque(["/", "/settings", "/devices", "/books/export"]), {"/"}
    sorts: dict[str, int] = {}
    while waiting:
        path = waiting.popleft()
        sort = re.sub(r"[a-z]+-[0-9a-z-]+|[0-9a-f-]{36}", "1", path.partition("?")[0])
        sorts[sort] = sorts.get(sort, 0) + 1
        if sorts[sort] > most:
            continue
        answer = client.get(path)
        assert answer.status_code == 200, (path, answer.status_code)
        yield path, answer.text
        links = re.findall(r'<a\b[^>]*href="(/[^"#]*)', answer.text)
        for link in (one.replace("&amp;", "&") for one in links):
            apart = "/export/" in link or "crt" in link or "toml" in link or link.startswith("/pocket")
            if link not in seen and not apart:
                seen.add(link)
                waiting.append(link)


@pytest.mark.parametrize("who", ["viewer", "helper"])
def test_pages_offer_nothing_that_would_be_refused(who: str, tmp_path: Path) -> None:
    with yard(tmp_path, demo=True) as there:
        there.say(PRICES, "no")
        rights = rights_of(WHO[who], {PRICES: "no"})
        client, before, seen, why = there.browser(who), there.counting(), 0, 0
        for path, page in crawled(client, 2):
            seen += 1
            for form in posts(page):
                act = permission_at("POST", form.action.partition("?")[0].partition("#")[0])
                assert act is not None and rights.may(act), (path, form.action)
            why += f"A {WHO[who].value} may not" in page
            assert page.count('role="note"') <= 1
            if path == "/settings":
                assert "A " + who + " may not change settings" in page and "Ask Ann." in page
        assert seen > 40 and why > 3
        assert there.counting() == before


def test_one_name_is_one_person_in_one_role(tmp_path: Path) -> None:
    with yard(tmp_path) as there:
        for name, person, role in (
            ("a", "Ben", Role.VIEWER),  # already a helper
            ("b", "ANN", Role.HELPER),  # what the owner recorded would be that helper's own
            ("c", "a\nb", Role.HELPER),
        ):
            with pytest.raises(Refused):
                keys.issue_key(there.book, name, NOW, person, role, "Ann")
        with pytest.raises(Refused, match="Ann, Ben, Cleo"):
            keys.give_role(there.book, "Dora", Role.HELPER)
        with pytest.raises(Refused):
            keys.give_role(there.book, "Ann", Role.VIEWER, "Ann")
        assert (keys.role_of(there.book, "BEN"), keys.role_of(there.book, "Dora")) == (Role.HELPER, Role.OWNER)
        assert keys.owners(there.book) == ("Ann",)


def test_wrong_keys_are_counted_by_each_process_for_itself(tmp_path: Path) -> None:
    """Two apps on one ledger: each slows a guesser after so many, and what one ends opens in neither."""
    with yard(tmp_path) as one, open_workspace(tmp_path) as book:
        setup = Setup(book, who="Ann", key="other-desk", door=Door(book, lambda: NOW), clock=lambda: NOW)
        two = Yard(book, setup, create_app(setup), one.keys)
        for there in (one, two):
            there.setup.door = Door(there.book, lambda: NOW, Tries(lambda: 0.0))
            guesses = [there.browser(address="10.0.0.9").get("/", params={"key": f"g{n}"}) for n in range(FREE + 3)]
            assert [answer.status_code for answer in guesses] == [401] * FREE + [429] * 3
        phone = two.browser("helper")
        keys.end_key(one.book, "phone of Ben", NOW)
        assert phone.get("/settings").status_code == 401


def test_the_command_line_obeys_the_role_of_a_name(tmp_path: Path) -> None:
    """Of the name that is said: whoever has the ledger itself can say another, docs/hosting.md says so."""
    new_workspace(tmp_path).close()

    def run(*words: str) -> tuple[int, str]:
        ran = commands().run("partway.cli:main", *words, "--workspace", str(tmp_path))
        return ran.returncode, ran.stdout + ran.stderr

    phone = ("device", "add", "phone of Ben", "--person", "Ben", "--who", "Ann")
    assert run(*phone)[0] == 2  # what Ben may has to be said
    assert run(*phone, "--as", "boss")[0] == 2
    assert run(*phone, "--as", "helper")[0] == 0
    assert run("device", "add", "mine", "--who", "Ann")[0] == 0
    assert run("device")[1] == "mine (Ann, owner): not used yet\nphone of Ben (Ben, helper): not used yet\n"
    assert run("set", "currency", "CAD", "--who", "Ann")[0] == 0
    status, said = run("set", "currency", "EUR", "--who", "ben")
    assert status == 2 and "A helper may not change settings" in said and "Ask Ann." in said
    assert run("find", "microwave", "--who", "ben")[0] == 0
    assert run("device", "role", "Ben", "--as", "viewer", "--who", "ben")[0] == 2
    assert run("device", "role", "Ben", "--as", "viewer", "--who", "Ann")[1] == "Ben is a viewer here now.\n"
    assert run("find", "microwave", "--who", "Ben")[0] == 2
    assert run("device", "end", "phone of Ben", "--who", "Ben")[0] == 2


def test_the_desk_changes_what_somebody_may_on_the_page_of_devices(tmp_path: Path) -> None:
    with yard(tmp_path) as there:
        desk = there.browser("desk")
        form = next(form for form in posts(desk.get("/devices").text) if form.action == "/devices/role")
        said = desk.post(form.action, data=dict(form.values) | {"person": "Ben", "role": "viewer"})
        assert said.status_code == 200 and "Ben is a viewer here now." in said.text
        assert keys.role_of(there.book, "Ben") is Role.VIEWER
        for wrong in ({"person": "Ben", "role": "boss"}, {"person": "Dora", "role": "viewer"}):
            form = next(form for form in posts(desk.get("/devices").text) if form.action == "/devices/role")
            assert desk.post(form.action, data=dict(form.values) | wrong).status_code == 422
        assert [form.action for form in posts(there.browser("owner").get("/devices").text)] == ["/devices/leave"]


def test_what_a_phone_hands_back_is_decided_entry_by_entry(tmp_path: Path) -> None:
    with yard(tmp_path) as there:
        for name, value in (("currency", "CAD"), ("unit", "lb"), (PRICES, "no")):
            there.say(name, value)
        harbour = {"buyer": "harbour-yard", "kind": "yard", "km": "14", "minutes": "20"}
        assert there.browser("desk").post("/api/buyer", json=harbour).status_code == 200

        def outcomes(who: str) -> list[str]:
            phone = Phone()
            phone.note("found", kind="microwave")
            phone.note("quoted", buyer="harbour-yard", grade="copper-2", price="4.10")
            phone.note("said", text="harbour yard pays 4.20 for no 2 copper")
            phone.note("worked", activity="bench", time="30 min")
            answer = there.browser(who).post("/pocket/back", json=phone.sent(workspace_id(there.book)))
            assert answer.status_code == 200, answer.text
            results = answer.json()["results"]
            for one in results:
                assert one["outcome"] != "refused" or "Ask Ann" in f"{one['words']} {one['more']}", one
            return [one["outcome"] for one in results]

        count = there.counting()
        assert outcomes("viewer") == ["refused"] * 4 and there.counting() == count
        assert outcomes("helper") == ["done", "refused", "refused", "done"]
        assert outcomes("owner") == ["done"] * 4
        assert {event.who for event in there.book.events(("worked",))} == {"Ben", "Ann"}
