"""A buyer's price sheet as PDF: what it says of each grade is what the report says, with room for today's word."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from app_client import Visitor, visitor
from papers import FIRE, HOSTILE, SIZES, WRITTEN, YARD, asked, colours_of, letters_of, pages_of, size_of, text_of

from partway.actions.bins import bins
from partway.actions.buyers import buyers, quoting
from partway.actions.home import settings
from partway.paper.prices import prices_paper
from partway.reports.buyers.one import OneBuyer, report_buyer
from partway.web.pocket.carried.all import Carrying


@pytest.fixture(scope="module")
def town(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    """A yard under a name that would be markup, with a tier, a smallest lot, a price that is old, and refusals."""
    with visitor(tmp_path_factory.mktemp("prices")) as v:
        for name, value in {"currency": "CAD", "unit": "kg", "locale": "fr_CA"}.items():
            settings.set_(v.book, v.context(), name, value)
        terms = buyers.Terms(
            kind="yard", name=HOSTILE, km="9", refuses=["li-ion"], note="ring at the gate", phone="555-0142"
        )
        buyers.buyer(v.book, v.context(), "harbour", terms)
        quoting.quote(
            v.book,
            replace(v.context(), happened=dt.datetime(2026, 1, 2, 12, tzinfo=dt.UTC)),
            "harbour",
            "motors",
            "0.80 /kg",
        )
        quoting.quote(v.book, v.context(), "harbour", "copper-2", "9.05 /kg")
        quoting.quote(v.book, v.context(), "harbour", "copper-2", "9.35 /kg", "60 kg")
        quoting.quote(v.book, v.context(), "harbour", "light-iron", "0.25 /kg", None, "100 kg")
        quoting.quote(v.book, v.context(), "harbour", "lead-acid", "0.62 /kg")
        bins.add_bin(v.book, v.context(), "copper-2", holds="12.5 kg")
        bins.add_bin(v.book, v.context(), "brass-yellow", holds="3 kg")
        bins.add_bin(v.book, v.context(), "li-ion", holds="2 kg")
        yield v


@pytest.fixture(scope="module")
def one(town: Visitor) -> OneBuyer:
    return report_buyer(town.book, "harbour", town.context().clock())


@pytest.fixture(scope="module")
def known(town: Visitor) -> Carrying:
    return Carrying(town.book, town.context().clock())


@pytest.fixture(scope="module")
def text(town: Visitor) -> str:
    answer = town.client.get("/papers/prices/harbour.pdf")
    assert answer.status_code == 200 and answer.headers["content-type"] == "application/pdf"
    assert size_of(answer.content) == pytest.approx(SIZES["letter"], abs=0.5) and colours_of(answer.content) == 0
    return text_of(answer.content)


def plain(text: str) -> str:
    """With the blanks that a reader of PDFs tells."""
    return text.replace("\u00a0", " ").replace("\u202f", " ")


def test_each_price_is_the_reports_with_its_lots_and_its_day(text: str, one: OneBuyer, known: Carrying) -> None:
    rows = {word.name: word for word in one.asked}
    assert len(rows) >= 5
    for name, word in rows.items():
        at = text.index(f" {name} ", text.index("Today"))
        for price in word.cell.prices:
            at = text.index(plain(known.show.price(price.per_kg)), at)
            assert known.show.day(price.on) in text[at : at + 120]
    # By hand, as typed above and as French Canada writes a number (Unicode CLDR 46): comma, narrow blank before $.
    assert "9,05 $/kg" in text and "9,35 $/kg" in text and "from 60 kg" in text and "100 kg at least" in text
    assert "2 January, old" in text and "12,5 kg" in text and "not asked yet" in text and "turned away" in text
    assert "555-0142" in text and "ring at the gate" in text and "Today" in text


def test_what_can_hurt_comes_before_any_price(text: str) -> None:
    for hazard in ("Lead-acid battery.", "Lithium-ion battery."):
        assert text.index(hazard) < text.index("0,62")
    assert "LEAD-ACID BATTERY" in text


def test_its_name_stays_text_and_what_the_fonts_lack_is_named(text: str) -> None:
    assert f"Prices of {WRITTEN}" in text and any(word in text for word in YARD) and FIRE in text


def test_what_follows_a_name_read_from_the_right_is_not_turned_around(one: OneBuyer, known: Carrying) -> None:
    """Digits after such letters go to their left unless something says otherwise (Unicode Annex 9, W2 and N1)."""
    pdf = prices_paper(replace(one, name=YARD[0]), {}, known.show, "a4", known.day).pdf
    foot = min(y for _, _, y in letters_of(pdf)) + 6.0
    line = sorted((x, sign) for sign, x, y in letters_of(pdf) if y < foot)
    assert "".join(sign for _, sign in line).startswith(f"Pricesof{YARD[1]},20March2026")


def test_a_price_in_doubt_says_so_beside_it(one: OneBuyer, known: Carrying) -> None:
    made = prices_paper(one, {"motors": "two devices disagree"}, known.show, "a4", known.day)
    text = text_of(made.pdf)
    assert 0 < text.index("In doubt: two devices disagree") - text.index("Electric motors") < 60
    assert size_of(made.pdf) == pytest.approx(SIZES["a4"], abs=0.5)


def test_many_grades_go_on_over_pages_under_the_same_heads(one: OneBuyer, known: Carrying) -> None:
    word = next(word for word in one.asked if word.cell.prices)
    many = replace(one, asked=tuple(replace(word, name=f"grade number {n}") for n in range(120)))
    pages = pages_of(prices_paper(many, {}, known.show, "letter", known.day).pdf)
    assert len(pages) > 2 and all("Today" in page for page in pages)
    assert [n for n in range(120) if f"grade number {n} " not in " ".join(pages)] == []


def test_a_buyer_without_a_word_has_a_sheet_that_says_so(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        buyers.buyer(v.book, v.context(), "ridge", buyers.Terms(kind="tip", km="3"))
        text = text_of(v.client.get("/papers/prices/ridge.pdf").content)
        v.open("/papers/prices/nobody.pdf", 404)
    assert "no word on any grade" in text and "It never said a price" in text


def test_the_command_writes_the_same_and_never_twice(town: Visitor, tmp_path: Path) -> None:
    file = tmp_path / "harbour.pdf"
    status, said = asked(town, "prices", "harbour", "-o", str(file), "--paper", "a4", "--json")
    assert status == 0 and json.loads(said)["buyer"] == "harbour", said
    text = text_of(file.read_bytes())
    assert "9,05 $/kg" in text and str(dt.datetime.now(tz=dt.UTC).year) in text
    assert asked(town, "prices", "harbour", "-o", str(file))[0] == 2
    status, said = asked(town, "prices", "nobody", "-o", str(tmp_path / "nobody.pdf"))
    assert status == 2 and "a known buyer" in said and not (tmp_path / "nobody.pdf").exists()
    assert 'href="/papers/prices/harbour.pdf"' in town.open("/buyers/harbour")
