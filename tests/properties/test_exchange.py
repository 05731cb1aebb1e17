"""A ledger written out and read back is the same ledger, to the last digit; a damaged file is refused, never half read.

What "the same" means is asked of the events' canonical text and of the fold, which are held to their own sources in
test_ledger.py; order and repetition do not matter because a merge is a union (docs/model.md).
"""

from __future__ import annotations

import csv
import io
import json
import os
import random
import re
import zipfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from ledgers.devices import Device
from ledgers.strategies import fleets, histories, ledgers
from ledgers.yard import START, START_MS, seeded_history

from partway.errors import BadEvent, Refused
from partway.ledger.book import Which
from partway.ledger.events import kinds as p
from partway.ledger.events.codec import to_text
from partway.ledger.events.event import Event
from partway.ledger.events.ids import built
from partway.ledger.events.shapes import shape_of
from partway.ledger.fold.fold import fold
from partway.ledger.memory import MemoryBook
from partway.storage.exchange.columns import event_tables, list_tables
from partway.storage.exchange.jsonl import read_lines, write_lines
from partway.storage.exchange.package import write_package
from partway.storage.exchange.package_files import is_package
from partway.storage.exchange.preview import changes
from partway.storage.exchange.union import Arrivals, added, arrivals, unite
from partway.storage.exchange.unpack import read_package
from partway.storage.store import SqlBook
from partway.storage.workspace import open_workspace

FORMS = ("e.jsonl", "p", "p.zip")
any_form = pytest.mark.parametrize("name", FORMS)
anything = histories() | ledgers()
SOME = settings(max_examples=40, deadline=None)
FEW = settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def book_of(events: Sequence[Event]) -> MemoryBook:
    return MemoryBook(fold(events))


def export(events: Sequence[Event], target: Path) -> Path:
    book = book_of(events)
    if target.suffix == ".jsonl":
        assert write_lines(book.events(), target) == len(events)
    else:
        assert write_package(book, target) == len(events)
    return target


def bring(book: MemoryBook, source: Path) -> Arrivals:
    """What `partway import` does with a file or folder."""
    return unite(book, read_package(source) if is_package(source) else read_lines(source))


def texts(book: MemoryBook) -> list[str]:
    return [to_text(event) for event in book.events()]


@pytest.fixture
def folder() -> Iterator[Path]:
    with TemporaryDirectory() as name:
        yield Path(name)


@pytest.fixture(autouse=True, scope="module")
def unsynced() -> Iterator[None]:
    """Thousands of small files: what reaches the disk when is for the tests of the store."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "fsync", lambda _: None)
        yield


# --- the same events -------------------------------------------------------------------------------


@any_form
@SOME
@given(events=anything)
def test_export_then_import_gives_the_same_events(name: str, events: list[Event]) -> None:
    with TemporaryDirectory() as folder:
        target = export(events, Path(folder) / name)
        book = MemoryBook()
        assert len(bring(book, target).new) == len(events)
        assert texts(book) == [to_text(event) for event in sorted(events, key=lambda event: event.id)]
        assert book.state == fold(events)


@any_form
@SOME
@given(events=anything, data=st.data())
def test_twice_and_in_parts_in_any_order_gives_the_same_state(
    name: str, events: list[Event], data: st.DataObject
) -> None:
    """Two parts that together are the whole and may overlap, each of which may come more than once."""
    mine = data.draw(st.lists(st.sampled_from("abc"), min_size=len(events), max_size=len(events)))
    parts = [[event for event, part in zip(events, mine, strict=True) if part in {name, "c"}] for name in "ab"]
    with TemporaryDirectory() as folder:
        files = [export(part, Path(folder) / f"{n}{name}") for n, part in enumerate(parts)]
        book = MemoryBook()
        for file in data.draw(st.permutations([*files, *files])):
            bring(book, file)
        assert book.state == fold(events)
        assert texts(book) == texts(book_of(events))


@SOME
@given(events=anything, data=st.data())
def test_lines_may_come_in_any_order_and_twice(events: list[Event], data: st.DataObject) -> None:
    with TemporaryDirectory() as folder:
        target = export(events, Path(folder) / "e.jsonl")
        lines = target.read_text(encoding="utf-8").split("\n")[:-1]
        target.write_text("\n".join(data.draw(st.permutations(lines + lines))), encoding="utf-8")
        book = MemoryBook()
        bring(book, target)
        assert book.state == fold(events)


@FEW
@given(events=anything, seed=st.integers(0, 2**32))
@example(events=seeded_history(4, 80), seed=1)  # with lists of several items
def test_rows_may_come_in_any_order(events: list[Event], seed: int) -> None:
    """As somebody leaves them who sorted the tables, and took the digests out of the descriptor as it says."""
    shuffle = random.Random(seed)
    with TemporaryDirectory() as folder:
        target = export(events, Path(folder) / "p")
        without_digests(target)
        for file in target.glob("*.csv"):
            names, *rows = csv.reader(io.StringIO(file.read_bytes().decode()))
            shuffle.shuffle(rows)
            with file.open("w", encoding="utf-8", newline="") as out:
                csv.writer(out).writerows([names, *rows])
        book = MemoryBook()
        bring(book, target)
        assert texts(book) == texts(book_of(events))


@any_form
@FEW
@given(events=anything, cut=st.integers(0, 3))
def test_what_happened_before_and_what_happened_since_are_the_whole(name: str, events: list[Event], cut: int) -> None:
    book, moment = book_of(events), START.replace(hour=START.hour + cut)
    with TemporaryDirectory() as folder:
        counts = []
        for number, (since, until) in enumerate(((None, moment), (moment, None))):
            target = Path(folder) / f"{number}{name}"
            if target.suffix == ".jsonl":
                counts.append(write_lines(book.events(since=since, until=until), target))
            else:
                counts.append(write_package(book, target, since, until))
        assert counts[0] == sum(event.happened < moment for event in events)
        again = MemoryBook()
        for file in sorted(Path(folder).iterdir()):
            bring(again, file)
        assert sum(counts) == len(events)
        assert again.state == book.state


@any_form
def test_the_same_events_are_the_same_bytes(name: str, folder: Path) -> None:
    events = seeded_history(3, 40, 3)
    first, second = export(events, folder / name), export(events[::-1], folder / f"again-{name}")
    for one in [first] if first.is_file() else sorted(first.iterdir()):
        other = second if first.is_file() else second / one.name
        assert one.read_bytes() == other.read_bytes()


def test_a_ledger_on_disk_goes_out_and_comes_back(folder: Path) -> None:
    """Through the database on both sides: many events at once, some of them there already."""
    events = seeded_history(11, 900, 40)
    with open_workspace(folder / "one") as one, open_workspace(folder / "two") as two:
        one.append(events)
        two.append(events[::3])
        write_lines(one.events(), folder / "e.jsonl")
        write_package(one, folder / "p.zip")
        found = unite(two, read_package(folder / "p.zip"))
        assert (len(found.new), found.present) == (len(events) - len(events[::3]), len(events[::3]))
        assert [to_text(event) for event in two.events()] == [to_text(event) for event in one.events()]
        assert two.balances() == one.balances() and two.facts() == one.facts() and two.accounts() == one.accounts()
        assert unite(two, read_lines(folder / "e.jsonl")) == Arrivals((), len(events))


@any_form
@FEW
@given(fleet=fleets(most=10))
def test_what_several_devices_recorded_goes_out_and_comes_back(name: str, fleet: list[Device]) -> None:
    """As it was recorded, also where things go by other names here."""
    events = [event for device in fleet for event in device.book.recorded()]
    with TemporaryDirectory() as folder:
        target, book = Path(folder) / name, book_of(events)
        written = write_lines(book.recorded(), target) if name == "e.jsonl" else write_package(book, target)
        again = MemoryBook()
        assert written == len(bring(again, target).new)
        assert again.state == book.state


LATER = {1: {"device", "order", "refs"}, 2: {"model"}, 3: {"mostly", "anatomy"}, 4: {"signs", "round", "most_mg"},
         5: {"phone"}, 6: {"low", "high"}, 7: {"intent"}, 10: {"ticket_fee", "ticket_share"},
         11: {"back_km"}}  # fmt: skip
OF_5 = ("described", "round", "listed", "repriced", "taken-down", "returned")  # kinds of event that came later


def _of_form(event: Event, form: int) -> Event:
    """An event as a format has it: with what came later left at its default."""
    plain = {field.name: field.default for field in shape_of(type(event.what)).fields if field.since > form}
    return replace(event, what=replace(event.what, **plain))


@pytest.mark.parametrize("form", [1, 2, 3, 4, 5, 6, 7, 10, 11])
def test_a_package_of_an_older_format_is_read(form: int, folder: Path) -> None:
    """As the versions before wrote it: without the columns that came later, and with its own number."""
    kinds = OF_5 if form < 5 else ()
    events = [_of_form(event, max(form, 4)) for event in seeded_history(12, 60, 3) if event.kind not in kinds]
    assert any(event.kind == "sold" for event in events)
    target, absent = export(events, folder / "p"), set[str]()
    without_digests(target)
    descriptor = target / "datapackage.json"
    told = json.loads(descriptor.read_text())
    assert told["partway_format"] == 12
    later = {"opened-answers", "traded-open"} if form < 5 else {"opened-answers"} if form < 6 else set()
    tables = [table for table in told["resources"] if table["name"] not in later]
    descriptor.write_text(json.dumps(told | {"partway_format": form, "resources": tables}))
    for name in later:
        (target / f"{name}.csv").unlink()
    for table in (*event_tables(), *list_tables()):
        file = target / table.file
        if not file.exists():
            continue
        names, *rows = csv.reader(io.StringIO(file.read_bytes().decode()))
        known = {column.name for column in table.columns_of(form)}
        absent |= set(names) - known
        keep = [n for n, column in enumerate(names) if column in known]
        with file.open("w", encoding="utf-8", newline="") as out:
            csv.writer(out).writerows([[row[n] for n in keep] for row in (names, *rows)])
    assert set().union(*(later for since, later in LATER.items() if since >= form)) <= absent
    book = MemoryBook()
    assert len(bring(book, target).new) == len(events)
    assert book.state == fold(events)


def test_lines_of_version_1_are_read(folder: Path) -> None:
    target = export(seeded_history(3, 10), folder / "e.jsonl")
    target.write_bytes(target.read_bytes().replace(b'"version":2', b'"version":1'))
    book = MemoryBook()
    bring(book, target)
    assert book.state == fold(seeded_history(3, 10))


# --- hostile text ----------------------------------------------------------------------------------

HOSTILE = [
    "=1+1",
    '=HYPERLINK("x","y")',
    "+4.10",
    "-0.5",
    "@cell",
    "\t=tab",
    '"',
    '""',
    '"quoted", and, commas',
    "two\nlines",
    "\n",
    "ends with \n",
    ";semi;colon",
    "'apostrophe",
    "\\N",
    "\\",
    "NULL",
    "nan",
    "true",
    "0012",
    "1e5",
    "2026-03-14",
    " spaces around ",
    "  ",
    "",
    "מחרטה ישנה",
    "عربة قديمة",
    "😀 🔩",
    "e\u0301 and é",
    "straße ﬁ",
    "{}",
    "</script>",
    "x" * 2000,
]


@any_form
@pytest.mark.parametrize("text", HOSTILE, ids=lambda text: repr(text[:12]))
def test_hostile_text_survives_exactly(name: str, text: str, folder: Path) -> None:
    said: list[p.Payload] = [p.Found("f", "fan", source=text, note=text, photo=text), p.Spent(text, Decimal("1.10"))]
    said.append(p.Ticketed("t", "harbour", (), Decimal(0), (p.Deduction(text, Decimal("0.10")),), None, text))
    events = [Event(built(START_MS, n), "me", START, START, what) for n, what in enumerate(said)]
    book = MemoryBook()
    bring(book, export(events, folder / name))
    assert list(book.events()) == events


@pytest.mark.parametrize("text", ["\0", "a\0b", "\x1b[31m", "\r", "\ud800"], ids=repr)
def test_what_no_text_may_hold_is_refused_on_the_way_out_and_in(text: str, folder: Path) -> None:
    """NUL and other control characters, and half a surrogate pair, which UTF-8 cannot say (RFC 3629, section 3)."""
    bad = Event(built(START_MS, 1), "me", START, START, p.Found("f", "fan", note=text))
    with pytest.raises(BadEvent):
        write_lines([bad], folder / "bad.jsonl")
    assert list(folder.iterdir()) == []
    good = to_text(replace(bad, what=p.Found("f", "fan", note="HERE")))
    (folder / "e.jsonl").write_text(good.replace("HERE", json.dumps(text)[1:-1]) + "\n", encoding="utf-8")
    assert "line 1" in refused(folder / "e.jsonl")
    package = export([replace(bad, what=p.Found("f", "fan", note="HERE"))], folder / "p")
    without_digests(package)
    table = package / "found.csv"
    table.write_bytes(table.read_bytes().replace(b"HERE", text.encode("utf-8", "surrogatepass")))
    assert "found.csv, row 2, column note" in refused(package)


# --- damage ----------------------------------------------------------------------------------------


def refused(source: Path) -> str:
    """The one message a source is refused with; nothing of it reaches the book."""
    book = MemoryBook()
    with pytest.raises(Refused) as caught:
        bring(book, source)
    assert not book.state.events
    message = str(caught.value)
    assert re.fullmatch(r".+: got .+; expected .+", message, re.DOTALL), message
    return message


def without_digests(package: Path) -> None:
    descriptor = package / "datapackage.json"
    content = json.loads(descriptor.read_text(encoding="utf-8"))
    for resource in content["resources"]:
        del resource["hash"], resource["bytes"]
    descriptor.write_text(json.dumps(content), encoding="utf-8")


Damage = Callable[[bytearray, int, random.Random], None]


def flip(raw: bytearray, at: int, choose: random.Random) -> None:
    raw[at] ^= 1 << choose.randrange(8)


def cut(raw: bytearray, at: int, _: random.Random) -> None:
    del raw[at:]


def drop(raw: bytearray, at: int, _: random.Random) -> None:
    del raw[at]


def insert(raw: bytearray, at: int, choose: random.Random) -> None:
    raw.insert(at, choose.randrange(256))


def overwrite(raw: bytearray, at: int, choose: random.Random) -> None:
    raw[at] = choose.randrange(256)


SMALL = [event for event in seeded_history(5, 30) if event.kind in {"found", "opened", "ticketed", "quoted"}][:4]
DAMAGED = [
    ("e.jsonl", "e.jsonl", 10_000),  # every position there is
    ("p.zip", "p.zip", 150),
    ("p", "p/found.csv", 60),
    ("p", "p/opened-pieces.csv", 60),
    ("p", "p/ticketed-lines.csv", 60),
    ("p", "p/datapackage.json", 150),
]


@pytest.mark.parametrize("damage", [flip, cut, drop, insert, overwrite])
@pytest.mark.parametrize(("name", "inside", "most"), DAMAGED, ids=[inside for _, inside, _ in DAMAGED])
def test_a_damaged_file_is_refused_or_read_as_the_same_and_never_half_imported(
    name: str, inside: str, most: int, damage: Damage, folder: Path
) -> None:
    events = SMALL if name != "e.jsonl" else SMALL[:2]
    source, choose = export(events, folder / name), random.Random(7)
    file, state = folder / inside, fold(events)
    whole = file.read_bytes()
    places = range(len(whole)) if len(whole) <= most else sorted(choose.sample(range(len(whole)), most))
    refusals = 0
    for place in places:
        raw = bytearray(whole)
        damage(raw, place, choose)
        file.write_bytes(raw)
        book = MemoryBook()
        try:
            bring(book, source)
        except Refused:
            refusals += 1
            assert not book.state.events
        else:
            assert book.state == state, place
    assert refusals > 0


def test_a_file_cut_between_two_lines_is_noticed(folder: Path) -> None:
    target = export(SMALL, folder / "e.jsonl")
    lines = target.read_bytes().splitlines(keepends=True)
    target.write_bytes(b"".join(lines[:-1]))
    assert "3 events where its first line says 4" in refused(target)
    target.write_bytes(b"".join(lines[1:-1]))  # a part picked out on purpose has no first line
    assert len(bring(MemoryBook(), target).new) == 3


def test_a_damaged_line_is_named(folder: Path) -> None:
    target = export(SMALL, folder / "e.jsonl")
    lines = target.read_bytes().splitlines(keepends=True)
    for number in range(1, len(lines)):
        broken = [*lines]
        broken[number] = lines[number].replace(b'"me"', b'"he"').replace(b'"mate"', b'"late"')
        target.write_bytes(b"".join(broken))
        assert f"e.jsonl, line {number + 1}: got an event that is not what was written" in refused(target)
        broken[number] = lines[number][: len(lines[number]) // 2] + b"\n"
        target.write_bytes(b"".join(broken))
        assert f"e.jsonl, line {number + 1}: " in refused(target)


@pytest.mark.parametrize(
    "line",
    [
        b"\xef\xbb\xbf{}",  # jsonlines.org: no byte order mark
        b"\xff",
        b"[]",
        b"7",
        b'"text"',
        b"{",
        b"{}",
        b"[" * 100_000,
        b'{"format":"partway-events","version":3,"events":0}',
        b'{"format":"partway-events","version":true,"events":0}',
        b'{"format":"another","version":1,"events":0}',
        b'{"format":"partway-events","version":1,"events":-1}',
        b'{"format":"partway-events","version":1}',
        b'{"id":1,"id":1}',
        b'{"id":1e400}',
        b'{"id":NaN}',
        b'{"id":' + b"9" * 5000 + b"}",
        b'{"crc32":[],"id":"\\ud800"}',
    ],
    ids=lambda line: repr(line[:40]),
)
def test_what_is_no_event_is_refused_by_its_line(line: bytes, folder: Path) -> None:
    target = export(SMALL, folder / "e.jsonl")
    target.write_bytes(target.read_bytes() + line + b"\n")
    assert "e.jsonl, line 6" in refused(target)


# --- the same id with other content ----------------------------------------------------------------


@any_form
def test_another_event_of_the_same_id_is_refused_before_anything_is_written(name: str, folder: Path) -> None:
    mine = Event(built(START_MS, 5), "me", START, START, p.Found("f", "fan", note="mine"))
    other = replace(mine, what=p.Found("f", "fan", note="yours"))
    new = [Event(built(START_MS, n), "me", START, START, p.Set("wage", str(n))) for n in (1, 9)]
    target = export([*new, other], folder / name)
    book = book_of([mine])
    with pytest.raises(BadEvent) as caught:
        bring(book, target)
    place = "line 3" if name == "e.jsonl" else "found.csv, row 2"
    assert place in caught.value.where
    assert str(mine.id) in caught.value.given and "another data.note" in caught.value.given
    assert list(book.events()) == [mine]


def test_amounts_that_are_equal_but_not_written_alike_are_not_the_same_event(folder: Path) -> None:
    one = Event(built(START_MS, 5), "me", START, START, p.Spent("fuel", Decimal("4.10")))
    book = book_of([replace(one, what=p.Spent("fuel", Decimal("4.1")))])
    with pytest.raises(BadEvent, match=r"another data\.amount"):
        bring(book, export([one], folder / "e.jsonl"))


def test_one_file_that_says_two_things_of_one_id_is_refused(folder: Path) -> None:
    one = Event(built(START_MS, 5), "me", START, START, p.Set("wage", "12"))
    export([one], folder / "a.jsonl")
    export([replace(one, who="mate")], folder / "b.jsonl")
    (folder / "e.jsonl").write_bytes((folder / "a.jsonl").read_bytes() + (folder / "b.jsonl").read_bytes())
    assert "e.jsonl, line 4: got event" in refused(folder / "e.jsonl")


# --- targets ---------------------------------------------------------------------------------------


@any_form
@pytest.mark.parametrize("there", ["file", "folder", "link"])
def test_nothing_is_overwritten(name: str, there: str, folder: Path) -> None:
    target = folder / name
    if there == "file":
        target.write_text("mine")
    elif there == "folder":
        target.mkdir()
    else:
        target.symlink_to(folder / "nowhere")
    with pytest.raises(Refused, match="already"):
        export(SMALL, target)
    assert [path.name for path in folder.iterdir()] == [name]
    assert there != "file" or target.read_text() == "mine"


class Broken(MemoryBook):
    """A book whose events stop coming half-way."""

    def recorded(self, *_: object, **__: object) -> Iterator[Event]:
        yield from SMALL[:2]
        raise OSError(5, "Input/output error")


@any_form
def test_an_export_that_fails_leaves_nothing_behind(name: str, folder: Path) -> None:
    with pytest.raises(Refused, match="input/output error"):
        write_lines(Broken().recorded(), folder / name) if name == "e.jsonl" else write_package(Broken(), folder / name)
    assert list(folder.iterdir()) == []


@any_form
def test_a_target_in_no_folder_is_refused(name: str, folder: Path) -> None:
    with pytest.raises(Refused, match="folder"):
        export(SMALL, folder / "absent" / name)
    assert list(folder.iterdir()) == []


class Busy(MemoryBook):
    """A book to which somebody adds an event each time it is asked for its balances, `times` times."""

    def __init__(self, times: int) -> None:
        super().__init__(fold(SMALL))
        self.times = times

    def balances(self, place: str | Which = "") -> dict[tuple[str, str], int]:
        if self.times:
            self.times -= 1
            late = Event(built(START_MS + 10**9, self.times), "me", START, START, p.Found("g", "fan", mass_mg=1000))
            self.append([late])
        return dict(super().balances(place))


def test_derived_tables_follow_from_the_events_beside_them_while_others_write(folder: Path) -> None:
    book = Busy(3)
    count = write_package(book, folder / "p")
    assert count == len(SMALL) + 3
    with (folder / "p" / "derived-balances.csv").open(encoding="utf-8", newline="") as file:
        balances = {(row["place"], row["grade"]): int(row["mass_mg"]) for row in csv.DictReader(file)}
    again = MemoryBook()
    bring(again, folder / "p")
    assert balances == again.balances()
    with pytest.raises(Refused, match="quiet moment"):
        write_package(Busy(100), folder / "q")
    assert not (folder / "q").exists()


# --- previews --------------------------------------------------------------------------------------


@SOME
@given(events=anything, data=st.data())
def test_a_preview_says_what_the_import_then_does(events: list[Event], data: st.DataObject) -> None:
    there = [event for event in events if data.draw(st.booleans())]
    book = book_of(there)
    found = arrivals(book, [("line", event) for event in events])
    told = changes(book, found)
    before, before_sums = dict(book.balances()), dict(book.accounts())
    assert (len(found.new), found.present) == (len(events) - len(there), len(there))
    assert book.state == fold(there), "a preview wrote something"
    book.append(found.new)
    for mass in told.masses:
        assert before.pop((mass.place, mass.grade), 0) == mass.before_mg != mass.after_mg
        if mass.after_mg:
            before[mass.place, mass.grade] = mass.after_mg
    assert before == book.balances()
    for account in told.accounts:
        assert before_sums.pop(account.account, 0) == account.before != account.after
        if account.after:
            before_sums[account.account] = account.after
    assert before_sums == book.accounts()


def test_a_zip_file_of_more_than_is_stored_or_deflated_is_refused(folder: Path) -> None:
    target = export(SMALL, folder / "p.zip")
    with zipfile.ZipFile(target) as package:
        files = {name: package.read(name) for name in package.namelist()}
    with zipfile.ZipFile(folder / "q.zip", "w", zipfile.ZIP_LZMA) as package:
        for name, content in files.items():
            package.writestr(name, content)
    assert "stored or deflated" in refused(folder / "q.zip")


def test_many_events_are_looked_up_in_a_database_by_few_statements(folder: Path) -> None:
    from sqlalchemy import event as sql

    events = seeded_history(2, 1200)
    with open_workspace(folder / "w") as book:
        book.append(events)
        statements: list[str] = []
        sql.listen(book.engine, "before_cursor_execute", lambda *given: statements.append(given[2]))
        assert isinstance(book, SqlBook)
        found = arrivals(book, [("line", event) for event in events])
        assert found == Arrivals((), len(events))
        assert len([text for text in statements if text.startswith("SELECT")]) <= len(events) / 400 + 1


def test_what_others_added_meanwhile_is_not_counted_as_new() -> None:
    """A file is looked at before others have to wait, and once more when it is added."""
    book, events = MemoryBook(), seeded_history(1, 10)
    found = arrivals(book, (("here", event) for event in events))
    book.append(events[:4])
    really = added(book, found)
    assert (len(really.new), really.present) == (len(events) - 4, 4)
    assert list(book.events()) == sorted(events, key=lambda event: event.id)
