"""The photographs in a Data Package: files of their own beside the tables, each a resource of the descriptor.

Whoever made the package, each is looked at before anything of it is read further: the size, the name that is its
digest, and that it is a picture and nothing else. One that is not refuses the whole package.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from partway.errors import Refused
from partway.ledger.photographs import Photographs
from partway.photographs.kept import check_kept
from partway.photographs.limits import KEPT_MOST
from partway.photographs.photograph import DIGEST, ENDING, MEDIA_TYPE
from partway.quantities import shown
from partway.storage.exchange.csvfile import BadPackage
from partway.storage.exchange.descriptor import NAME, PHOTOGRAPHS, FileSize
from partway.storage.exchange.package_files import PackageSource, package_at
from partway.storage.photographs.folder import FOLDER

MOST = 20_000  # photographs in one package


def write_photographs(named: Iterable[str], source: Photographs, folder: Path) -> list[str]:
    """Those of the photographs named that are here, as files of a package; their files' names in it."""
    written = []
    for digest in named:
        content = source.content(digest)
        if content is not None:
            (folder / FOLDER).mkdir(exist_ok=True)
            (folder / file_of(digest)).write_bytes(content)
            written.append(file_of(digest))
    return sorted(written)


def file_of(digest: str) -> str:
    """The name of a photograph's file in a package."""
    return f"{PHOTOGRAPHS}{digest}{ENDING}"


def resources(files: Mapping[str, FileSize]) -> list[dict[str, Any]]:
    """What the descriptor says of photographs, by their files."""
    return [
        {
            "name": f"photograph-{file.sha256}",
            "path": name,
            "format": ENDING.removeprefix("."),
            "mediatype": MEDIA_TYPE,
            "bytes": file.size,
            "hash": f"sha256:{file.sha256}",
        }
        for name, file in files.items()
    ]


def check_photographs(source: PackageSource, files: Sequence[str]) -> None:
    """Raises BadPackage unless each photograph of a package is one, and is what its name says."""
    if len(files) > MOST:
        raise BadPackage(f"{len(files):,} photographs", f"at most {MOST:,} in one package", f"{source.name}/{NAME}")
    for file in files:
        where = f"{source.name}/{shown(file)[1:-1]}"
        try:
            check_kept(_read(source, file), _digest(file), where)
        except Refused as refused:
            raise BadPackage(refused.given, refused.expected, where) from None


class PackagePhotographs:
    """Implements ledger.photographs.Photographs, to be read from alone."""

    def __init__(self, source: PackageSource) -> None:
        self._source, self._files = source, frozenset(source.names())

    def keep(self, digest: str, content: bytes) -> None:
        """Never: a package is written whole."""
        raise NotImplementedError

    def content(self, digest: str) -> bytes | None:
        """One of them; None where it did not come along. Raises BadPackage where it changed since it was looked at."""
        file = file_of(digest)
        if file not in self._files:
            return None
        content = _read(self._source, file)
        try:
            check_kept(content, digest, file)
        except Refused as refused:
            raise BadPackage(refused.given, refused.expected, f"{self._source.name}/{file}") from None
        return content


@contextmanager
def photographs_of(path: Path) -> Iterator[Photographs]:
    """The photographs of a package."""
    with package_at(path) as source:
        yield PackagePhotographs(source)


def _read(source: PackageSource, file: str) -> bytes:
    with source.open(file) as binary:
        return binary.read(KEPT_MOST + 1)


def _digest(file: str) -> str:
    name = file.removeprefix(PHOTOGRAPHS).removesuffix(ENDING)
    return name if DIGEST.fullmatch(name) else ""
