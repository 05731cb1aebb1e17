"""A kind that was split: finds of it in an old ledger go on as they were, no new find is of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from app_client import Visitor, visitor

from partway.actions.bench import finds, opening
from partway.actions.bench.depths import depth
from partway.actions.bench.pieces import PieceGiven
from partway.actions.books.corrections import correct
from partway.actions.curb.curb import ranking
from partway.actions.home import settings
from partway.actions.plans.plan import plan
from partway.actions.recording.context import record
from partway.actions.recording.questions import Asked
from partway.catalogue import shipped
from partway.catalogue.checks.findings import findings
from partway.catalogue.shipped import DATA
from partway.errors import Refused
from partway.ledger.events import kinds as p
from partway.ledger.fold import standing
from partway.reports.curb.names import find_kinds, kind_called, named
from partway.storage.scenario.scenario import read_scenario
from partway.things.scenario import Find

SPLIT = "phone-tablet"
BECAME = ("phone", "tablet")
TOWN = read_scenario(DATA.parent / "demo" / "harbour-week.toml")
PAGES = ("/", "/bench", f"/bench/{SPLIT}-1", f"/curb/{SPLIT}", "/curb", "/books", "/books/ledger", "/haul")


@pytest.fixture
def old(tmp_path: Path) -> Iterator[Visitor]:
    """A ledger in which three of them came in while phones and tablets were one kind."""
    with visitor(tmp_path) as v:
        settings.set_(v.book, v.context(), "currency", "CAD")
        record(v.book, v.context(), [p.Found(f"{SPLIT}-1", SPLIT, 3, mass_mg=900_000)], None)
        yield v


def test_it_says_what_it_became() -> None:
    assert shipped().anatomy(SPLIT).became == BECAME
    assert all(kind in shipped().kinds for kind in BECAME)


@pytest.mark.parametrize("page", PAGES)
def test_every_page_opens_with_an_old_find(old: Visitor, page: str) -> None:
    old.open(page)


def test_an_old_find_is_opened_and_weighed(old: Visitor) -> None:
    pieces = [PieceGiven("battery", "180 g", 3), PieceGiven("body", "700 g", 3, "phone-whole")]
    opening.open_up(old.book, old.context(), f"{SPLIT}-1", pieces, ["battery-out"], gap="loss")
    assert standing.find(old.book, f"{SPLIT}-1").closed
    assert "phone-whole" in {b.grade for b in standing.bins(old.book).values()}


def test_depth_and_plan_work_on_an_old_one() -> None:
    assert depth(TOWN, SPLIT, "no").steps
    report = plan(replace(TOWN, finds=(Find(SPLIT, 2, "no"),), anatomies={SPLIT: shipped().anatomy(SPLIT)}))
    assert [(line.kind, line.count) for line in report.finds] == [(SPLIT, 2)]


def test_no_new_find_is_of_it_and_what_it_became_is_offered(old: Visitor) -> None:
    before = old.count()
    with pytest.raises(Asked) as asked:
        finds.find(old.book, old.context(), SPLIT)
    assert tuple(kind for kind, _ in asked.value.choices) == (*BECAME, f"{SPLIT}~")  # or a thing of its own
    assert asked.value.option == "kind"
    assert old.count() == before
    assert finds.find(old.book, old.context(), "tablet").result.kind == "tablet"


def test_the_page_asks_too(old: Visitor) -> None:
    """Its address leads to the question, and so does a form of a page that stood there before it was split."""
    asked = old.open(f"/curb/{SPLIT}")
    assert "Take it" not in asked and all(f'href="/curb/{kind}"' in asked for kind in BECAME)
    before = old.count()
    kind = old.open("/curb/tablet")
    answer = old.send(replace(old.form(kind, "/curb/tablet/taken"), action=f"/curb/{SPLIT}/taken"), count="1")
    assert old.count() == before
    assert all(shipped().anatomy(kind).name in answer.text for kind in BECAME)


def test_a_find_is_not_corrected_into_it(old: Visitor) -> None:
    said = finds.find(old.book, old.context(), "router").events[0]
    with pytest.raises(Refused, match="split"):
        correct(old.book, old.context(), str(said.id), changes={"kind": SPLIT})


def test_it_is_offered_nowhere() -> None:
    kinds = named(shipped().all_anatomies())
    assert SPLIT not in {kind.kind for kind in kinds}
    assert kind_called("phone or tablet", kinds) is None
    assert SPLIT not in {match.kind for text in ("ph", "tab", "phone", SPLIT) for match in find_kinds(text, kinds)}
    report = ranking(TOWN)
    ranked = {line.kind for line in report.lines} | {k for k, _ in (*report.depot, *report.unknown, *report.left)}
    assert SPLIT not in ranked and set(BECAME) <= ranked


def test_a_kind_that_became_what_nobody_knows_is_a_finding(monkeypatch: pytest.MonkeyPatch) -> None:
    wrong = replace(shipped().anatomy(SPLIT), became=("phone", "telegraph", SPLIT))
    monkeypatch.setitem(shipped().shelf._read, SPLIT, wrong)
    said = [finding.message for finding in findings(shipped()) if "became" in finding.message]
    assert [next(w for w in ("telegraph", SPLIT) if f'"{w}"' in message) for message in said] == ["telegraph", SPLIT]
