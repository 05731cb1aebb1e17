"""What comes out of a printer: a load sheet on one page of the paper that its place uses, and nothing to press."""

from __future__ import annotations

import re

import pytest
from browser import Running, tab
from playwright.sync_api import Browser, Page, expect
from test_haul_in_browser import stocked

from partway.actions.bins import bins
from partway.actions.buyers import quoting
from partway.actions.home import settings
from partway.actions.recording.context import Context
from partway.ledger.events.ids import new_id
from partway.web.serving.setup import Setup

SOON = 60_000  # ms after which a test gives up on a plan
# In points of 1/72 inch. Letter is 8.5 x 11 in (ANSI Y14.1, A), A4 is 210 x 297 mm (ISO 216).
PAPERS = {"en_CA": (8.5 * 72, 11 * 72), "de_DE": (210 / 25.4 * 72, 297 / 25.4 * 72)}
# A full load: metals beside what can hurt, all of it taken by one yard.
LOAD = {
    "copper-1": 12, "brass-yellow": 9, "al-sheet": 22, "al-extrusion": 14, "motors": 30, "lead-acid": 40,
    "light-iron": 60,
    "stainless-304": 11, "board-mid": 4, "wire-data": 8,
}  # fmt: skip
# All that could be pressed or typed into. A box to tick is one on paper, too.
CONTROLS = """[...document.querySelectorAll('button, .button, select, textarea, nav, input, .places, .top')]
  .filter(e => e.type !== 'checkbox' && e.checkVisibility()).map(e => e.outerHTML.slice(0, 80))"""


def loaded(app: Running, locale: str) -> None:
    """The yard of the haul's journey, with much more in the bins."""
    stocked(app)
    context = Context("me", Setup(app.book).clock, new_id)
    settings.set_(app.book, context, "locale", locale)
    for grade, kg in LOAD.items():
        quoting.quote(app.book, context, "harbour-yard", grade, "2 /kg")
        bins.add_bin(app.book, context, grade)
        bins.recount(app.book, context, grade, kg * 1_000_000)


def sheet(page: Page) -> Page:
    page.get_by_role("link", name="Haul", exact=True).click()
    page.get_by_role("button", name="Plan it").click()
    expect(page.get_by_role("heading", name="The money")).to_be_visible(timeout=SOON)
    page.get_by_role("link", name="Load sheet").click()
    expect(page.locator("main")).to_contain_text("should pay")
    return page


@pytest.mark.parametrize("locale", PAPERS)
def test_a_load_sheet_is_one_page_of_the_paper_of_its_place(empty: Running, chromium: Browser, locale: str) -> None:
    loaded(empty, locale)
    context, watched = tab(chromium, empty.address)
    page = sheet(watched.open("/"))
    text = page.locator("main").inner_text()
    assert text.count("should pay") > len(LOAD) / 2
    pdf = page.pdf(prefer_css_page_size=True)
    sizes = re.findall(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)", pdf)
    assert len(re.findall(rb"/Type\s*/Page\b", pdf)) == 1
    assert [float(side) for side in sizes[0]] == pytest.approx(PAPERS[locale], abs=0.5)
    page.emulate_media(media="print")
    assert page.evaluate(CONTROLS) == []
    for hazard in page.locator(".caution, .also-careful").all_inner_texts():
        assert hazard.strip()  # what can hurt is printed
    context.close()
    watched.clean()
