"""The worker of the page in the pocket by https: registered where the authority is believed, and nowhere else."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import ssl
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from browser import CHROMIUM, FLAGS
from playwright.sync_api import Browser, Error, expect
from pocket_phone import phone
from test_https import signed
from tls_client import served
from trust_store import believing

from partway.storage.writing.device_keys import issue_key
from partway.web.pocket.shell import shell_files
from partway.web.secure.authority import authority_in
from partway.web.secure.names import HostNames, own_names

REGISTERED = "navigator.serviceWorker.ready.then(known => known.scope)"


def now() -> dt.datetime:
    return dt.datetime.now(dt.UTC)


def test_it_is_kept_where_the_authority_is_believed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, chromium: Browser
) -> None:
    """By a name of the network, which is no secure context by itself (W3C Secure Contexts, 3.1); without a key the page
    is there, asks for it, and has nothing of the ledger.
    """
    with served(tmp_path / "w", monkeypatch, now) as app:
        name = next(one for one in app.setup.hosts if one.endswith(".local"))
        env = {**os.environ, **believing(tmp_path / "home", app.authority)}
        address, flags = f"https://{name}:{app.port}", (f"--host-resolver-rules=MAP {name} 127.0.0.1",)
        with phone(chromium, tmp_path / "phone", address, flags=flags, env=env) as watched:
            page = watched.page
            assert page.evaluate(REGISTERED) == f"{address}/pocket/"
            expect(page.get_by_role("heading", level=1)).to_have_text("Which phone is this?")
            key = issue_key(app.book, "phone of Ann", now())
            page.get_by_label("The address with its key").fill(f"{address}/?key={key}")
            page.get_by_role("button", name="Open").tap()
            expect(page.get_by_role("heading", level=1)).not_to_have_text("Which phone is this?")
            assert page.url == f"{address}/pocket/"
            assert page.evaluate("fetch('/pocket/data.json').then(answer => answer.status)") in (200, 503)
            watched.clean()


@contextmanager
def pretending(certificate: Path) -> Iterator[int]:
    """Somebody who serves the same page with a certificate of the authority for another name."""

    class Page(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            content = shell_files()["/pocket/"]
            self.send_response(200)
            self.send_header("content-type", "text/html")
            self.send_header("content-length", str(len(content)))
            self.end_headers()
            self.wfile.write(content)

        def log_message(self, *_: object) -> None:
            return

    server = ThreadingHTTPServer(("127.0.0.1", 0), Page)
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(certificate)
    server.socket = context.wrap_socket(server.socket, server_side=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield server.server_address[1]
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


def test_outside_its_limits_the_authority_is_not_believed(tmp_path: Path, chromium: Browser) -> None:
    """With its key stolen it opens no other name, even for a browser that trusts it (RFC 5280, 4.2.1.10)."""
    authority = authority_in(tmp_path / "w", own_names("127.0.0.1"), now())
    home = believing(tmp_path / "home", tmp_path / "w" / "https" / "authority.crt")
    names = {"bank.example": False, "localhost": True}
    opened = {}
    for name in names:
        folder = tmp_path / name
        folder.mkdir()
        file = signed(authority, folder, HostNames((name,), ()))
        with pretending(file) as port:
            flags = [*FLAGS, f"--host-resolver-rules=MAP {name} 127.0.0.1"]
            browser = chromium.browser_type.launch(executable_path=CHROMIUM, args=flags, env={**os.environ, **home})
            page = browser.new_page()
            try:
                page.goto(f"https://{name}:{port}/pocket/")
                opened[name] = page.evaluate("isSecureContext")
            except Error as refused:
                assert "ERR_CERT" in str(refused)
                opened[name] = False
            browser.close()
        shutil.rmtree(folder)
    assert opened == names
