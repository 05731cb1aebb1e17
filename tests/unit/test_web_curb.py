"""Curb in the app: two letters, a verdict, one tap; everything without scripts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from app_client import NOW, Visitor, visitor

from partway.actions.curb import curb as look
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.home.settings import set_
from partway.catalogue import shipped
from partway.display import rough
from partway.ledger.fold import standing
from partway.reports.curb.curb import Ranking
from partway.things.scenario import Scenario
from partway.web.curb import figures


@pytest.fixture(scope="module")
def town(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    """The invented months, made once: each test looks at what it adds."""
    with visitor(tmp_path_factory.mktemp("town"), demo=True) as v:
        yield v


HOSTILE = '<script>alert(1)</script>"\u202e\U0001f4a5'


def test_two_letters_lead_to_a_verdict_and_one_tap_records_the_find(town: Visitor) -> None:
    page = town.open("/curb?q=wa")
    assert 'href="/curb/washer-top"' in page and 'href="/curb/washer-front"' in page
    before, there = town.count(), set(standing.finds(town.book))
    answer = town.fill("/curb/washer-top", "/curb/washer-top/taken")
    assert answer.status_code == 200 and answer.url.path == "/curb"
    assert town.count() == before + 1 and "Undo" in answer.text
    (new,) = set(standing.finds(town.book)) - there
    now = standing.find(town.book, new)
    assert (now.kind, now.count, now.works, now.mg, now.source) == ("washer-top", 1, "unknown", 0, "curb")
    assert "Top-loading washer" in town.open("/curb")  # among those found lately
    town.send(town.form(answer.text, "/undo"))
    assert new not in standing.finds(town.book)


def test_of_a_thousand_kinds_the_page_lists_what_it_can_carry_and_says_how_many_there_are(
    town: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Limit: what the other pages keep to, tests/journeys/test_every_page.py."""
    known = look.ranking(scenario_from_book(town.book, NOW.date(), counting=False, waiting={}))
    widest = max(known.lines, key=lambda line: len(line.name) + len(line.caution))
    lines = tuple(replace(widest, kind=f"{widest.kind}-{n}") for n in range(1000))
    names = tuple((f"own-thing-{n}", f"One more thing of my own, number {n}") for n in range(1000))
    big = replace(known, lines=lines, by_space=lines[:7], depot=names, left=names, unknown=names[:2])
    monkeypatch.setattr(figures, "ranking", lambda _ctx: big)
    page = town.open("/curb")
    assert len(page.encode()) <= 150_000
    listed = re.findall(rf'class="line rank" href="/curb/{widest.kind}-(\d+)"', page)
    assert [int(n) for n in listed] == list(range(len(listed))), "the best of them, in their order"
    assert f"The first {len(listed)} of 1000 kinds" in page and "never opened (1000)" in page
    named = page.count('href="/curb/own-thing-')
    assert f">{1000 - (named - 2) // 2} more, by their names<" in page
    few = town.open("/curb?by=space")
    assert few.count('class="line rank"') == 7 and " kinds</summary>" not in few and "any other" not in few


def test_taken_keeps_what_is_known(town: Visitor) -> None:
    there = set(standing.finds(town.book))
    town.fill("/curb/fan?works=no", "/curb/fan/taken", count="3", mass="20 lb", model="type 20")
    (new,) = set(standing.finds(town.book)) - there
    now = standing.find(town.book, new)
    assert (now.count, now.works, now.mg) == (3, "no", 9_071_847)
    (found,) = town.book.newest(1, kinds=("found",))
    assert "fan: 3 × fan type 20, 20.0 lb, does not work, from curb" in town.open("/books/ledger")
    assert f"{new}: 3 × fan type 20" in town.open(f"/books/ledger/{found.id}")
    assert "model <bdi>type 20</bdi>" in town.open(f"/bench/{new}")
    assert 'value="type 20"' in town.open(f"/books/ledger/{found.id}")


def test_the_list_counts_the_hazards_that_it_does_not_name(town: Visitor) -> None:
    """The first by its name, the others by how many: as many in all as the kind's own page has cards."""
    said = re.findall(r'href="/curb/([^"]+)">(?:(?!</a>).)*?class="careful">([^<]+)<', town.open("/curb"), re.DOTALL)
    counted = {kind: words.rpartition(" and ")[2] for kind, words in said if words.endswith(" more")}
    assert len(counted) > 3
    for kind, more in list(counted.items())[:5]:
        page = town.open(f"/curb/{kind}")
        cards = set(re.findall(r'href="/cautions/([^"]+)"', page))
        assert more == f"{len(cards) - 1} more", kind


def test_the_ranking_is_worked_out_anew_only_where_a_price_changes(
    town: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And is the one that is worked out from nothing, either way."""
    made, ranking = [], look.ranking

    def counted(scenario: Scenario) -> Ranking:
        made.append(ranking(scenario))
        return made[-1]

    monkeypatch.setattr(look, "ranking", counted)
    wage = standing.settings(town.book)["wage"]
    set_(town.book, town.context(), "wage", "17")
    town.open("/curb")
    there = len(made)
    assert there == 1
    town.fill("/curb/fan?works=no", "/curb/fan/taken", count="2")
    town.open("/curb")
    assert len(made) == there
    set_(town.book, town.context(), "wage", "18")
    page = town.open("/curb")
    assert len(made) == there + 1 and made[-1].wage == 18.0
    assert made[-1] == ranking(scenario_from_book(town.book, NOW.date(), counting=False, waiting={}))
    assert made[-1].lines[0].name in page
    set_(town.book, town.context(), "wage", wage)


@pytest.mark.parametrize(
    ("count", "mass", "said"),
    [
        ("0", "", "a whole number of at least 1"),
        ("-1", "", "a whole number of at least 1"),
        ("1.5", "", "a whole number of at least 1"),
        ("٣", "", "a whole number of at least 1"),
        ("1", "-3 lb", "expected"),
        ("1", "heavy", "expected"),
        ("9" * 10, "", "at most 9 characters"),
        (HOSTILE, HOSTILE, "at most 9 characters"),
        ("1", HOSTILE, "expected"),
    ],
)
def test_what_cannot_be_is_refused_and_kept(town: Visitor, count: str, mass: str, said: str) -> None:
    before = town.count()
    answer = town.fill("/curb/fan", "/curb/fan/taken", count=count, mass=mass)
    assert answer.status_code == 422 and said in answer.text
    assert town.count() == before
    assert "<script>alert" not in answer.text
    form = dict(town.form(answer.text, "/curb/fan/taken").values)
    assert (form["count"], form["mass"]) == (count, mass)


def test_a_page_sent_twice_records_one_find(town: Visitor) -> None:
    form = town.form(town.open("/curb/kettle"), "/curb/kettle/taken")
    before = town.count()
    town.send(form)
    assert "Nothing was saved twice" in town.send(form).text
    assert town.count() == before + 1


def test_a_stale_page_records_nothing(town: Visitor) -> None:
    before = town.count()
    answer = town.fill("/curb/kettle", "/curb/kettle/taken", mass="2 lb", token="old")  # noqa: S106 (a form's)
    assert answer.status_code == 409 and town.count() == before
    assert dict(town.form(answer.text, "/curb/kettle/taken").values)["mass"] == "2 lb"


def test_the_caution_stands_before_the_money_and_the_switch_changes_the_verdict(town: Visitor) -> None:
    page = town.open("/curb/fridge")
    assert "Whole to the depot" in page
    assert page.index('class="verdict') < page.index("Sealed refrigerant circuit") < page.index("Taken")
    assert ">Take it</p>" in town.open("/curb/fridge?works=yes")
    page = town.open("/curb/game-console")  # lifted on its odds, or left by them: never only if it works
    assert "only if it works</p>" not in page
    assert (">Take it</p>" in page) is not (">Leave it</p>" in page)
    assert " work (by your tests of other kinds)" in page or " tested by you)" in page  # the months have tests


def test_every_kind_has_a_page(town: Visitor) -> None:
    for kind in shipped().kinds:
        page = town.open(f"/curb/{kind}")
        if shipped().anatomy(kind).became:  # one that was split is asked about
            continue
        for card in shipped().anatomy(kind).cautions:
            assert (
                shipped().cautions[card].first[1:].split(";")[0].split("'")[0] in page
            )  # its first letter is a capital


def test_what_nobody_knows_is_not_here(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        assert "a kind that the catalogue knows" in v.open("/curb/zeppelin", 404)
        assert "<script>alert" not in v.open("/curb/%3Cscript%3Ealert(1)%3C%2Fscript%3E", 404)
        page = v.open("/curb?q=%3Cscript%3Ealert(1)%3C%2Fscript%3E")
        assert "No kind goes by" in page and "<script>alert" not in page
        assert v.open("/curb/fan?works=perhaps").count('aria-current="true"') == 1


def test_an_exact_name_is_gone_to_at_once_and_anything_else_is_asked_about(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        for text in ("microwave", "Microwave ovens", "micro-wave"):
            assert v.client.get("/curb", params={"q": text}).url.path == "/curb/microwave"
        near = {"nicrowave": "microwave", "iron": "cast-radiator", "starter": "car-battery", "monitor": "garage-opener"}
        for text, kind in near.items():
            answer = v.client.get("/curb", params={"q": text})
            assert answer.url.path == "/curb" and "Which of these is it?" in answer.text
            assert f'href="/curb/{kind}"' in answer.text and "Take it" not in answer.text


def test_programs_are_asked_too(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        assert v.client.get("/api/curb/Microwave oven").json() == v.client.get("/api/curb/microwave").json()
        asked = v.client.get("/api/curb/iron")
        assert asked.status_code == 409 and asked.json()["option"] == "kind"
        asked_for = [(choice["answer"], choice["means"]) for choice in asked.json()["choices"]]
        assert asked_for[:2] == [("clothes-iron", "Clothes iron"), ("cast-radiator", "Cast-iron radiator")]
        assert asked_for[-1] == ("iron~", "none of these: a thing of its own")
        asked = v.client.get("/api/curb/zzzz")  # what nobody knows is asked about, too: what it is mostly
        assert asked.status_code == 409 and asked.json()["option"] == "mostly"


def test_the_part_that_a_script_asks_for_is_the_list_alone(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        part = v.open("/curb?part=found&q=brad")
        assert "<html" not in part and part.index("bread-machine") < part.index("toaster")
        assert v.open("/curb?part=found&q=").strip() == ""


def test_without_quotes_all_is_unknown_and_nothing_is_nothing(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        assert "Unquoted is not worth nothing" in v.open("/curb")
        page = v.open("/curb/microwave")
        assert "Unknown: nobody quotes what is in it" in page and "$0" not in page
        assert "Whole to the depot" in v.open("/curb/smoke-detector")


def test_by_space_is_another_order(town: Visitor) -> None:
    assert "a litre" in town.open("/curb?by=space")
    assert "an hour" in town.open("/curb?by=hour")


@pytest.mark.parametrize(
    ("amount", "currency", "locale", "text"),
    [
        ("13.7", "CAD", "en_CA", "$14"),
        ("9.99", "CAD", "en_CA", "$9.99"),
        ("-1234.5", "CAD", "en_CA", "-$1,234"),
        ("123456", "JPY", "ja_JP", "￥123,456"),
        ("14", "EUR", "de_DE", "14\xa0€"),
    ],
)
def test_money_for_a_glance(amount: str, currency: str, locale: str, text: str) -> None:
    """Marks and places as Unicode CLDR has them; halves go to the even digit, as everywhere here."""
    assert rough(Decimal(amount), currency, locale) == text
