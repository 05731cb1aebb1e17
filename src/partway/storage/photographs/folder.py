"""Photographs as files in a folder beside a SQLite ledger, each named by its digest. Why: docs/decisions/0015."""

from __future__ import annotations

import os
import secrets
from contextlib import suppress
from pathlib import Path

from partway.photographs.photograph import ENDING, digest_of
from partway.storage.exchange.atomic_files import to_disk
from partway.storage.refusals import in_words

FOLDER = "photographs"


class PhotographFolder:
    """Implements ledger.photographs.Photographs. A file gets its name once all of it is on the disk."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def keep(self, digest: str, content: bytes) -> None:
        """Keep one. Two programs may keep the same at one moment: whose file stays makes no difference."""
        target = self._file(digest)
        with in_words(str(self.folder)):
            if self.content(digest) is not None:
                return
            self.folder.mkdir(mode=0o700, exist_ok=True)
            part = target.with_name(f".{digest}.{secrets.token_hex(4)}")
            try:
                with os.fdopen(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as file:
                    file.write(content)
                    file.flush()
                    os.fsync(file.fileno())
                part.replace(target)
                to_disk(self.folder)
            finally:
                with suppress(OSError):
                    part.unlink(missing_ok=True)

    def content(self, digest: str) -> bytes | None:
        """One of them; None where it is not here, or is not what it was when it was kept."""
        with in_words(str(self.folder)):
            try:
                content = self._file(digest).read_bytes()
            except (FileNotFoundError, NotADirectoryError):
                return None
        return content if digest_of(content) == digest else None

    def _file(self, digest: str) -> Path:
        return self.folder / f"{digest}{ENDING}"
