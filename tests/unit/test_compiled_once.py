"""What is shared between the workspaces of the tests changes nothing of what a database is sent."""

from __future__ import annotations

from pathlib import Path

from app_client import NOW
from compiled_once import COMPILED
from sqlalchemy import event
from workspaces import new_workspace

from partway.actions.bench.finds import find
from partway.actions.recording.context import Context
from partway.ledger.events.ids import new_id
from partway.ledger.fold import standing


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
