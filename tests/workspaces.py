"""New workspaces: the tables are made once a process and copied, as making them takes most of the time of a short test.

That a workspace is made with these tables is the subject of tests/contracts/test_workspace.py and test_first_use.py,
which make theirs by `open_workspace`.
"""

from __future__ import annotations

import tempfile
from functools import cache
from pathlib import Path

from partway.storage.store import SqlBook
from partway.storage.workspace import FILE, open_workspace


def new_workspace(folder: Path) -> SqlBook:
    """The book of a new workspace in a folder that has none."""
    return open_workspace(made(folder))


def made(folder: Path) -> Path:
    """The same folder, with a workspace in it that is closed: for what opens it itself."""
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / FILE).open("xb") as file:
        file.write(_empty())
    (folder / FILE).chmod(0o600)
    return folder


@cache
def _empty() -> bytes:
    """A closed ledger without an event: nothing of it is still in a log beside it."""
    with tempfile.TemporaryDirectory(prefix="partway-empty-") as folder:
        open_workspace(folder).close()
        assert [path.name for path in Path(folder).iterdir()] == [FILE]
        return (Path(folder) / FILE).read_bytes()
