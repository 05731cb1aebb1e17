"""A user whom permissions hold for, and the command line run as one: root may write anywhere."""

from __future__ import annotations

import ctypes
import os
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest

from partway.cli import main
from partway.storage.workspace import FILE

VERSION = 0x20080522  # of the kernel's interface, _LINUX_CAPABILITY_VERSION_3 (capset(2))
ANY_FILE = 1 << 1 | 1 << 2  # CAP_DAC_OVERRIDE and CAP_DAC_READ_SEARCH (capabilities(7))


class _Head(ctypes.Structure):
    _fields_ = (("version", ctypes.c_uint32), ("pid", ctypes.c_int))


class _Data(ctypes.Structure):
    _fields_ = (("effective", ctypes.c_uint32), ("permitted", ctypes.c_uint32), ("inheritable", ctypes.c_uint32))


@contextmanager
def as_anybody() -> Iterator[None]:
    """As a user whom permissions hold for: root keeps its name and gives up being let past them, in this thread."""
    if os.geteuid() != 0:
        yield
        return
    libc = ctypes.CDLL(None, use_errno=True)
    head, data = _Head(VERSION, 0), (_Data * 2)()
    assert libc.capget(ctypes.byref(head), data) == 0
    before = data[0].effective
    data[0].effective = before & ~ANY_FILE
    assert libc.capset(ctypes.byref(head), data) == 0
    try:
        yield
    finally:
        data[0].effective = before
        assert libc.capset(ctypes.byref(head), data) == 0


@contextmanager
def folder_of_anybody() -> Iterator[Path]:
    """A folder that is gone afterwards, whatever became of its permissions."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        yield folder
        folder.chmod(0o700)


def only_file(folder: Path) -> None:
    """The ledger may only be read."""
    (folder / FILE).chmod(0o400)


def only_folder(folder: Path) -> None:
    """Nothing new may be put beside the ledger."""
    folder.chmod(0o500)


def both(folder: Path) -> None:
    """Neither."""
    only_file(folder)
    only_folder(folder)


def contents(folder: Path) -> dict[str, bytes]:
    """Every file under a folder with its bytes."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@dataclass
class Shell:
    """Runs the installed command, on a workspace unless one is named."""

    workspace: str
    patch: pytest.MonkeyPatch
    capture: pytest.CaptureFixture[str]

    def __call__(self, *words: str) -> tuple[int, str, str]:
        """Exit status, standard output, standard error."""
        self.patch.setattr(sys, "argv", ["partway", *words])
        self.patch.setenv("PARTWAY_WORKSPACE", self.workspace)
        with pytest.raises(SystemExit) as left:
            sys.exit(main())  # type: ignore[func-returns-value,unused-ignore]
        out, err = self.capture.readouterr()
        assert "Traceback" not in err
        return int(str(left.value.code or 0)), out, err

    def done(self, *words: str) -> str:
        """What a run that worked printed."""
        status, out, err = self(*words)
        assert status == 0, err
        return out

    def message(self, status: int, *words: str) -> str:
        """The one line of a run that ended so."""
        ended, out, err = self(*words)
        assert (ended, out) == (status, ""), (ended, out, err)
        assert len(err.splitlines()) == 1, err
        return err


def day_in(shell: Shell, made: list[dict[str, bytes]]) -> None:
    """A small workspace in the shell's folder; made once, then copied."""
    folder = Path(shell.workspace)
    if not made:
        a_day(shell)
        made.append(contents(folder))
        return
    folder.mkdir(mode=0o700, exist_ok=True)
    for name, data in made[0].items():
        (folder / name).write_bytes(data)
        (folder / name).chmod(0o600)


def a_day(shell: Shell) -> None:
    """A small workspace: a yard, a price, a bin with something in it, and a find opened in part."""
    shell.done("set", "currency", "CAD")
    shell.done("set", "payload", "400 kg")
    shell.done("buyer", "ridge", "--kind", "yard", "--km", "10")
    shell.done("quote", "ridge", "copper-2", "8.80 /kg")
    shell.done("bin", "copper-2", "--holds", "12 kg")
    shell.done("find", "microwave", "--mass", "13.2 kg")
    shell.done("open", "microwave-1", "--op", "cord-and-tray", "cord=0.3 kg", "--gap", "left", "--yes")
