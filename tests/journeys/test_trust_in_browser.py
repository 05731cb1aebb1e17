"""https in a real browser: not believed until the authority is; the pages of trust and devices are for everybody."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from browser import SIZES, tab
from playwright.sync_api import Browser, Error
from test_every_page import Scale, look
from tls_client import served

from partway.storage.writing.device_keys import device_keys, issue_key

SCREENS = 3  # no page of a place is longer


def now() -> dt.datetime:
    return dt.datetime.now(dt.UTC)


def test_a_browser_believes_no_authority_that_it_was_not_told_of(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, chromium: Browser
) -> None:
    with served(tmp_path, monkeypatch, now) as app:
        context, watched = tab(chromium, f"https://127.0.0.1:{app.port}")
        with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
            watched.open("/trust")
        context.close()


def test_a_phone_is_let_in_once_and_is_known_then(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, chromium: Browser
) -> None:
    """The browser is told to believe the certificate here: what an authority of its store makes of it is OpenSSL's to
    say in tests/contracts/test_https.py.
    """
    with served(tmp_path, monkeypatch, now) as app:
        key = issue_key(app.book, "phone of Ann", now())
        context, watched = tab(
            chromium, f"https://127.0.0.1:{app.port}", viewport=SIZES["phone"], ignore_https_errors=True
        )
        page = watched.open(f"/bins/new?key={key}")
        assert page.url == f"https://127.0.0.1:{app.port}/bins/new"
        assert page.evaluate("window.isSecureContext")
        assert page.evaluate("document.cookie") == ""  # no script gets the key
        page.locator("[name=grade]").fill("copper-2")
        page.locator("main form button").last.click()
        page.wait_for_load_state()
        assert {event.who for event in app.book.events()} == {"phone of Ann"}
        assert device_keys(app.book)[0].seen is not None
        context.close()
        watched.clean()


def test_the_pages_of_trust_and_devices_are_for_everybody(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, chromium: Browser
) -> None:
    with served(tmp_path, monkeypatch, now) as app:
        context, watched = tab(chromium, f"http://127.0.0.1:{app.plain}", viewport=SIZES["phone"], has_touch=True)
        scale = Scale()  # weighs nothing here
        page = watched.open("/devices?key=desk-key")
        page.locator("[name=device]").fill("phone of Ann")
        page.get_by_role("button", name="Give it a key").click()
        page.get_by_role("img", name="QR code with the key of phone of Ann").wait_for()
        found = {path: look(watched, scale, path) for path in ("/devices", "/trust", "/settings")}
        for path in ("/devices", "/trust"):
            watched.open(path)
            assert page.evaluate("document.documentElement.scrollHeight") <= SCREENS * SIZES["phone"]["height"], path
        assert page.get_by_text("A stolen authority is a danger").is_visible()
        context.close()
        watched.clean()
    wrong = {
        path: [*(w for each in of.wrong.values() for w in each), *of.wide, *of.small, *of.close, *of.lost]
        for path, of in found.items()
    }
    assert {path: what for path, what in wrong.items() if what} == {}
