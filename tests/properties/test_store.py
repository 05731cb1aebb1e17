"""What a ledger on a disk or a server must never do: differ from its events, lose one, show half of one."""

from __future__ import annotations

import json
import random
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

import pytest
from hung import HUNG
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from ledgers import writer
from ledgers.anybody import as_anybody, both, folder_of_anybody, only_file, only_folder
from ledgers.servers import due, emptied, empty_workspace, everything, kept
from ledgers.strategies import histories, ledgers
from sqlalchemy import event as on
from sqlalchemy.engine import make_url

from partway.errors import Refused
from partway.ledger.events.event import Event
from partway.ledger.fold.fold import fold
from partway.storage.refusals import BadLedger
from partway.storage.store import SqlBook
from partway.storage.workspace import FILE, open_workspace
from partway.storage.writing.rebuild import models_of

KINDS = ("sqlite", "postgres")
KILLS = 500
SOME = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture]
)
anything = histories(most=12) | ledgers()


@pytest.fixture(params=KINDS)
def where(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    with empty_workspace(request.param, tmp_path) as place:
        yield place


@pytest.fixture
def books(where: str, request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[tuple[SqlBook, SqlBook]]:
    kind = request.node.callspec.params["where"]
    with empty_workspace(kind, tmp_path) as other, open_workspace(where) as one, open_workspace(other) as two:
        yield one, two


@SOME
@given(anything, st.data())
def test_rebuilt_is_live(books: tuple[SqlBook, SqlBook], events: list[Event], data: st.DataObject) -> None:
    """Whatever order events and their corrections arrive in, one at a time or several, some of them twice."""
    book = emptied(books[0])
    arriving: list[Event] = data.draw(st.permutations(events))
    there: list[Event] = []
    while arriving:
        several = data.draw(st.integers(1, len(arriving)))
        again = data.draw(st.lists(st.sampled_from(there), max_size=2)) if there else []
        assert book.append(arriving[:several] + again) == several
        there, arriving = there + arriving[:several], arriving[several:]
        assert kept(book) == models_of(fold(there))
    live = everything(book)
    book.rebuild()
    assert everything(book) == live
    assert list(book.events()) == sorted(events, key=lambda event: event.id)


@SOME
@given(anything, st.data())
def test_two_books_with_the_union_of_their_events_are_alike(
    books: tuple[SqlBook, SqlBook], events: list[Event], data: st.DataObject
) -> None:
    one, two = emptied(books[0]), emptied(books[1])
    shares = st.lists(st.booleans(), min_size=len(events), max_size=len(events))
    halves = [[e for e, mine in zip(events, data.draw(shares), strict=True) if mine] for _ in range(2)]
    one.append(halves[0])
    two.append(halves[1])
    united = {event.id: event for half in halves for event in half}
    assert one.append(list(two.events())) == len(united) - len(halves[0])
    assert two.append(list(one.events())) == len(united) - len(halves[1])
    assert one.append(list(two.events())) == 0
    assert everything(one) == everything(two)
    assert kept(one) == models_of(fold(united.values()))


def test_two_processes_at_once(where: str) -> None:
    """1,000 events of their own each and 200 that both bring; neither has seen the workspace before."""
    both = [subprocess.Popen(_command(where, first, 1000, 200), stdout=subprocess.PIPE) for first in (0, 5000)]  # noqa: S603
    said = [process.communicate(timeout=HUNG)[0].decode().splitlines() for process in both]
    assert [process.returncode for process in both] == [0, 0]
    assert sum(int(lines.pop().removeprefix("new ")) for lines in said) == 2200
    with open_workspace(where) as book:
        ids = [str(event.id) for event in book.events()]
        assert len(ids) == len(set(ids)) == 2200
        assert {event_id for lines in said for event_id in lines} < set(ids)
        assert book.balances("find:").keys() == {(f"find:f{first + n}", "") for first in (0, 5000) for n in range(1000)}
        assert str(book.accounts("spent:")["spent:fuel"]) == "-20"
        assert kept(book) == due(book)


def test_killed_at_any_moment_nothing_acknowledged_is_lost(tmp_path: Path) -> None:
    """One in three while it opens the ledger or makes it, for every tenth is a new one; the others while it writes."""
    draw = random.Random(3)
    acknowledged, interrupted, seen = 0, 0, set[str]()
    command = [sys.executable, writer.__file__, "serve"]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as server:  # noqa: S603
        assert server.stdin and server.stdout
        for number in range(KILLS):
            where = tmp_path / f"ledger-{number // 10}"
            server.stdin.write(json.dumps([str(where), draw.randint(2, 4) if number % 3 else 0, draw.random()]) + "\n")
            server.stdin.flush()
            said = json.loads(server.stdout.readline())
            acknowledged += len(said)
            interrupted += _after_a_kill(where, said, seen)
            if number % 10 == 9:
                shutil.rmtree(where)
        server.stdin.close()
    assert server.returncode == 0
    assert acknowledged > 3 * KILLS
    assert interrupted  # some died between the commit and the word of it, which is no loss


def _after_a_kill(where: Path, said: list[str], seen: set[str]) -> bool:
    """Whether a batch is there that was never acknowledged; the ledger opens as it is and everything holds together.

    `seen` is what was there after the kills before, and is brought up to date.
    """
    with open_workspace(where) as book:
        events = list(book.events())
        ids = {str(event.id) for event in events}
        assert ids.issuperset(said), "an acknowledged event is gone"
        kinds = [event.kind for event in events]
        assert kinds == ["found", "opened", "corrected"] * (len(events) // 3), "half of an append is visible"
        assert book.voided() == {event.id for event in events[::3]}
        assert kept(book) == due(book)
        unsaid = len(ids - seen - set(said))
        seen |= ids
        return unsaid > 0


@contextmanager
def no_more_pages(book: SqlBook) -> Iterator[None]:
    """SQLite itself says that the disk is full (SQLITE_FULL) once the file has the pages it has now."""

    def limit(connection: object, *_: object) -> None:
        pages = connection.execute("PRAGMA page_count").fetchone()[0]  # type: ignore[attr-defined]
        connection.execute(f"PRAGMA max_page_count = {pages}")  # type: ignore[attr-defined]

    book.engine.dispose()
    on.listen(book.engine, "connect", limit)
    yield
    on.remove(book.engine, "connect", limit)
    book.engine.dispose()


def test_a_full_disk_is_one_message_and_nothing_is_lost(tmp_path: Path) -> None:
    with open_workspace(tmp_path) as book:
        book.append([writer.found(n) for n in range(50)])
        before = everything(book)
        with no_more_pages(book):
            with pytest.raises(BadLedger, match="got a full disk; expected room to write") as refused:
                book.append([writer.found(n) for n in range(50, 2000)])
            assert refused.value.where == str(tmp_path / FILE)
            assert everything(book) == before
        assert book.append([writer.found(n) for n in range(50, 2000)]) == 1950
        assert kept(book) == due(book)


def test_a_disk_that_fails_while_writing_loses_nothing(tmp_path: Path) -> None:
    """The system lets no file of the process grow beyond 1 MB: a real write fails somewhere in the log."""
    done = subprocess.run(  # noqa: S603
        _command(str(tmp_path), 0, 5000, 0, 1_000_000),
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 1
    last = done.stderr.strip().splitlines()[-1]
    assert last.startswith("partway.storage.refusals.Unwritable:") and "disk" in last
    said = done.stdout.split()
    with open_workspace(tmp_path) as book:
        ids = [str(event.id) for event in book.events()]
        assert 10 < len(said) <= len(ids) < 5000
        assert set(said) <= set(ids)
        assert kept(book) == due(book)
        assert book.append([writer.found(9000)]) == 1


@pytest.fixture
def own_folder() -> Iterator[Path]:
    """A folder that any user can get to."""
    with folder_of_anybody() as folder:
        yield folder


@pytest.mark.parametrize("lock", [only_file, only_folder, both])
def test_what_may_only_be_read_is_one_message_and_nothing_is_lost(
    own_folder: Path, lock: Callable[[Path], None]
) -> None:
    with as_anybody():
        with open_workspace(own_folder) as book:
            book.append([writer.found(n) for n in range(5)])
        before = (own_folder / FILE).read_bytes()
        lock(own_folder)
        with pytest.raises(Refused, match="may be written to"):
            _add_one(own_folder)
        assert (own_folder / FILE).read_bytes() == before
        own_folder.chmod(0o700)
        (own_folder / FILE).chmod(0o600)
        with open_workspace(own_folder) as book:
            assert len(list(book.events())) == 5
            assert book.append([writer.found(6)]) == 1


def _add_one(folder: Path) -> None:
    with open_workspace(folder) as book:
        book.append([writer.found(6)])


def test_a_ledger_somebody_keeps_locked_is_one_message(where: str) -> None:
    with open_workspace(where) as one, open_workspace(where, patience=0.2) as two:
        with one.writing(), pytest.raises(BadLedger, match="another program keeps locked"):
            two.append([writer.found(1)])
        assert two.append([writer.found(1)]) == 1


def test_who_waits_for_a_decision_is_refused_after_its_patience_and_may_try_again(where: str) -> None:
    """Another process, or another thread of this one; looking waits for nobody."""
    with open_workspace(where, patience=0.2) as one, open_workspace(where, patience=0.2) as two:
        with one.deciding():
            one.append([writer.found(1)])
            for book in (one, two):
                with ThreadPoolExecutor(1) as other:
                    assert list(other.submit(list, book.events()).result(20)) == []
                    with pytest.raises(BadLedger, match="another program keeps locked"):
                        other.submit(_found_inside, book, 2).result(20)
        for book in (one, two):
            assert _found_inside(book, 2) == (book is one)
        assert [len(list(book.events())) for book in (one, two)] == [2, 2]


def _found_inside(book: SqlBook, number: int) -> int:
    with book.deciding():
        return book.append([writer.found(number)])


@pytest.mark.parametrize("level", ["serializable", "repeatable read"])
def test_what_comes_after_the_lock_sees_what_came_before_it(level: str, tmp_path: Path) -> None:
    """Also on a server whose transactions see the state of their first statement, which is the one that waits."""
    with empty_workspace("postgres", tmp_path) as place:
        own = make_url(place)
        options = f"{own.query['options']} -cdefault_transaction_isolation={level.replace(' ', chr(92) + ' ')}"
        url = own.update_query_dict({"options": options}).render_as_string(hide_password=False)
        with open_workspace(url) as one, open_workspace(url) as two:
            with two.reading() as connection:
                assert connection.exec_driver_sql("SHOW default_transaction_isolation").scalar() == level
            with ThreadPoolExecutor(1) as other:
                with one.deciding():
                    one.append([writer.found(1)])
                    waiting = other.submit(_seen_inside, two)
                    until(lambda: _waits(one))
                assert waiting.result(60) == 1


def _seen_inside(book: SqlBook) -> int:
    with book.deciding():
        return len(list(book.events()))


def _waits(book: SqlBook) -> bool:
    """Whether somebody waits for the lock of all writers."""
    with book.reading() as connection:
        query = "SELECT count(*) FROM pg_locks WHERE locktype = 'advisory' AND NOT granted"
        return bool(connection.exec_driver_sql(query).scalar())


def until(true: Callable[[], bool]) -> None:
    for _ in range(6000):  # a minute: the machine may be busy
        if true():
            return
        time.sleep(0.01)
    raise AssertionError("it never came about")


def _command(where: str, *numbers: int) -> list[str]:
    return [sys.executable, writer.__file__, "write", where, *map(str, numbers)]
