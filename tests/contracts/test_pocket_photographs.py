"""A photograph that waited on a phone: kept once, after its find, and what breaks one is said of that one alone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest
from app_client import NOW, Visitor, visitor
from ledgers.servers import empty_workspace
from noted import Phone
from photographs import SECRET, saved, scene, with_everything
from test_pocket_at_once import opened
from test_roles import yard

from partway.actions.bench import finds
from partway.actions.bins import bins
from partway.actions.buyers import buyers
from partway.actions.buyers.buyers import Terms
from partway.actions.home.settings import set_
from partway.actions.recording.context import Context
from partway.ledger.events.ids import new_id
from partway.ledger.memory import MemoryBook
from partway.ledger.pictures import pictures_of
from partway.ledger.workspaces import workspace_id
from partway.photographs.cleaning import cleaned
from partway.storage.exchange.union import of_book, unite
from partway.web.pocket.acts import ACTS

JPEG = {"content-type": "image/jpeg"}
SENT = saved(scene())


@pytest.fixture
def v(tmp_path: Path) -> Iterator[Visitor]:
    with visitor(tmp_path) as made:
        finds.find(made.book, Context("desk", lambda: NOW - dt.timedelta(hours=12), new_id), "fan")
        yield made


def taken(phone: Phone, /, **said: str) -> dict[str, str]:
    """An entry of a photograph, as the phone sends it beside the file: it is no part of the list. Of the fan, where it
    is of no bin and no ticket.
    """
    of = {} if {"find", "bin", "ticket"} & set(said) else {"find": "fan-1"}
    made = phone.note("pictured", 1, **of, **said)
    entry = phone.noted.pop()
    return {"id": made, "typed": entry["typed"], **entry["body"]}


def sent(v: Visitor, entry: dict[str, str], content: bytes = SENT, workspace: str | None = None) -> Any:
    asked = {"workspace": workspace_id(v.book) if workspace is None else workspace, **entry}
    return v.client.post("/pocket/photograph", params=asked, content=content, headers=JPEG)


def row(v: Visitor, entry: dict[str, str], content: bytes = SENT) -> dict[str, Any]:
    answer = sent(v, entry, content)
    assert answer.status_code == 200, answer.text
    (found,) = answer.json()["results"]
    assert found["id"] == entry["id"]
    return dict(found)


def test_it_is_kept_once_with_the_time_it_was_taken_and_without_the_place(v: Visitor) -> None:
    phone = Phone()
    entry = taken(phone, piece="cord", note="cut at the plug")
    first, count = row(v, entry, with_everything()), v.count()
    assert (first["outcome"], first["words"]) == ("done", "Photograph kept: cord with plug of the fan")
    assert row(v, entry, with_everything())["outcome"] == "already"
    assert v.count() == count
    (shown,) = pictures_of(v.book, "find:fan-1")
    assert (shown.taken, shown.piece, shown.note) == (phone.now, "cord", "cut at the plug")
    assert SECRET not in (v.book.photographs.content(shown.picture) or SECRET)
    assert v.client.post("/api/correct", json={"events": first["undo"]}).status_code == 200
    again = row(v, entry, with_everything())
    assert again["outcome"] == "already" and "taken back" in again["words"], "what the desk took back stays so"
    assert pictures_of(v.book, "find:fan-1") == ()


def test_a_find_of_the_phones_own_comes_first(v: Visitor) -> None:
    phone = Phone()
    kettle = phone.note("found", kind="kettle")
    entry = taken(phone, find=f"@{kettle}")
    early = row(v, entry)
    assert (early["outcome"], early["field"]) == ("refused", "find")
    assert "its own entry comes first" in early["words"] and kettle not in early["words"]
    answer = v.client.post("/pocket/back", json=phone.sent(workspace_id(v.book))).json()
    assert [one["outcome"] for one in answer["results"]] == ["done"]
    assert row(v, entry)["outcome"] == "done"
    assert len(pictures_of(v.book, f"find:{answer['results'][0]['name']}")) == 1


def test_of_a_bin(v: Visitor) -> None:
    """Its clock stands behind the bin's making, and it is kept after that all the same; a piece is of finds alone."""
    made = bins.add_bin(v.book, Context("desk", lambda: NOW - dt.timedelta(hours=2), new_id), "motors").result.bin
    entry = taken(Phone(NOW - dt.timedelta(days=1)), bin=made, note="to the brim")
    no_piece = row(v, {**entry, "piece": "cord"})
    assert (no_piece["outcome"], no_piece["field"]) == ("refused", "piece")
    assert (row(v, entry)["outcome"], row(v, entry)["outcome"]) == ("done", "already")
    (shown,) = pictures_of(v.book, f"bin:{made}")
    assert shown.note == "to the brim" and shown.taken >= NOW - dt.timedelta(hours=2)
    nowhere = row(v, taken(Phone(), bin="moters"))
    assert (nowhere["outcome"], nowhere["field"]) == ("refused", "bin")


def test_of_a_ticket_of_the_phones_own_which_comes_first(v: Visitor) -> None:
    desk = Context("desk", lambda: NOW - dt.timedelta(hours=12), new_id)
    set_(v.book, desk, "currency", "CAD")
    buyers.buyer(v.book, desk, "ridge-yard", Terms(kind="yard", km="9"))
    bins.recount(v.book, desk, bins.add_bin(v.book, desk, "copper-2").result.bin, "10 lb")
    phone = Phone()
    line = {"grade": "copper-2", "mass": "6 lb", "price": "4 /lb", "own": "6 lb"}
    own = phone.note("ticketed", buyer="ridge-yard", lines=[line])
    entry = taken(phone, ticket=f"@{own}")
    early = row(v, entry)
    assert (early["outcome"], early["field"]) == ("refused", "ticket")
    assert "The ticket that this is about was not recorded" in early["words"] and own not in early["words"]
    answer = v.client.post("/pocket/back", json=phone.sent(workspace_id(v.book))).json()
    (ticketed,) = answer["results"]
    assert ticketed["outcome"] == "done", ticketed
    count = v.count() + 1
    assert (row(v, entry)["outcome"], row(v, entry)["outcome"]) == ("done", "already")
    assert v.count() == count
    assert len(pictures_of(v.book, f"ticket:{ticketed['name']}")) == 1
    wrong = row(v, {**taken(phone), "find": f"@{own}"})
    assert (wrong["outcome"], wrong["field"]) == ("refused", "find"), "a ticket's entry is none of a find"


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"find": ""}, "got nothing that it is of"),
        ({"find": "fan-1", "bin": "motors"}, "got a find and a bin"),
        ({"bin": "motors", "ticket": "t"}, "got a bin and a ticket"),
    ],
)
def test_of_none_or_of_two_it_is_refused_in_words(v: Visitor, said: dict[str, str], words: str) -> None:
    count = v.count()
    one = row(v, taken(Phone(), **said))
    assert (one["outcome"], one["words"].partition(": ")[2]) == (
        "refused",
        f"{words}; expected one find, one bin or one ticket",
    )
    assert v.count() == count and v.book.photographs.content(cleaned(SENT).digest) is None


@pytest.mark.parametrize(
    "content", [SENT[:300], b"<svg onload=alert(1)>", b"\xff\xd8\xff" + b"\0" * 900_000, SENT + b"\0" * 15_000_000]
)
def test_a_broken_one_is_said_and_leaves_nothing(v: Visitor, content: bytes) -> None:
    phone, count = Phone(), v.count()
    broken, good = taken(phone), taken(phone)
    one = row(v, broken, content)
    assert (one["outcome"], one["field"]) == ("refused", "photograph")
    assert v.count() == count
    assert row(v, good)["outcome"] == "done", "the next one is kept all the same"
    assert len(pictures_of(v.book, "find:fan-1")) == 1


def test_a_find_that_nobody_knows_is_asked_about(v: Visitor) -> None:
    entry = taken(Phone(), find="fan-9")
    one = row(v, entry)
    assert (one["outcome"], one["field"]) == ("asked", "find")
    assert row(v, {**entry, "find": one["choices"][0]["value"]})["outcome"] == "done"


def test_one_of_another_workspace_is_not_mixed_in(v: Visitor) -> None:
    count = v.count()
    for content in (SENT, b"none"):
        assert sent(v, taken(Phone()), content, "019d0a43-0e60-7622-91e5-cf9e7dfcc5ce").status_code == 409
    assert v.count() == count


@pytest.mark.parametrize("wrong", [{"id": "7"}, {"typed": "yesterday"}, {"find": "x" * 5000}, {"typed": ""}])
def test_what_is_no_entry_is_malformed(v: Visitor, wrong: dict[str, str]) -> None:
    entry, count = taken(Phone()), v.count()
    answer = sent(v, {**entry, **wrong})
    assert (answer.status_code, answer.headers["content-type"]) == (400, "application/problem+json")
    assert v.client.post("/pocket/photograph", params=entry, json={}).status_code == 415
    assert v.count() == count


def test_a_phone_whose_clock_was_set_back(v: Visitor) -> None:
    """It says that it took the photograph a month before the find was there, and the next one two years ahead: both are
    kept, after the find, and none in the future.
    """
    phone = Phone(NOW - dt.timedelta(days=30))
    assert row(v, taken(phone))["outcome"] == "done"
    phone.now = NOW + dt.timedelta(days=700)
    ahead = row(v, taken(phone), saved(scene(64, 48)))
    assert ahead["outcome"] == "done" and "ahead" in " ".join(ahead["more"])
    times = [shown.taken for shown in pictures_of(v.book, "find:fan-1")]
    assert len(times) == 2 and max(times) <= NOW


def test_what_is_no_file_of_entries_cannot_hold_one(v: Visitor) -> None:
    """The list, and the file that a phone saves, have no place for it: it is refused whole, before anything is done."""
    phone = Phone()
    phone.note("found", kind="kettle")
    phone.note("pictured", find="fan-1")
    count = v.count()
    assert "pictured" not in ACTS
    assert v.client.post("/pocket/back", json=phone.sent(workspace_id(v.book))).status_code == 400
    assert v.count() == count


@pytest.fixture(params=["sqlite", "postgres"])
def where(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    with empty_workspace(request.param, tmp_path) as made:
        yield made


def test_two_phones_at_once_each_sent_twice(where: str) -> None:
    """Two apps on one ledger; each phone sends each of its photographs twice at the same moment."""
    with ExitStack() as stack:
        apps = [opened(stack, where), opened(stack, where)]
        finds.find(apps[0].book, Context("desk", lambda: NOW - dt.timedelta(hours=12), new_id, zone="UTC"), "fan")
        phones = [Phone(NOW - dt.timedelta(hours=4, seconds=n)) for n in range(2)]
        work = [
            (app, taken(phone), saved(scene(40 + 8 * n, 40 + 8 * phone.now.second)))
            for app, phone in zip(apps, phones, strict=True)
            for n in range(3)
        ]
        for app in apps:  # FastAPI makes a route when it is first asked for, with warnings off for all threads
            sent(app, taken(Phone()), b"none")
        with ThreadPoolExecutor(4) as pool:
            outcomes = list(pool.map(lambda one: row(*one)["outcome"], [one for one in work for _ in range(2)]))
        assert sorted(outcomes) == ["already"] * 6 + ["done"] * 6
        shown = pictures_of(apps[0].book, "find:fan-1")
        assert len(shown) == len({one.picture for one in shown}) == 6
        assert all(apps[1].book.photographs.content(one.picture) for one in shown)


def test_handed_to_two_copies_of_a_ledger_it_counts_once() -> None:
    from noted import handed

    one, other = MemoryBook(device="0000000a"), MemoryBook(device="0000000b")
    finds.find(one, Context("desk", lambda: NOW - dt.timedelta(hours=12), new_id), "fan")
    other.append(list(one.recorded()))
    phone = Phone(NOW)
    phone.note("pictured", find="fan-1")
    later = NOW + dt.timedelta(hours=1)
    assert [handed(book, phone.intents(), later)[0].outcome for book in (one, other)] == ["done", "done"]
    unite(one, of_book(other, "other"))
    assert len(pictures_of(one, "find:fan-1")) == 1
    assert handed(one, phone.intents(), later)[0].outcome == "already"


def test_who_may_only_look_sends_none(tmp_path: Path) -> None:
    """Asked at the door: before anything is written beside the ledger."""
    with yard(tmp_path) as there:
        finds.find(there.book, Context("Ann", lambda: NOW - dt.timedelta(hours=12), new_id), "fan")
        asked = {"workspace": workspace_id(there.book), **taken(Phone(NOW - dt.timedelta(hours=1)))}
        for who, status in (("viewer", 403), ("", 401), ("helper", 200)):
            answer = there.browser(who).post("/pocket/photograph", params=asked, content=SENT, headers=JPEG)
            assert answer.status_code == status, answer.text
            assert len(pictures_of(there.book, "find:fan-1")) == (who == "helper")
            assert (tmp_path / "photographs").exists() == (who == "helper")
