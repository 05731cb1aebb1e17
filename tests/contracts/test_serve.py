"""`partway serve` as a process: it answers, ends when told, and refuses what it cannot have."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx2
import pytest
from warm import commands


def free_port() -> int:
    with socket.socket() as sock:
        sock.bind(("127.0.0.1", 0))
        return int(sock.getsockname()[1])


@contextmanager
def served(folder: Path, *options: str) -> Iterator[tuple[subprocess.Popen[str], int]]:
    port = free_port()
    command = [sys.executable, "-m", "partway", "serve", "--workspace", str(folder), "--port", str(port), *options]
    environment = {**os.environ, "PYTHONUNBUFFERED": "1"}
    process = subprocess.Popen(  # noqa: S603 (our own command)
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment, stdin=subprocess.DEVNULL
    )
    try:
        yield process, port
    finally:
        process.kill()
        process.communicate()


def fetched(address: str) -> int:
    """What an address answers, asked until somebody listens."""
    until = time.monotonic() + 120
    while True:
        try:
            answer = httpx2.get(address)
        except httpx2.TransportError:
            if time.monotonic() > until:
                raise
            time.sleep(0.05)
        else:
            return answer.status_code


def test_it_answers_and_ends_when_told(tmp_path: Path) -> None:
    with served(tmp_path) as (process, port):
        assert fetched(f"http://localhost:{port}/static/partway.css") == 200
        assert fetched(f"http://localhost:{port}/nowhere") == 404
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=120)
    assert f"http://localhost:{port}" in out
    assert "Traceback" not in err
    assert (tmp_path / "ledger.sqlite").exists()


def test_a_phone_needs_the_key_that_is_printed(tmp_path: Path) -> None:
    with served(tmp_path, "--phone") as (process, port):
        assert fetched(f"http://localhost:{port}/nowhere") == 401
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=120)
        if process.returncode == 2:
            assert "without a network" in err
            return
    key = re.search(r"\?key=(\S+)", out)
    assert key and len(key[1]) >= 16


def test_a_port_in_use_is_refused_and_nothing_is_made(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        ran = commands().run("partway.cli:main", "serve", "--workspace", str(tmp_path / "new"), "--port", str(port))
    assert ran.returncode == 2
    assert f"got {port}" in ran.stderr and "a free port" in ran.stderr
    assert not (tmp_path / "new").exists()


@pytest.mark.parametrize("port", ["0", "65536", "eight", "-1"])
def test_what_is_no_port_is_refused(tmp_path: Path, port: str) -> None:
    ran = commands().run("partway.cli:main", "serve", "--workspace", str(tmp_path), "--port", port)
    assert ran.returncode == 2
