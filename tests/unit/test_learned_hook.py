"""What is learned enters by one hook: the catalogue of a ledger, and through it everything that is worked out."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from ledger_day import Day
from workspaces import new_workspace

from partway.actions.bench import finds
from partway.actions.curb import curb
from partway.actions.haul.scenario import scenario_from_book
from partway.catalogue import shipped
from partway.ledger.book import Book
from partway.things.anatomy import Anatomy
from partway.valuing import known
from partway.valuing.known import catalogue_of, estimates_of
from partway.valuing.learned import Learner

DAY = Day().now.date()


class Heavier:
    """A learner for tests: every find counted makes the whole of its kind a kilogram heavier."""

    def __init__(self) -> None:
        self.learned: list[str] = []

    def evidence(self, book: Book) -> int:
        return sum(1 for _ in book.events(("found",)))

    def learn(self, book: Book, anatomy: Anatomy) -> Anatomy:
        self.learned.append(anatomy.kind)
        more = float(self.evidence(book))
        whole = replace(anatomy.whole, mass=replace(anatomy.whole.mass, high=anatomy.whole.mass.high + more))
        return replace(anatomy, pieces=(whole, *anatomy.pieces[1:]))


@pytest.fixture
def heavier(monkeypatch: pytest.MonkeyPatch) -> Heavier:
    one = Heavier()
    monkeypatch.setattr(known, "LEARNERS", (Learner(one.learn, one.evidence),))
    return one


def test_only_what_is_asked_for_is_learned_and_once_for_each_state(heavier: Heavier) -> None:
    day = Day()
    day.do(finds.find, "fan")
    heavier.learned.clear()
    first = catalogue_of(day.book).anatomy("fan")
    assert catalogue_of(day.book).anatomy("fan") is first
    assert heavier.learned == ["fan"]
    assert first.whole.mass.high == shipped().anatomy("fan").whole.mass.high + 1
    assert estimates_of(day.book).anatomy("fan") is shipped().anatomy("fan")
    day.do(finds.find, "fan")
    assert catalogue_of(day.book).anatomy("fan").whole.mass.high == shipped().anatomy("fan").whole.mass.high + 2


def test_equal_evidence_makes_catalogues_that_are_equal(heavier: Heavier) -> None:
    day = Day()
    day.do(finds.find, "fan")
    before = catalogue_of(day.book)
    day.do(finds.test, "fan-1", "yes")
    assert catalogue_of(day.book) == before
    day.do(finds.find, "fan")
    assert catalogue_of(day.book) != before
    assert catalogue_of(day.book).anatomy("fan").whole.mass.high == shipped().anatomy("fan").whole.mass.high + 2


def test_a_scenario_has_the_learned_kinds_and_so_has_the_curb(heavier: Heavier) -> None:
    """Also a kind of which no find waits."""
    day = Day()
    day.do(finds.find, "fan")
    scenario = scenario_from_book(day.book, DAY)
    assert scenario.anatomies["fan"].whole.mass.high == shipped().anatomy("fan").whole.mass.high + 1
    assert curb.kinds(scenario)["microwave"].whole.mass.high == shipped().anatomy("microwave").whole.mass.high + 1
    assert "microwave" in heavier.learned


def test_a_ledger_on_disk_remembers_while_nothing_is_written_and_not_while_it_decides(tmp_path: Path) -> None:
    asked: list[int] = []
    with new_workspace(tmp_path / "w") as book:

        def read(of: Book) -> int:
            asked.append(1)
            return len(list(of.events(())))

        assert [book.once(read) for _ in range(3)] == [0, 0, 0]
        assert len(asked) == 1
        with book.deciding():
            assert [book.once(read), book.once(read)] == [0, 0]
            assert len(asked) == 3
