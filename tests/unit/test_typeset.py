"""Papers: long ones, texts in any script, and that no character ever becomes a box."""

from __future__ import annotations

import datetime as dt
import io
import re
from dataclasses import replace

import planned
import pytest
from pypdf import PdfReader, mult

from partway.actions.plans.plan import plan
from partway.actions.recording.describe import Say
from partway.errors import Refused
from partway.ledger.memory import MemoryBook
from partway.paper.covered import LACKING, covered, said_lacking
from partway.paper.load import load_paper
from partway.reports.called import Called
from partway.reports.haul.load_sheet import LoadSheet, load_sheet
from partway.web.show import Show

DAY = dt.date(2026, 3, 14)


@pytest.fixture(scope="module")
def words() -> Show:
    book = MemoryBook()
    return Show(Say.of(book), DAY, dt.UTC, Called(book, DAY, dt.UTC))


@pytest.fixture(scope="module")
def sheet() -> LoadSheet:
    scenario = planned.rich_scenario()
    return load_sheet(scenario, plan(scenario), 1)


def text_of(pdf: bytes) -> list[str]:
    return [re.sub(r"\s+", " ", page.extract_text()) for page in PdfReader(io.BytesIO(pdf)).pages]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_long_load_goes_on_over_pages_and_each_says_which_it_is(sheet: LoadSheet, words: Show, paper: str) -> None:
    first = sheet.stops[0]
    lots = tuple(replace(first.lots[0], name=f"lot number {n}", amount=float(n)) for n in range(120))
    made = load_paper(replace(sheet, stops=(replace(first, lots=lots),)), words, paper, pictures=True)
    pages = text_of(made.pdf)
    assert len(pages) > 2 and len(made.pictures) == len(pages)
    for number, page in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in page and "Should pay" in page  # the heads of columns come again
    whole = " ".join(pages)
    assert [n for n in range(120) if f"lot number {n} " not in whole] == []


def test_the_same_sheet_is_the_same_file(sheet: LoadSheet, words: Show) -> None:
    assert load_paper(sheet, words, "a4").pdf == load_paper(sheet, words, "a4").pdf


def test_a_very_long_name_is_broken_before_it_runs_over_the_figures(sheet: LoadSheet, words: Show) -> None:
    first = sheet.stops[0]
    lot = replace(first.lots[0], name="w" * 300)
    page = PdfReader(
        io.BytesIO(load_paper(replace(sheet, stops=(replace(first, lots=(lot,)),)), words, "a4").pdf)
    ).pages[0]
    runs: list[tuple[str, float, float]] = []

    def seen(text: str, cm: list[float], tm: list[float], font: object, size: float) -> None:
        at = mult(tm, cm)
        runs.append((text, at[4], at[5]))

    page.extract_text(visitor_text=seen)
    figures = min(x for text, x, _ in runs if "Own weight" in text)
    name = [(x, y) for text, x, y in runs if "www" in text]
    assert len({y for _, y in name}) > 5 and max(x for x, _ in name) < figures
    assert sum(text.count("w") for text, _, _ in runs if "www" in text) == 300


@pytest.mark.parametrize(
    ("text", "written", "lacking"),
    [
        ("harbour yard", "harbour yard", ()),
        ("\u0434\u0432\u043e\u0440 \u03b1\u03c5\u03bb\u03ae", "\u0434\u0432\u043e\u0440 \u03b1\u03c5\u03bb\u03ae", ()),
        ("\u05d7\u05e6\u05e8", "\u05d7\u05e6\u05e8", ()),
        ("\u4e2d b", f"{LACKING} b", ("\u4e2d",)),
        ("a\U0001f600b\U0001f600", f"a{LACKING}b{LACKING}", ("\U0001f600",)),
        ("a\u202eb", f"a{LACKING}b", ("\u202e",)),
        ("two\nlines\tand a tab", "two lines and a tab", ()),
        ("9,05\u00a0$ 1\u202f234", "9,05\u00a0$ 1\u202f234", ()),  # blanks that hold a figure together
        ("bell\x07", f"bell{LACKING}", ("\x07",)),
    ],
)  # fmt: skip
def test_what_the_fonts_lack_is_written_as_such(text: str, written: str, lacking: tuple[str, ...]) -> None:
    assert covered({"name": [text]}) == ({"name": [written]}, lacking)


def test_what_is_lacking_is_named_and_a_long_list_is_cut() -> None:
    assert said_lacking(()) == ""
    many = said_lacking(chr(0x4E00 + n) for n in range(10))
    assert many.count("U+") == 6 and many.endswith("and 4 more.")
    assert "a character (U+0007)" in said_lacking("\x07")


def test_another_paper_is_refused(sheet: LoadSheet, words: Show) -> None:
    with pytest.raises(Refused, match="a4, letter"):
        load_paper(sheet, words, "a3")


def test_a_plan_that_stays_at_home_has_no_load() -> None:
    scenario = planned.rich_scenario()
    with pytest.raises(Refused, match="a plan that drives somewhere"):
        load_sheet(scenario, replace(plan(scenario), trips=()), 1)
