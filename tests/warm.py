"""Programs that begin where another one already is: forked from a process that has imported what they need.

Starting Python and importing partway takes a second and more, a fork some milliseconds. What comes of it is a process
of its own all the same: its own memory, connections, environment, clock and exit status. The process that is forked has
one thread and keeps nothing open. What starting a program itself does is held by tests that start one:
test_first_use.py, test_serve.py, test_json.py, test_clocks.py and test_writers.py among the contracts.
"""

from __future__ import annotations

import atexit
import gc
import importlib
import json
import os
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
import traceback
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from pathlib import Path
from typing import Any

import tzlocal

MOST = 1 << 20  # bytes of one request
LIMIT = 300  # seconds after which a forked process that does not end is ended


class Warm:
    """A process that has run `warmed`, a "module:function", and waits; `before` are words before its command line."""

    def __init__(self, warmed: str, before: Sequence[str] = (), **environment: str) -> None:
        self.ours, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        command = [*before, sys.executable, __file__, warmed, str(theirs.fileno())]
        known = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path)), **environment}
        self.process = subprocess.Popen(  # noqa: S603 (our own)
            command, env=known, pass_fds=[theirs.fileno()], stdin=subprocess.DEVNULL
        )
        theirs.close()
        atexit.register(self.close)

    def close(self) -> None:
        """End it."""
        self.ours.close()
        self.process.wait(60)

    def run(self, call: str, *arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
        """What a forked process says that calls "module:function" with arguments, as a program of that name would."""
        out, err = os.pipe(), os.pipe()
        request = {"call": call, "argv": ["partway", *arguments], "cwd": str(Path.cwd()), "environment": environment}
        socket.send_fds(self.ours, [json.dumps(request).encode()], [out[1], err[1]])
        for descriptor in (out[1], err[1]):
            os.close(descriptor)
        with ThreadPoolExecutor(1) as aside:
            complaints = aside.submit(_read, err[0])
            said, complained = _read(out[0]), complaints.result()
        status = json.loads(self.ours.recv(MOST))["status"]
        return subprocess.CompletedProcess([call, *arguments], status, said, complained)


def _read(descriptor: int) -> str:
    with open(descriptor, encoding="utf-8") as file:
        return file.read()


@cache
def commands() -> Warm:
    """One that has imported the command line and what reading and writing a ledger takes."""
    return Warm("warm:commands_imported")


def commands_imported() -> None:
    """Every command has said what it takes, and some have run, so that what they import when they are used is there."""
    from click.testing import CliRunner

    from partway.cli.app import COMMANDS, cli

    runs = [[name, "--help"] for name in COMMANDS]
    runs += [["set", "currency", "CAD"], ["find", "kettle"], ["today", "--json"], ["stock"], ["ledger"]]
    with tempfile.TemporaryDirectory(prefix="partway-warm-") as folder:
        for arguments in runs:
            done = CliRunner(env={"PARTWAY_WORKSPACE": folder}).invoke(cli, arguments)
            assert done.exit_code == 0, (arguments, done.output)
    for name in ("partway.actions.plans.plan", "partway.planning.model.highs", "highspy", "jsonschema"):
        importlib.import_module(name)


def _serve(line: socket.socket) -> dict[str, Any] | None:
    """Forks for each request until there are no more. In the forked process: the request."""
    while True:
        data, descriptors, *_ = socket.recv_fds(line, MOST, 2)
        if not data:
            return None
        sys.stdout.flush()
        child = os.fork()
        if not child:
            for descriptor, place in zip(descriptors, (1, 2), strict=True):
                os.dup2(descriptor, place)
                os.close(descriptor)
            line.close()
            request: dict[str, Any] = json.loads(data)
            return request
        for descriptor in descriptors:
            os.close(descriptor)
        _, ended = os.waitpid(child, 0)
        line.send(json.dumps({"status": os.waitstatus_to_exitcode(ended)}).encode())


def _function(name: str) -> Callable[[], object]:
    module, _, function = name.partition(":")
    found: Callable[[], object] = getattr(importlib.import_module(module), function)
    return found


def _settle(environment: Mapping[str, str]) -> None:
    """As if it had been started so: what was kept of the zone before is looked up again."""
    os.environ.update(environment)
    time.tzset()
    tzlocal.reload_localzone()


def _ended(call: Callable[[], object]) -> int:
    """The exit status of what a call comes to, as Python has it; what is kept for the end is done."""
    status = 0
    try:
        call()
    except SystemExit as left:
        status = left.code if isinstance(left.code, int) else int(left.code is not None)
        if isinstance(left.code, str):
            sys.stderr.write(f"{left.code}\n")
    except BaseException:  # noqa: BLE001 (shown, as Python shows what nobody caught)
        traceback.print_exc()
        status = 1
    atexit._run_exitfuncs()
    sys.stdout.flush()
    sys.stderr.flush()
    return status


def main() -> None:
    """`python tests/warm.py MODULE:FUNCTION DESCRIPTOR`."""
    _function(sys.argv[1])()
    assert threading.active_count() == 1
    gc.collect()
    gc.freeze()  # what is there already is not looked through again in each process
    request = _serve(socket.socket(fileno=int(sys.argv[2])))
    if request is not None:
        signal.alarm(LIMIT)
        sys.argv = request["argv"]
        os.chdir(request["cwd"])
        _settle(request["environment"])
        os._exit(_ended(_function(request["call"])))  # without taking apart, module by module, what was only copied


if __name__ == "__main__":
    main()
