"""Every form there is, found by following links: wrong, empty, huge and hostile input, sent twice, sent late.

Whatever is typed, the answer is a page: nothing breaks, what is refused writes nothing, and what was typed is there
again. These are laws for all forms alike; what each of them takes is tested beside it.
"""

from __future__ import annotations

import re
from collections import Counter, deque
from collections.abc import Iterator
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path

import pytest
from app_client import FormSeen, Visitor, forms_on, visitor
from fastapi.routing import APIRoute
from httpx2 import Response

from partway.web.app import page_routers

HOSTILE = "'\"><script>alert(1)</script>\u202ekg 5\u202c مرحبا 🔩 a\x00b {{ 7 * 7 }}'; DROP TABLE event; --"
HUGE = "9" * 200_000  # ten million are in test_web_posting.py
SENT = (200, 409, 413, 422)  # after following where it leads
# Takes a file, to look at and no more: its own tests hold it to what it is (tests/unit/test_web_books.py).
FILES = {"/books/export/look"}
PAGES, EACH = 3, 2  # so many pages of each route are opened, and so many forms of each sort are tried
# No link in the demo's months leads to a form of these: each is tried where it is tested, test_web_home.py and so on.
ELSEWHERE = {
    *("/kinds/from/{find}", "/kinds/{kind}", "/kinds/{kind}/toml", "/kinds/{kind}/given-up"),  # test_own_kinds_web.py
    "/bench/{find_id}/balance",  # a button of the form that opens a find
    "/books/export/take",
    # Of an app that was opened to phones, test_device_keys.py.
    *("/devices", "/devices/end", "/devices/leave", "/devices/role"),
    "/buyers/{buyer_id}/list/photograph",  # where photographs are read, test_lists_photographed.py
    "/haul/{haul}/ticket/{buyer}/photograph",  # the same, test_tickets_photographed.py
    "/demo",  # in an empty workspace alone, below
    *("/first/place", "/first/price"),  # of an empty workspace, test_first_run.py
    "/haul/plan/{job}/accept/{trip}",
    "/haul/plan/{job}/bins",  # test_haul_lived.py
    "/haul/{haul}/ticket/{buyer}/sum",  # a button of the form that enters a ticket
    "/haul/plan/{job}/stop",
    "/haul/plan/{job}/why",
    "/haul/{haul}/paid/{name}",
    "/rounds/end",  # of a round under way, test_trips_lived.py
    "/undo",
}


class Links(HTMLParser):
    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "a" and (given.get("href") or "").startswith("/") and "download" not in given:
            self.found.append((given["href"] or "").partition("#")[0])


@dataclass(frozen=True)
class Place:
    """A form: the page it stands on and where it goes."""

    page: str
    action: str


def bare(action: str) -> str:
    return action.partition("?")[0].partition("#")[0]


def routes(method: str) -> dict[str, re.Pattern[str]]:
    """The pages' own addresses, such as /bins/{bin_id}/move, and what each of them matches, the first of them first."""
    found = [route for router in page_routers() for route in router.routes if isinstance(route, APIRoute)]
    return {route.path: route.path_regex for route in found if method in (route.methods or ())}


GET, POST = routes("GET"), routes("POST")


def sort_of(path: str, known: dict[str, re.Pattern[str]]) -> str:
    """The route that answers an address, so that alike pages, and the forms on them, count as one."""
    return next((route for route, matches in known.items() if matches.match(bare(path))), bare(path))


def forms_of(v: Visitor) -> list[Place]:
    """Forms of each sort, `EACH` of them where there are so many, by links from the first page.

    What is under /pocket has none of the server's: the desk is asked in JSON.
    """
    found: dict[str, list[Place]] = {}
    known, waiting, seen = {"/"}, deque(["/"]), Counter[str]()
    while waiting:
        path = waiting.popleft()
        sort = sort_of(path, GET)
        if path.startswith(("/api", "/static", "/books/export/", "/pocket")) or seen[sort] >= PAGES:
            continue
        answer = v.client.get(path)
        if "text/html" not in answer.headers.get("content-type", ""):
            continue
        assert answer.status_code == 200, path
        seen[sort] += 1
        for form in forms_on(answer.text):
            alike = found.setdefault(sort_of(form.action, POST), [])
            if form.method == "post" and bare(form.action) not in {*FILES, *(bare(one.action) for one in alike)}:
                alike.extend([Place(path, form.action)][: EACH - len(alike)])
        fresh = [link for link in Links(answer.text).found if link not in known]
        known.update(fresh)
        waiting.extend(dict.fromkeys(fresh))
    return [place for alike in found.values() for place in alike]


def forms_of_the_demo(v: Visitor) -> list[Place]:
    """The same, of the demo as nobody has changed it: walked once a process, as its copies have the same pages."""
    if not DEMO:
        DEMO.extend(forms_of(v))
    return list(DEMO)


DEMO: list[Place] = []


@pytest.fixture(scope="module")
def v(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    with visitor(tmp_path_factory.mktemp("forms"), demo=True) as known:
        yield known


@pytest.fixture(scope="module")
def places(v: Visitor) -> list[Place]:
    return forms_of_the_demo(v)


def fresh(v: Visitor, places: list[Place]) -> Iterator[tuple[Place, FormSeen]]:
    """Each form on its page anew; what an earlier one has taken back or given up may be gone with its form."""
    gone = 0
    for place in places:
        page = v.client.get(place.page).text
        found = [form for form in forms_on(page) if bare(form.action) == bare(place.action)]
        if found:
            yield place, found[0]
        gone += not found
    assert gone * 4 < len(places)


def typed_fields(form: FormSeen) -> list[str]:
    """Fields that somebody types into: all but what the page itself filled in for good."""
    return [name for name, _ in form.values if name not in form.hidden and not name.startswith("answer")]


def sent(v: Visitor, form: FormSeen, text: str) -> Response:
    return v.send(form, **dict.fromkeys(typed_fields(form), text))


def test_there_is_a_form_of_every_route_that_takes_one(places: list[Place]) -> None:
    assert {sort_of(place.action, POST) for place in places} == set(POST) - FILES - ELSEWHERE


def test_hostile_text_breaks_nothing_and_runs_nowhere(v: Visitor, places: list[Place]) -> None:
    for place, form in fresh(v, places):
        before = v.count()
        answer = sent(v, form, HOSTILE)
        assert answer.status_code in SENT, (place, answer.text[:500])
        assert "<script>alert" not in answer.text, place
        if answer.status_code != 200:
            assert v.count() == before, place


def test_endless_digits_are_refused_and_kept_as_typed(v: Visitor, places: list[Place]) -> None:
    for place, form in fresh(v, places):
        if not typed_fields(form):
            continue
        before = v.count()
        answer = sent(v, form, HUGE)
        assert answer.status_code in SENT, (place, answer.text[:500])
        if answer.status_code != 200:
            assert v.count() == before, place


def test_wrong_text_stays_in_its_field_and_the_page_says_what_is_wrong(v: Visitor, places: list[Place]) -> None:
    refused = 0
    for place, form in fresh(v, places):
        if not typed_fields(form):
            continue
        before = v.count()
        answer = sent(v, form, "neither this nor that")
        if answer.status_code == 200:
            continue
        refused += 1
        assert v.count() == before, place
        if sort_of(place.action, POST) == "/bench/{find_id}/take-down":  # nothing is typed there: one is chosen
            continue
        assert 'role="alert"' in answer.text, place
        again = [f for f in forms_on(answer.text) if bare(f.action) == bare(place.action)]
        assert again, place
        assert any("neither this nor that" in value for _, value in again[0].values), place
    assert refused > 10


def test_a_form_of_an_earlier_start_saves_nothing_and_keeps_everything(v: Visitor, places: list[Place]) -> None:
    for place, form in fresh(v, places):
        stale = FormSeen(
            form.action, form.method, [(n, "stale" if n == "token" else value) for n, value in form.values]
        )
        before = v.count()
        answer = v.send(stale)
        assert answer.status_code in (409, 422), place  # 422: a list is looked at before it is saved
        assert v.count() == before, place
        assert answer.status_code == 422 or "nothing was saved" in answer.text.lower(), place


def test_sent_twice_it_is_saved_at_most_once(v: Visitor, places: list[Place]) -> None:
    for place, form in fresh(v, places):
        v.send(form)
        once = v.count()
        answer = v.send(form)
        assert answer.status_code in SENT, place
        assert v.count() == once, place


def test_without_a_token_nothing_is_saved(v: Visitor, places: list[Place]) -> None:
    for place in places:
        before = v.count()
        answer = v.client.post(place.action, data={})
        assert answer.status_code in (404, 409, 422), (place, answer.status_code)
        assert v.count() == before, place


def test_an_empty_workspace_has_no_page_that_breaks(tmp_path: Path) -> None:
    with visitor(tmp_path) as empty:
        found = forms_of(empty)
        assert len(found) > 5
        for place, form in fresh(empty, found):
            assert sent(empty, form, "").status_code in SENT, place
