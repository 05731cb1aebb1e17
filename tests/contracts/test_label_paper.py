"""Labels for bins as PDF: what they say is what the report says, and another library reads their codes back."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
import zxingcpp
from app_client import Visitor, visitor
from papers import FIRE, HOSTILE, SIZES, WRITTEN, YARD, asked, colours_of, pages_of, pixels_of, size_of, text_of

from partway.actions.bins import bins
from partway.actions.home import settings
from partway.catalogue import shipped
from partway.reports.bins.labels import report_labels

APP = "https://192.168.7.20:8737"
GRADES = ("li-ion", "copper-2", "motors", "lead-acid", "mercury", "light-iron")


@pytest.fixture(scope="module")
def town(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    """Six bins, three of which can hurt, one called what would be markup; Canada, so Letter. Invented."""
    with visitor(tmp_path_factory.mktemp("labels"), address=APP) as v:
        settings.set_(v.book, v.context(), "locale", "en_CA")
        for grade in GRADES:
            bins.add_bin(v.book, v.context(), grade, name=HOSTILE if grade == "motors" else "")
        yield v


def flat(text: str) -> str:
    """Without blanks: a line of a narrow label may end anywhere."""
    return re.sub(r"\s+", "", text)


@pytest.mark.parametrize("size", ["big", "large", "small"])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_label_says_what_the_report_says_and_its_code_is_read_back(town: Visitor, paper: str, size: str) -> None:
    """At 200 dots per inch, and with noise on every dot: common practice for a scan of a printed page, no source."""
    pdf = town.client.get(f"/papers/labels.pdf?paper={paper}&size={size}").content
    assert size_of(pdf) == pytest.approx(SIZES[paper], abs=0.5)
    text = flat(text_of(pdf)).casefold()
    every = report_labels(town.book, dict(shipped().grades))
    assert sum(bool(one.hazards) for one in every) >= 3
    for one in every:
        assert flat(one.qualifies).casefold() in text and flat(one.grade_name).casefold() in text
        for hazard in one.hazards:
            assert flat(hazard.name).casefold() in text and flat(hazard.first).casefold() in text
    noise = np.random.default_rng(7)
    for spread in (0.0, 25.0):
        read = set()
        for page in pixels_of(pdf, 200):
            seen = np.clip(page + noise.normal(0.0, spread, page.shape), 0, 255).astype(np.uint8)
            read |= {found.text for found in zxingcpp.read_barcodes(seen)}
        assert read == {f"{APP}/bins/{one.bin}" for one in every}, spread


def test_a_label_with_another_address_is_read_as_that_one(town: Visitor, tmp_path: Path) -> None:
    """The proof can fail: a code that leads elsewhere is not taken for the right one."""
    assert asked(town, "labels", "-o", str(tmp_path / "one.pdf"), "--address", "https://192.168.7.99/")[0] == 0
    pages = pixels_of((tmp_path / "one.pdf").read_bytes(), 200)
    read = {one.text for page in pages for one in zxingcpp.read_barcodes(page)}
    assert read and all(text.startswith("https://192.168.7.99/bins/") for text in read)


def test_it_is_black_and_white_and_what_can_hurt_stands_above_what_belongs_in_it(town: Visitor) -> None:
    pdf = town.client.get("/papers/labels.pdf?bin=li-ion").content
    (label,) = report_labels(town.book, dict(shipped().grades), ["li-ion"])
    text = flat(text_of(pdf))
    assert colours_of(pdf) == 0
    assert text.index(flat(label.hazards[0].first[1:])) < text.index(flat(label.qualifies))
    assert len(pages_of(pdf)) == 1 and flat("Electric motors") not in text


def test_a_name_stays_text_and_what_the_fonts_lack_is_named(town: Visitor) -> None:
    text = text_of(town.client.get("/papers/labels.pdf?bin=motors").content)
    assert flat(WRITTEN) in flat(text) and any(word in text for word in YARD)
    assert FIRE in text and "\U0001f525" not in text


def test_many_bins_go_on_over_pages_and_none_is_lost(town: Visitor, tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        for n in range(50):
            bins.add_bin(v.book, v.context(), "copper-2", name=f"crate {n}", bin_id=f"crate-{n}")
        pages = pages_of(v.client.get("/papers/labels.pdf?size=small").content)
    assert len(pages) == 3  # 21 on a sheet
    assert [n for n in range(50) if not re.search(rf"crate {n}\b", " ".join(pages))] == []


def test_what_can_hurt_is_never_cut_off_where_it_is_long(tmp_path: Path) -> None:
    """A name that fills a small label: the label grows, the hazard is there."""
    with visitor(tmp_path) as v:
        bins.add_bin(v.book, v.context(), "li-ion", name="long " * 39)
        pdf = v.client.get("/papers/labels.pdf?size=small").content
    first = shipped().cautions["li-ion"].first
    assert flat(first[1:]) in flat(text_of(pdf))
    ink = [page < 128 for page in pixels_of(pdf, 72)]
    assert not any(page[:10].any() or page[-10:].any() or page[:, -10:].any() for page in ink)


def test_the_page_leads_to_it_as_it_was_chosen(town: Visitor) -> None:
    page = town.open("/bins/labels?bin=li-ion&size=small")
    assert 'href="/papers/labels.pdf?bin=li-ion&amp;paper=letter&amp;size=small"' in page
    assert town.client.get("/papers/labels.pdf?bin=nothing").status_code == 422


def test_the_command_writes_it_once_with_codes_where_an_address_is_given(town: Visitor, tmp_path: Path) -> None:
    file = tmp_path / "labels.pdf"
    status, said = asked(town, "labels", "-o", str(file), "--bin", "li-ion", "--size", "big")
    assert status == 0 and "1 label, no codes" in said, said
    before = file.read_bytes()
    assert [zxingcpp.read_barcodes(page) for page in pixels_of(before, 200)] == [[]]
    status, said = asked(town, "labels", "-o", str(file))
    assert status == 2 and "there already" in said and file.read_bytes() == before


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        (("--size", "huge"), "big, large, small"),
        (("--bin", "nothing"), "bin"),
        (("--address", "ftp://here"), "where a phone opens the app"),
        (("--address", "https://[x"), "where a phone opens the app"),
        (("--address", "https://a/" + "b" * 300), "where a phone opens the app"),
        (("--paper", "a3"), "a4, letter"),
    ],
)
def test_the_command_refuses_and_writes_nothing(
    town: Visitor, tmp_path: Path, given: tuple[str, ...], expected: str
) -> None:
    status, said = asked(town, "labels", "-o", str(tmp_path / "labels.pdf"), *given)
    assert status == 2 and expected in said, said
    assert list(tmp_path.iterdir()) == []
