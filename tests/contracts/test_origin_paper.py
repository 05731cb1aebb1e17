"""The provenance sheet: what is in a bin and what it came from, to the gram as the ledger has it, and lines to sign."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from app_client import Visitor, visitor
from papers import FIRE, HOSTILE, SIZES, WRITTEN, YARD, asked, colours_of, pages_of, size_of, text_of

from partway.actions.bench import finds
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bins import bins
from partway.actions.home import settings
from partway.actions.recording.context import Context
from partway.errors import Refused
from partway.paper.origin import origin_paper
from partway.reports.bins.origin import OriginSheet, report_origins
from partway.web.pocket.carried.all import Carrying


def on(v: Visitor, day: int) -> Context:
    """Recorded as of a day in March."""
    return replace(v.context(), happened=dt.datetime(2026, 3, day, 12, tzinfo=dt.UTC))


@pytest.fixture(scope="module")
def town(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    """Two fans opened, one from a street under a name that would be markup; what was there before; a weighing."""
    with visitor(tmp_path_factory.mktemp("origin")) as v:
        for name, value in {"currency": "CAD", "unit": "kg", "locale": "en_CA"}.items():
            settings.set_(v.book, v.context(), name, value)
        bins.add_bin(v.book, on(v, 1), "motors", holds="2 kg")
        finds.find(v.book, on(v, 2), "fan", 1, "4 kg", "no", source="lantern hill", model="MX 200")
        open_up(v.book, on(v, 3), "fan-1", [PieceGiven("motor", "1.234 kg", bin="motors")], gap="left")
        finds.find(v.book, on(v, 4), "fan", 1, "4 kg", "no", source=HOSTILE)
        open_up(v.book, on(v, 5), "fan-2", [PieceGiven("motor", "1.1 kg", bin="motors")], gap="left")
        bins.recount(v.book, on(v, 6), "motors", "4.5 kg")
        yield v


@pytest.fixture(scope="module")
def sheet(town: Visitor) -> OriginSheet:
    return report_origins(town.book, (), town.context().clock())


@pytest.fixture(scope="module")
def text(town: Visitor) -> str:
    answer = town.client.get("/papers/origin.pdf?bin=motors")
    assert answer.status_code == 200 and answer.headers["content-type"] == "application/pdf"
    assert size_of(answer.content) == pytest.approx(SIZES["letter"], abs=0.5) and colours_of(answer.content) == 0
    return text_of(answer.content)


def test_each_part_by_hand_and_all_of_it_as_the_ledger_has_it(town: Visitor, sheet: OriginSheet, text: str) -> None:
    """By hand: 2 + 1.234 + 1.1 are 4.334, the scale says 4.5, so 0.166 more than was written down."""
    (one,) = sheet.bins
    assert [line.mg for line in one.lines] == [2_000_000, 1_234_000, 1_100_000, 166_000] and one.untold_mg == 0
    assert sheet.mg == one.mg == sum(town.book.balances("bin:motors").values())
    for said in ("2.000 kg", "1.234 kg", "1.100 kg", "0.166 kg", "4.500 kg"):
        assert said in text, said
    for said in ("2 March 2026", "3 March 2026", "lantern hill", "Model MX 200", "In the bin before this ledger began"):
        assert said in text, said
    assert "More by the scale than was written down" in text


def test_what_went_out_was_what_came_in_first(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        bins.add_bin(v.book, on(v, 1), "motors", holds="2 kg")
        bins.add_bin(v.book, on(v, 1), "motors", bin_id="more")
        finds.find(v.book, on(v, 2), "fan", 1, "4 kg", "no")
        open_up(v.book, on(v, 3), "fan-1", [PieceGiven("motor", "1 kg", bin="motors")], gap="left")
        bins.move(v.book, on(v, 4), "motors", "more", "2.4 kg")
        found = {one.bin: one.lines for one in report_origins(v.book, (), v.context().clock()).bins}
    assert [(line.what, line.mg) for line in found["motors"]] == [("Fan", 600_000)]
    assert [(line.what, line.mg) for line in found["more"]] == [("From the bin Electric motors", 2_400_000)]


def test_the_caution_about_the_law_stands_before_what_is_stated_and_the_lines_to_sign_are_blank(text: str) -> None:
    assert text.index("check your local code") < text.index("What it was part of")
    for line in ("Seller", "Identity paper", "Vehicle", "Signed", "Yard", "Taken in by"):
        assert line in text[text.index("Together") :], line


def test_what_can_hurt_comes_first(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        bins.add_bin(v.book, v.context(), "li-ion", holds="2 kg")
        text = text_of(v.client.get("/papers/origin.pdf").content)
    assert text.index("Lithium-ion battery.") < text.index("check your local code")


def test_a_place_stays_text_and_what_the_fonts_lack_is_named(text: str) -> None:
    assert WRITTEN in text and any(word in text for word in YARD) and FIRE in text


def test_many_bins_go_on_over_pages(sheet: OriginSheet, town: Visitor) -> None:
    known = Carrying(town.book, town.context().clock())
    (one,) = sheet.bins
    line = one.lines[1]
    many = replace(one, lines=tuple(replace(line, what=f"thing {n} of them") for n in range(150)))
    pages = pages_of(origin_paper(replace(sheet, bins=(many, one)), known.show, "a4").pdf)
    assert len(pages) > 2 and "Signed" in pages[-1] and f"page 1 of {len(pages)}" in pages[0]
    assert [n for n in range(150) if f"thing {n} of them" not in " ".join(pages)] == []


def test_nothing_is_made_of_nothing(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        with pytest.raises(Refused, match="a bin that holds something"):
            report_origins(v.book, (), v.context().clock())
        assert v.client.get("/papers/origin.pdf").status_code == 422


def test_the_command_writes_the_same_and_never_twice(town: Visitor, tmp_path: Path, text: str) -> None:
    file = tmp_path / "motors.pdf"
    status, said = asked(town, "origin", "--bin", "motors", "-o", str(file), "--json")
    assert status == 0 and json.loads(said)["mg"] == 4_500_000, said
    begins = text.index("What it was part of"), text.index("Together")
    assert text[slice(*begins)] in text_of(file.read_bytes())
    assert asked(town, "origin", "-o", str(file))[0] == 2
    status, said = asked(town, "origin", "--bin", "nothing", "-o", str(tmp_path / "no.pdf"))
    assert status == 2 and not (tmp_path / "no.pdf").exists()
    assert 'href="/papers/origin.pdf?bin=motors"' in town.open("/bins/motors")
