"""The JSON interface: each write is the action itself, questions come back as questions, a key writes once, and nothing
that is not understood is written.

Problem details are those of RFC 9457; the key's rules those of draft-ietf-httpapi-idempotency-key-header-07, section 2.
"""

from __future__ import annotations

import json
import shutil
import threading
import time
from collections.abc import Iterator
from dataclasses import asdict, replace
from decimal import Decimal
from pathlib import Path
from typing import Any
from urllib.parse import quote

import jsonschema
import pytest
from api_day import DAY
from app_client import NOW, Visitor, visitor
from httpx2 import Response

from partway.actions.bins import bins
from partway.actions.haul.promised import scenario_to_plan
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.plans.jobs import Jobs
from partway.actions.plans.jobs_child import Progress, SearchDone, Task
from partway.actions.plans.jobs_worker import Heard
from partway.actions.plans.plan import Limits, plan
from partway.actions.recording.context import Context
from partway.actions.what.found_out import confirmed
from partway.actions.what.identifying import identify
from partway.catalogue import shipped
from partway.cli.app import LEDGER, PLANNING
from partway.ledger import trading
from partway.ledger.events.ids import new_id
from partway.ledger.events.kinds import Payload, Returned
from partway.storage.schemas import report_schema
from partway.web.api.once import Once
from partway.web.serving import guard

WRITES = {written.path: written.body for written in DAY}
CORRECT = {"events": ["1a2b3c4d"], "why": "typed twice"}
POSTS: dict[str, dict[str, Any]] = {
    **WRITES,
    "/api/correct": CORRECT,
    "/pocket/back": {"schema": 1, "workspace": "", "intents": []},
    "/api/quotes/preview": WRITES["/api/quotes"],
    "/api/plan": {"bench": 4, "trips": 2},
    "/api/plan/scenario": {},
    "/api/plan/{job}/accept/{trip}": {},
    "/api/depth/scenario?kind=fan": {},
}
SOON = 120.0  # seconds after which a test gives up; nothing is asserted of how long anything takes
FIND = {"kind": "fan"}


@pytest.fixture(scope="module")
def here(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    """The demo workspace; tests that share it say what they change."""
    with visitor(tmp_path_factory.mktemp("api"), demo=True) as found:
        yield found


def post(here: Visitor, path: str, body: Any, **headers: str) -> Response:
    return here.client.post(path, json=body, headers={name.replace("_", "-"): text for name, text in headers.items()})


def problem(answer: Response, status: int) -> dict[str, Any]:
    """Problem details of a status."""
    assert answer.status_code == status, answer.text[:500]
    assert answer.headers["content-type"] == "application/problem+json"
    told: dict[str, Any] = answer.json()
    assert told["status"] == status and told["title"] and told["detail"]
    return told


def plain(told: Any) -> Any:
    """A report as JSON has it, money as exact text."""
    return json.loads(json.dumps(asdict(told), default=str))


# -- the same as everywhere else ----------------------------------------------------------------


def test_each_write_is_the_action_itself(tmp_path: Path) -> None:
    """Two workspaces live the same day: one through the interface, one by the actions. Both say and keep the same."""
    with visitor(tmp_path / "sent", demo=True):
        pass
    shutil.copytree(tmp_path / "sent", tmp_path / "done")
    with visitor(tmp_path / "sent") as sent, visitor(tmp_path / "done") as done:
        for written in DAY:
            context = Context("tester", lambda: NOW, new_id)
            expected = written.act(done.book, context)
            answer = post(sent, written.path, written.body)
            assert answer.status_code == 200, (written.path, answer.text)
            assert answer.json()["told"] == plain(expected.result), written.path
            events = [sent.book.event(_id(event["id"])) for event in answer.json()["events"]]
            assert [event and _alike(event.what) for event in events] == [_alike(e.what) for e in expected.events]
            assert [event and event.who for event in events] == ["tester"] * len(events)
        assert sent.book.balances() == done.book.balances()
        assert sent.book.accounts() == done.book.accounts()


def _alike(what: Payload) -> Payload:
    """What an event says; the entry of a sale has another id in each workspace."""
    return replace(what, sale=_id("0" * 32)) if isinstance(what, Returned) else what


def _id(text: str) -> Any:
    from uuid import UUID

    return UUID(text)


def test_the_examples_of_the_document_are_that_day(here: Visitor) -> None:
    document = here.client.get("/api/openapi.json").json()
    for written in DAY:
        assert _body_of(document, written.path)["examples"] == [written.body]


def _body_of(document: dict[str, Any], path: str) -> dict[str, Any]:
    sent = document["paths"][path]["post"]["requestBody"]["content"]["application/json"]["schema"]
    found: dict[str, Any] = document["components"]["schemas"][sent["$ref"].rpartition("/")[2]]
    return found


FILES = {
    "take-back",
    "read",
    "serve",
    "device",
    "doctor",
    "export",
    "import",
    "merge",
    "backup",
    "restore",
    "rebuild",
    "check",
    "completion",
    "demo",
}
OTHERWISE = {
    "haul": "haul/start",
    "export-scenario": "scenario",
    "schema": "schema/{what}",
    "books": "per-hour",
    "year": "year/{year}",
    "undo": "correct",
    "listing-text": "finds/{find}/listing-text",
}


def test_whatever_the_command_line_does_has_an_address(here: Visitor) -> None:
    """All but what handles files, and starting the app itself."""
    paths = set(here.client.get("/api/openapi.json").json()["paths"])
    commands = (
        (set(LEDGER) | set(PLANNING)) - FILES - {"pocket", "paper"}
    )  # files: /pocket.html, and beside the load sheet
    assert {name for name in commands if f"/api/{OTHERWISE.get(name, name)}" not in paths} == set()


def test_every_write_of_the_document_is_tried_here(here: Visitor) -> None:
    paths = here.client.get("/api/openapi.json").json()["paths"]
    posts = {path for path, methods in paths.items() if "post" in methods}
    posts -= {
        "/api/picture",
        "/pocket/photograph",
    }  # a file and no JSON: test_photographs_kept.py and test_pocket_photographs.py send it
    assert posts == {path.partition("?")[0] for path in POSTS}


def test_what_was_recorded_can_be_taken_back_by_its_ids(here: Visitor) -> None:
    saved = post(here, "/api/spend", {"what": "seven saw wheels", "amount": "9.50"}).json()
    back = post(here, "/api/correct", {"events": saved["undo"], "why": "typed twice"})
    assert back.status_code == 200 and back.json()["told"]["event"] == saved["events"][0]["id"]
    line = next(
        line
        for line in here.client.get("/api/ledger?kind=spent").json()["lines"]
        if "seven saw wheels" in line["words"]
    )
    assert line["counts"] is False


def test_one_event_is_put_right_and_several_are_taken_back(here: Visitor) -> None:
    one, two = (post(here, "/api/spend", {"what": "gloves", "amount": amount}).json() for amount in ("8.00", "9.00"))
    right = post(here, "/api/correct", {"events": one["undo"], "changes": {"amount": "7.50"}})
    assert right.status_code == 200 and right.json()["told"]["instead"]
    both = {"events": [right.json()["told"]["instead"], *two["undo"]]}
    assert "one event" in problem(post(here, "/api/correct", {**both, "changes": {"amount": "1"}}), 422)["expected"]
    assert post(here, "/api/correct", both).status_code == 200


def test_money_is_exact_text(here: Visitor) -> None:
    from partway.actions.books.money import unpaid

    sent = here.client.get("/api/unpaid").json()
    assert sent and {ticket: Decimal(text) for ticket, text in sent.items()} == unpaid(here.book)
    assert all(isinstance(ticket["total"], str) for ticket in here.client.get("/api/tickets").json())


def test_kinds_and_grades_are_the_catalogues(here: Visitor) -> None:
    assert [kind["kind"] for kind in here.client.get("/api/kinds").json()] == list(shipped().kinds)
    assert here.client.get("/api/kinds/microwave").json()["pieces"][0]["id"] == "whole"
    copper = here.client.get("/api/grades?family=copper").json()
    assert copper and {grade["family"] for grade in copper} == {"copper"}


def test_what_the_pages_show_is_there_too(here: Visitor) -> None:
    """The verdict at the curb, the queue, a find's steps, offers, prices, hours and kilograms, as their reports say."""

    def get(path: str) -> Any:
        answer = here.client.get(f"/api/{path}")
        assert answer.status_code == 200, answer.text
        return answer.json()

    curb = get("curb/microwave?works=no")
    assert curb["kind"] == "microwave" and curb["cautions"]
    assert {line["kind"] for line in get("curb")["lines"]} <= set(shipped().kinds)
    first = get("queue?hours=2")["lines"][0]
    bench = get(f"finds/{first['finds'][0]['find']}/bench")
    assert bench["value"]["per_hour"] == pytest.approx(first["per_hour"])
    assert get("bins/copper-2/offers")["at_buyers"]
    assert {label["bin"] for label in get("labels?bin=copper-2&bin=motors")} == {"copper-2", "motors"}
    assert get("prices?family=copper")["families"][0]["rows"]
    assert get("prices/copper-2?buyer=harbour-yard")["words"]
    assert get("buyers/harbour-yard/sheet")["id"] == "harbour-yard"
    kept_out = get("diverted?months=0")["whole"]
    assert kept_out["diverted"] == kept_out["ends"]["reused"] + kept_out["ends"]["recycled"]
    assert get("per-hour")["kinds"] and get("flows?most=3")["links"]
    newest = get("events?most=2")
    older = get(f"events?most=2&before={newest['older']}")
    assert len({line["event"] for leaf in (newest, older) for line in leaf["lines"]}) == 4
    assert get(f"events/{newest['lines'][0]['event']}")["event"] == newest["lines"][0]["event"]
    assert get("first-steps") and get("filling")


def test_what_is_it_and_the_calculators_are_there_too(here: Visitor) -> None:
    """The same answers as the actions give; what can hurt and what never stand before the money."""

    def get(path: str) -> Any:
        answer = here.client.get(f"/api/{path}")
        assert answer.status_code == 200, answer.text
        assert answer.text.index('"cautions"') < answer.text.index('"bin"' if path.startswith("id") else '"rows"')
        return answer.json()

    found = get("identify?context=taps&answer=look=bright&answer=magnet=none&mass=2%20lb")
    told = plain(identify(_prices(here), "taps", LOOKED, 2 * 0.45359237, confirmed(here.book, "taps")))
    assert [line["chance"] for line in found["materials"]] == pytest.approx([m["chance"] for m in told["materials"]])
    assert found["bin"] == told["bin"] and found["never"] == told["never"] and found["tests"]
    assert {one["id"] for one in here.client.get("/api/key").json()["contexts"]} == set(shipped().key.contexts)
    boards = here.client.get("/api/guides/boards?feature=green&feature=cpu-socket&feature=slots").json()
    assert boards["matches"][0]["grade"] == "board-pc" and boards["matches"][0]["spoils"]
    assert get("wire?size=12&weighs=45%20g&length=1%20m")["recovery"]["likely"] == pytest.approx(0.653, abs=0.002)
    assert get("density?in_air=8.630%20g&in_water=7.800%20g")["left"]
    assert get("battery?chemistry=li-ion&rating=36%20V&rating=10%20Ah")["wh"] == 360.0
    assert get("capacitor?rating=1%20uF&rating=2100%20V")["wait_seconds"] is None
    assert get("scale?load=140%20lb&division=0.05%20lb&country=us&class=III")["scale_class"] == "III"
    motor = get("motor?mass=9%20lb&sealed=0.38/lb&copper=3.60/lb&minutes=12&wage=15")
    assert motor["answer"] in {"open", "leave", "close"}
    assert get("stainless?pull=weak")["left"]
    card = here.client.get("/api/cautions/hv-capacitor").json()
    assert "microwave" in {kind["id"] for kind in card["kinds"]} and card["card"]["rule"]
    place = here.client.get("/api/place").json()
    assert place["note"].startswith("Never advice") and {line["standing"] for line in place["cards"]} >= {"look again"}


LOOKED = {"look": "bright", "magnet": "none"}


def _prices(here: Visitor) -> Any:
    return scenario_from_book(here.book, NOW.date(), counting=False, waiting={})


WRONG = (
    ("identify?context=nowhere", 422),
    ("identify?answer=magnet", 422),
    ("identify?answer=magnet=none&answer=magnet=strong", 422),
    ("identify?mass=heaps", 422),
    ("guides/nope", 404),
    ("guides/boards?feature=nope", 422),
    ("density?in_air=8%20g", 422),
    ("battery?chemistry=gold", 422),
    ("capacitor?rating=400%20V", 422),
    ("wire", 422),
    ("scale?load=5%20lb&division=0", 422),
    ("stainless?pull=some", 400),
)


@pytest.mark.parametrize(("path", "status"), WRONG)
def test_what_the_calculators_do_not_take(here: Visitor, path: str, status: int) -> None:
    told = problem(here.client.get(f"/api/{path}"), status)
    assert told["expected"] and told["where"]


# -- questions ----------------------------------------------------------------------------------

GAP = {"find": "bread-machine-6", "operations": ["lift-pan"], "pieces": [{"piece": "pan", "mass": "0.7 kg"}]}
TWICE = {
    "buyer": "harbour-yard",
    "lines": [{"grade": "copper-2", "mass": "1.9 lb", "price": "4 /lb", "amount": "9.00"}],
}
QUESTIONS = [
    ("/api/open", GAP, "gap", ["loss", "residue", "left"], "left"),
    ("/api/move", {"bin": "copper-2", "to": "brass-taps", "mass": "10 g"}, "regrade", ["yes"], "yes"),
    ("/api/ticket", TWICE, "as_printed", ["yes"], "yes"),
    (
        "/api/paid",
        {"buyer": "harbour-yard", "amount": "500", "ticket": "ticket-16"},
        "as_printed",
        ["yes"],
        True,
    ),
    ("/api/sell", {"find": "router-8", "price": "2"}, "mass", [], "0.4 kg"),
]


@pytest.mark.parametrize(("path", "body", "option", "answers", "answer"), QUESTIONS, ids=lambda value: str(value)[:20])
def test_a_question_is_asked_and_its_answer_goes_into_the_body(
    here: Visitor, path: str, body: dict[str, Any], option: str, answers: list[str], answer: object
) -> None:
    before = here.count()
    asked = problem(post(here, path, body), 409)
    assert asked["option"] == option and asked["where"]
    assert set(answers) <= {choice["answer"] for choice in asked["choices"]}
    assert all(choice["means"] for choice in asked["choices"]) and here.count() == before
    assert post(here, path, {**body, option: answer}).status_code == 200
    assert here.count() > before


def test_a_price_list_is_read_asked_about_answered_and_saved_whole(here: Visitor) -> None:
    said = {"buyer": "harbour-yard", "text": "copper 4.10, motors 38c"}
    before = here.count()
    first, second = post(here, "/api/quotes/preview", said).json()
    assert first["row"]["question"] and not second["row"]["question"]
    assert {choice["answer"] for choice in first["choices"]} == {"copper-1", "copper-2", "all of these", "leave out"}
    assert "No. 1 copper" in problem(post(here, "/api/quotes", said), 422)["given"]
    assert here.count() == before
    answered = {**said, "answers": [{"position": 1, "answer": "copper-2"}]}
    assert [row["row"]["status"] for row in post(here, "/api/quotes/preview", answered).json()] == ["understood"] * 2
    saved = post(here, "/api/quotes", answered).json()
    assert [quote["grade"] for quote in saved["told"]["quotes"]] == ["copper-2", "motors"]
    assert here.count() == before + 3  # and what "copper" means there for whoever answered


# -- refused, and not there ---------------------------------------------------------------------


def test_a_refusal_says_what_was_given_what_was_expected_and_where(here: Visitor) -> None:
    before = here.count()
    told = problem(post(here, "/api/weigh", {"find": "fan-14", "mass": "heavy"}), 422)
    assert "heavy" in told["given"] and "mass" in told["expected"] and told["where"] == "mass"
    later = problem(post(here, "/api/find", {**FIND, "on": "2031-01-01"}), 422)
    assert "1 January 2031" in later["given"] and "in the future" in later["detail"]
    assert here.count() == before


@pytest.mark.parametrize(
    "path",
    [
        *(f"/api/{names}/nope" for names in ("finds", "bins", "buyers", "tickets", "kinds", "grades", "cautions")),
        "/api/plan/nope",
        "/api/nope",
    ],
)
def test_a_name_that_leads_nowhere(here: Visitor, path: str) -> None:
    problem(here.client.get(path), 404)


def test_a_method_that_an_address_does_not_take_is_answered_with_those_it_takes(here: Visitor) -> None:
    """RFC 9110, 15.5.6 and 10.2.1: Allow lists what the resource takes, here two routes of one address."""
    answer = here.client.put("/api/quotes", json={})
    problem(answer, 405)
    assert answer.headers["allow"] == "GET, POST"


def test_a_ledger_that_cannot_be_reached(here: Visitor, monkeypatch: pytest.MonkeyPatch) -> None:
    from partway.storage.refusals import BadLedger

    def gone(*_: object) -> None:
        raise BadLedger("a full disk", "room for one more event", "ledger")

    monkeypatch.setattr(here.book, "append", gone)
    key = {"idempotency_key": '"full"'}
    problem(post(here, "/api/find", FIND, **key), 503)
    monkeypatch.undo()
    assert post(here, "/api/find", FIND, **key).status_code == 200  # it may be tried again under the same key


# -- once only ----------------------------------------------------------------------------------


def test_the_same_request_with_its_key_is_carried_out_once(here: Visitor) -> None:
    before = here.count()
    first = post(here, "/api/find", FIND, idempotency_key='"one"')
    again = post(here, "/api/find", FIND, idempotency_key='"one"')
    assert (first.status_code, first.content) == (again.status_code, again.content)
    assert again.headers["content-type"] == first.headers["content-type"]
    assert here.count() == before + 1


def test_without_a_key_it_is_carried_out_as_often_as_it_is_sent(here: Visitor) -> None:
    before = here.count()
    assert [post(here, "/api/find", FIND).status_code for _ in range(2)] == [200, 200]
    assert here.count() == before + 2


def test_a_key_does_not_serve_for_another_request(here: Visitor) -> None:
    before = here.count()
    assert post(here, "/api/find", FIND, idempotency_key='"two"').status_code == 200
    for path, body in (("/api/find", {"kind": "kettle"}), ("/api/discard", {"find": "fan-14"})):
        assert problem(post(here, path, body, idempotency_key='"two"'), 422)["where"] == "Idempotency-Key"
    assert here.count() == before + 1


def test_a_refusal_is_answered_again_too(here: Visitor) -> None:
    """The draft's "success or an error": the bin that is there by now changes nothing."""
    body = {"bin": "later", "mass": "1 kg"}
    refused = post(here, "/api/recount", body, idempotency_key='"three"')
    problem(refused, 422)
    assert post(here, "/api/bin", {"grade": "copper-2", "bin": "later"}).status_code == 200
    assert post(here, "/api/recount", body, idempotency_key='"three"').content == refused.content
    assert post(here, "/api/recount", body, idempotency_key='"four"').status_code == 200


def test_while_it_is_being_answered_its_twin_has_to_wait(here: Visitor) -> None:
    """The first is held up by another writer; the second comes meanwhile."""
    before, answers = here.count(), []
    sender = threading.Thread(
        target=lambda: answers.append(post(here, "/api/find", FIND, idempotency_key='"five"').status_code)
    )
    with here.book.deciding():
        sender.start()
        until(lambda: '"five"' in here.app.state.once.under_way())
        for _ in range(20):  # long enough for a first that nothing holds up to be answered
            assert "second time" in problem(post(here, "/api/find", FIND, idempotency_key='"five"'), 409)["given"]
    sender.join(SOON)
    assert answers == [200] and here.count() == before + 1
    assert post(here, "/api/find", FIND, idempotency_key='"five"').status_code == 200
    assert here.count() == before + 1


@pytest.mark.parametrize("key", ["bare", '""', '"', '"a" "b"', '"' + "a" * 129 + '"', '"é"', ":aGk=:"])
def test_a_key_is_a_text_in_quotes(here: Visitor, key: str) -> None:
    before = here.count()
    answer = here.client.post("/api/find", json=FIND, headers=[(b"idempotency-key", key.encode())])
    assert "Idempotency-Key" in problem(answer, 400)["where"] and here.count() == before


def test_the_oldest_keys_are_forgotten_and_none_that_is_under_way() -> None:
    once = Once(most=2)
    assert once.begin("open", "digest") is None
    for key in ("a", "b", "c"):
        assert once.begin(key, "digest") is None
        once.end(key, "digest", post_nothing())
    assert once.begin("a", "digest") is None  # forgotten
    assert once.begin("c", "digest") is not None
    assert once.under_way() == {"open", "a"}


def post_nothing() -> Any:
    from fastapi.responses import Response as Sent

    return Sent(b"{}")


# -- from here, and JSON ------------------------------------------------------------------------


@pytest.mark.parametrize("path", POSTS)
@pytest.mark.parametrize("headers", [{"sec-fetch-site": "cross-site"}, {"origin": "http://yard.example"}])
def test_another_sites_page_writes_nothing(here: Visitor, path: str, headers: dict[str, str]) -> None:
    before = here.count()
    problem(here.client.post(path, json=POSTS[path], headers=headers), 403)
    assert here.count() == before


def test_another_sites_page_stops_no_plan(here: Visitor) -> None:
    problem(here.client.delete("/api/plan/nope", headers={"sec-fetch-site": "cross-site"}), 403)


@pytest.mark.parametrize("path", POSTS)
@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", "", None])
def test_a_body_is_json_and_says_so(here: Visitor, path: str, kind: str | None) -> None:
    """The types another site's form can send without being asked first (Fetch standard, CORS-safelisted)."""
    before = here.count()
    headers = {} if kind is None else {"content-type": kind}
    problem(here.client.post(path, content=json.dumps(POSTS[path]).encode(), headers=headers), 415)
    assert here.count() == before


def test_json_may_name_its_coding(here: Visitor) -> None:
    headers = {"content-type": "application/json; charset=utf-8"}
    assert here.client.post("/api/find", content=b'{"kind": "fan"}', headers=headers).status_code == 200


def test_strangers_and_other_names_are_answered_in_json_too(tmp_path: Path) -> None:
    with visitor(tmp_path, key="abc") as locked:
        problem(locked.client.get("/api/today"), 401)
        problem(locked.client.get("/api/today", headers={"host": "yard.example"}), 400)


# -- hostile ------------------------------------------------------------------------------------

DEEP = 200_000
HOSTILE = {
    "nothing": b"",
    "half": b'{"kind": ',
    "NaN": b'{"kind": NaN}',
    "infinity": b'{"count": Infinity, "kind": "fan"}',
    "beyond floats": b'{"kind": "fan", "count": 1e999}',
    "a long number": b'{"kind": "fan", "count": ' + b"9" * 100_000 + b"}",
    "deep lists": b"[" * DEEP + b"]" * DEEP,
    "deep tables": b'{"a":' * DEEP + b"1" + b"}" * DEEP,
    "no UTF-8": b'{"kind": "\xff"}',
    "UTF-16": '{"kind": "fan"}'.encode("utf-16"),
    "half a pair": b'{"kind": "\\ud800"}',
    "a null byte": b'{"kind": "f\\u0000an"}',
    "a list": b"[1]",
    "a text": b'"fan"',
    "null": b"null",
    "a name twice": b'{"kind": "fan", "kind": "kettle"}',
    "an unknown field": b'{"kind": "fan", "mas": "1 kg"}',
    "a number for a text": b'{"kind": 5}',
    "a text for a number": b'{"kind": "fan", "count": "some"}',
    "half a find": b'{"kind": "fan", "count": 1.5}',
    "true finds": b'{"kind": "fan", "count": true}',
    "ten megabytes": b'{"kind": "' + b"a" * 10_000_000 + b'"}',
    "ten megabytes of fields": b'{"kind": "fan"' + b"".join(b', "%d": 1' % n for n in range(800_000)) + b"}",
}


@pytest.mark.parametrize("body", HOSTILE.values(), ids=HOSTILE.keys())
def test_what_is_not_understood_writes_nothing(here: Visitor, body: bytes) -> None:
    before = here.count()
    for key in ({}, {"Idempotency-Key": '"hostile"'}):
        answer = here.client.post("/api/find", content=body, headers={"content-type": "application/json", **key})
        told = problem(answer, answer.status_code)
        assert answer.status_code in {400, 422} and len(answer.content) < 2000
        assert told["given"] and told["expected"]
    assert here.count() == before


NASTY = [
    "\0",
    "\x1b[2J",
    "\u202efan",
    "😀" * 200,
    "' OR 1=1 --",
    "<script>alert(1)</script>",
    "../../etc",
    "%00",
    "-0",
    "1e9",
]


@pytest.mark.parametrize("path", WRITES)
def test_hostile_texts_are_never_a_fault_of_ours(here: Visitor, path: str) -> None:
    """Each text of a body in turn is replaced by each of these: taken as text or refused, nothing else."""
    for name, value in WRITES[path].items():
        if not isinstance(value, str):
            continue
        for nasty in NASTY:
            answer = post(here, path, {**WRITES[path], name: nasty})
            assert answer.status_code in {200, 400, 409, 422}, answer.text


def test_hostile_parameters_are_never_a_fault_of_ours(here: Visitor) -> None:
    """Each parameter of each address that reads, with each of these."""
    paths = here.client.get("/api/openapi.json").json()["paths"]
    for path, methods in paths.items():
        for parameter in methods.get("get", {}).get("parameters", ()):
            for nasty in NASTY:
                within = parameter["in"] == "path"
                where = path.replace("{" + parameter["name"] + "}", quote(nasty, safe="")) if within else path
                given = {} if within else {"kind": "fan", parameter["name"]: nasty}
                answer = here.client.get(where, params=given)
                # 409: a question; whatever has letters in it may be the name of a thing that no kind is
                assert answer.status_code in {200, 400, 404, 409, 422}, (path, parameter["name"], answer.text)


def test_a_body_without_end_is_not_read_to_its_end(here: Visitor) -> None:
    read = 0

    def endless() -> Iterator[bytes]:
        nonlocal read
        while read < 10 * guard.BODY_MOST:
            read += 1_000_000
            yield b" " * 1_000_000

    before = here.count()
    answer = here.client.post("/api/find", content=endless(), headers={"content-type": "application/json"})
    assert answer.status_code == 413 and here.count() == before


def test_a_body_that_says_it_is_too_long(here: Visitor) -> None:
    headers = {"content-type": "application/json", "content-length": str(guard.BODY_MOST + 1)}
    problem(here.client.post("/api/find", content=b"{}", headers=headers), 413)


# -- plans --------------------------------------------------------------------------------------


def test_an_accepted_trip_is_a_haul_with_the_plans_lots(here: Visitor) -> None:
    for haul in trading.started(here.book):  # what is on board of one cannot be promised to another
        post(here, "/api/haul/finish", {"haul": haul})
    bins.recount(here.book, here.context(), "copper-2", 40_000_000)
    over = watched(here, post(here, "/api/plan", {"bench": 0, "away": 4, "trips": 1, "seconds": 30, "wage": 1}))
    where = f"/api/plan/{over['id']}"
    assert over["plan"]["routes"]
    sheet = here.client.get(f"{where}/load/1").json()
    assert [stop["buyer"] for stop in sheet["stops"]] == over["plan"]["routes"][0]
    drawn = here.client.get(f"{where}/map").json()
    assert len(drawn["ways"]) == 1 if len(over["plan"]["routes"][0]) > 1 else drawn is None  # one place needs no map
    problem(here.client.get(f"{where}/load/2"), 404)
    problem(post(here, f"{where}/accept/1", {}), 409)  # it counts on what is still in finds
    told = post(here, f"{where}/accept/1", {"unopened": True}).json()["told"]
    assert told["stops"] == over["plan"]["routes"][0]
    haul = here.client.get(f"/api/hauls/{told['haul']}").json()
    assert haul["planned"] and [stop["buyer"] for stop in haul["stops"]] == told["stops"]


def until(holds: Any) -> None:
    """Wait for something; fails where it does not come."""
    end = time.monotonic() + SOON
    while not holds():
        assert time.monotonic() < end
        time.sleep(0.01)


def watched(here: Visitor, answer: Response) -> dict[str, Any]:
    """A plan once it is over."""
    assert answer.status_code == 202, answer.text
    where = answer.headers["location"]
    assert where == f"/api/plan/{answer.json()['id']}"
    until(lambda: here.client.get(where).json()["state"] in {"done", "stopped", "failed"})
    found: dict[str, Any] = here.client.get(where).json()
    return found


def test_a_plan_from_the_ledger_is_the_plan(here: Visitor) -> None:
    over = watched(here, post(here, "/api/plan", {"bench": 1, "away": 2, "trips": 1, "seconds": 30}))
    assert over["state"] == "done" and not over["error"]
    jsonschema.validate(over["plan"], report_schema("plan"))
    from partway.actions.haul.scenario import Overrides

    scenario = scenario_to_plan(here.book, NOW.date(), Overrides(1, 2, None, 1))  # less what hauls have along
    assert over["plan"]["objective"] == pytest.approx(plan(scenario, Limits(30)).objective)
    assert over["progress"]["objective"] <= over["progress"]["bound"] + 1e-6


def test_the_ledgers_scenario_sent_back_gives_the_same_plan(here: Visitor) -> None:
    document = here.client.get("/api/scenario").json()
    document["hours"] |= {"bench": 1, "away": 2, "trips": 1}
    sent = watched(here, here.client.post("/api/plan/scenario?seconds=30", json=document))
    own = watched(here, post(here, "/api/plan", {"bench": 1, "away": 2, "trips": 1, "seconds": 30}))
    assert sent["plan"]["objective"] == pytest.approx(own["plan"]["objective"])
    assert sent["plan"]["routes"] == own["plan"]["routes"]


def test_depth_is_the_same_from_the_ledger_and_from_its_scenario(here: Visitor) -> None:
    document = here.client.get("/api/scenario").json()
    own = here.client.get("/api/depth?kind=microwave&works=no&mass=13 kg").json()
    sent = here.client.post("/api/depth/scenario?kind=microwave&works=no&mass=13 kg", json=document).json()
    jsonschema.validate(own, report_schema("depth"))
    assert sent["value"] == pytest.approx(own["value"]) and sent["verdict"] == own["verdict"]


@pytest.mark.parametrize(
    ("where", "change"),
    [
        ("body: scenario.on", {"scenario": {"name": "", "currency": "CAD", "on": "2026-02-31"}}),
        ("body: hours.bench", {"hours": {"bench": -1, "away": 1, "wage": 0}}),
        ("body: find[fan].kind", {"find": [{"kind": "fann"}]}),
    ],
)
def test_a_scenario_that_does_not_hold_together_is_refused_with_its_place(
    here: Visitor, where: str, change: dict[str, Any]
) -> None:
    document = here.client.get("/api/scenario").json() | change
    told = problem(here.client.post("/api/plan/scenario", json=document), 422)
    assert told["where"].startswith(where.partition("[")[0]), told


class Patient:
    """Finds something at once and better things never: it has to be stopped."""

    def __init__(self) -> None:
        self.task: Task | None = None
        self.stopped = False

    def ask(self, task: Task) -> None:
        self.task = task

    def hear(self, seconds: float) -> Heard | None:
        time.sleep(min(seconds, 0.01))
        if not self.stopped or self.task is None:
            return Progress(1.0, 2.0, 0.5)
        return SearchDone(plan(self.task.scenario, Limits(2)), whole=False)

    def stop(self) -> None:
        self.stopped = True

    def end(self) -> None:
        pass


def scenario_of(bench: float) -> dict[str, Any]:
    """A scenario as small as one can be."""
    return {
        "scenario": {"name": "", "currency": "CAD", "on": "2026-03-14"},
        "hours": {"bench": bench, "away": 1, "wage": 0},
    }


def test_a_plan_that_is_stopped_answers_with_what_it_has(tmp_path: Path) -> None:
    with visitor(tmp_path) as here:
        here.app.state.partway.jobs = Jobs(Patient)
        where = post(here, "/api/plan/scenario", scenario_of(1)).headers["location"]
        until(lambda: here.client.get(where).json()["progress"])
        assert here.client.get(where).json()["progress"] == {"objective": 1.0, "bound": 2.0, "gap": 1.0, "seconds": 0.5}
        other = post(here, "/api/plan/scenario", scenario_of(2)).json()
        assert (other["state"], other["ahead"]) == ("waiting", 1)  # nobody's plan takes another's place
        assert here.client.delete(f"/api/plan/{other['id']}").json()["state"] == "stopped"
        assert here.client.delete(where).status_code == 202
        until(lambda: here.client.get(where).json()["state"] == "stopped")
        jsonschema.validate(here.client.get(where).json()["plan"], report_schema("plan"))


# -- the document and its page ------------------------------------------------------------------


def test_every_answer_that_is_not_a_yes_is_problem_details(here: Visitor) -> None:
    document = here.client.get("/api/openapi.json").json()
    for path, methods in document["paths"].items():
        for method, said in methods.items():
            kinds = {s: set(a["content"]) for s, a in said["responses"].items() if not s.startswith("2")}
            assert {"400", "401", "422", "503"} <= set(kinds), path
            assert all(kind == {"application/problem+json"} for kind in kinds.values()), path
            assert method == "get" or "403" in kinds


def test_every_report_is_stated_whole(here: Visitor) -> None:
    """All fields and no other, so that schemathesis sees each one that is missing or new."""
    schemas = here.client.get("/api/openapi.json").json()["components"]["schemas"]
    for name in ("Today", "Stock", "Plan", "Depth", "FindResult", "Ticketed", "Anatomy"):
        assert schemas[name]["additionalProperties"] is False
        assert set(schemas[name]["required"]) == set(schemas[name]["properties"])


def test_every_field_that_is_sent_says_what_it_is(here: Visitor) -> None:
    document = here.client.get("/api/openapi.json").json()
    for path in WRITES:
        silent = [n for n, f in _body_of(document, path)["properties"].items() if not f.get("description")]
        assert silent == [], path


def test_the_page_shows_every_address_and_loads_nothing_from_elsewhere(here: Visitor) -> None:
    html, document = here.open("/api"), here.client.get("/api/openapi.json").json()
    for path, methods in document["paths"].items():
        assert all(f"<b>{method.upper()}</b> {path}</code>" in html for method in methods), path
    assert "http://" not in html and "https://" not in html and "//" not in html.replace("//localhost", "")


def test_every_thing_has_its_fields_on_a_page(here: Visitor) -> None:
    schemas = here.client.get("/api/openapi.json").json()["components"]["schemas"]
    for name, schema in schemas.items():
        page = here.open(f"/api?thing={name}")
        assert all(f"<code>{field}</code>" in page for field in schema.get("properties", ()))
    here.open("/api?thing=nope", 404)


def test_a_bare_number_is_asked_about_as_a_list_asks(here: Visitor) -> None:
    """41 may be of whole units or of cents: a list knows by an older price, or asks; written whole it stays."""
    asked = known = 0
    for grade, price in (("motors", "41"), ("al-cast", "8"), ("light-iron", "8"), ("brass-yellow", "2.45")):
        said = {"buyer": "harbour-yard", "grade": grade, "price": price}
        (read,) = post(here, "/api/quotes/preview", {"buyer": "harbour-yard", "text": f"{grade} {price}"}).json()
        answer = post(here, "/api/quote", said)
        keys = {choice["answer"] for choice in read["choices"]}
        asked, known = asked + bool(keys), known + (not keys)
        if keys:
            told = problem(answer, 409)
            assert told["option"] == "price" and {choice["answer"] for choice in told["choices"]} == keys
            answer = post(here, "/api/quote", said | {"price": next(key for key in sorted(keys) if "/" in key)})
        assert answer.status_code == 200, answer.text
    assert asked and known
    whole = post(here, "/api/quote", {"buyer": "harbour-yard", "grade": "motors", "price": "41 /lb"})
    assert whole.json()["told"]["quotes"][0]["price"] == "41"
