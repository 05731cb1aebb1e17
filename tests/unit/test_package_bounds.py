"""A zip file is refused for what it would unpack to, before that is done."""

from __future__ import annotations

import struct
import tracemalloc
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from app_client import visitor
from ledgers.yard import seeded_history

from partway.errors import Refused
from partway.ledger.memory import MemoryBook
from partway.storage.exchange import package_files
from partway.storage.exchange.package import write_package
from partway.storage.exchange.package_files import ALL_MOST, DENSE, UNPACKED_MOST
from partway.storage.exchange.union import unite
from partway.storage.exchange.unpack import read_package

MB = 1_000_000


@pytest.fixture(scope="module")
def package(tmp_path_factory: pytest.TempPathFactory) -> Path:
    book = MemoryBook()
    book.append(seeded_history(11, 30))
    target = tmp_path_factory.mktemp("package") / "whole.zip"
    write_package(book, target)
    return target


def with_more(package: Path, target: Path, **files: bytes) -> Path:
    """A package with some of its files made longer."""
    with zipfile.ZipFile(package) as whole, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as made:
        for name in whole.namelist():
            made.writestr(name, whole.read(name) + files.get(name.removesuffix(".csv"), b""))
    return target


@pytest.fixture(scope="module")
def blown_up(package: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """100 MB of one letter in a table, packed into a tenth of a megabyte."""
    target = tmp_path_factory.mktemp("blown up") / "a.zip"
    with zipfile.ZipFile(package) as whole, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as made:
        for name in whole.namelist():
            with made.open(name, "w") as out:
                out.write(whole.read(name))
                for _ in range(100 if name == "found.csv" else 0):
                    out.write(b"a" * MB)
    return target


@contextmanager
def little_memory(most: int) -> Iterator[None]:
    """What is done in here takes less memory at any time, by Python's own count."""
    tracemalloc.start()
    try:
        yield
        assert tracemalloc.get_traced_memory()[1] < most
    finally:
        tracemalloc.stop()


def refusal(file: Path) -> Refused:
    with pytest.raises(Refused) as caught:
        unite(MemoryBook(), read_package(file))
    return caught.value


def test_a_file_that_unpacks_to_too_much_is_named(blown_up: Path) -> None:
    assert blown_up.stat().st_size < MB / 4
    with little_memory(5 * MB):
        refused = refusal(blown_up)
    assert "100," in refused.given and f"{UNPACKED_MOST:,}" in refused.expected
    assert refused.where == f"{blown_up}/found.csv"


def test_a_file_that_is_denser_than_any_ledger_is_named(package: Path, tmp_path: Path) -> None:
    file = with_more(package, tmp_path / "a.zip", quoted=b"a" * 10 * MB)
    with little_memory(5 * MB):
        refused = refusal(file)
    assert f"{DENSE} times" in refused.expected and refused.where == f"{file}/quoted.csv"


def test_many_files_that_are_each_small_enough_are_too_much_together(
    package: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with zipfile.ZipFile(package) as whole:
        sizes = [entry.file_size for entry in whole.infolist()]
    monkeypatch.setattr(package_files, "ALL_MOST", sum(sizes))
    assert unite(MemoryBook(), read_package(package)).new
    monkeypatch.setattr(package_files, "ALL_MOST", sum(sizes) - 1)
    assert f"{sum(sizes):,} bytes" in refusal(package).given
    monkeypatch.setattr(package_files, "ALL_MOST", ALL_MOST)
    monkeypatch.setattr(package_files, "UNPACKED_MOST", max(sizes))
    assert unite(MemoryBook(), read_package(package)).new
    monkeypatch.setattr(package_files, "UNPACKED_MOST", max(sizes) - 1)
    assert f"{max(sizes):,} bytes" in refusal(package).given


def test_a_file_that_unpacks_to_more_than_its_directory_says_is_damaged(blown_up: Path, tmp_path: Path) -> None:
    """The sizes in the directory are the sender's word (APPNOTE.TXT 4.3.12): no more than that is unpacked."""
    content = bytearray(blown_up.read_bytes())
    entry = content.rfind(b"found.csv") - 46  # of the directory, which comes last; 46 bytes before the name
    assert content[entry : entry + 4] == b"PK\x01\x02"
    assert struct.unpack_from("<I", content, entry + 24)[0] > 100 * MB
    struct.pack_into("<I", content, entry + 24, 900_000)
    file = tmp_path / "a.zip"
    file.write_bytes(content)
    with little_memory(20 * MB):
        refused = refusal(file)
    assert "found.csv" in refused.where or "cannot be read" in refused.given


def test_a_folder_is_on_the_disk_already_and_not_bounded(
    package: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(package_files, "UNPACKED_MOST", 10)
    with zipfile.ZipFile(package) as whole:
        whole.extractall(tmp_path / "folder")
    assert unite(MemoryBook(), read_package(tmp_path / "folder")).new
    assert "from a folder" in refusal(package).expected


def test_the_app_refuses_it_too_and_says_which_file(blown_up: Path, tmp_path: Path) -> None:
    with visitor(tmp_path / "w") as v:
        v.open("/books/export")
        with little_memory(60 * MB):
            answer = v.client.post("/books/export/look", files={"file": ("a.zip", blown_up.read_bytes())})
        assert answer.status_code == 422
        assert "bytes unpacked" in answer.text and "found.csv" in answer.text
        assert v.count() == 0
