"""How long somebody at a curb waits for the page in the pocket when its server is gone.

    python benchmarks/pocket_page.py [TIMES]

A phone's browser is started anew each time, with what it kept and no server: from the address (the home screen) to the
field that asks for a name, and from there to the verdict on a kind. Milliseconds, least and median.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1] / "tests" / part) for part in ("", "journeys")]

from browser import CHROMIUM, FLAGS, PHONE, launched, running  # noqa: E402 - the tests' own
from playwright.sync_api import sync_playwright  # noqa: E402
from pocket_phone import phone, stocked, stocked_house  # noqa: E402

ALIKE = 15


def main() -> None:
    """Print both."""
    times = int(sys.argv[1]) if len(sys.argv) > 1 else ALIKE
    asked, answered = [], []
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        kept = Path(folder) / "phone"
        browser = launched(playwright)
        house = stocked_house(Path(folder) / "house")
        with running(house, there=True) as app, phone(browser, kept, app.address) as watched:
            stocked(watched.page)
        for _ in range(times):
            context = playwright.chromium.launch_persistent_context(
                kept, executable_path=CHROMIUM, args=list(FLAGS), viewport=PHONE
            )
            page = context.pages[0]
            began = time.perf_counter()
            page.goto(f"{app.address}/pocket/")
            page.locator("#q").wait_for()
            asked.append(1000 * (time.perf_counter() - began))
            page.locator("#q").fill("micro")
            page.locator("a.line").first.click()
            page.locator(".verdict").first.wait_for()
            answered.append(1000 * (time.perf_counter() - began))
            context.close()
    for name, taken in (("the field that asks", asked), ("the verdict", answered)):
        print(f"{name:20} least {min(taken):6.0f} ms   median {statistics.median(taken):6.0f} ms")


if __name__ == "__main__":
    main()
