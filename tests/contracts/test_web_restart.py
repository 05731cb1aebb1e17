"""What was saved is not saved again after the app was ended and started, and is answered as it was."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from api_day import DAY
from app_client import NOW, Visitor, visitor
from httpx2 import Response
from ledgers.servers import empty_workspace
from sqlalchemy import event, func, select
from straight import Straight

from partway.actions.bench.finds import find
from partway.ledger.events.ids import new_id
from partway.storage.exchange.union import of_book, unite
from partway.storage.store import SqlBook
from partway.storage.tables import tables as t
from partway.storage.workspace import open_workspace
from partway.storage.writing.answered import KEPT, Answered, AnsweredBefore, answered_under, forget_answers, keep_answer
from partway.web.app import create_app
from partway.web.serving import tokens
from partway.web.serving.setup import Setup
from partway.web.serving.tokens import Tokens, TokenStanding

FIND = {"kind": "microwave", "mass": "13.2 kg"}
MONEY = "/books/money/spend"
KEY = {"idempotency-key": '"monday-1"'}


@contextmanager
def started(book: SqlBook, cookies: Any = None, now: dt.datetime = NOW) -> Iterator[Visitor]:
    """The app started anew on a ledger, visited by the same browser."""
    app = create_app(Setup(book, who="tester", clock=lambda: now))
    with Straight(app, base_url="http://localhost", cookies=cookies) as client:
        yield Visitor(book, client, app)


def post(v: Visitor, path: str, body: dict[str, Any], headers: dict[str, str] = KEY) -> Response:
    return v.client.post(path, json=body, headers=headers)


def blades(amount: str) -> dict[str, str]:
    return {"spend-amount": amount, "spend-what": "saw blades"}


def kept(book: SqlBook) -> int:
    with book.reading() as connection:
        return connection.execute(select(func.count()).select_from(t.answered)).scalar_one()


def same(one: Response, other: Response) -> bool:
    return (one.status_code, one.content, one.headers["content-type"]) == (
        other.status_code,
        other.content,
        other.headers["content-type"],
    )


# -- the JSON interface -------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["sqlite", "postgres"])
def test_a_key_gives_the_same_answer_after_a_restart_and_saves_nothing(kind: str, tmp_path: Path) -> None:
    with empty_workspace(kind, tmp_path) as where:
        with open_workspace(where) as book, started(book) as v:
            first, count = post(v, "/api/find", FIND), v.count()
            assert first.status_code == 200
        with open_workspace(where) as book, started(book) as v:
            assert same(post(v, "/api/find", FIND), first)
            assert v.count() == count
            assert post(v, "/api/find", {"kind": "kettle"}).status_code == 422
            assert post(v, "/api/find", FIND, {"idempotency-key": '"monday-2"'}).json() != first.json()
            assert v.count() == count + 1


def test_every_write_of_a_day_is_answered_alike_after_a_restart(tmp_path: Path) -> None:
    """Each address has an answer of its own shape, which is kept as it was sent."""
    with visitor(tmp_path, demo=True) as v:
        keys = [{"idempotency-key": f'"day-{n}"'} for n in range(len(DAY))]
        first = [post(v, each.path, each.body, key) for each, key in zip(DAY, keys, strict=True)]
        count = v.count()
    assert {answer.status_code for answer in first} == {200}
    with open_workspace(tmp_path) as book, started(book) as v:
        for each, key, answer in zip(DAY, keys, first, strict=True):
            assert same(post(v, each.path, each.body, key), answer), each.path
        assert v.count() == count


def test_a_refusal_is_answered_again_after_a_restart(tmp_path: Path) -> None:
    body = {"bin": "later", "mass": "1 kg"}
    with open_workspace(tmp_path) as book, started(book) as v:
        refused = post(v, "/api/recount", body)
        assert refused.status_code == 422
    with open_workspace(tmp_path) as book, started(book) as v:
        assert post(v, "/api/bin", {"grade": "copper-2", "bin": "later"}, {}).status_code == 200
        assert same(post(v, "/api/recount", body), refused)


def test_what_the_transaction_does_not_keep_leaves_no_key(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The ledger fails after the events were written, before the key is: neither is there; and the other way round."""
    from partway.storage.refusals import BadLedger
    from partway.web.serving.durable import Durable

    def full(*_: object) -> None:
        raise BadLedger("a full disk", "room", "ledger")

    with open_workspace(tmp_path) as book, started(book) as v:
        before = v.count()
        for holder, name in ((Durable, "keep"), (SqlBook, "append")):
            with monkeypatch.context() as broken:
                broken.setattr(holder, name, full)
                assert post(v, "/api/find", FIND).status_code == 503
            assert (v.count(), kept(book)) == (before, 0)
        assert post(v, "/api/find", FIND).status_code == 200
        assert (v.count(), kept(book)) == (before + 1, 1)


def test_two_processes_carry_a_key_out_once(tmp_path: Path) -> None:
    """Two apps on one ledger, each without the other's memory, asked at once: one of them saves."""
    with (
        open_workspace(tmp_path) as one,
        open_workspace(tmp_path) as other,
        started(one) as first,
        started(other) as second,
        ThreadPoolExecutor(2) as pool,
    ):
        for v in (first, second):  # FastAPI makes a route when it is first asked for, with warnings off for all threads
            post(v, "/api/find", FIND, {})
        before = first.count()
        for n in range(5):
            key = {"idempotency-key": f'"both-{n}"'}
            sent = [pool.submit(post, v, "/api/find", FIND, key) for v in (first, second)]
            assert {answer.result(timeout=60).status_code for answer in sent} <= {200, 409}
            assert first.count() == before + n + 1
            again = [post(v, "/api/find", FIND, key) for v in (first, second)]
            assert same(*again) and again[0].status_code == 200
            assert first.count() == before + n + 1


def test_a_key_costs_one_statement_and_none_where_there_is_none(tmp_path: Path) -> None:
    said: list[str] = []
    with open_workspace(tmp_path) as book, started(book) as v:
        post(v, "/api/find", FIND, {})  # what is only done the first time

        def statements(headers: dict[str, str]) -> list[str]:
            said.clear()
            assert post(v, "/api/find", FIND, headers).status_code == 200
            return [text for text in said if text != "BEGIN" and not text.startswith("SELECT")]

        event.listen(book.engine, "before_cursor_execute", lambda *args: said.append(args[2]))
        post(v, "/api/find", FIND, {"idempotency-key": '"first"'})
        bare, keyed = statements({}), statements(KEY)
    assert not [text for text in bare if "answered" in text]
    assert [text.split(" (")[0] for text in keyed if "answered" in text] == ["INSERT INTO answered"]
    assert len(keyed) == len(bare) + 1


# -- forms --------------------------------------------------------------------------------------


def test_a_form_sent_again_after_a_restart_is_saved_once(tmp_path: Path) -> None:
    """Its answer was lost with the app: the browser sends it once more, with the token of the earlier start."""
    with visitor(tmp_path, demo=True) as v:
        form = v.form(v.open("/books/money"), MONEY)
        first = v.send(form, **blades("12.50"))
        assert first.history, first.text[:3000]
        count, cookies = v.count(), dict(v.client.cookies)
    with open_workspace(tmp_path) as book, started(book, cookies) as v:
        again = v.send(form, **blades("12.50"))
        assert v.count() == count
        assert again.history[0].status_code == 303 and str(again.url) == str(first.url)
        assert "saved already" in again.text and "Undo" in again.text
        other = v.send(form, **blades("13.50"))
        assert other.status_code == 409 and "something else" in other.text and v.count() == count


def test_a_form_of_an_earlier_start_that_was_not_saved_is_shown_again(tmp_path: Path) -> None:
    with visitor(tmp_path, demo=True) as v:
        form, cookies = v.form(v.open("/books/money"), MONEY), dict(v.client.cookies)
        count = v.count()
    with open_workspace(tmp_path) as book, started(book, cookies) as v:
        answer = v.send(form, **blades("12.50"))
        assert answer.status_code == 409 and "out of date" in answer.text and v.count() == count


def test_a_form_that_memory_has_forgotten_is_known_to_the_ledger(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tokens, "KEPT_MOST", 0)
    with visitor(tmp_path, demo=True) as v:
        form = v.form(v.open("/books/money"), MONEY)
        v.send(form, **blades("12.50"))
        count = v.count()
        assert "saved already" in v.send(form, **blades("12.50")).text
        assert v.send(form, **blades("13.50")).status_code == 409
        assert v.count() == count


def test_somebody_elses_token_of_an_earlier_start_is_stale() -> None:
    token, asked = Tokens().new("session"), list[str]()

    def before(name: str) -> tuple[str, str]:
        asked.append(name)
        return "content", "/bins"

    assert Tokens().judge(token, "session", "content", before).standing is TokenStanding.SAVED
    assert Tokens().judge(token, "session", "else", before).standing is TokenStanding.OTHER
    assert len(asked) == 2
    for session in ("other", "", "é"):
        assert Tokens().judge(token, session, "content", before).standing is TokenStanding.STALE
    for given in ("W10.x.y", "WyJzZXNzaW9uIl0.x.y", "W1sxXSxbMV1d.x.y", "." * 50):  # [], ["session"], [[1],[1]]
        assert Tokens().judge(given, "session", "content", before).standing is TokenStanding.STALE
    assert len(asked) == 2


# -- what is kept, and how long -----------------------------------------------------------------


def test_what_was_saved_under_a_key_is_known_as_long_as_the_ledger_is(tmp_path: Path) -> None:
    with open_workspace(tmp_path) as book:
        with started(book) as v:
            first = post(v, "/api/find", FIND)
        with started(book, now=NOW + 500 * KEPT) as v:
            count = v.count()
            post(v, "/api/find", FIND, {"idempotency-key": '"later"'})
            assert same(post(v, "/api/find", FIND), first)
            assert (v.count(), kept(book)) == (count + 1, 2)


def test_refusals_are_kept_for_a_week(tmp_path: Path) -> None:
    """They saved nothing: asked once more, it is refused again, or saved for the first time."""
    with open_workspace(tmp_path) as book:
        with started(book) as v:
            assert post(v, "/api/find", {"kind": ""}).status_code >= 400
        with started(book, now=NOW + KEPT - dt.timedelta(minutes=1)) as v:
            post(v, "/api/find", FIND, {"idempotency-key": '"later"'})
            assert kept(book) == 2
        with started(book, now=NOW + KEPT + dt.timedelta(minutes=1)) as v:
            post(v, "/api/find", FIND, {"idempotency-key": '"last"'})
            assert kept(book) == 2
            assert answered_under(book, 'key "monday-1"') is None


def test_a_key_is_known_after_a_merge_without_its_answer(tmp_path: Path) -> None:
    """Where only the events went, as a merge takes them, the request is refused and not saved a second time."""
    with open_workspace(tmp_path / "one") as one, open_workspace(tmp_path / "other") as other:
        with started(one) as v:
            assert post(v, "/api/find", FIND).status_code == 200
        unite(other, of_book(one, "one"))
        with started(other) as v:
            count = v.count()
            again = post(v, "/api/find", FIND)
            assert again.status_code == 409
            assert "copy of this ledger" in again.json()["detail"]
            assert post(v, "/api/find", {"kind": "kettle"}).status_code in (409, 422)
            assert v.count() == count


def test_one_request_saved_by_two_copies_counts_once_when_they_are_merged(tmp_path: Path) -> None:
    with open_workspace(tmp_path / "one") as one, open_workspace(tmp_path / "other") as other:
        for book in (one, other):
            with started(book) as v:
                assert post(v, "/api/find", FIND).status_code == 200
        unite(other, of_book(one, "one"))
        unite(one, of_book(other, "other"))
        for book in (one, other):
            assert sum(mg for (place, _), mg in book.balances("find:").items()) == 13_200_000
            assert book.conflicts() == ()


def test_a_key_that_is_taken_undoes_the_whole_transaction(tmp_path: Path) -> None:
    with open_workspace(tmp_path) as book, started(book) as v:
        keep_answer(book, "key a", Answered("digest", "{}"), NOW)
        before = book.state()

        def decide() -> None:
            with book.deciding():
                find(book, v.context(), "fan")
                assert book.state() != before
                keep_answer(book, "key a", Answered("digest", "[]"), NOW)

        with pytest.raises(AnsweredBefore):
            decide()
        assert book.state() == before
        assert answered_under(book, "key a") == Answered("digest", "{}")
        assert forget_answers(book, NOW) == 0


def test_ids_of_what_was_kept_stand_after_a_rebuild(tmp_path: Path) -> None:
    with open_workspace(tmp_path) as book:
        name = f"key {new_id()}"
        keep_answer(book, name, Answered("digest", "{}"), NOW)
        book.rebuild()
        assert answered_under(book, name) == Answered("digest", "{}")
