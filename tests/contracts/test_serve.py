"""`partway serve` as a process: it answers, ends when told, and refuses what it cannot have."""

from __future__ import annotations

import datetime as dt
import os
import re
import signal
import socket
import ssl
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx2
import pytest
from hung import HUNG
from warm import commands

from partway.errors import Refused
from partway.web.secure.authority import authority_in
from partway.web.secure.certificate import server_file
from partway.web.secure.names import HostNames, own_address


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


def fetched(address: str, **options: Any) -> int:
    """What an address answers, asked until somebody listens."""
    until = time.monotonic() + 120
    while True:
        try:
            answer = httpx2.get(address, **options)
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
        out, err = process.communicate(timeout=HUNG)
    assert f"http://localhost:{port}" in out
    assert "Traceback" not in err
    assert (tmp_path / "ledger.sqlite").exists()


def ended(process: subprocess.Popen[str]) -> tuple[str, str]:
    """What a process said, once it was told to end."""
    process.send_signal(signal.SIGINT)
    return process.communicate(timeout=HUNG)


def has_network() -> bool:
    """Whether this machine has an address on a network: without one no phone can be let in."""
    try:
        own_address()
    except Refused:
        return False
    return True


networked = pytest.mark.skipif(not has_network(), reason="this machine has no network")


def trusting(folder: Path) -> ssl.SSLContext:
    file = folder / "https" / "authority.crt"
    until = time.monotonic() + 120
    while not file.exists() and time.monotonic() < until:
        time.sleep(0.05)
    return ssl.create_default_context(cafile=file)


@networked
def test_a_phone_comes_by_https_with_the_key_that_is_printed(tmp_path: Path) -> None:
    with served(tmp_path, "--phone") as (process, port):
        trusted = trusting(tmp_path)
        assert fetched(f"https://localhost:{port}/nowhere", verify=trusted) == 401
        assert fetched(f"https://{own_address()}:{port}/trust", verify=trusted) == 200
        out, err = ended(process)
    link = re.search(r"(https://\S+/)\?key=(\S+)", out)
    assert link and link[1] == f"https://{own_address()}:{port}/" and len(link[2]) >= 22
    assert f"{link[1]}trust" in out and "SHA-256" in out
    assert "Traceback" not in err
    assert not [path for path in (tmp_path / "https").iterdir() if path.stat().st_mode & 0o077]


@networked
def test_the_key_of_a_phone_outlives_a_restart_and_is_shown_once(tmp_path: Path) -> None:
    with served(tmp_path, "--phone") as (process, port):
        trusted = trusting(tmp_path)
        fetched(f"https://localhost:{port}/trust", verify=trusted)
        key = re.search(r"https://\S+/\?key=(\S+)", ended(process)[0])
    assert key
    with served(tmp_path, "--phone") as (process, port):
        assert fetched(f"https://localhost:{port}/trust", verify=trusted) == 200
        let_in = httpx2.get(f"https://localhost:{port}/settings?key={key[1]}", verify=trusted)
        assert let_in.status_code == 303
        cookie = {"cookie": let_in.headers["set-cookie"].partition(";")[0]}
        assert fetched(f"https://localhost:{port}/settings", verify=trusted, headers=cookie) == 200
        ran = commands().run("partway.cli:main", "device", "end", "phone", "--workspace", str(tmp_path))
        assert ran.returncode == 0, ran.stderr
        assert fetched(f"https://localhost:{port}/settings", verify=trusted, headers=cookie) == 401
        out, _ = ended(process)
    assert key[1] not in out and "for phone" in out


@networked
def test_plain_http_says_what_it_cannot_do(tmp_path: Path) -> None:
    with served(tmp_path, "--phone", "--plain") as (process, port):
        assert fetched(f"http://localhost:{port}/nowhere") == 401
        assert "plain http" in httpx2.get(f"http://localhost:{port}/trust").text
        out, _ = ended(process)
    assert "no work without signal, no camera" in out
    assert re.search(rf"http://\S+:{port}/\?key=", out)
    assert not (tmp_path / "https").exists()


def test_a_certificate_of_ones_own_is_served(tmp_path: Path) -> None:
    folder = tmp_path / "other"
    names = HostNames(("localhost",), ("127.0.0.1",))
    now = dt.datetime.now(dt.UTC)
    both, _ = server_file(folder, authority_in(folder, names, now), names, now)
    with served(tmp_path, "--phone", "--certificate", str(both), "--key", str(both)) as (process, port):
        assert fetched(f"https://localhost:{port}/nowhere", verify=trusting(folder)) == 401
        out, _ = ended(process)
    assert f"https://localhost:{port}/?key=" in out and "/trust" not in out
    assert not (tmp_path / "https").exists()


def test_behind_a_proxy_every_device_needs_a_key_and_the_proxy_says_who_asks(tmp_path: Path) -> None:
    with served(tmp_path, "--behind", "https://bench.example") as (process, port):
        here = f"http://127.0.0.1:{port}"
        proxied = {"host": "bench.example", "x-forwarded-for": "203.0.113.9", "x-forwarded-proto": "https"}
        assert fetched(f"{here}/settings", headers=proxied) == 401
        assert fetched(f"{here}/settings", headers={**proxied, "host": "other.example"}) == 400
        made = commands().run("partway.cli:main", "device", "add", "phone", "--workspace", str(tmp_path))
        key = made.stdout.split()[0]
        let_in = httpx2.get(f"{here}/settings?key={key}", headers=proxied)
        assert let_in.status_code == 303 and let_in.headers["set-cookie"].startswith("__Host-partway_key=")
        for _ in range(10):
            httpx2.get(f"{here}/settings?key=wrong", headers=proxied)
        assert fetched(f"{here}/settings?key=wrong", headers=proxied) == 429
        assert fetched(f"{here}/settings?key=wrong", headers={**proxied, "x-forwarded-for": "203.0.113.10"}) == 401
        out, err = ended(process)
    assert "https://bench.example" in out and "key=" not in out
    assert "a wrong key from 203.0.113.9" in err


def test_without_a_proxy_nobody_says_for_another_who_asks(tmp_path: Path) -> None:
    """Else a guesser would come from a new address each time."""
    folder = tmp_path / "other"
    names = HostNames(("localhost",), ("127.0.0.1",))
    now = dt.datetime.now(dt.UTC)
    both, _ = server_file(folder, authority_in(folder, names, now), names, now)
    with served(tmp_path, "--phone", "--certificate", str(both), "--key", str(both)) as (process, port):
        trusted = trusting(folder)
        answers = [
            fetched(f"https://localhost:{port}/?key=wrong", verify=trusted, headers={"x-forwarded-for": f"10.0.0.{n}"})
            for n in range(12)
        ]
        ended(process)
    assert answers == [401] * 10 + [429] * 2


@pytest.mark.parametrize(
    "options",
    [
        ("--plain",),
        ("--for", "phone"),
        ("--certificate", "a", "--key", "b"),
        ("--phone", "--certificate", "a"),
        ("--phone", "--key", "a"),
        ("--phone", "--certificate", "not-there", "--key", "not-there"),
        ("--phone", "--plain", "--certificate", "a", "--key", "b"),
        ("--phone", "--behind", "https://bench.example"),
        *(("--behind", wrong) for wrong in ("", "bench.example", "http://bench.example", "https://", "https://a/b")),
    ],
    ids=" ".join,
)
def test_what_does_not_go_together_is_refused_and_nothing_is_made(options: tuple[str, ...], tmp_path: Path) -> None:
    new = tmp_path / "new"
    ran = commands().run("partway.cli:main", "serve", "--workspace", str(new), "--port", str(free_port()), *options)
    assert ran.returncode == 2, ran.stdout
    assert "got " in ran.stderr and "expected" in ran.stderr
    assert not new.exists()


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
