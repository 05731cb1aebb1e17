"""Every page there is, found by its links: readable by everybody, no wider than the screen, asking nobody else."""

from __future__ import annotations

import re
from collections import Counter, deque
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

import pytest
from browser import COLOUR_RULES, DRAWN, NARROW, SHOWN, SIZE_RULES, SIZES, Running, Watched, tab
from fastapi.routing import APIRoute
from playwright.sync_api import Browser, Page, Response

from partway.web.app import page_routers

LETTERS = 16  # pixels of a browser's letters where nobody changed them
PER_ROUTE = 1  # pages of one sort that are looked at
WEIGHT_MOST = 150_000  # bytes of one page with all it loads
ALL_IN_ONE = "/pocket.html"  # carried along as a file, with all that there is: test_pocket_carries.py weighs it
# The sizes and colours in which each page is looked at, and how large the browser's own letters are set.
LOOKS: dict[str, tuple[str, Literal["light", "dark"], int]] = {
    "phone-light": ("phone", "light", LETTERS),
    "phone-dark": ("phone", "dark", LETTERS),
    "desk-light": ("desk", "light", LETTERS),
    "narrow-light": ("narrow", "light", LETTERS),
    "phone-large-text": ("phone", "light", 2 * LETTERS),
}
NOT_PAGES = re.compile(
    r"/(api/.+|static/.*|books/export/.+|books/year/.+|papers/.+|photograph/.+|trust/.+|pocket/.*|pocket\.html)"
)  # test_pocket_looks.py


def routes_of() -> list[APIRoute]:
    """What can be asked for, in the order in which the app looks."""
    found = [r for router in page_routers() for r in router.routes if isinstance(r, APIRoute)]
    return [r for r in found if "GET" in (r.methods or set())]


def route_for(path: str) -> str | None:
    plain = path.partition("?")[0]
    return next((r.path for r in routes_of() if r.path_regex.fullmatch(plain)), None)


def links_on(watched: Watched) -> list[str]:
    found: list[str] = watched.page.evaluate(
        "[...document.querySelectorAll('a[href]')]"
        ".filter(a => a.origin === location.origin && !a.hasAttribute('download')).map(a => a.pathname + a.search)"
    )
    return found


@dataclass
class Looked:
    """What one page is like: its weight, and what is wrong with it as each of LOOKS."""

    weight: int
    wrong: dict[str, list[str]] = field(default_factory=dict)
    wide: set[str] = field(default_factory=set)
    small: list[str] = field(default_factory=list)
    close: list[str] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)


class Scale:
    """What a page weighs with all that it loads; what the browser still has from another page counts."""

    def __init__(self) -> None:
        self._bytes: dict[str, int] = {}
        self._answers: list[Response] = []

    def heard(self, response: Response) -> None:
        """Keep an answer, to be weighed once the page is there."""
        self._answers.append(response)

    def empty(self) -> None:
        """Weigh from here on."""
        self._answers = []

    def weight(self) -> int:
        """Of every answer since it was empty."""
        return sum(self._weighed(answer) for answer in self._answers)

    def _weighed(self, answer: Response) -> int:
        if answer.status == 304:  # not changed: no body comes, what came before stands
            return self._bytes[answer.url]
        self._bytes[answer.url] = 0 if 300 <= answer.status < 400 else len(answer.body())
        return self._bytes[answer.url]


@dataclass
class Seen:
    """What every rule was asked of already: the parts of a page as they are shown, and where they lie."""

    parts: set[str] = field(default_factory=set)
    boxes: set[tuple[str, str]] = field(default_factory=set)


def rules_left(page: Page, seen: Seen) -> list[str]:
    """Which rules can say something of this look that they did not say of one before; none stands for all."""
    parts, boxes = page.evaluate(SHOWN)
    left = COLOUR_RULES if (parts, boxes) in seen.boxes else SIZE_RULES if parts in seen.parts else []
    seen.parts.add(parts)
    seen.boxes.add((parts, boxes))
    return left


def look(watched: Watched, scale: Scale, path: str) -> Looked:
    """Open a page, weigh it with all that it loads, and look at it in each size and scheme."""
    page = watched.page
    page.set_viewport_size(SIZES["phone"])
    page.emulate_media(color_scheme="light", reduced_motion="reduce")  # colours change at once
    scale.empty()
    watched.open(path)
    watched.settled()
    looked, seen = Looked(scale.weight()), Seen()
    for name, (size, scheme, letters) in LOOKS.items():
        page.set_viewport_size(NARROW if size == "narrow" else SIZES[size])
        page.emulate_media(color_scheme=scheme)
        watched.letters(letters)
        page.evaluate(DRAWN)
        looked.wrong[name] = watched.axe(rules_left(page, seen))
        if page.evaluate("document.documentElement.scrollWidth > window.innerWidth"):
            looked.wide.add(name)
        if size != "desk":
            looked.small += [f"{name}: {what}" for what in page.evaluate(SMALL)]
            looked.close += [f"{name}: {what}" for what in page.evaluate(CLOSE)]
    watched.letters(LETTERS)
    page.set_viewport_size(SIZES["phone"])
    looked.lost = walked(page)
    return looked


def walked(page: Page) -> list[str]:
    """Go through a page with the Tab key alone: what was left out, came out of order, or could not be seen."""
    wanted = page.evaluate(TAB_STOPS)
    lost, at = [], -1
    for n in range(wanted):
        page.keyboard.press("Tab")
        number, said = page.evaluate(FOCUSED)
        if number == -1 and not said:  # beyond the last: the browser's own controls come next
            lost.append(f"ends after {n} of {wanted}")
            break
        if number != -1 and number != at + 1:
            lost.append(f"{said or number} comes after {at}")
        elif said:
            lost.append(said)
        at = max(at, number)
    page.keyboard.press("Tab")
    if page.evaluate(FOCUSED)[0] == at and at >= 0:
        lost.append("nothing leads on from the last")
    return lost


@pytest.fixture(scope="session")
def looked(months: Running, chromium: Browser) -> dict[str, Looked]:
    """Every sort of page, at most a few of each, found by links from the first page. Each is opened once and turned to
    each look, as its style sheet alone tells looks apart.
    """
    context, watched = tab(chromium, months.address, viewport=SIZES["phone"])
    scale = Scale()
    watched.page.on("response", scale.heard)
    found: dict[str, Looked] = {}
    opened: Counter[str] = Counter()
    known, waiting = {"/"}, deque(["/"])
    while waiting:
        path = waiting.popleft()
        route = route_for(path)
        if route is None or NOT_PAGES.fullmatch(path.partition("?")[0]) or opened[route] >= PER_ROUTE:
            continue
        opened[route] += 1
        found[path] = look(watched, scale, path)
        links = links_on(watched)
        waiting.extend(link for link in links if link not in known)
        known.update(links)
    context.close()
    watched.clean()
    assert len(found) > 20
    return found


@pytest.mark.parametrize("name", LOOKS)
def test_every_page_is_readable_by_everybody(looked: dict[str, Looked], name: str) -> None:
    assert [problem for page in looked.values() for problem in page.wrong[name]] == []
    assert [path for path, page in looked.items() if name in page.wide] == [], "wider than the screen"


def test_everything_to_tap_is_high_enough_for_a_thumb(looked: dict[str, Looked]) -> None:
    assert [f"{path} {what}" for path, page in looked.items() for what in page.small] == [], "targets below 48 px"


def test_neighbours_to_tap_are_far_enough_apart_for_a_thumb(looked: dict[str, Looked]) -> None:
    assert [f"{path} {what}" for path, page in looked.items() for what in page.close] == [], "less than 8 px apart"


# What is tapped: buttons, fields and links that are not in the middle of a sentence, each with the box a finger hits.
TAPPED = """
const tapped = [...document.querySelectorAll(
    'button, select, input:not([type=hidden]), summary, nav a, a.button, a.line, textarea, a')]
  .filter(e => e.checkVisibility({opacityProperty: true, visibilityProperty: true}) && !e.closest('.hidden, .skip'))
  .filter(e => e.matches('a') ? getComputedStyle(e).display !== 'inline' || e.matches('nav a') : true)
  .map(e => [(['checkbox', 'radio'].includes(e.type) ? e.closest('label') || e : e).getBoundingClientRect(), e])
  .filter(([box]) => box.width > 0 && box.height > 0);
const named = e => `${e.tagName} ${(e.textContent || e.name || '').trim().replace(/\\s+/g, ' ').slice(0, 40)}`;
"""
SMALL = f"""() => {{ {TAPPED}
return tapped.filter(([box]) => box.height < 47.5 || box.width < 47.5)
  .map(([box, e]) => `${{named(e)}} ${{box.width}} x ${{box.height}}`); }}"""
# Neighbours less than 8 px apart. A row that fills its list (a fold, a line, a box to tick) has the 8 px within it: it
# may touch the next where both are higher than 48 px by as much. The cells of the bar of places fill the bar and touch:
# six of 48 px with 8 px between would be wider than the narrowest screen.
CLOSE = f"""() => {{ {TAPPED}
const row = e => e.matches('summary, a.line') || e.closest('label.tick, label.load');
const bar = e => e.closest('.places');
const stays = e => {{
  for (; e; e = e.parentElement) if (['fixed', 'sticky'].includes(getComputedStyle(e).position)) return e;
  return null;
}};
const found = [], where = new Map(tapped.map(([, e]) => [e, stays(e)]));
tapped.forEach(([a, one], n) => tapped.slice(n + 1).forEach(([b, other]) => {{
  if (one.contains(other) || other.contains(one) || where.get(one) !== where.get(other)) return;
  if (bar(one) && bar(other)) return;
  if (one.closest('label') && one.closest('label') === other.closest('label')) return;
  const across = Math.max(a.left - b.right, b.left - a.right), down = Math.max(a.top - b.bottom, b.top - a.bottom);
  const within = row(one) && row(other) && down >= across ? (a.height - 48) / 2 + (b.height - 48) / 2 : 0;
  if (Math.max(across, down + within) < 7.5) found.push(`${{named(one)}} | ${{named(other)}}: ${{across}}, ${{down}}`);
}}));
return found; }}"""


# Marks what the Tab key stops at, in the order of the page, and says how many: of several radio buttons of one name
# it is the one that is chosen, else the first.
TAB_STOPS = """() => {
  const all = [...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary,'
      + '[tabindex="0"]')].filter(e => !e.disabled && e.tabIndex >= 0 && e.checkVisibility({visibilityProperty: true}));
  const one = e => e.type !== 'radio' || e === (
    all.find(o => o.type === 'radio' && o.name === e.name && o.form === e.form && o.checked)
    || all.find(o => o.type === 'radio' && o.name === e.name && o.form === e.form));
  window.stops = all.filter(one);
  document.body.tabIndex = -1;  // begin before the first, whatever the page put the focus on
  document.body.focus();
  document.body.removeAttribute('tabindex');
  scrollTo(0, 0);
  return window.stops.length;
}"""
# Which stop has the focus, and what is wrong with it: nothing to be seen around it, or something lies over all of it.
FOCUSED = """() => {
  const e = document.activeElement, number = window.stops.indexOf(e);
  if (e === document.body) return [-1, ''];
  if (number < 0) return [-1, `not known: ${e.outerHTML.slice(0, 80)}`];
  const seen = e.closest('label') && e.nextElementSibling ? [e, e.nextElementSibling] : [e];
  const ring = seen.map(o => getComputedStyle(o)).some(
    o => o.outlineStyle !== 'none' && parseFloat(o.outlineWidth) >= 2)
    || [...e.querySelectorAll('svg *, rect')].some(o => parseFloat(getComputedStyle(o).strokeWidth) >= 3);
  const whole = (e.closest('.choices label') || e).getBoundingClientRect();
  const left = Math.max(whole.left, 0), top = Math.max(whole.top, 0);
  const width = Math.min(whole.right, innerWidth) - left, height = Math.min(whole.bottom, innerHeight) - top;
  const open = [.1, .3, .5, .7, .9].some(y => [.1, .5, .9].some(x => {
    const hit = document.elementFromPoint(left + x * width, top + y * height);
    return hit && (hit === e || e.contains(hit) || hit.contains(e) && !hit.matches('.places, .places *'));
  }));
  const name = `${number} ${e.tagName} ${(e.textContent || e.name || '').trim().replace(/\\s+/g, ' ').slice(0, 40)}`;
  return [number, !ring ? `${name}: no ring` : !open ? `${name}: covered` : ''];
}"""


def test_the_tab_key_alone_leads_through_every_page(looked: dict[str, Looked]) -> None:
    """In order, each to be seen and nothing left out (WCAG 2.1.1, 2.1.2, 2.4.3, 2.4.7, 2.4.11)."""
    assert [f"{path} {what}" for path, page in looked.items() for what in page.lost] == []


def test_links_lead_to_every_sort_of_page(looked: dict[str, Looked]) -> None:
    """Nothing is hidden: what the app can show is reached by links from its first page."""
    reached = {route_for(path) for path in looked}
    pages = {r.path for r in routes_of() if not NOT_PAGES.fullmatch(r.path)}
    assert pages - reached - WITHOUT_LINKS == set()


# Reached by sending a form, or from a page that the demo's months do not have.
WITHOUT_LINKS: set[str] = {
    "/haul/plan/{job}",  # test_haul_in_browser.py looks at these four
    "/haul/plan/{job}/now",
    "/haul/plan/{job}/if",
    "/haul/load/{job}/{trip}",
    "/haul/load/{job}/{trip}/sheet.pdf",  # a file, linked from the sheet: test_load_paper.py reads it
    "/curb/unknown",  # test_unknown_finds.py and test_own_kinds_web.py among the contracts send their forms
    "/kinds/from/{find}",
    "/kinds/{kind}",
    "/kinds/{kind}/toml",
    "/first/thing",  # the newcomer's pages are looked at below
    "/first/price",
    "/books/conflicts",  # test_conflicts_in_browser.py looks at it; one device alone has none
}


def test_a_newcomers_pages_are_for_everybody_too(empty: Running, chromium: Browser) -> None:
    """The demo's months are past them: the first question, what stands in front of you, and the one price asked."""
    context, watched = tab(chromium, empty.address, viewport=SIZES["phone"], has_touch=True)
    scale = Scale()
    watched.page.on("response", scale.heard)
    found = {"/": look(watched, scale, "/")}
    watched.page.locator("form.answers button").first.click()
    for path in ("/first/thing", "/first/thing?q=fan", "/first/price?kind=microwave", "/"):
        found[f"{path}, later"] = look(watched, scale, path)
    context.close()
    watched.clean()
    wrong = {
        path: [*(w for each in of.wrong.values() for w in each), *of.wide, *of.small, *of.close, *of.lost]
        for path, of in found.items()
    }
    assert {path: what for path, what in wrong.items() if what} == {}
    assert {path: of.weight for path, of in found.items() if of.weight > WEIGHT_MOST} == {}


def test_pages_are_light(looked: dict[str, Looked]) -> None:
    heavy = {path: page.weight for path, page in looked.items() if page.weight > WEIGHT_MOST}
    assert heavy.keys() - {ALL_IN_ONE} == set(), heavy


def test_a_failure_page_is_a_page_too(months: Running, chromium: Browser, tmp_path: Path) -> None:
    context, watched = tab(chromium, months.address, viewport=SIZES["phone"])
    watched.expected = True
    watched.open("/nowhere")
    assert watched.axe() == []
    context.close()
    watched.clean()
