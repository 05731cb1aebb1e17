"""The files of a Data Package, in a folder or a zip file, and what its descriptor says of them.

Only files of the package itself are read, never an address or a path elsewhere (datapackage.org, "Security").
"""

from __future__ import annotations

import hashlib
import json
import re
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any, Protocol

from partway.photographs.photograph import DIGEST, ENDING
from partway.quantities import shown
from partway.storage.exchange.columns import event_tables, list_tables
from partway.storage.exchange.convenience import DERIVED
from partway.storage.exchange.csvfile import BadPackage
from partway.storage.exchange.descriptor import FORMAT, NAME, PHOTOGRAPHS

DESCRIPTOR_MOST = 10**7  # bytes; ours are a hundredth of that
PIECE = 1 << 16
# What a zip file may unpack to. A demo year is 0.6 MB unpacked and a seventh of that packed; 0.75 MB of one letter
# unpack to 750. Nothing is unpacked beyond these, as zipfile reads no more of an entry than its directory says.
UNPACKED_MOST = 32_000_000  # bytes, each file: some 200,000 events of a kind
ALL_MOST = 64_000_000  # bytes, all files together
PHOTOGRAPHS_MOST = 2_000_000_000  # bytes, all photographs together, which are packed as they are
DENSE = 50  # times its packed size
DENSE_FROM = 1_000_000  # bytes unpacked: below, a file may be as dense as it likes
PHOTOGRAPH = re.compile(f"{PHOTOGRAPHS}{DIGEST.pattern}{re.escape(ENDING)}")
DAMAGE = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, OSError, ValueError)


class PackageSource(Protocol):
    """Where the files of a package are."""

    name: str

    def names(self) -> list[str]:
        """What is there."""
        ...

    def open(self, name: str) -> IO[bytes]:
        """One of them."""
        ...


class _Folder:
    def __init__(self, folder: Path) -> None:
        self._folder, self.name = folder, str(folder)

    def names(self) -> list[str]:
        return [file.relative_to(self._folder).as_posix() for file in (*self._folder.glob("*"), *self._photographs())]

    def _photographs(self) -> Iterator[Path]:
        return (self._folder / PHOTOGRAPHS).glob("*")

    def open(self, name: str) -> IO[bytes]:
        return (self._folder / name).open("rb")


class _Zip:
    def __init__(self, package: zipfile.ZipFile, name: str) -> None:
        self._package, self.name = package, name

    def names(self) -> list[str]:
        return self._package.namelist()

    def open(self, name: str) -> IO[bytes]:
        entry = self._package.getinfo(name)
        if entry.compress_type not in {zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED}:
            raise BadPackage(f"compression {entry.compress_type}", "a zip file that is stored or deflated", self.name)
        return self._package.open(entry)


def is_package(source: Path) -> bool:
    """Whether a path looks like a Data Package: a folder, its datapackage.json, or a zip file.

    Raises BadPackage if there is nothing to read, or it is a ledger.
    """
    if source.is_dir() or source.name == NAME:
        return True
    try:
        with source.open("rb") as file:
            start = file.read(16)
    except OSError as error:
        raise BadPackage((error.strerror or str(error)).lower(), "a file that can be read", str(source)) from error
    if start.startswith(b"SQLite format 3"):
        expected = "a Data Package or events; `partway restore` takes a backup, `partway merge` a workspace"
        raise BadPackage("a ledger or a backup of one", expected, str(source))
    return start.startswith(b"PK")


@contextmanager
def package_at(path: Path) -> Iterator[PackageSource]:
    """The package in a folder or zip file, or around a datapackage.json.

    Every error of a damaged file or a disk while it is read becomes BadPackage.
    """
    folder = path.parent if path.name == NAME and not path.is_dir() else path
    try:
        if folder.is_dir():
            yield _Folder(folder)
        else:
            with zipfile.ZipFile(folder) as package:
                _check_size(package, str(folder))
                yield _Zip(package, str(folder))
    except DAMAGE as error:
        raise BadPackage(f"a package that cannot be read ({error})", "a whole Data Package", str(path)) from error


def _check_size(package: zipfile.ZipFile, name: str) -> None:
    """Raises BadPackage for a zip file that would unpack to more than any ledger of ours."""
    expected, whole, pictures = "as much as a ledger; one that is larger is read from a folder, unpacked", 0, 0
    for entry in package.infolist():
        size, where = entry.file_size, f"{name}/{shown(entry.filename)[1:-1]}"
        if entry.filename.startswith(PHOTOGRAPHS):
            pictures += size
        else:
            whole += size
        if size > UNPACKED_MOST:
            raise BadPackage(f"{size:,} bytes unpacked", f"at most {UNPACKED_MOST:,}: {expected}", where)
        if size > max(DENSE_FROM, DENSE * entry.compress_size):
            given = f"{size:,} bytes packed into {entry.compress_size:,}"
            raise BadPackage(given, f"at most {DENSE} times as much unpacked: {expected}", where)
    if pictures > PHOTOGRAPHS_MOST:
        raise BadPackage(f"{pictures:,} bytes of photographs", f"at most {PHOTOGRAPHS_MOST:,}: {expected}", name)
    if whole > ALL_MOST:
        raise BadPackage(f"{whole:,} bytes unpacked", f"at most {ALL_MOST:,}: {expected}", name)


def resources_of(source: PackageSource) -> tuple[dict[str, Any], list[str], int]:
    """Descriptors of the tables that are read, by file; the files of photographs; and the package's format. Raises
    BadPackage for a package that is not a ledger.
    """
    where = f"{source.name}/{NAME}"
    names = source.names()
    if NAME not in names or len(set(names)) < len(names):
        raise BadPackage(f"no {NAME}" if NAME not in names else "two files of one name", "a Data Package", source.name)
    descriptor = _descriptor(source, where)
    listed = _listed(descriptor, where)
    known = {table.file for table in (*event_tables(), *list_tables())}
    resources: dict[str, Any] = {}
    photographs: list[str] = []
    for n, resource in enumerate(listed, start=1):
        file = _photograph(resource) or _file(resource, f"{where}, resource {n}")
        if file in resources or file in photographs:
            raise BadPackage(f"{file} twice", "each table once", where)
        if file.startswith(PHOTOGRAPHS):
            photographs.append(file)
        if file in known:
            resources[file] = resource
        if file not in names:
            raise BadPackage(f"no {file}", "the file of each table", source.name)
    there = {name for name in names if name.startswith(PHOTOGRAPHS) and name != PHOTOGRAPHS}
    left_out = sorted(known.intersection(names) - resources.keys()) + sorted(there.difference(photographs))
    if left_out:
        raise BadPackage(f"no word on {left_out[0]}, which is there", "a resource for each table", where)
    return resources, photographs, descriptor["partway_format"]


def _descriptor(source: PackageSource, where: str) -> dict[str, Any]:
    with source.open(NAME) as binary:
        text = binary.read(DESCRIPTOR_MOST + 1)
    try:
        descriptor = json.loads(text[:DESCRIPTOR_MOST].decode("utf-8"))
    except (ValueError, RecursionError) as error:
        raise BadPackage(f"what is not JSON in UTF-8 ({error})", "a descriptor", where) from error
    if type(descriptor) is not dict:
        raise BadPackage(f"a {type(descriptor).__name__}", "a descriptor, which is an object", where)
    return descriptor


def _listed(descriptor: dict[str, Any], where: str) -> list[Any]:
    form = descriptor.get("partway_format")
    if type(form) is not int or not 1 <= form <= FORMAT:
        given = (
            f"partway_format {shown(descriptor['partway_format'])}"
            if "partway_format" in descriptor
            else "another sort"
        )
        raise BadPackage(given, f'the Data Package of a ledger, "partway_format": 1 to {FORMAT}', where)
    listed = descriptor.get("resources")
    if type(listed) is not list:
        raise BadPackage(f"resources that are no list ({type(listed).__name__})", "a list of tables", where)
    return listed


def _photograph(resource: Any) -> str:
    """The file of a resource that is a photograph, by the only name it may have; empty for what is none."""
    path = resource.get("path") if type(resource) is dict else None
    return path if type(path) is str and PHOTOGRAPH.fullmatch(path) else ""


def _file(resource: Any, where: str) -> str:
    """The file of a resource, which is that of a table of ours and nothing else."""
    tables = {table.name: table for table in (*event_tables(), *list_tables(), *DERIVED)}
    if type(resource) is not dict:
        raise BadPackage(f"a {type(resource).__name__}", "a table, which is an object", where)
    name = resource.get("name")
    table = tables.get(name) if type(name) is str else None
    if table is None:
        raise BadPackage(f"a table {shown(name)}", f"one of {', '.join(tables)}", f"{where}, name")
    if resource.get("path") != table.file:
        raise BadPackage(shown(resource.get("path")), table.file, f"{where}, path")
    return table.file


def is_unchanged(source: PackageSource, file: str, resource: dict[str, Any]) -> bool:
    """Whether a file has the size and digest its descriptor says, where it says so."""
    size, digest = resource.get("bytes"), resource.get("hash")
    if size is None and digest is None:
        return True
    algorithm, _, expected = str(digest).partition(":")
    if digest is not None and algorithm != "sha256":
        raise BadPackage(shown(digest), "sha256: and its digits, or no hash", f"{source.name}/{NAME}, {file}, hash")
    read, sha256 = 0, hashlib.sha256()
    with source.open(file) as binary:
        while piece := binary.read(PIECE):
            read += len(piece)
            sha256.update(piece)
    return size in {None, read} and (digest is None or sha256.hexdigest() == expected)
