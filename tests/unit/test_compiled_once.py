"""What is shared between the workspaces of the tests changes nothing of what a database is sent."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_client import NOW
from compiled_once import COLUMNS, COMPILED, event_once
from sqlalchemy import event, select, update
from workspaces import new_workspace

from partway.actions.bench.finds import find
from partway.actions.recording.context import Context
from partway.errors import LedgerDamaged
from partway.ledger.events.ids import new_id
from partway.ledger.fold import standing
from partway.storage.tables import tables as t
from partway.storage.tables.rows import event_from


def sent(folder: Path, kind: str) -> list[str]:
    """Every statement for a find that is taken and looked at in a workspace of its own."""
    found: list[str] = []

    def keep(_connection: object, _cursor: object, said: str, *_: object) -> None:
        found.append(said)

    with new_workspace(folder) as book:
        event.listen(book.engine, "before_cursor_execute", keep)
        find(book, Context("tester", lambda: NOW, new_id), kind, works="no", sure=True)
        assert [one.kind for one in standing.finds(book).values()] == [kind]
    return found


def test_a_second_workspace_is_sent_the_same_with_values_of_its_own_and_compiles_nothing(tmp_path: Path) -> None:
    COMPILED.clear()
    first = sent(tmp_path / "first", "microwave")
    known = len(COMPILED)
    assert known > 5 and sent(tmp_path / "second", "fan") == first
    assert len(COMPILED) == known


def test_columns_are_all_that_an_event_is_read_from() -> None:
    assert {column.name for column in t.event.columns} == set(COLUMNS)


@pytest.mark.parametrize(
    ("change", "refused"), [({"who": "mate"}, False), ({"data": "{}"}, True), ({"schema": 1.5}, True)]
)
def test_a_row_that_was_changed_is_read_anew(tmp_path: Path, change: dict[str, object], refused: bool) -> None:
    with new_workspace(tmp_path / "one") as book:
        find(book, Context("tester", lambda: NOW, new_id), "fan", works="no", sure=True)
        (first,) = book.recorded()
        assert next(iter(book.recorded())) is first
        with book.writing() as connection:
            (row,) = connection.execute(select(t.event))
            assert event_once(row) == event_from(row) == first
            connection.execute(update(t.event).values(**change))
        for _ in range(2):
            if refused:
                with pytest.raises(LedgerDamaged):
                    list(book.recorded())
            else:
                assert [one.who for one in book.recorded()] == ["mate"]
