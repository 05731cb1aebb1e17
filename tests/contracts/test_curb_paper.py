"""The curb card as PDF: the ranking's own figures, what can hurt before any of them."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from app_client import Visitor, visitor
from papers import FIRE, HOSTILE, SIZES, WRITTEN, asked, colours_of, pages_of, size_of, text_of

from partway.actions.buyers import buyers, quoting
from partway.actions.curb import curb as look
from partway.actions.home import settings
from partway.actions.recording.zones import now_of
from partway.catalogue import shipped
from partway.paper.curb import MOST, curb_paper
from partway.reports.curb.card import CurbCard, report_curb_card
from partway.web.pocket.carried.all import Carrying

PRICES = {
    "copper-2": "9",
    "light-iron": "0.25",
    "motors": "0.80",
    "brass-yellow": "5",
    "alu-cast": "1.20",
    "lead-acid": "0.50",
}


@pytest.fixture(scope="module")
def town(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    """One yard with a few prices, in Canada, so Letter. Invented."""
    with visitor(tmp_path_factory.mktemp("curb")) as v:
        for name, value in {"currency": "CAD", "unit": "kg", "wage": "12", "locale": "en_CA"}.items():
            settings.set_(v.book, v.context(), name, value)
        buyers.buyer(v.book, v.context(), "harbour", buyers.Terms(kind="yard", name="harbour yard", km="9"))
        for grade, price in PRICES.items():
            quoting.quote(v.book, v.context(), "harbour", grade, f"{price} /kg")
        yield v


@pytest.fixture(scope="module")
def known(town: Visitor) -> Carrying:
    return Carrying(town.book, town.context().clock())


@pytest.fixture(scope="module")
def card(known: Carrying) -> CurbCard:
    return report_curb_card(known.prices, look.ranking(known.prices), look.kinds(known.prices))


@pytest.fixture(scope="module")
def pdf(town: Visitor) -> bytes:
    answer = town.client.get("/papers/curb.pdf")
    assert answer.status_code == 200 and answer.headers["content-type"] == "application/pdf"
    return answer.content


def test_each_kind_has_the_figures_of_the_ranking_in_its_order(
    town: Visitor, pdf: bytes, card: CurbCard, known: Carrying
) -> None:
    text = re.sub(
        r"At the curb, \d+ \w+ 2026 page \d of \d ?", "", text_of(pdf)
    )  # a name may go on over the page's foot
    ranked = town.client.get("/api/curb").json()
    assert [line["kind"] for line in ranked["lines"]] == [line.kind for line in card.ranking.lines]
    at = text.index("Worth stopping for")
    for number, line in enumerate(ranked["lines"][:MOST], start=1):
        at = text.index(f"{number}. {line['name']}", at)
        row = text[at : at + 400]
        assert f"{known.show.about(line['per_hour'])} an hour" in row, line["name"]
        assert f"{known.show.about(line['money']['expected'])} on average" in row and known.show.kg(line["kg"]) in row
    names = [line["name"] for line in ranked["lines"][MOST:]] + [name for _, name in ranked["depot"] + ranked["left"]]
    assert names and [name for name in names if name not in text] == []


def test_what_can_hurt_stands_before_any_money_and_in_each_line_before_its_own(pdf: bytes, card: CurbCard) -> None:
    """Each kind's hazards of lifting and its hard stops by name; the others counted, none dropped."""
    text = text_of(pdf)
    begins = text.index("Worth stopping for")
    assert len(card.cautions) > 10 and "$" not in text[text.index("Hours count at") + 25 : begins]
    for one in card.cautions:
        assert one.first[1:60] in text[:begins], one.name
    for number, line in enumerate(card.ranking.lines[:MOST], start=1):
        start = text.index(f"{number}. {line.name}", begins)
        money = text.index("on average", start)
        names = [name.upper() for name in card.hazards[line.kind]]
        assert [name for name in names if name not in text[start:money]] == []
        every = len(names) + card.at_bench[line.kind]
        assert every == line.cautions


def test_no_hard_stop_is_only_counted(card: CurbCard) -> None:
    """A picture tube, a magnetron, a refrigerant circuit: named at the curb already."""
    by_name = {one.name: one for one in shipped().cautions.values()}
    for kind in ("microwave", "fridge", "tv-crt"):
        if kind in card.hazards:
            assert any(by_name[name].forbids for name in card.hazards[kind]), kind


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_it_is_black_and_white_on_the_paper_asked_for_and_says_its_pages(
    card: CurbCard, known: Carrying, paper: str
) -> None:
    made = curb_paper(card, known.show, paper)
    pages = pages_of(made.pdf)
    assert size_of(made.pdf) == pytest.approx(SIZES[paper], abs=0.5) and colours_of(made.pdf) == 0
    assert len(pages) > 1 and all(f"page {n} of {len(pages)}" in page for n, page in enumerate(pages, start=1))


def test_a_name_stays_text_and_what_the_fonts_lack_is_named(card: CurbCard, known: Carrying) -> None:
    first = card.ranking.lines[0]
    lines = (replace(first, name=HOSTILE), *card.ranking.lines[1:])
    text = text_of(curb_paper(replace(card, ranking=replace(card.ranking, lines=lines)), known.show, "a4").pdf)
    assert WRITTEN in text and FIRE in text


def test_where_nobody_quoted_anything_it_says_that_it_is_unknown(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        text = text_of(v.client.get("/papers/curb.pdf").content)
    assert "Unquoted is not worth nothing" in text and "Worth stopping for" not in text and "$" not in text


def test_the_command_writes_the_same_and_never_twice(town: Visitor, tmp_path: Path) -> None:
    """The command's clock is the machine's, so its prices are older than the page's: the same report, at its moment."""
    file = tmp_path / "curb.pdf"
    status, said = asked(town, "curb", "-o", str(file), "--json")
    assert status == 0 and json.loads(said)["paper"] == "letter", said
    then = Carrying(town.book, now_of(town.book))
    card = report_curb_card(then.prices, look.ranking(then.prices), look.kinds(then.prices))
    assert text_of(file.read_bytes()) == text_of(curb_paper(card, then.show, "letter").pdf)
    assert asked(town, "curb", "-o", str(file))[0] == 2
    assert 'href="/papers/curb.pdf"' in town.open("/curb")
