"""Guides, caution cards, place cards: what is seen makes a grade, a card says all of it, a place is never advised."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest
from app_client import NOW, Visitor, visitor
from named_hazards import missing
from page_words import words

from partway.actions.what.identifying import guide
from partway.actions.what.placing import fill_in
from partway.catalogue import shipped
from partway.ledger.fold.rules import rules
from partway.reports.what.caution_cards import report_caution

GONE = "gone"
HOSTILE = "<script>alert(1)</script> \u202eABC 🔩 ' \" --"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    with visitor(tmp_path_factory.mktemp("what"), demo=True) as there:
        yield there


@pytest.fixture
def there(tmp_path: Path) -> Iterator[Visitor]:
    with visitor(tmp_path) as there:
        yield there


# --- guides ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", shipped().key.guides)
def test_all_that_can_be_seen_is_a_toggle(demo: Visitor, name: str) -> None:
    page = demo.open(f"/what/guide/{name}")
    for feature in shipped().key.guides[name].features:
        assert f'type="checkbox" name="feature" value="{feature.id}"' in page and feature.name in words(page)
    assert 'class="verdict"' not in page


@pytest.mark.parametrize("name", shipped().key.guides)
def test_all_that_a_grade_shows_leads_to_it_and_says_what_spoils_it(there: Visitor, name: str) -> None:
    for row in shipped().key.guides[name].rows:
        page = there.client.get(f"/what/guide/{name}", params={"feature": list(row.shows)}).text
        first = guide(None, name, row.shows).matches[0]
        assert f'<p class="verdict" role="status">{first.name}</p>' in page
        assert all(spoil in words(page) for spoil in row.spoils)
        ticked = page.count(" checked>")
        assert ticked == len(row.shows)


def test_what_agrees_with_nothing_says_so_and_what_is_no_feature_is_refused(there: Visitor) -> None:
    boards = shipped().key.guides["boards"]
    all_of_it = {"feature": [feature.id for feature in boards.features]}
    assert "No grade agrees" in there.client.get("/what/guide/boards", params=all_of_it).text
    assert "expected" in there.open("/what/guide/boards?feature=nope", 422)
    assert "&lt;script&gt;" in there.client.get("/what/guide/boards", params={"feature": HOSTILE}).text
    there.open("/what/guide/nope", 404)


# --- caution cards ----------------------------------------------------------------------------------


def test_all_cards_are_listed_with_their_first_steps(there: Visitor) -> None:
    page = there.open("/cautions")
    assert missing(words(page), shipped().cautions) == []
    assert all(f'href="/cautions/{hazard}"' in page for hazard in shipped().cautions)


@pytest.mark.parametrize("hazard", shipped().cautions)
def test_a_card_says_all_of_it_and_where_it_comes_up(there: Visitor, hazard: str) -> None:
    page, card = words(there.open(f"/cautions/{hazard}")), shipped().cautions[hazard]
    for text in (card.hurts, card.first, card.licensed, card.rule, card.never):
        assert " ".join(text.split())[1:].rstrip(".") in page
    report = report_caution(shipped(), hazard)
    names = [*(one.name for one in (*report.kinds, *report.components)), *(grade.name for grade in report.grades)]
    assert all(name in page for name in names)
    assert page.count("heck your local code") >= 2


def test_a_card_that_is_not_there(there: Visitor) -> None:
    there.open("/cautions/nope", 404)
    assert "<script>alert" not in there.open("/cautions/<script>alert(1)<%2Fscript>", 404)


# --- place cards --------------------------------------------------------------------------------------

TYPED = {"says": "no cash for copper", "source": "notice at the yard", "seen": "2026-03-01"}


def test_the_place_is_asked_and_never_advised(there: Visitor) -> None:
    page = there.open("/place")
    assert "Never advice" in page and page.count("not filled in") == len(shipped().place_cards)
    for card in shipped().place_cards.values():
        assert card.question in words(page) and card.why in words(there.open(f"/place/{card.id}"))
    assert f"{len(shipped().place_cards)} to fill in" in there.open("/what")


def test_a_card_is_filled_in_with_source_and_day_and_can_be_taken_back(there: Visitor) -> None:
    answer = there.fill("/place/payment", "/place/payment", **TYPED)
    assert answer.status_code == 200 and str(answer.url.path) == "/place"
    rule = rules(there.book)["payment"]
    assert (rule.says, rule.source, rule.seen) == (TYPED["says"], TYPED["source"], dt.date(2026, 3, 1))
    assert "no cash for copper" in answer.text and "19 days ago" in answer.text
    assert f"{len(shipped().place_cards) - 1} to fill in" in there.open("/what")
    assert there.send(there.form(answer.text, "/undo")).status_code == 200
    assert rules(there.book) == {}


def test_what_was_looked_up_long_ago_is_to_be_looked_up_again(there: Visitor) -> None:
    long_ago = (NOW - dt.timedelta(days=400)).date().isoformat()
    fill_in(there.book, there.context(), "payment", "cash", "a notice", long_ago)
    assert "look again" in there.open("/place") and "look again" in there.open("/place/payment")


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({**TYPED, "says": ""}, "says"),
        ({**TYPED, "source": ""}, "source"),
        ({**TYPED, "seen": "lately"}, "seen"),
        ({**TYPED, "seen": "2099-01-01"}, "seen"),
        ({**TYPED, "says": "x" * 30_000}, "says"),
        ({**TYPED, "source": "x" * 5_000}, "source"),
    ],
)
def test_what_cannot_be_filled_in_is_said_beside_its_field(there: Visitor, typed: dict[str, str], field: str) -> None:
    answer = there.fill("/place/payment", "/place/payment", **typed)
    assert answer.status_code == 422 and there.count() == 0
    assert f'href="#{field}"' in answer.text and "--" not in words(answer.text)
    kept = dict(there.form(answer.text, "/place/payment").values)
    assert {name: kept[name] for name in typed} == typed


def test_hostile_text_is_text(there: Visitor) -> None:
    answer = there.fill("/place/payment", "/place/payment", says=HOSTILE, source=HOSTILE)
    assert answer.status_code in (200, 422) and "<script>alert" not in answer.text
    assert "<script>alert" not in there.open("/place")


def test_twice_is_once_and_an_old_page_overwrites_nothing(there: Visitor) -> None:
    form = there.form(there.open("/place/payment"), "/place/payment")
    old = there.form(there.open("/place/payment"), "/place/payment")
    there.send(form, **TYPED)
    assert "Nothing was saved twice" in there.send(form, **TYPED).text and there.count() == 1
    late = there.send(old, **{**TYPED, "says": "cash for all"})
    assert late.status_code == 422 and "meanwhile" in late.text and there.count() == 1
    stale = there.send(old, **TYPED, token=GONE)
    assert stale.status_code == 409 and there.count() == 1
    there.open("/place/nope", 404)
    huge = there.client.post("/place/payment", data={"says": "x" * 20_000_000})
    assert huge.status_code == 413 and there.count() == 1
