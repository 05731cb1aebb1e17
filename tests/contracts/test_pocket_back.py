"""What a phone noted without signal comes back: done once, in words, and never half."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from api_day import DAY
from app_client import NOW, Visitor, visitor
from click.testing import CliRunner
from noted import EVENING, MORNING, Phone, handed

from partway.actions.bench import finds, selling
from partway.actions.bins import bins
from partway.actions.books.corrections import correct
from partway.actions.home.settings import set_
from partway.actions.recording.context import Context, Recorded
from partway.cli.app import cli
from partway.errors import LedgerRefuses, ToSettle
from partway.ledger.book import Book
from partway.ledger.events.ids import new_id
from partway.ledger.memory import MemoryBook
from partway.ledger.workspaces import workspace_id
from partway.storage.exchange.union import of_book, unite
from partway.web.pocket.acts import ACTS

BACK = "/pocket/back"


@pytest.fixture
def v(tmp_path: Any) -> Iterator[Visitor]:
    with visitor(tmp_path) as made:
        for name, value in {"currency": "CAD", "unit": "lb"}.items():
            made.client.post("/api/set", json={"name": name, "value": value})
        yield made


def back(v: Visitor, phone: Phone, workspace: str | None = None) -> Any:
    sent = phone.sent(workspace_id(v.book) if workspace is None else workspace)
    return v.client.post(BACK, json=sent)


def test_a_day_away_is_done_in_its_order_and_once(v: Visitor) -> None:
    phone, before = Phone(), v.count()
    kettle = phone.note("found", kind="microwave", source="harbour street")
    phone.note("tested", find=f"@{kettle}", works="no")
    phone.note("spent", what="fuel", amount="30", category="fuel")
    first = back(v, phone)
    assert first.status_code == 200, first.text
    results = first.json()["results"]
    assert [one["outcome"] for one in results] == ["done"] * 3, results
    name = results[0]["name"]
    assert v.book.facts(f"find:{name}", "works") == {(f"find:{name}", "works"): "no"}
    count = v.count()
    again = back(v, phone).json()["results"]
    assert [one["outcome"] for one in again] == ["already"] * 3
    assert [one["undo"] for one in again] == [one["undo"] for one in results]
    assert v.count() == count > before


def results(v: Visitor, phone: Phone) -> list[dict[str, Any]]:
    answer = back(v, phone)
    assert answer.status_code == 200, answer.text
    found: list[dict[str, Any]] = answer.json()["results"]
    assert [one["id"] for one in found] == [entry["id"] for entry in phone.noted]
    return found


def desk(at: dt.datetime) -> Context:
    return Context("desk", lambda: at, new_id, exact=True)


# -- the same action as the JSON interface ------------------------------------------------------

ADDRESSES = {
    "found": "/api/find",
    "tested": "/api/test",
    "weighed": "/api/weigh",
    "quoted": "/api/quote",
    "refused": "/api/quote",
    "ticketed": "/api/ticket",
    "sold": "/api/sell",
    "spent": "/api/spend",
    "worked": "/api/hours",
    "noted": "/api/note",
    "said": "/api/say",
}


def test_every_sort_of_entry_has_its_address() -> None:
    assert ADDRESSES.keys() == ACTS.keys()


def test_each_entry_does_what_its_address_does(tmp_path: Path) -> None:
    """On two copies of the demo workspace: what one is asked by JSON, the other takes from a phone, then."""
    bodies = {written.path: written.body for written in DAY}
    bodies["/api/say"] = {"text": "found two microwaves, one works. fuel forty bucks", "save": True}
    said: list[list[Any]] = []
    for side in ("asked", "noted"):
        with visitor(tmp_path / side, demo=True) as v:
            before = {event.id for event in v.book.recorded()}
            phone = Phone(NOW)
            for what, path in ADDRESSES.items():
                body = {**bodies[path], "price": "no"} if what == "refused" else bodies[path]
                if side == "asked":
                    assert v.client.post(path, json=body).status_code == 200
                else:
                    phone.note(what, 0, **body)
            if side == "noted":
                assert {one["outcome"] for one in results(v, phone)} == {"done"}
            said.append([e.what for e in v.book.recorded() if e.id not in before])
    assert said[0] == said[1]
    assert len(said[0]) > len(ADDRESSES)


# -- what breaks --------------------------------------------------------------------------------


def test_an_entry_that_breaks_is_kept_and_those_behind_it_go_on(v: Visitor, monkeypatch: pytest.MonkeyPatch) -> None:
    """What broke had recorded something already: nothing of it stays. What speaks of it waits."""
    phone, found = Phone(), ACTS["found"]

    def breaks(book: Book, context: Context, given: Mapping[str, Any]) -> Recorded[Any]:
        done = found(book, context, given)
        if given["kind"] == "fan":
            raise ZeroDivisionError
        return done

    phone.note("found", kind="microwave")
    fan = phone.note("found", kind="fan")
    phone.note("tested", find=f"@{fan}", works="no")
    phone.note("spent", what="fuel", amount="30")
    with monkeypatch.context() as broken:
        broken.setitem(ACTS, "found", breaks)
        first = results(v, phone)
        assert [one["outcome"] for one in first] == ["done", "failed", "refused", "done"]
        assert "kept" in first[1]["words"]
        assert not v.book.facts("find:fan-1")
        assert [one["outcome"] for one in results(v, phone)] == ["already", "failed", "refused", "already"]
    count = v.count()
    assert [one["outcome"] for one in results(v, phone)] == ["already", "done", "done", "already"]
    assert v.book.facts("find:fan-1", "works") == {("find:fan-1", "works"): "no"}
    assert v.count() == count + 2, "the fan and its test, each once"


def test_what_cannot_be_written_at_all_stops_the_list(v: Visitor, monkeypatch: pytest.MonkeyPatch) -> None:
    """A ledger that cannot be written is no fault of an entry: none of them is said to have failed."""

    def full(*_: Any) -> Recorded[Any]:
        raise LedgerRefuses("a full disk", "room", "ledger")

    phone = Phone()
    phone.note("spent", what="fuel", amount="30")
    monkeypatch.setitem(ACTS, "spent", full)
    answer = back(v, phone)
    assert answer.status_code >= 400
    assert "results" not in answer.json()


# -- refused and asked --------------------------------------------------------------------------


def test_what_is_refused_leaves_nothing_and_comes_back_changed(v: Visitor) -> None:
    phone, before = Phone(), v.count()
    phone.note("found", kind="fan", mass="as much as a cow")
    (one,) = results(v, phone)
    assert one["outcome"] == "refused"
    assert (one["field"], one["given"]) == ("mass", '"as much as a cow"')
    assert one["expected"]
    assert one["words"].startswith("mass: ")
    assert v.count() == before
    phone.noted[0]["body"]["mass"] = "4 lb"
    assert results(v, phone)[0]["outcome"] == "done"
    assert v.count() > before


@pytest.mark.parametrize(
    ("body", "field"),
    [({"kind": "fan", "colour": "red"}, "colour"), ({}, "kind"), ({"kind": "fan", "count": 0}, "count")],
)
def test_a_body_that_its_address_would_not_take_is_refused_by_itself(
    v: Visitor, body: dict[str, Any], field: str
) -> None:
    phone = Phone()
    phone.note("found", **body)
    phone.note("found", kind="fan")
    first, second = results(v, phone)
    assert (first["outcome"], first["field"], second["outcome"]) == ("refused", field, "done")


def test_what_is_asked_is_answered_under_the_same_id(v: Visitor) -> None:
    phone, before = Phone(), v.count()
    phone.note("found", kind="a box of wet sand")
    (one,) = results(v, phone)
    assert one["outcome"] == "asked"
    assert v.count() == before
    assert {"value", "words"} == one["choices"][0].keys()
    phone.noted[0]["body"][one["field"]] = one["choices"][0]["value"]
    assert results(v, phone)[0]["outcome"] == "done"


def test_a_line_that_asks_is_answered_by_the_name_of_its_question(v: Visitor) -> None:
    for _ in range(2):
        finds.find(v.book, desk(NOW), "fan", mass="4 lb")
    phone = Phone()
    phone.now = NOW
    phone.note("said", 0, text="the fan works")
    (one,) = results(v, phone)
    assert (one["outcome"], one["field"]) == ("asked", "1.find")
    phone.noted[0]["body"]["answers"] = [{"option": one["field"], "answer": one["choices"][0]["value"]}]
    assert results(v, phone)[0]["outcome"] == "done"


def test_a_find_that_nobody_knows_is_asked_about_with_near_ones(v: Visitor) -> None:
    finds.find(v.book, desk(NOW - dt.timedelta(hours=12)), "microwave", mass="30 lb")
    phone = Phone()
    phone.note("tested", find="microwave-9", works="yes")
    (one,) = results(v, phone)
    assert (one["outcome"], one["field"]) == ("asked", "find")
    assert [choice["value"] for choice in one["choices"]] == ["microwave-1"]
    phone.noted[0]["body"]["find"] = "microwave-1"
    assert results(v, phone)[0]["outcome"] == "done"


def test_a_find_whose_own_entry_was_refused(v: Visitor) -> None:
    phone = Phone()
    find = phone.note("found", kind="fan", mass="no mass")
    phone.note("tested", find=f"@{find}", works="yes")
    first, second = results(v, phone)
    assert (first["outcome"], second["outcome"], second["field"]) == ("refused", "refused", "find")
    assert "its own entry comes first" in second["words"]
    assert find not in second["words"], "an id tells people nothing"
    phone.noted[0]["body"]["mass"] = "4 lb"
    assert [one["outcome"] for one in results(v, phone)] == ["done", "done"]


# -- clocks -------------------------------------------------------------------------------------


def test_a_clock_that_stands_ahead_is_taken_as_now_and_said(v: Visitor) -> None:
    phone = Phone(NOW + dt.timedelta(days=1))
    find = phone.note("found", kind="fan")
    phone.note("tested", find=f"@{find}", works="yes")
    ahead = results(v, phone)
    assert [one["outcome"] for one in ahead] == ["done", "done"]
    assert "The phone's clock stands 1 day ahead; this was recorded as of now." in ahead[0]["more"]
    for event in v.book.recorded():
        assert event.happened <= NOW
    assert list(v.book.facts(f"find:{ahead[0]['name']}", "works").values()) == ["yes"]


@pytest.mark.parametrize("days", [1, 700])
def test_what_was_noted_long_ago_happened_then(v: Visitor, days: int) -> None:
    phone = Phone(NOW - dt.timedelta(days=days))
    phone.note("spent", 0, what="fuel", amount="30")
    (one,) = results(v, phone)
    assert one["outcome"] == "done"
    assert not one["more"]
    (event,) = v.book.events(("spent",))
    assert (event.happened, event.typed) == (NOW - dt.timedelta(days=days),) * 2


def test_a_clock_that_stands_behind_speaks_of_what_was_found_since(v: Visitor) -> None:
    """The find was made at the desk, an hour after the phone says that it was tested: the test counts all the same."""
    finds.find(v.book, desk(NOW - dt.timedelta(hours=1)), "fan", works="no")
    phone = Phone(NOW - dt.timedelta(days=1))
    phone.note("tested", find="fan-1", works="yes")
    assert results(v, phone)[0]["outcome"] == "done"
    assert v.book.facts("find:fan-1", "works") == {("find:fan-1", "works"): "yes"}


def test_the_order_of_what_happened_goes_by_the_time_of_noting(v: Visitor) -> None:
    """A price heard in the morning comes in after the one that the desk heard at noon: the desk's stands."""
    v.client.post("/api/buyer", json={"buyer": "ridge-yard", "kind": "yard", "km": "3"})
    phone = Phone(NOW - dt.timedelta(hours=10))
    phone.note("quoted", buyer="ridge-yard", grade="copper-2", price="3.80 /lb")
    v.client.post("/api/quote", json={"buyer": "ridge-yard", "grade": "copper-2", "price": "4.10 /lb"})
    assert results(v, phone)[0]["outcome"] == "done"
    assert '"price":"4.10"' in "".join(v.book.facts("quote:ridge-yard", "heard").values())


# -- two phones and the desk --------------------------------------------------------------------


def test_two_phones_and_the_desk_on_one_find_and_one_bin(v: Visitor) -> None:
    """The find is given up at the desk while two phones test it; both put the same bin's copper on a ticket. What no
    longer fits is refused in words, a ticket is what was printed, and mass adds up.
    """
    early = desk(NOW - dt.timedelta(hours=12))
    finds.find(v.book, early, "microwave", mass="30 lb")
    bins.add_bin(v.book, early, "copper-2", holds="10 lb")
    v.client.post("/api/buyer", json={"buyer": "ridge-yard", "kind": "yard", "km": "3"})
    one, other = Phone(), Phone()
    one.note("tested", find="microwave-1", works="no")
    one.note(
        "ticketed", buyer="ridge-yard", lines=[{"grade": "copper-2", "mass": "6 lb", "price": "4 /lb", "own": "6 lb"}]
    )
    other.note("tested", find="microwave-1", works="yes", after=3)
    other.note(
        "ticketed", buyer="ridge-yard", lines=[{"grade": "copper-2", "mass": "6 lb", "price": "4 /lb", "own": "6 lb"}]
    )
    other.note("weighed", find="microwave-1", mass="29 lb")
    selling.discard(v.book, desk(NOW), "microwave-1")
    first, second = results(v, one), results(v, other)
    assert [r["outcome"] for r in first] == ["refused", "done"], first
    assert "nothing is left" in first[0]["words"]
    assert second[0]["outcome"] == "refused"
    assert second[1]["outcome"] == "done", "a yard's ticket is what it is"
    assert sum(v.book.balances().values()) == 0
    assert min(v.book.balances("bin:").values(), default=0) >= 0
    assert [one["outcome"] for one in results(v, other)] == ["refused", "already", "refused"]


def test_what_two_copies_disagree_about_is_listed_and_can_be_settled() -> None:
    """One copy gave the find up, the other took from a phone that it was sold: both stay until one is taken back."""
    one, other = MemoryBook(device="0000000a"), MemoryBook(device="0000000b")
    set_(one, desk(MORNING), "currency", "CAD")
    finds.find(one, desk(MORNING), "microwave", mass="30 lb")
    other.append(list(one.recorded()))
    selling.discard(one, desk(EVENING), "microwave-1")
    phone = Phone()
    phone.note("sold", find="microwave-1", price="25.00")
    (sold,) = handed(other, phone.intents())
    assert sold.outcome == "done"
    unite(one, of_book(other, "other"))
    assert "ended-twice" in [conflict.code for conflict in one.conflicts()]
    (given_up,) = one.events(("discarded",))
    correct(one, desk(EVENING), str(given_up.id), "it was sold")
    assert one.conflicts() == ()
    assert [answer.outcome for answer in handed(one, phone.intents())] == ["already"]


# -- put right at the desk ----------------------------------------------------------------------


def test_what_the_desk_put_right_stays_put_right(v: Visitor) -> None:
    phone = Phone()
    phone.note("found", kind="fan", mass="40 lb", sure="yes")
    phone.note("spent", what="fuel", amount="30")
    found, spent = results(v, phone)
    changed = {"events": found["undo"], "changes": {"mass": "4 lb"}}
    assert v.client.post("/api/correct", json=changed).status_code == 200
    assert v.client.post("/api/correct", json={"events": spent["undo"]}).status_code == 200
    count, held = v.count(), dict(v.book.balances())
    again = results(v, phone)
    assert [one["outcome"] for one in again] == ["already", "already"]
    assert all("taken back or put right since" in one["words"] for one in again)
    assert [one["undo"] for one in again] == [[], []]
    assert (v.count(), dict(v.book.balances())) == (count, held)


# -- whose it is --------------------------------------------------------------------------------


def test_entries_of_another_workspace_are_refused_by_name(tmp_path: Path) -> None:
    with visitor(tmp_path / "ours") as ours, visitor(tmp_path / "theirs") as theirs:
        for each, hours in ((ours, 2), (theirs, 30)):
            finds.find(each.book, desk(NOW - dt.timedelta(hours=hours)), "fan")
        phone, before = Phone(), ours.count()
        phone.note("found", kind="fan")
        answer = back(ours, phone, workspace_id(theirs.book))
        assert answer.status_code == 409
        assert answer.headers["content-type"] == "application/problem+json"
        told = answer.json()
        days = re.findall(r"begun on \d{1,2} [A-Z][a-z]+( \d{4})? at \d\d:\d\d", told["given"] + told["expected"])
        assert len(days) == 2, told
        assert ours.count() == before
        assert workspace_id(theirs.book) not in answer.text
        for nonsense in ("x", "019d0a43-0e60-7622-91e5-cf9e7dfcc5ce"):
            assert back(ours, phone, nonsense).status_code == 409
        assert ours.count() == before


def test_what_was_noted_before_there_was_anything_belongs_to_what_began_after(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        phone = Phone()
        phone.note("found", kind="fan")
        phone.note("found", kind="fan")
        whole, phone.noted = phone.noted, phone.noted[:1]
        assert [one["outcome"] for one in back(v, phone, "").json()["results"]] == ["done"]
        phone.noted = whole
        assert [one["outcome"] for one in back(v, phone, "").json()["results"]] == ["already", "done"]
        late = Phone(NOW + dt.timedelta(days=900))
        late.note("found", kind="fan")
        assert back(v, late, "").status_code == 409


@pytest.mark.parametrize(
    ("sent", "status"),
    [
        ({"schema": 2, "workspace": "", "intents": []}, 400),
        ({"schema": 1, "workspace": ""}, 400),
        ({"schema": 1, "workspace": "", "intents": [{"id": "x"}]}, 400),
        ([], 400),
    ],
)
def test_what_is_no_list_of_entries_is_malformed(v: Visitor, sent: Any, status: int) -> None:
    answer = v.client.post(BACK, json=sent)
    assert (answer.status_code, answer.headers["content-type"]) == (status, "application/problem+json")
    assert v.client.post(BACK, data={"a": "b"}).status_code == 415
    assert v.client.post(BACK, json=sent, headers={"origin": "http://elsewhere.example"}).status_code == 403


# -- the command --------------------------------------------------------------------------------


def test_the_command_takes_the_file_and_says_the_same(tmp_path: Path) -> None:
    """One copy is handed the entries by a phone, the other by file: the same words, and the same once more."""
    said: list[list[dict[str, Any]]] = []
    phone = Phone(dt.datetime(2026, 1, 14, 8, 0, tzinfo=dt.UTC))  # long ago: by its date, whatever day it is
    phone.note("found", kind="fan", mass="4 lb")
    phone.note("found", kind="a box of wet sand")
    phone.note("found", kind="fan", mass="no mass")
    with visitor(tmp_path / "phone") as v:
        finds.find(v.book, desk(phone.now - dt.timedelta(days=1)), "fan")
        said = [back(v, phone).json()["results"] for _ in range(2)]
    with visitor(tmp_path / "file") as v:
        finds.find(v.book, desk(phone.now - dt.timedelta(days=1)), "fan")
        count, workspace = v.count(), workspace_id(v.book)
    file = tmp_path / "noted.json"
    file.write_text(json.dumps(phone.sent(workspace)), encoding="utf-8")
    for expected in said:
        ran = CliRunner().invoke(cli, ["take-back", str(file), "--json", "--workspace", str(tmp_path / "file")])
        assert isinstance(ran.exception, ToSettle), ran.output
        rows = json.loads(ran.stdout)
        assert [{**row, "undo": len(row["undo"])} for row in rows] == [
            {**row, "undo": len(row["undo"])} for row in expected
        ]
    with visitor(tmp_path / "file") as v:
        assert v.count() >= count + 1


def test_the_command_says_what_can_hurt_before_anything_else(tmp_path: Path) -> None:
    phone = Phone(dt.datetime(2026, 1, 14, 8, 0, tzinfo=dt.UTC))
    phone.note("found", kind="microwave")
    with visitor(tmp_path / "w") as v:
        finds.find(v.book, desk(phone.now - dt.timedelta(days=1)), "fan")
        workspace = workspace_id(v.book)
    file = tmp_path / "noted.json"
    file.write_text(json.dumps(phone.sent(workspace)), encoding="utf-8")
    ran = CliRunner().invoke(cli, ["take-back", str(file), "--workspace", str(tmp_path / "w")])
    assert ran.exit_code == 0, ran.output
    assert ran.stdout.startswith("High-voltage capacitor: unplug, wait")
    assert "\nFound: microwave oven" in ran.stdout


@pytest.mark.parametrize("text", ["{", "[]", '{"schema": 1}', None])
def test_a_file_that_is_none_is_refused_and_named(tmp_path: Path, text: str | None) -> None:
    with visitor(tmp_path / "w") as v:
        finds.find(v.book, desk(NOW), "fan")
    file = tmp_path / "noted.json"
    if text is not None:
        file.write_text(text, encoding="utf-8")
    ran = CliRunner().invoke(cli, ["take-back", str(file), "--workspace", str(tmp_path / "w")])
    assert ran.exception is not None
    assert getattr(ran.exception, "exit_status", 0) == 2
    assert "noted.json" in str(ran.exception)
