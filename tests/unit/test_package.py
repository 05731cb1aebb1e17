"""Our Data Packages against the published standard, and against another program that knows it.

Sources: Data Package standard version 2.0, parts Data Package, Data Resource, Table Schema and Security
(datapackage.org); RFC 4180 for CSV. The other program is the Python package `frictionless`, by the standard's own
maintainers; it reads and checks what we write, and never helps to write it.
"""

from __future__ import annotations

import csv
import dataclasses
import datetime as dt
import io
import json
import re
import zipfile
from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import frictionless
import pytest
from ledgers.yard import START, START_MS, seeded_history

from partway.errors import Refused
from partway.ledger.events import kinds as p
from partway.ledger.events.event import Event
from partway.ledger.events.ids import built
from partway.ledger.fold.fold import fold
from partway.ledger.memory import MemoryBook
from partway.storage.exchange.columns import event_tables, list_tables
from partway.storage.exchange.package import write_package
from partway.storage.exchange.union import unite
from partway.storage.exchange.unpack import read_package

HISTORY = seeded_history(8, 150, 6)
FORMULAS = ("=1+1", "+4.10", "-0.5", "@cell", 'say "no"', "two\nlines", "עברית", "")


def odd_events() -> Iterator[Event]:
    """One event of each kind that a seeded history may lack, and texts a spreadsheet would misread."""
    said: list[p.Payload] = [p.Found(f"odd{n}", "fan", source=text, note=text) for n, text in enumerate(FORMULAS)]
    said += [
        p.Traded("tip", "tip"),
        p.Traded("x", "mail-in", at=(Decimal("-90"), Decimal("0.000001")), note="=2", open=("sat 08:00-12:00",)),
    ]
    said += [
        p.Quoted("x", "g", None, "short ton", START.date()),
        p.Worked("other", 0, "odd1"),
        p.Pictured("ab" * 32, 1600, 900, find="odd1", kind="fan", piece="cord", note="=4"),
        p.Paid("x", Decimal("-1")),
        p.Identified("brass-yellow", "taps", 2, "brass-yellow", (p.Said("magnet", "none"),), 400_000, "=3"),
    ]
    for number, what in enumerate(said):
        yield Event(built(START_MS + 10**9, number), "=me", START, START, what)


ALL = [*HISTORY, *odd_events()]


@pytest.fixture(scope="module")
def book() -> MemoryBook:
    return MemoryBook(fold(ALL))


@pytest.fixture(scope="module")
def package(book: MemoryBook, tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("package") / "p"
    write_package(book, target)
    return target


@pytest.fixture(scope="module")
def descriptor(package: Path) -> dict[str, Any]:
    content: dict[str, Any] = json.loads((package / "datapackage.json").read_text(encoding="utf-8"))
    return content


def test_the_history_has_every_kind_of_event_and_every_list() -> None:
    """Or the checks below would pass over empty tables."""
    assert {event.kind for event in ALL} == set(p.PAYLOADS)
    filled = {f"{e.kind}-{f.name}" for e in ALL for f in dataclasses.fields(e.what) if getattr(e.what, f.name)}
    assert {table.name for table in list_tables()} <= filled


# --- another program reads it ----------------------------------------------------------------------


def errors_in(source: Path) -> list[str]:
    report = frictionless.Package(str(source)).validate()
    return [error.message for task in report.tasks for error in task.errors] + [
        error.message for error in report.errors
    ]


def test_another_program_finds_a_folder_and_a_zip_file_valid(book: MemoryBook, package: Path, tmp_path: Path) -> None:
    assert errors_in(package / "datapackage.json") == []
    write_package(book, tmp_path / "p.zip")
    assert errors_in(tmp_path / "p.zip") == []
    write_package(MemoryBook(), tmp_path / "empty")
    assert errors_in(tmp_path / "empty" / "datapackage.json") == []


@cache
def by_another_program(package: Path) -> frictionless.Package:
    """Its descriptor read once: with thirty tables that takes a second."""
    return frictionless.Package(str(package / "datapackage.json"))


def rows_by_another_program(package: Path, name: str) -> list[dict[str, Any]]:
    return [row.to_dict() for row in by_another_program(package).get_table_resource(name).read_rows()]


def plain(value: Any) -> Any:
    """A value as the other program has it: UUIDs are text there, and nothing else differs."""
    return value if isinstance(value, int | Decimal | dt.date | str | None) else str(value)


@pytest.mark.parametrize("kind", p.PAYLOADS)
def test_another_program_reads_the_values_of_the_events(kind: str, package: Path) -> None:
    """Numbers as exact decimals, days and times as such, texts to the last character, nothing as nothing."""
    rows = {row["id"]: row for row in rows_by_another_program(package, kind)}
    events = [event for event in ALL if event.kind == kind]
    assert len(rows) == len(events)
    for event in events:
        row = rows[str(event.id)]
        assert (row["who"], row["happened"], row["typed"]) == (event.who, event.happened, event.typed)
        for field in dataclasses.fields(event.what):
            value = getattr(event.what, field.name)
            if field.name == "at":
                assert (row["latitude"], row["longitude"]) == (value or (None, None))
            elif not isinstance(value, tuple):
                assert row[field.name] == plain(value), field.name


@pytest.mark.parametrize("table", [table.name for table in list_tables()])
def test_another_program_reads_the_lists_in_their_order(table: str, package: Path) -> None:
    kind, _, field = table.partition("-")
    rows: dict[str, list[dict[str, Any]]] = {}
    for row in sorted(rows_by_another_program(package, table), key=lambda row: (row["event"], row["n"])):
        rows.setdefault(row["event"], []).append(row)
    for event in (event for event in ALL if event.kind == kind):
        items = rows.pop(str(event.id), [])
        assert [item["n"] for item in items] == list(range(1, len(items) + 1))
        for item, expected in zip(items, getattr(event.what, field), strict=True):
            if isinstance(expected, str):
                assert item["value"] == expected
            else:
                assert {name: item[name] for name in item if name not in {"event", "n"}} == dataclasses.asdict(expected)
    assert not rows


def test_the_derived_tables_are_those_of_the_book(package: Path, book: MemoryBook) -> None:
    rows = {
        name: rows_by_another_program(package, f"derived-{name}") for name in ("balances", "money", "minutes", "voided")
    }
    assert {(row["place"], row["grade"]): row["mass_mg"] for row in rows["balances"]} == book.balances()
    assert sum(row["mass_mg"] for row in rows["balances"]) == 0  # mass in = mass out + stock + residue + loss
    money = {row["account"]: row["amount"] for row in rows["money"]}
    minutes = {f"minutes:{row['activity']}": row["minutes"] for row in rows["minutes"]}
    assert money | minutes == book.accounts() and money and minutes
    assert {row["event"] for row in rows["voided"]} == {str(event_id) for event_id in book.voided()} != set()


def test_the_derived_quotes_are_the_last_word_of_each_buyer_grade_and_tier(package: Path, book: MemoryBook) -> None:
    last: dict[tuple[str, str, int], p.Quoted] = {}
    for event in sorted(ALL, key=lambda event: (event.happened, event.id)):
        if isinstance(event.what, p.Quoted) and event.id not in book.voided():
            last[event.what.buyer, event.what.grade, event.what.from_mg] = event.what
    rows = {
        (row["buyer"], row["grade"], row["from_mg"]): row for row in rows_by_another_program(package, "derived-quotes")
    }
    assert rows.keys() == last.keys()
    for key, quoted in last.items():
        assert rows[key] == dataclasses.asdict(quoted)


EDITS = [  # file, column, what it becomes, what another program's complaint names
    ("found.csv", "count", "two", "integer"),
    ("found.csv", "count", "1.5", "integer"),
    ("found.csv", "count", "0", "minimum"),
    ("found.csv", "works", "maybe", "enum"),
    ("found.csv", "mass_mg", "5,2", "integer"),
    ("found.csv", "happened", "14/03/2026", "datetime"),
    ("found.csv", "id", "7", "uuid"),
    ("opened.csv", "closes", "WAHR", "boolean"),
    ("paid.csv", "amount", "4,10", "number"),
    ("quoted.csv", "on", "03/14/26", "date"),
    ("ticketed-lines.csv", "mass_mg", "-1", "minimum"),
    ("ticketed-lines.csv", "n", "", "required"),
]


def edited(package: Path, target: Path, file: str, column: str, text: str) -> Path:
    """A copy of a package in which the first row of a file was edited, and the digests taken out."""
    target.mkdir()
    for path in package.iterdir():
        (target / path.name).write_bytes(path.read_bytes())
    content = json.loads((target / "datapackage.json").read_text(encoding="utf-8"))
    for resource in content["resources"]:
        del resource["hash"], resource["bytes"]
    (target / "datapackage.json").write_text(json.dumps(content), encoding="utf-8")
    names, *rows = csv.reader(io.StringIO((target / file).read_bytes().decode(), newline=""))
    rows[0][names.index(column)] = text
    with (target / file).open("w", encoding="utf-8", newline="") as out:
        csv.writer(out).writerows([names, *rows])
    return target


@pytest.mark.parametrize(("file", "column", "text", "complaint"), EDITS)
def test_what_another_program_refuses_we_refuse_by_file_row_and_column(
    file: str, column: str, text: str, complaint: str, package: Path, tmp_path: Path
) -> None:
    target = edited(package, tmp_path / "p", file, column, text)
    table = frictionless.Package(str(target / "datapackage.json")).get_table_resource(Path(file).stem)
    found = [error.message for task in table.validate().tasks for error in task.errors]  # the others are as they were
    assert any(complaint in message for message in found), found
    assert f"/{file}, row 2, column {column}: got " in refused(target)


# --- the letter of the standard --------------------------------------------------------------------

# Data Package, profile 2.0, "path": what a file of a package may be called.
PATH = re.compile(r"((?=[^./~])(?!file:)((?!/\.\./)(?!\\)(?!://).)*|(http|ftp)s?://.*)")
NAME = re.compile(r"[a-z0-9._-]+")  # Data Resource, "name": lower-case letters, digits, ".", "-" and "_"
TYPES = {  # Table Schema, "Field Types", and which constraints go with which
    "string": {"required", "unique", "minLength", "maxLength", "pattern", "enum"},
    "integer": {"required", "unique", "minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum", "pattern", "enum"},
    "number": {"required", "unique", "minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum", "pattern", "enum"},
    "boolean": {"required", "unique", "enum"},
    "date": {"required", "unique", "minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum", "pattern", "enum"},
    "datetime": {"required", "unique", "minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum", "pattern", "enum"},
    "object": {"required", "unique", "minLength", "maxLength", "enum"},
}


def test_the_descriptor_has_what_the_standard_asks_of_a_package(package: Path, descriptor: dict[str, Any]) -> None:
    assert descriptor["$schema"] == "https://datapackage.org/profiles/2.0/datapackage.json"
    assert NAME.fullmatch(descriptor["name"])
    names = [resource["name"] for resource in descriptor["resources"]]
    assert len(set(names)) == len(names) >= 1
    for resource in descriptor["resources"]:
        assert NAME.fullmatch(resource["name"]) and PATH.fullmatch(resource["path"])
        assert resource["type"] == "table" and resource["encoding"] == "utf-8" and resource["mediatype"] == "text/csv"
        assert resource["bytes"] == (package / resource["path"]).stat().st_size
        assert "data" not in resource  # one and only one of path and data
    files = {file.name for file in package.iterdir()}
    assert files == {"datapackage.json", *(resource["path"] for resource in descriptor["resources"])}


def test_the_schemas_have_what_the_standard_asks_of_a_table(descriptor: dict[str, Any]) -> None:
    schemas = {resource["name"]: resource["schema"] for resource in descriptor["resources"]}
    for schema in schemas.values():
        names = [field["name"] for field in schema["fields"]]
        assert len(set(names)) == len(names)
        assert isinstance(schema["primaryKey"], list) and set(schema["primaryKey"]) <= set(names)
        for field in schema["fields"]:
            assert set(field.get("constraints", {})) <= TYPES[field["type"]]
            assert field.get("format", "default") in {"default", "uuid"}
            if field["name"] in schema["primaryKey"]:  # "the fields cannot be null"
                assert field["constraints"]["required"] is True
        for key in schema.get("foreignKeys", ()):
            reference = key["reference"]
            assert len(key["fields"]) == len(reference["fields"])
            assert set(key["fields"]) <= set(names)
            assert set(reference["fields"]) <= {field["name"] for field in schemas[reference["resource"]]["fields"]}
    assert {name for name, schema in schemas.items() if "foreignKeys" in schema} == {t.name for t in list_tables()}


def test_derived_tables_say_that_they_are(descriptor: dict[str, Any]) -> None:
    derived = [resource for resource in descriptor["resources"] if resource["name"].startswith("derived-")]
    assert len(derived) == 5
    assert all(resource["derived"] is True and "Derived" in resource["description"] for resource in derived)
    ours = {table.name for table in (*event_tables(), *list_tables())}
    assert {resource["name"] for resource in descriptor["resources"] if "derived" not in resource} == ours


def test_files_are_utf_8_without_a_mark_and_rows_end_as_rfc_4180_has_them(package: Path) -> None:
    """RFC 4180, section 2: CRLF after each record; a double quote inside quotes is doubled."""
    for file in package.iterdir():
        raw = file.read_bytes()
        raw.decode("utf-8")
        assert not raw.startswith(b"\xef\xbb\xbf")
        if file.suffix == ".csv":
            outside = re.sub(rb'"(?:[^"]|"")*"', b"", raw)
            assert outside.endswith(b"\r\n") and b'"' not in outside
            assert outside.count(b"\r") == outside.count(b"\n") == outside.count(b"\r\n")


@pytest.mark.parametrize("text", [text for text in FORMULAS if text[:1] in set("=+-@")])
def test_text_that_looks_like_a_formula_is_quoted_and_not_altered(text: str, package: Path) -> None:
    assert f',"{text}",'.encode() in (package / "found.csv").read_bytes()


def test_every_field_of_every_payload_has_its_column() -> None:
    tables = {table.name: table for table in (*event_tables(), *list_tables())}
    for kind, payload in p.PAYLOADS.items():
        filled = {column.fills for column in tables[kind].own}
        filled |= {table.field for table in list_tables() if table.parent == kind}
        assert filled == {field.name for field in dataclasses.fields(payload)}
        names = [column.name for column in tables[kind].columns]
        assert len(set(names)) == len(names), "a payload's field is called like a column that every event has"


# --- what we refuse --------------------------------------------------------------------------------


def refused(source: Path) -> str:
    book = MemoryBook()
    with pytest.raises(Refused) as caught:
        unite(book, read_package(source))
    assert not book.state.events
    return str(caught.value)


def test_a_text_that_was_edited_is_noticed_by_its_digest_and_taken_once_that_is_gone(
    package: Path, book: MemoryBook, tmp_path: Path
) -> None:
    target = edited(package, tmp_path / "p", "spent.csv", "what", "another day's worth")
    spent = (target / "spent.csv").read_bytes()
    other = MemoryBook()
    assert len(unite(other, read_package(target)).new) == len(ALL)
    with pytest.raises(Refused, match=r"spent\.csv, row 2: got event .* with another data\.what than the ledger has"):
        unite(book, read_package(target))
    (target / "datapackage.json").write_bytes((package / "datapackage.json").read_bytes())
    (target / "spent.csv").write_bytes(spent)
    for file in package.iterdir():
        if file.name != "spent.csv":
            (target / file.name).write_bytes(file.read_bytes())
    message = refused(target)
    assert "spent.csv: got a file that was changed after it was written" in message and "hash and bytes" in message


def rewritten(package: Path, target: Path, file: str, old: str, new: str) -> Path:
    """A copy of a package with one text replaced once, and no digests."""
    edited(package, target, "found.csv", "kind", "fan")
    text = (target / file).read_bytes().decode()
    assert old in text
    (target / file).write_bytes(text.replace(old, new, 1).encode())
    return target


@pytest.mark.parametrize(
    ("file", "old", "new", "message"),
    [
        ("found.csv", "id,happened", "id;happened", 'found.csv, row 1, column 1: got "id;happened"'),
        ("found.csv", "source,note", "note,source", 'found.csv, row 1, column 15: got "note"'),
        ("found.csv", ",round", "", "found.csv, row 1, column 25: got 24 columns"),
        ("found.csv", ",round", ",round,more", 'found.csv, row 1, column 26: got "more"'),
        ("opened-pieces.csv", ",1,", ",2,", "column n: got 2; expected 1"),
        ("opened-pieces.csv", ",1,", ",0,", "column n: got 0; expected 1"),
        ("ticketed-lines.csv", ",1,", ",3,", "column n: got"),
        ("traded.csv", '"yard"', '"house"', 'traded.csv, row 2, column kind: got "house"'),
        ("datapackage.json", '"found"', '"fount"', "name: got a table"),
        ("datapackage.json", '"found.csv"', '"../found.csv"', "path: got"),
        ("datapackage.json", '"found.csv"', '"https://example.org/found.csv"', "path: got"),
        ("datapackage.json", '"partway_format": 12', '"partway_format": 13', "got partway_format 13"),
        ("datapackage.json", '"partway_format": 12', '"format": 12', "the Data Package of a ledger"),
        ("datapackage.json", '"resources": [', '"resources": [7, ', "resource 1: got a int"),
        ("datapackage.json", "{", "", "got what is not JSON"),
    ],
)
def test_what_does_not_hold_together_is_refused_where_it_does_not(
    file: str, old: str, new: str, message: str, package: Path, tmp_path: Path
) -> None:
    assert message in refused(rewritten(package, tmp_path / "p", file, old, new))


def test_a_row_of_a_list_without_its_event_is_refused(package: Path, tmp_path: Path) -> None:
    target = rewritten(package, tmp_path / "p", "found.csv", "fan", "fan")
    lines = (target / "hauled.csv").read_bytes().splitlines(keepends=True)
    (target / "hauled.csv").write_bytes(b"".join([lines[0], *lines[2:]]))
    gone = lines[1].split(b",")[0].decode()
    assert f"hauled-stops.csv, row 2, column event: got {gone}" in refused(target)


def test_an_event_that_stands_twice_is_refused(package: Path, tmp_path: Path) -> None:
    target = rewritten(package, tmp_path / "p", "found.csv", "fan", "fan")
    lines = (target / "set.csv").read_bytes().splitlines(keepends=True)
    (target / "set.csv").write_bytes(b"".join([*lines, lines[1]]))
    assert f"set.csv, row {len(lines) + 1}, column id: got id" in refused(target)


def test_a_table_that_is_missing_or_not_spoken_of_is_refused(package: Path, tmp_path: Path) -> None:
    target = rewritten(package, tmp_path / "p", "found.csv", "fan", "fan")
    (target / "set.csv").rename(tmp_path / "set.csv")
    assert "got no set.csv" in refused(target)
    (tmp_path / "set.csv").rename(target / "set.csv")
    content = json.loads((target / "datapackage.json").read_text())
    content["resources"] = [resource for resource in content["resources"] if resource["name"] != "set"]
    (target / "datapackage.json").write_text(json.dumps(content))
    assert "got no word on set.csv" in refused(target)


def test_a_zip_file_with_a_file_twice_or_a_folder_around_it_is_refused(package: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "around.zip", "w") as around:
        for file in package.iterdir():
            around.write(file, f"p/{file.name}")
    assert "got no datapackage.json" in refused(tmp_path / "around.zip")
    with zipfile.ZipFile(tmp_path / "twice.zip", "w") as twice:
        for file in package.iterdir():
            twice.write(file, file.name)
        with pytest.warns(UserWarning, match="Duplicate"):
            twice.write(package / "set.csv", "set.csv")
    assert "two files of one name" in refused(tmp_path / "twice.zip")


def test_derived_tables_are_left_out_on_the_way_in(package: Path, book: MemoryBook, tmp_path: Path) -> None:
    target = edited(package, tmp_path / "p", "derived-balances.csv", "mass_mg", "nonsense")
    other = MemoryBook()
    unite(other, read_package(target))
    assert other.state == book.state


def test_a_part_of_the_time_has_no_derived_tables(book: MemoryBook, tmp_path: Path) -> None:
    write_package(book, tmp_path / "p", since=START)
    assert not list((tmp_path / "p").glob("derived-*"))
    assert "what follows from all events is left out" in (tmp_path / "p" / "datapackage.json").read_text()
    assert errors_in(tmp_path / "p" / "datapackage.json") == []
