"""What was worked out for the pocket, kept beside the ledger so that the next start serves it at once."""

from __future__ import annotations

import contextlib
import gzip
import hashlib
import json
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from partway.errors import Refused
from partway.ledger.workspaces import workspace_id
from partway.storage.exchange.atomic_files import beside, folders_for, private
from partway.storage.refusals import in_words
from partway.storage.store import SqlBook
from partway.storage.workspace import usual_folder

FOLDER = "pocket"
DATA, KEY, PAPER = "data.json", "key.json", "pocket.html"
NAMES = (DATA, KEY, PAPER)


@dataclass(frozen=True)
class KeptFile:
    """One file as it is sent; `state` is what it was worked out from."""

    content: bytes
    state: str

    @cached_property
    def tag(self) -> str:
        """Its entity tag: by the state where it has one, and never the same for other content."""
        return f"{self.state[:16]}-{hashlib.sha256(self.content).hexdigest()[:16]}"

    @cached_property
    def packed(self) -> bytes:
        """Compressed, once."""
        return gzip.compress(self.content, 9, mtime=0)


def pocket_folder(book: SqlBook) -> Path:
    """Where the files of a ledger lie: beside it, or in the system's folder where the ledger is on a server."""
    if book.engine.dialect.name == "sqlite":
        return Path(book.where).parent / FOLDER
    return usual_folder() / FOLDER / (workspace_id(book) or "new")


def read_kept(folder: Path, workspace: str) -> dict[str, KeptFile]:
    """The files that are there and of this workspace; none where one is missing or cannot be read."""
    found: dict[str, KeptFile] = {}
    with contextlib.suppress(OSError, ValueError, KeyError, TypeError):
        data, key = ((folder / name).read_bytes() for name in (DATA, KEY))
        told = {DATA: json.loads(data), KEY: json.loads(key)}
        if all(one["workspace"] == workspace for one in told.values()):
            paper = (folder / PAPER).read_bytes()
            states = {DATA: str(told[DATA]["state"]), KEY: str(told[KEY]["state"]), PAPER: str(told[DATA]["state"])}
            contents = {DATA: data, KEY: key, PAPER: paper}
            found = {name: KeptFile(contents[name], states[name]) for name in NAMES}
    return found


def keep(folder: Path, files: dict[str, KeptFile]) -> None:
    """Write them, each whole or not at all. Where nothing can be written they are kept in memory alone."""
    with contextlib.suppress(OSError, Refused):
        for name, file in files.items():
            target = folder / name
            with folders_for(target), in_words(str(target)), beside(target) as part:
                private(part)
                part.write_bytes(file.content)
                part.replace(target)
