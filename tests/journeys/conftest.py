"""One browser for all journeys; without one they do not run, and fail where the whole check runs."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from browser import CHROMIUM, Running, launched, running, wanted
from playwright.sync_api import Browser, sync_playwright
from pocket_phone import stocked_house


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    if CHROMIUM is None:
        if wanted():
            pytest.fail("no chromium on the path (.ci/browser install)")
        pytest.skip("no chromium here (.ci/browser install)")
    with sync_playwright() as playwright:
        browser = launched(playwright)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def months(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """The app on the demo's months; tests that write use one of their own."""
    with running(tmp_path_factory.mktemp("months"), demo=True) as app:
        yield app


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Running]:
    with running(tmp_path) as app:
        yield app


@pytest.fixture
def filled(tmp_path: Path) -> Iterator[Running]:
    with running(tmp_path, demo=True) as app:
        yield app


@pytest.fixture(scope="session")
def pocket_house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workspace with what a phone takes along worked out, to be copied."""
    return stocked_house(tmp_path_factory.mktemp("pocket") / "house")
