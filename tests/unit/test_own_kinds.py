"""Kinds of one's own: said, said anew and given up; by two devices; out and back; refused where they are unsound."""

from __future__ import annotations

import dataclasses
import datetime as dt
from pathlib import Path

import pytest
from ledger_day import Day

from partway.actions.bench import benching, finds, opening, selling
from partway.actions.bench.pieces import PieceGiven
from partway.actions.books.corrections import correct
from partway.actions.curb.curb import curb, kinds
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.recording.context import record
from partway.actions.recording.questions import Asked
from partway.actions.what import own_kinds
from partway.catalogue import shipped
from partway.catalogue.writing import anatomy_text
from partway.errors import BadCatalogue
from partway.ledger.events.kinds import Described
from partway.ledger.fold import standing
from partway.ledger.fold.fold import fold, merge
from partway.ledger.memory import MemoryBook
from partway.reports.books.conflicts import report_conflicts
from partway.storage.exchange.package import write_package
from partway.storage.exchange.unpack import read_package
from partway.storage.scenario.scenario import check_file, read_scenario_text
from partway.storage.scenario.write import scenario_text
from partway.things.anatomy import Anatomy
from partway.things.units import ShownUnits
from partway.valuing.known import catalogue_of
from partway.valuing.own_kinds import kind_or_flaw, unsound_kinds
from partway.valuing.own_kinds import own_kinds as own_kinds_of

SPA = """
[[anatomy]]
kind = "foot-spa"
name = "Foot spa"
names = ["massage tub"]
cautions = ["mains"]
  [[anatomy.piece]]
  id = "whole"
  mass_kg = [1.5, 2.0, 2.6]
  sells = [ { grade = "light-iron", share = 0.2 } ]
  [[anatomy.piece]]
  id = "motor"
  like = "motor-small"
  mass_kg = [0.3, 0.4, 0.5]
  [[anatomy.piece]]
  id = "tub"
  mass_kg = "rest"
  sells = [ { grade = "residue" } ]
  [[anatomy.operation]]
  id = "open"
  on = "whole"
  minutes = [4, 6, 10]
  gives = [ { piece = "motor" }, { piece = "tub" } ]
  cautions = ["mains"]
"""
ASKED = SPA.replace(
    '  like = "motor-small"\n  mass_kg = [0.3, 0.4, 0.5]\n',
    """  mass_kg = [0.3, 0.4, 0.5]
  sells = [ { grade = "light-iron" } ]
  ask = "red or silver?"
  either = [
    { answer = "copper", name = "copper", chance = 0.6, sells = [ { grade = "motors" } ] },
    { answer = "steel", name = "steel", chance = 0.4, sells = [ { grade = "light-iron" } ] },
  ]
""",
)
HEAVY = SPA.replace("[1.5, 2.0, 2.6]", "[3.0, 4.0, 5.2]")


def spa(book: MemoryBook) -> Anatomy:
    return catalogue_of(book).anatomy("foot-spa")


def test_it_is_known_wherever_those_that_ship_are_and_found_by_its_names() -> None:
    day = Day()
    told = day.do(own_kinds.add_kinds, SPA).result
    assert told.kinds[0].line == "Foot spa (foot-spa) is now a kind of yours"
    assert told.cautions[0].id == "mains"
    found = day.do(finds.find, "massage tub", 1, "2 kg").result
    assert (found.find, found.name) == ("foot-spa-1", "Foot spa")
    scenario = scenario_from_book(day.book, dt.date(2026, 3, 14))
    assert "foot-spa" in kinds(scenario) and curb(scenario, "foot-spa").size.kg == spa(day.book).whole.mass.mean
    (waiting,), puzzles = benching.sorted_out(day.book, standing.finds(day.book), dt.date(2026, 3, 14))
    assert not puzzles and waiting.find == "foot-spa-1"
    out = day.do(opening.open_up, "foot-spa-1", [PieceGiven("motor", "0.4 kg"), PieceGiven("tub", "1.6 kg")], ["open"])
    assert not out.result.new_kind  # it is known already


def test_the_latest_word_counts_and_can_be_taken_back() -> None:
    day = Day()
    first = day.do(own_kinds.add_kinds, SPA)
    assert spa(day.book).whole.mass.likely == 2.0
    second = day.do(own_kinds.add_kinds, HEAVY)
    assert second.result.kinds[0].how == "changed" and spa(day.book).whole.mass.likely == 4.0
    day.do(correct, str(second.undo[0]))
    assert spa(day.book).whole.mass.likely == 2.0
    day.do(correct, str(first.undo[0]))
    assert own_kinds_of(day.book) == {}


def test_a_text_is_read_once_however_often_the_ledger_changes(monkeypatch: pytest.MonkeyPatch) -> None:
    """With a thousand kinds of one's own reading them takes a second, and a page asks for them five times."""
    read: list[str] = []

    def reading(text: str, kind: str) -> Anatomy | BadCatalogue:
        read.append(kind)
        return kind_or_flaw(text, kind)

    monkeypatch.setattr("partway.valuing.own_kinds.kind_or_flaw", reading)
    day = Day()
    day.do(own_kinds.add_kinds, SPA)
    day.do(
        own_kinds.add_kinds, SPA.replace("foot-spa", "hand-spa").replace("Foot", "Hand").replace("massage", "finger")
    )
    assert set(own_kinds_of(day.book)) == {"foot-spa", "hand-spa"}
    before = len(read)
    day.do(finds.find, "foot-spa")
    assert set(own_kinds_of(day.book)) == {"foot-spa", "hand-spa"} and len(read) == before
    day.do(own_kinds.add_kinds, HEAVY)
    assert own_kinds_of(day.book)["foot-spa"].whole.mass.likely == 4.0
    assert read[before:].count("hand-spa") == 0 and "foot-spa" in read[before:]


def test_it_is_given_up_and_its_finds_stay() -> None:
    day = Day()
    day.do(own_kinds.add_kinds, SPA)
    day.do(finds.find, "foot-spa")
    told = day.do(own_kinds.give_up_kind, "foot-spa").result.kinds[0]
    assert (told.how, told.finds, told.ships) == ("given up", 1, False)
    assert not catalogue_of(day.book).knows("foot-spa")
    _, (puzzle,) = benching.sorted_out(day.book, standing.finds(day.book), dt.date(2026, 3, 14))
    assert puzzle.why == "kind"
    assert day.refuses(own_kinds.give_up_kind, "foot-spa").where == "kind"


def test_a_find_whose_kind_was_given_up_is_weighed_tested_and_given_up_and_what_needs_its_kind_is_refused() -> None:
    """Half opened: its kind is nobody's any more, until it is said again; a correction makes it another."""
    day = Day()
    day.do(own_kinds.add_kinds, SPA)
    day.do(finds.find, "foot-spa", 1, "2 kg")
    day.do(opening.open_up, "foot-spa-1", [PieceGiven("motor", "0.4 kg")], ["open"], gap="left")
    day.do(own_kinds.give_up_kind, "foot-spa")
    tub = [PieceGiven("tub", "1.6 kg")]
    for refused in (
        day.refuses(opening.open_up, "foot-spa-1", tub, ["open"]),
        day.refuses(opening.open_up, "foot-spa-1", [PieceGiven("whole", "1.6 kg", grade="light-iron")]),
        day.refuses(selling.sell, "foot-spa-1", "5"),
    ):
        assert "foot-spa-1, of a kind that is not known here (foot-spa)" in refused.given and refused.where == "find"
    told = day.do(finds.test, "foot-spa-1", "no").result
    assert (told.name, told.works, told.cautions) == ("Foot spa", "no", ())
    assert day.do(finds.weigh, "foot-spa-1", "1.6 kg").result.mass_mg == 1_600_000
    again = day.do(own_kinds.add_kinds, SPA)
    day.do(opening.open_up, "foot-spa-1", tub)
    assert standing.find(day.book, "foot-spa-1").closed
    day.do(finds.find, "foot-spa", 1, "2 kg")
    day.do(correct, str(again.undo[0]))
    given_up = day.do(selling.discard, "foot-spa-2").events
    assert [event.kind for event in given_up] == ["discarded"]  # into no bin: nobody can say what it holds


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('grade = "light-iron"', 'grade = "light-irn"', "a known grade"),
        ('cautions = ["mains"]\n  [[', 'cautions = ["manes"]\n  [[', "a known caution"),
        ("mass_kg = [0.3, 0.4, 0.5]", "mass_kg = [3.0, 4.0, 5.0]", "more than 0 kg left"),
        ('kind = "foot-spa"', "kind = foot-spa", "TOML"),
        ('kind = "foot-spa"', 'kind = "Foot Spa"', "an id such as foot-spa"),
        ("[[anatomy]]", '[[grade]]\nid = "x"\n[[anatomy]]', "and nothing else"),
    ],
)
def test_what_check_refuses_is_refused_and_nothing_is_recorded(old: str, new: str, says: str) -> None:
    day = Day()
    refused = day.refuses(own_kinds.add_kinds, SPA.replace(old, new, 1), None, "mine.toml")
    assert says in str(refused)
    assert not list(day.book.events(("described",)))


def test_one_that_ships_gives_way_only_where_that_was_meant_and_keeps_its_cautions() -> None:
    day, ours = Day(), shipped().anatomy("microwave")
    text = anatomy_text(dataclasses.replace(ours, name="My oven"))
    asked = day.refuses(own_kinds.add_kinds, text)
    assert isinstance(asked, Asked) and asked.option == "replace"
    careless = anatomy_text(dataclasses.replace(ours, cautions=()))
    assert "hv-capacitor" in day.refuses(own_kinds.add_kinds, careless, True).expected
    day.do(own_kinds.add_kinds, text, True)
    assert catalogue_of(day.book).anatomy("microwave").name == "My oven"
    assert day.do(own_kinds.give_up_kind, "microwave").result.kinds[0].ships
    assert catalogue_of(day.book).anatomy("microwave") == ours


def test_what_says_nothing_new_is_refused() -> None:
    day = Day()
    day.do(own_kinds.add_kinds, SPA)
    refused = day.refuses(own_kinds.add_kinds, SPA)
    assert (refused.given, refused.expected) == (
        "foot-spa as in the ledger already",
        "an anatomy in which something changed",
    )


def test_of_two_devices_the_later_word_counts_whoever_merges_and_the_other_stays_in_the_ledger() -> None:
    """As with every setting: no conflict, unless both were said at the same millisecond."""
    one, two = Day(), Day()
    early = one.do(own_kinds.add_kinds, SPA).events[-1]
    two.now += dt.timedelta(minutes=5)
    late = two.do(own_kinds.add_kinds, HEAVY).events[-1]
    assert early.device != late.device and early.position < late.position
    here, there = MemoryBook(merge(one.book.state, two.book.state)), MemoryBook(merge(two.book.state, one.book.state))
    assert spa(here) == spa(there) and spa(here).whole.mass.likely == 4.0
    assert not here.conflicts()
    assert len(list(here.events(("described",), "kind:foot-spa"))) == 2


def test_two_words_of_the_same_moment_are_a_conflict_said_in_a_few_words() -> None:
    one, two = Day(), Day()
    one.do(own_kinds.add_kinds, SPA)
    two.do(own_kinds.add_kinds, HEAVY)
    both = MemoryBook(merge(one.book.state, two.book.state))
    lines = [line for line in report_conflicts(both, ShownUnits(), dt.UTC) if line.subjects == ("kind:foot-spa",)]
    assert len(lines) == 1 and "1.5 to 2.6 kg" in lines[0].words and "[[" not in lines[0].words


def test_a_package_brings_it_back_to_the_letter(tmp_path: Path) -> None:
    day = Day()
    day.do(own_kinds.add_kinds, SPA)
    day.do(own_kinds.give_up_kind, "foot-spa")
    day.do(own_kinds.add_kinds, HEAVY)
    write_package(day.book, tmp_path / "p")
    again = MemoryBook(fold(event for _, event in read_package(tmp_path / "p")))
    assert again.state == day.book.state
    assert spa(again) == spa(day.book)


def test_it_is_exported_as_what_check_calls_sound_and_in_a_scenario(tmp_path: Path) -> None:
    day = Day()
    day.do(own_kinds.add_kinds, SPA)
    day.do(finds.find, "foot-spa", 2, "4 kg")
    file = tmp_path / "mine.toml"
    file.write_text(anatomy_text(spa(day.book)), encoding="utf-8")
    assert check_file(file) == "anatomies"
    scenario = scenario_from_book(day.book, dt.date(2026, 3, 14))
    again = read_scenario_text(scenario_text(scenario), "x.toml")
    assert again.anatomies == scenario.anatomies and again.finds == scenario.finds


def test_one_that_the_catalogue_no_longer_takes_is_left_out_and_said() -> None:
    day = Day()
    day.do(finds.find, "kettle")
    said = [Described("foot-spa", SPA.replace("light-iron", "gone-iron")), Described("toy", "no TOML [")]
    day.do(record, said, None)
    assert own_kinds_of(day.book) == {}
    assert set(unsound_kinds(day.book)) == {"foot-spa", "toy"}
    assert isinstance(unsound_kinds(day.book)["foot-spa"], BadCatalogue)
    assert scenario_from_book(day.book, dt.date(2026, 3, 14)).anatomies.keys() == {"kettle"}


def test_an_operation_that_a_find_was_opened_by_may_go() -> None:
    day = Day()
    day.do(own_kinds.add_kinds, SPA)
    day.do(finds.find, "foot-spa", 1, "2 kg")
    day.do(opening.open_up, "foot-spa-1", [PieceGiven("motor", "0.4 kg")], ["open"], gap="left")
    day.do(
        own_kinds.add_kinds,
        SPA.replace('id = "open"', 'id = "saw"').replace("minutes", 'tools = ["goggles"]\n  minutes'),
    )
    _, (puzzle,) = benching.sorted_out(day.book, standing.finds(day.book), dt.date(2026, 3, 14))
    assert puzzle.why == "rest"
    day.do(opening.open_up, "foot-spa-1", [PieceGiven("tub", "1.6 kg")])
    assert standing.find(day.book, "foot-spa-1").closed


def test_the_answers_to_one_question_are_together_no_more_than_come_out() -> None:
    """Two foot spas hold two motors: one of each sort, or two of one, never three."""
    day, motor = Day(), PieceGiven
    day.do(own_kinds.add_kinds, ASKED)
    day.do(finds.find, "foot-spa", 2, "4 kg")
    three = [motor("motor.copper", "0.4 kg", count=2), motor("motor.steel", "0.5 kg"), motor("tub", "3.1 kg")]
    assert "3 × motor" in day.refuses(opening.open_up, "foot-spa-1", three, ["open"]).given
    each = [motor("motor.copper", "0.4 kg"), motor("motor.steel", "0.5 kg"), motor("tub", "3.1 kg")]
    opened = day.do(opening.open_up, "foot-spa-1", each, ["open"])
    told = [(piece, count, grade) for piece, count, grade, _ in opened.result.pieces]
    assert told[:2] == [("motor", 1, "motors"), ("motor", 1, "light-iron")]
    day.do(correct, str(opened.undo[-1]))
    assert standing.find(day.book, "foot-spa-1").mg == 4_000_000
