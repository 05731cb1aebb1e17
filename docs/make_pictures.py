"""Draw the README's pictures from the demo: the command's own pages, and the app's in a browser: `make pictures`."""

from __future__ import annotations

import datetime as dt
import io
import shutil
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import resources
from pathlib import Path

from rich.console import Console
from rich.terminal_theme import TerminalTheme

from partway.actions.bench.depths import depth
from partway.actions.plans.plan import plan
from partway.cli.bench.depth_page import show_depth
from partway.cli.haul.page import bench, head, loads, money
from partway.cli.haul.page.sheet import PlanSheet
from partway.cli.words import PageWords
from partway.storage.scenario.scenario import read_scenario

HERE = Path(__file__).parent / "pictures"
PAPER = TerminalTheme((250, 248, 243), (38, 38, 34), [(38, 38, 34)] * 8, [(110, 108, 100)] * 8)
PLAIN = """<svg viewBox="0 0 {width} {height}" xmlns="http://www.w3.org/2000/svg">
<style>.{unique_id}-matrix {{ font-family: monospace; font-size: {char_height}px; line-height: {line_height}px }}
{styles}</style>
<defs>{lines}</defs>
<rect width="{width}" height="{height}" fill="#faf8f3"/>
<g transform="translate(16, 16)">{backgrounds}<g class="{unique_id}-matrix">{matrix}</g></g>
</svg>
"""


def main() -> None:
    """Write plan.svg (the load, what stays, the money) and depth.svg (a microwave)."""
    with resources.as_file(resources.files("partway.catalogue") / "demo" / "harbour-week.toml") as file:
        scenario = read_scenario(file)
    console = _paper()
    sheet = PlanSheet(console, plan(scenario), PageWords(scenario))
    head.show_name(sheet)
    head.show_cautions(sheet, most=3)
    head.show_expected(sheet)
    bench.show_opened(sheet, most=2)
    loads.show_loads(sheet)
    money.show_money(sheet)
    _save(console, "plan")
    console = _paper()
    show_depth(console, depth(scenario, "microwave"), scenario)
    _save(console, "depth")
    app_pictures()


# Where Chromium is, and what keeps it from asking anybody anything.
FLAGS = ("--no-sandbox", "--disable-background-networking", "--disable-component-update", "--disable-sync")
PHONE = {"width": 390, "height": 844}
NOW = dt.datetime(2026, 11, 26, 18, tzinfo=dt.UTC)  # the pictures stay as they are until the pages change


def app_pictures() -> None:
    """Write home.png, curb.png and bench.png: three places on a phone, from the invented months."""
    from playwright.sync_api import sync_playwright

    with _serving() as address, sync_playwright() as playwright:
        found = shutil.which("chromium-headless-shell") or shutil.which("chromium")
        browser = playwright.chromium.launch(executable_path=found, args=list(FLAGS))
        page = browser.new_page(viewport=PHONE, device_scale_factor=1.5, has_touch=True)
        page.goto(address)
        page.screenshot(path=HERE / "home.png")
        page.goto(f"{address}/curb/microwave?works=no")
        page.screenshot(path=HERE / "curb.png")
        page.goto(f"{address}/bench?hours=99&all=yes")
        finds = page.locator("a[href^='/bench/']").evaluate_all("links => links.map(a => a.getAttribute('href'))")
        for find in finds:
            page.goto(f"{address}{find.partition('#')[0]}")
            start = page.get_by_role("link", name="Start", exact=True)
            if start.count():
                start.tap()
                page.locator(".keypad").wait_for()
                page.screenshot(path=HERE / "bench.png")
                break
        browser.close()


@contextmanager
def _serving() -> Iterator[str]:
    """The app on the demo's months, as of one day."""
    import uvicorn

    from partway.actions.demo import demo_months
    from partway.storage.workspace import open_workspace
    from partway.web.app import create_app
    from partway.web.serving.serve import listening
    from partway.web.serving.setup import Setup

    with tempfile.TemporaryDirectory() as folder, open_workspace(folder) as book, listening("127.0.0.1", 0) as sock:
        demo_months(book, NOW - dt.timedelta(hours=1))
        app = create_app(Setup(book, who="demo", clock=lambda: NOW))
        server = uvicorn.Server(uvicorn.Config(app, log_level="warning"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [sock]})
        thread.start()
        while not server.started:
            time.sleep(0.05)
        yield f"http://127.0.0.1:{sock.getsockname()[1]}"
        server.should_exit = True
        thread.join()


def _paper() -> Console:
    return Console(record=True, width=100, file=io.StringIO(), highlight=False, force_terminal=True)


def _save(console: Console, name: str) -> None:
    svg = console.export_svg(title="", theme=PAPER, code_format=PLAIN, unique_id=name)
    (HERE / f"{name}.svg").write_text(svg, encoding="utf-8")


if __name__ == "__main__":
    main()
