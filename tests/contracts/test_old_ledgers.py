"""Every ledger that was ever written opens, keeps its events to the letter, and means what its events mean."""

from __future__ import annotations

import json
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from ledgers.dumps import dump_text, dumps, load
from ledgers.servers import due, empty_workspace, everything, kept
from ledgers.yard import seeded_history

from partway.errors import LedgerUnsound
from partway.ledger.events.codec import from_json
from partway.ledger.memory import MemoryBook
from partway.storage.migrations import HEAD, REVISIONS
from partway.storage.refusals import BadLedger
from partway.storage.tables import upgrade
from partway.storage.tables.tables import READ_MODELS, metadata
from partway.storage.workspace import FILE, open_file, open_workspace

EVENTS = "SELECT id, kind, who, happened, typed, schema, data FROM event ORDER BY id"


def rows(path: Path, query: str = EVENTS) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(query).fetchall()


def in_memory(path: Path) -> MemoryBook:
    """The events of a ledger, read without our storage, in a book that has none."""
    book = MemoryBook()
    names = [str(name) for (name,) in rows(path, "SELECT name FROM pragma_table_info('event')")]
    book.append([from_json(_written(dict(zip(names, row, strict=True)))) for row in rows(path, "SELECT * FROM event")])
    return book


def _written(row: dict[str, object]) -> dict[str, object]:
    """A row as the event was written: schema 1 has no later fields, and an order is only said where it differs."""
    data = {**row, "data": json.loads(str(row["data"]))}
    if row["schema"] != 3:
        data.pop("intent", None)
    if row["schema"] == 1:
        return {name: value for name, value in data.items() if name not in {"device", "order", "refs"}}
    order = None if row["order"] == row["happened"] else row["order"]
    return {**data, "order": order, "refs": json.loads(str(row["refs"]))}


def models(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """The read models that a file has, as it has them."""
    there = {name for (name,) in rows(path, "SELECT name FROM sqlite_master")}
    return {
        table.name: sorted(rows(path, f"SELECT * FROM {table.name}"))  # noqa: S608
        for table in READ_MODELS
        if table.name in there
    }


def test_there_is_a_ledger_of_every_form() -> None:
    assert [dump.stem.removeprefix("form-") for dump in dumps()] == list(REVISIONS)


@pytest.mark.parametrize("dump", dumps(), ids=lambda dump: dump.stem)
def test_an_old_ledger_opens(dump: Path, tmp_path: Path) -> None:
    path = tmp_path / FILE
    load(dump, path)
    before, form, expected, said = rows(path), dump.stem.removeprefix("form-"), in_memory(path), models(path)
    assert len(before) > 30
    with open_workspace(tmp_path) as book:
        assert rows(path) == before
        assert kept(book) == due(book)
        assert book.balances() == expected.balances()
        assert book.accounts() == expected.accounts()
        assert book.facts() == expected.facts()
        if form == HEAD:  # what was written is still what is meant: a change of meaning takes a step of its own
            assert models(path) == said
        live = everything(book)
        book.rebuild()
        assert everything(book) == live
        later = seeded_history(12, 5)
        assert book.append(later) == len(later) > 0
    assert rows(path, upgrade.VERSION) == [(HEAD,)]
    copies = list(tmp_path.glob(f"{FILE}.form-*"))
    assert [copy.name for copy in copies] == ([] if form == HEAD else [f"{FILE}.form-{form}"])
    for copy in copies:
        assert rows(copy) == before
        assert rows(copy, upgrade.VERSION) == [(form,)]


def test_an_older_copy_is_not_written_over(tmp_path: Path) -> None:
    for expected in ("form-0000", "form-0000-2", "form-0000-3"):
        load(dumps()[0], tmp_path / FILE)
        open_workspace(tmp_path).close()
        assert (tmp_path / f"{FILE}.{expected}").exists()
        (tmp_path / FILE).unlink()


def test_a_step_that_fails_leaves_the_ledger_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise LedgerUnsound("for the test")

    load(dumps()[0], tmp_path / FILE)
    before = dump_text(tmp_path / FILE)
    monkeypatch.setattr("partway.storage.store.rebuild", broken)
    with pytest.raises(LedgerUnsound):
        open_workspace(tmp_path)
    assert dump_text(tmp_path / FILE) == before
    monkeypatch.undo()
    with open_workspace(tmp_path) as book:
        assert kept(book) == due(book)


@pytest.mark.parametrize("kind", ["sqlite", "postgres"])
def test_the_steps_lead_to_the_tables_the_code_works_with(kind: str, tmp_path: Path) -> None:
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext

    with empty_workspace(kind, tmp_path) as where, open_workspace(where) as book, book.engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []


def test_the_list_of_forms_is_that_of_the_steps() -> None:
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    config = Config()
    config.set_main_option("script_location", "partway:storage/migrations")
    config.set_main_option("path_separator", "os")
    steps = list(ScriptDirectory.from_config(config).walk_revisions())
    assert [step.revision for step in reversed(steps)] == list(REVISIONS)


def test_a_ledger_of_a_newer_partway_is_left_alone(tmp_path: Path) -> None:
    open_workspace(tmp_path).close()
    with closing(sqlite3.connect(tmp_path / FILE)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
        connection.commit()
    before = (tmp_path / FILE).read_bytes()
    with pytest.raises(BadLedger, match="written by a newer partway") as refused:
        open_workspace(tmp_path)
    assert refused.value.exit_status == 2
    assert (tmp_path / FILE).read_bytes() == before


def test_a_ledger_that_a_newer_partway_changes_meanwhile_is_not_written(tmp_path: Path) -> None:
    with open_workspace(tmp_path) as book:
        book.append(seeded_history(1, 3))
        with book.writing() as connection:
            connection.exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")
        for attempt in (lambda: book.append(seeded_history(2, 3)), book.rebuild):
            with pytest.raises(BadLedger, match="became form 9999 while it was open"):
                attempt()
    assert len(rows(tmp_path / FILE)) == len(seeded_history(1, 3))


def test_a_copy_in_another_folder_is_the_same_ledger(tmp_path: Path) -> None:
    with open_workspace(tmp_path / "one") as book:
        book.append(seeded_history(3, 10))
    shutil.copytree(tmp_path / "one", tmp_path / "two")
    with open_workspace(tmp_path / "one") as one, open_file(tmp_path / "two" / FILE) as two:
        assert everything(one) == everything(two)


FIGURES = json.loads((Path(__file__).parents[1] / "ledgers" / "figures.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("form", sorted(FIGURES))
def test_an_old_ledger_says_what_it_said_to_the_version_that_wrote_it(form: str, tmp_path: Path) -> None:
    """The figures were written down by the last version before events of schema 2 (commit b3d5d19), not by this one.

    Recounts, corrections and tickets are in these ledgers: what was stored as a difference keeps its effect.
    """
    load(dumps()[0].with_name(f"form-{form}.sql"), tmp_path / FILE)
    with open_workspace(tmp_path) as book:
        kinds = {event.kind for event in book.events()}
        assert kinds >= {"recounted", "weighed", "ticketed", "corrected"}
        assert [[*key, mg] for key, mg in sorted(book.balances().items())] == FIGURES[form]["balances"]
        assert [[*key, value] for key, value in sorted(book.facts().items())] == FIGURES[form]["facts"]
        assert [[name, str(sum_)] for name, sum_ in sorted(book.accounts().items())] == FIGURES[form]["accounts"]
        assert sorted(map(str, book.voided())) == FIGURES[form]["voided"]
        flows = [
            [f.happened.isoformat(), str(f.event), f.kind, f.move.source, f.move.target, f.move.grade, f.move.mg]
            for f in book.flows()
        ]
        assert flows == FIGURES[form]["flows"]
