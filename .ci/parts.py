"""Every test, in parts that begin where one process is that has imported what they use: forked, not started.

Before its first test a part took two to four seconds of processor, most of it to import the same libraries and the
product. Here one process imports them, and each part is a fork of it: a process with memory, exit status and output of
its own, as before. The files of the tests are imported by each part itself.

Three run side by side, the next as soon as one of the three is through: the longest first, and the last ones short, so
that all are through at about the same time. Three where there are two cores: a part waits for a browser, a disk or a
child for a quarter of its time, and another can have the core meanwhile.
"""

from __future__ import annotations

import contextlib
import gc
import importlib
import os
import shlex
import sys
import threading
from pathlib import Path

SIDE_BY_SIDE = 3
# One line is one part. Nothing is left out: what is in no folder named here is in the third, and of the journeys,
# contracts and properties what no other line names is in one that ignores what the others name. The plug-in of
# schemathesis takes seconds to load, and only the tests of the JSON interface ask for it.
PARTS = """
tests/contracts/test_[m-r]*.py
tests/journeys/test_[a-m]*.py
tests --ignore=tests/properties --ignore=tests/journeys --ignore=tests/contracts
tests/journeys --ignore-glob=tests/journeys/test_[a-m]*.py
tests/contracts --ignore-glob=tests/contracts/test_api*.py --ignore-glob=tests/contracts/test_[m-z]*.py
tests/properties/test_[s-z]*.py
tests/contracts/test_[s-z]*.py
-p schemathesis.pytest.plugin tests/contracts/test_api*.py
tests/properties/test_[a-f]*.py
tests/properties --ignore-glob=tests/properties/test_[a-f]*.py --ignore-glob=tests/properties/test_[s-z]*.py
""".strip().splitlines()
# The plug-ins that are used. pytest would load each that is installed, and complain of one that has imported already
# what it is to watch over.
PLUGINS = ("-p", "no:cacheprovider", "-p", "_hypothesis_pytestplugin")
# What most parts use; what is missing here a part imports itself.
SHARED = ("pytest", "hypothesis", "fastapi.testclient", "jsonschema", "networkx", "partway.web.app", "partway.cli.app")


def words(part: str) -> list[str]:
    """The command line of a part: patterns become the files that are there."""
    said: list[str] = []
    for word in shlex.split(part):
        pattern = not word.startswith("-") and "*" in word
        said += sorted(map(str, Path().glob(word))) if pattern else [word]
    return said


def begun(part: str, output: int) -> int:
    """The process of a part, which writes to a file."""
    child = os.fork()
    if child:
        return child
    os.dup2(output, 1)
    os.dup2(output, 2)
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
    import pytest

    status = 1
    with contextlib.suppress(SystemExit):
        status = int(pytest.main([*PLUGINS, *words(part)]))
    sys.stdout.flush()
    sys.stderr.flush()
    sys.exit(status)


def main() -> int:
    """Run all, show each part's output when it is through; fail where any of them fails."""
    for name in SHARED:
        importlib.import_module(name)
    if threading.active_count() > 1:  # a fork would have one of them, and the locks of all
        sys.exit("an import has started a thread")
    gc.collect()
    gc.freeze()  # what is there already is not looked through again in each part
    waiting, failed = list(PARTS), False
    running: dict[int, tuple[str, int]] = {}
    while waiting or running:
        while waiting and len(running) < SIDE_BY_SIDE:
            part, said = waiting.pop(0), os.memfd_create("said")
            running[begun(part, said)] = part, said
        child, ended = os.wait()
        part, said = running.pop(child)
        status = os.waitstatus_to_exitcode(ended)
        text = os.pread(said, os.fstat(said).st_size, 0).decode(errors="replace")
        os.close(said)
        sys.stdout.write(f"{part} (exit status {status}):\n{text}\n")
        sys.stdout.flush()
        failed = failed or status != 0
    return int(failed)


if __name__ == "__main__":
    sys.exit(main())
