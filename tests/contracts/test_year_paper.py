"""A picture of the year: one page, its figures those of the ledger, and no money on it unless asked for."""

from __future__ import annotations

import datetime as dt
import struct
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from app_client import Visitor, visitor
from click.testing import CliRunner
from papers import pages_of

from partway.catalogue.factors import factor_sets
from partway.cli.app import cli
from partway.ledger.balance.sheet import sheet, tips_in
from partway.paper.year import year_paper
from partway.reports.books.told.year import years_of
from partway.reports.books.told.year_seen import YearSeen, report_year_seen
from partway.valuing.ends.diverted import ends_so_far
from partway.web.pocket.carried.all import Carrying

WARM = factor_sets()["epa-warm-15"]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("town")


@pytest.fixture(scope="module")
def town(folder: Path) -> Iterator[Visitor]:
    """The invented months; no test here changes them."""
    with visitor(folder, demo=True) as v:
        yield v


def seen(town: Visitor, year: int = 2026) -> YearSeen:
    known = Carrying(town.book, town.context().clock())
    return report_year_seen(town.book, known.prices.grades, year, known.now, WARM)


def test_its_figures_are_those_of_the_ledger(town: Visitor) -> None:
    """All years together come to the whole ledger's balance sheet."""
    found, book = seen(town), town.book
    whole = ends_so_far(sheet(book.balances(), tips_in(book.facts("buyer:"))))
    every = [seen(town, year) for year in years_of(book, town.context().clock())]
    assert len(every) == 2
    assert sum(one.came_mg for one in every) == whole.came
    assert sum(one.kept_mg for one in every) == whole.diverted
    assert sum(one.wasted_mg for one in every) == whole.wasted
    assert sum(mg for _, mg in found.months) == found.kept_mg > 0
    assert [first.month for first, _ in found.months] == list(range(1, town.context().clock().month + 1))
    answer = town.client.get("/api/year/2026").json()
    assert float(found.earned.net) == pytest.approx(float(answer["net"]))


def test_a_year_before_has_nothing_and_a_half_one_ends_today(town: Visitor) -> None:
    before = seen(town, 2024)
    assert (before.kept_mg, before.finds, len(before.months)) == (0, 0, 12)
    assert before.until == dt.date(2024, 12, 31)
    assert seen(town).until == town.context().clock().date()


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_it_is_one_page_and_says_no_money_unless_asked(town: Visitor, paper: str) -> None:
    known, found = Carrying(town.book, town.context().clock()), seen(town)
    quiet, loud = (year_paper(found, known.show, paper, money=money) for money in (False, True))
    (text,) = (" ".join(page.split()) for page in pages_of(quiet.pdf))
    assert known.show.kg(found.kept_mg / 1e6) in text and "kept out of the landfill" in text
    assert WARM.called in text and "all that was handled" in text
    left = known.show.money(found.earned.net)
    assert left not in text and left in " ".join(pages_of(loud.pdf)[0].split())
    width, height = struct.unpack(">II", quiet.pictures[0][16:24])  # PNG (RFC 2083): IHDR comes first
    assert len(quiet.pictures) == 1 and 1200 < width < height


def test_a_long_name_and_many_things_stay_on_one_page(town: Visitor) -> None:
    known, found = Carrying(town.book, town.context().clock()), seen(town)
    grades = tuple((f"{name} {'x' * 60}", mg) for name, mg in found.grades)
    made = year_paper(replace(found, name='#import "x" $ * ' * 8, grades=grades), known.show, "letter", money=True)
    (text,) = pages_of(made.pdf)
    assert '#import "x" $ *' in " ".join(text.split()) and "…" in text


def test_by_page_and_by_command(town: Visitor, folder: Path, tmp_path: Path) -> None:
    page = town.client.get("/papers/year/2026.pdf")
    assert page.headers["content-type"] == "application/pdf"
    picture = town.client.get("/papers/year/2026.png")
    assert picture.headers["content-type"] == "image/png" and picture.content.startswith(b"\x89PNG")
    for file, first in ((tmp_path / "year.png", b"\x89PNG"), (tmp_path / "year.pdf", b"%PDF")):
        told = CliRunner().invoke(cli, ["paper", "year", "2026", "-o", str(file), "--workspace", str(folder)])
        assert told.exit_code == 0 and file.read_bytes().startswith(first)
    assert 'href="/papers/year/2026.png"' in town.open("/books/year")
    for address in ("/papers/year/2026.svg", "/papers/year/1066.pdf", "/papers/year/2026.pdf?set=uk"):
        town.open(address, 404)
