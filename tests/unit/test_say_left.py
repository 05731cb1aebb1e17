"""What strangers' sentences had left: tickets with a bare price, what is taken but not, and what is only asked.

What each says is common practice, no source; the sums are reckoned beside them.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1]))

from sentence_world import Sentence, outcome, short, town
from test_say import read, saved

from partway.ledger.fold import standing

RECORDED = {
    "Tipped the toaster": ["discarded toaster-1"],
    "the microwave, dead": ["tested microwave-1 no"],
    "mw tested / no": ["tested microwave-1 no"],
    "both printers are dead": ["tested inkjet-printer-2 no", "tested inkjet-printer-1 no"],
    "harbour yard dropped number one to 4.38": ["quoted harbour-yard copper-1 4.38/lb"],
    "Harbour yard said 4.15 for copper 1 and 3.95 for copper 2": [
        "quoted harbour-yard copper-1 4.15/lb", "quoted harbour-yard copper-2 3.95/lb",
    ],
    "ridge yard takes motors but not low boards": ["traded ridge-yard board-low"],
    "opened laptop took 50 minutes ugh": ["opened laptop-1 50 min"],
    "Took the toaster apart this morning, about 12 minutes": ["opened toaster-1 12 min"],
    "inkjet 2 dead": ["tested inkjet-printer-2 no"],
    "lead-acid bin = 114 lb": ["recounted lead-acid 51709530 mg"],  # 114 x 453,592.37 mg
    "Sold the two inkjet printers together for $18": ["sold inkjet-printer-2 9.00", "sold inkjet-printer-1 9.00"],
    "add 1.5 lb yellow brass": ["recounted brass-yellow 680389 mg"],
}  # fmt: skip


@pytest.mark.parametrize("said", RECORDED)
def test_it_is_recorded_as_it_was_said(said: str) -> None:
    assert outcome(Sentence(said, (), ""), town("a"))[1].split(" + ") == RECORDED[said]


@pytest.mark.parametrize(
    ("said", "choices"),
    [
        ("ridge yard wants 2.68 for yellow brass", ["yes"]),
        ("town depot takes tube TVs, no charge", ["yes", "leave"]),
        ("bought a fan at the yard sale for 2", ["find", "spent"]),
        ("time 45m", ["bench", "collect", "haul"]),
        ("Eight ounces of number one copper out of the motor", ["yes"]),
        ("Ticket from town depot: 19 lb copper #2 for 74.10", ["all", "each"]),
        ("found 3 phones dead batteries", ["yes", "leave"]),
    ],
)
def test_what_may_be_meant_otherwise_is_asked(said: str, choices: list[str]) -> None:
    (line,) = read(town("a"), said).open
    assert [key for key, _ in line.choices] == choices


def test_a_thing_that_was_bought_is_a_find_only_by_an_answer() -> None:
    day = town("a")
    before = set(standing_of(day))
    said = "bought a fan at the yard sale for 2"
    (line,) = read(day, said).open
    done = saved(day, said, {line.option: "find"})
    assert [short(event.what) for event in done.events] == ["found 1 fan unknown", "spent 2.00 other"]
    assert len(set(standing_of(day)) - before) == 1
    other = town("a")
    done = saved(other, said, {line.option: "spent"})
    assert [short(event.what) for event in done.events] == ["spent 2.00 other"]


def standing_of(day: object) -> list[str]:
    """The finds that wait."""
    return list(standing.finds(day.book))  # type: ignore[attr-defined]


@pytest.mark.parametrize(("answer", "price"), [("all", "3.9"), ("each", "74.1")])
def test_a_line_for_some_money_is_all_of_it_or_a_price(answer: str, price: str) -> None:
    """74.10 / 19 = 3.90 a pound."""
    day, said = town("a"), "Ticket from town depot: 19 lb copper #2 for 74.10"
    answers = {read(day, said).open[0].option: answer}
    while opened := read(day, said, answers).open:
        answers |= {line.option: line.choices[0][0] for line in opened}
    done = saved(day, said, answers)
    (ticket,) = (event.what for event in done.events if event.kind == "ticketed")
    assert [f"{line.price.normalize():f}" for line in ticket.lines] == [price]


def test_what_a_ticket_line_makes_may_be_said_behind_its_price() -> None:
    """21.4 x 4.22 = 90.31."""
    day, said = town("a"), "Ticket, harbour yard: #2 copper 21.4 lb @ 4.22 = 90.31"
    answers = {line.option: line.choices[0][0] for line in read(day, said).open}
    done = saved(day, said, answers)
    (ticket,) = (event.what for event in done.events if event.kind == "ticketed")
    assert (ticket.buyer, [line.grade for line in ticket.lines]) == ("harbour-yard", ["copper-2"])
    assert [f"{line.amount}" for line in ticket.lines] == ["90.31"]


def test_a_thing_named_beside_another_may_be_left_out() -> None:
    day, said = town("a"), "found 3 phones dead batteries"
    (line,) = read(day, said).open
    answers = {line.option: "leave"}
    while opened := read(day, said, answers).open:
        answers |= {one.option: one.choices[0][0] for one in opened}
    done = saved(day, said, answers)
    assert [event.what.count for event in done.events if event.kind == "found"] == [3]
