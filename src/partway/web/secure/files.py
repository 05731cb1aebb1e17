"""The files of https beside the workspace: private ones are their owner's alone, or they are not used."""

from __future__ import annotations

import os
import shlex
import stat
from pathlib import Path

from partway.errors import Refused
from partway.storage.exchange.atomic_files import beside, private, to_disk
from partway.storage.refusals import in_words
from partway.storage.workspace import HTTPS

FOLDER = HTTPS
AUTHORITY_KEY = "authority.key"
AUTHORITY = "authority.crt"
SERVER = "server.pem"  # the certificate with its key and the authority's certificate: one file, replaced as one
OTHERS = stat.S_IRWXG | stat.S_IRWXO


def read_private(path: Path, where: str = "https") -> bytes:
    """A file that holds a private key. Raises Refused where others may read it: then the key is no secret any more."""
    mode = stat.S_IMODE(path.stat().st_mode)
    if os.name != "nt" and mode & OTHERS:
        raise Refused(
            f"{path}, which others on this machine may read (mode {mode:03o})",
            f"a key that only you can read (chmod 600 {shlex.quote(str(path))}), or a new one if others may have it",
            where,
        )
    return path.read_bytes()


def write_private(path: Path, content: bytes) -> None:
    """Write or replace a file, whole or not at all; nobody else can read it at any moment. Raises BadLedger."""
    with in_words(str(path)), beside(path) as part:
        private(part)
        part.write_bytes(content)
        to_disk(part)
        part.replace(path)
        to_disk(path.parent)
