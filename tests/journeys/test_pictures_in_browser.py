"""What is drawn, measured by a browser: line drawings in their box, and the picture of a find with no word cut."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from browser import SIZES, Running, running, tab
from playwright.sync_api import Browser, ViewportSize, expect

from partway.actions.bench import finds
from partway.actions.recording.context import Context
from partway.ledger.events.ids import new_id
from partway.web.drawings.sketches import GRID, MARGIN, sketches

KINDS = ("microwave", "washer-front", "washer-top", "fridge", "laptop", "flat-tv", "treadmill", "bicycle")
NARROW: dict[str, ViewportSize] = {"small": {"width": 320, "height": 640}, "usual": {"width": 360, "height": 780}}
# Of every box: the words in it that show, its own rectangle, and where it leads.
DRAWN = """() => {
  const rect = one => { const r = one.getBoundingClientRect(); return [r.left, r.top, r.right, r.bottom]; };
  const shown = one => getComputedStyle(one).display !== "none";
  const plate = document.querySelector("svg.anatomy .plate");
  return {
    plate: rect(plate.querySelector("rect")),
    whole: rect(document.querySelector("svg.anatomy")),
    stop: rect(plate.querySelector("text")),
    boxes: [...document.querySelectorAll("svg.anatomy a")].map(a => ({
      name: a.getAttribute("aria-label"),
      leads: document.getElementById(decodeURIComponent(a.getAttribute("href").slice(1))) !== null,
      rect: rect(a.querySelector(".paper")),
      words: [...a.querySelectorAll("text")].filter(shown).map(t => [t.textContent, rect(t)]),
    })),
  };
}"""


@pytest.fixture(scope="module")
def finds_of_kinds(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Running, dict[str, str]]]:
    """The demo's months with one find more of each kind, and the addresses of those."""
    with running(Path(tmp_path_factory.mktemp("pictures")), demo=True) as app:
        yield app, {kind: _found(app, kind) for kind in KINDS}


def _found(app: Running, kind: str) -> str:
    context = Context("tester", lambda: dt.datetime.now(dt.UTC), new_id)
    return f"/bench/{finds.find(app.book, context, kind, works='no').result.find}/whole"


def _inside(inner: list[float], outer: list[float]) -> bool:
    near = 1.0  # a pixel: rectangles of text have room around the letters
    return all(a >= b - near for a, b in zip(inner[:2], outer[:2], strict=True)) and all(
        a <= b + near for a, b in zip(inner[2:], outer[2:], strict=True)
    )


def _apart(a: list[float], b: list[float]) -> bool:
    return a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def _drawn(page: Any) -> dict[str, Any]:
    found: dict[str, Any] = page.evaluate(DRAWN)
    return found


@pytest.mark.parametrize("size", [*SIZES, *NARROW])
def test_no_word_of_the_picture_is_cut_or_covered(
    finds_of_kinds: tuple[Running, dict[str, str]], chromium: Browser, size: str
) -> None:
    app, pages = finds_of_kinds
    context, watched = tab(chromium, app.address, viewport={**SIZES, **NARROW}[size])
    for address in pages.values():
        for by in ("value", "mass"):
            drawn = _drawn(watched.open(f"{address}?by={by}"))
            assert _inside(drawn["stop"], drawn["plate"]) and _inside(drawn["plate"], drawn["whole"])
            for box in drawn["boxes"]:
                assert box["leads"], box["name"]
                assert box["words"], box["name"]
                assert box["rect"][3] - box["rect"][1] >= 48 - 0.1, box["name"]
                for words, where in box["words"]:
                    assert _inside(where, box["rect"]), (address, by, words)
                    assert _apart(where, drawn["plate"]), (address, by, words)
    context.close()
    watched.clean()


def test_a_box_is_tapped_or_reached_by_keyboard_and_leads_to_its_piece(
    finds_of_kinds: tuple[Running, dict[str, str]], chromium: Browser
) -> None:
    app, pages = finds_of_kinds
    context, watched = tab(chromium, app.address, viewport=SIZES["phone"], has_touch=True)
    page = watched.open(pages["microwave"])
    box = page.locator("svg.anatomy a[aria-label^='Steel cover']")
    box.tap()
    row = page.locator(".out:target")
    expect(row).to_contain_text("Steel cover")
    expect(row).to_be_in_viewport()
    page.locator("svg.anatomy a").first.focus()
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('svg.anatomy') !== null")
    page.keyboard.press("Enter")
    expect(page.locator(":target")).to_be_in_viewport()
    assert watched.axe() == []
    context.close()
    watched.clean()


def test_no_line_drawing_leaves_its_box(chromium: Browser) -> None:
    """Curves too: a browser says how far each path swings out. Half a stroke more, and it still ends inside."""
    page = chromium.new_page()
    page.set_content(f'<svg viewBox="0 0 {GRID} {GRID}" width="320" height="320"><path/></svg>')
    for name, one in sketches().drawings.items():
        for path in filter(None, (one.lines, one.tint)):
            box = page.evaluate(
                "d => { const p = document.querySelector('path'); p.setAttribute('d', d);"
                " const b = p.getBBox(); return [b.x, b.y, b.x + b.width, b.y + b.height]; }",
                path,
            )
            assert min(box[:2]) >= MARGIN - 0.01 and max(box[2:]) <= GRID - MARGIN + 0.01, (name, box)
            assert max(box[2] - box[0], box[3] - box[1]) >= 4, name  # a path that a browser cannot read has no size
        assert page.evaluate("document.querySelector('path').getTotalLength()") > 10
    page.close()
