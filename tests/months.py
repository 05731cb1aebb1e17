"""The demo's months in a workspace: made once an hour of their end, then copied, as making them takes seconds."""

from __future__ import annotations

import datetime as dt
import shutil
import tempfile
from functools import cache
from pathlib import Path

from partway.actions.demo import demo_months
from partway.storage.workspace import open_workspace


def months_in(folder: Path, until: dt.datetime) -> None:
    """A workspace in a folder that has none, with the months that `demo_months` makes up to a time."""
    shutil.copytree(
        _made(until.astimezone(dt.UTC).replace(minute=0, second=0, microsecond=0)), folder, dirs_exist_ok=True
    )


@cache
def _made(until: dt.datetime) -> Path:
    """A closed workspace: nothing of it is still in a log beside it."""
    folder = Path(_folder().name) / f"{until:%Y%m%dT%H}"
    with open_workspace(folder) as book:
        demo_months(book, until)
    return folder


@cache
def _folder() -> tempfile.TemporaryDirectory[str]:
    """Gone when the tests end."""
    return tempfile.TemporaryDirectory(prefix="partway-months-")
