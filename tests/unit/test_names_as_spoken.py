"""Names as people say them: grades as in a price list, operations and pieces as printed; what is not sure is asked."""

from __future__ import annotations

import pytest

from partway.actions.haul.tickets_read import line_given
from partway.actions.recording import reading
from partway.actions.recording.parts import part_named
from partway.actions.recording.questions import Asked
from partway.catalogue import shipped
from partway.cli.asking import picked
from partway.errors import Refused
from partway.pricelist import read_price_list

OVEN = shipped().anatomy("microwave")
WORK = {op.id: op.name for op in OVEN.operations}
PIECES = {piece.id: piece.name for piece in OVEN.pieces}
CHOICES = (("copper-1", "No. 1 copper"), ("copper-2", "No. 2 copper"), ("lead-soft", "Soft lead"))


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("copper-2", "copper-2"), ("Copper 2", "copper-2"), ("no 2 copper", "copper-2"), ("No. 2 copper", "copper-2"),
        ("number two copper", "copper-2"), ("car batteries", "lead-acid"), ("bare bright", "copper-bare-bright"),
        ("motors", "motors"), ("light iron", "light-iron"),
    ],
)  # fmt: skip
def test_a_grade_by_what_it_is_called(said: str, meant: str) -> None:
    assert reading.grade(said, "grade") == meant


@pytest.mark.parametrize("grade", shipped().grades)
def test_every_grade_by_its_id_and_its_name_as_in_a_list(grade: str) -> None:
    known = shipped().grades
    assert reading.grade(grade, "grade") == grade
    assert reading.grade(known[grade].name, "grade") == grade
    (line,) = read_price_list(f"{known[grade].name} 1.23 /lb", known, "CAD", "lb", {})
    assert line.grade == grade


@pytest.mark.parametrize(
    ("said", "offered"),
    [
        ("copper", {"copper-1", "copper-2"}),
        ("brass", {"brass-yellow", "brass-red"}),
        ("cooper-2", {"copper-2"}),
        ("tube-tvv", {"tube-whole"}),
        ("no 2", {"copper-2", "heavy-melt-2"}),
    ],
)
def test_what_may_mean_several_or_only_nearly_one_is_asked(said: str, offered: set[str]) -> None:
    with pytest.raises(Asked) as asked:
        reading.grade(said, "grade")
    answers = [answer for answer, _ in asked.value.choices]
    assert offered <= set(answers) and asked.value.likely == answers[0] and len(answers) <= 6
    assert all(f"{answer}" in asked.value.expected for answer in answers)


@pytest.mark.parametrize("said", ["xyzzy", "", "  ", "a" * 5000, "no\x07 2 copper"])
def test_what_is_no_grade_at_all_is_refused(said: str) -> None:
    with pytest.raises(Refused) as refused:
        reading.grade(said, "grade")
    assert not isinstance(refused.value, Asked) and "known grade" in refused.value.expected


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("discharge", "discharge"),
        ("cord-and", "cord-and-tray"),
        ("Take the tray and ring out, cut the cord", "cord-and-tray"),
        ("take the tray", "cord-and-tray"),
        ("discharge the capacitor", "discharge"),
    ],
)
def test_an_operation_as_it_is_printed(said: str, meant: str) -> None:
    assert part_named(said, WORK, "operation", "op") == meant


@pytest.mark.parametrize(
    ("said", "meant"),
    [("Cord with plug", "cord"), ("cord with plug", "cord"), ("Glass tray", "tray"), ("steel cover", "cover"),
     ("transformer", "transformer"), ("Open chassis, capacitor out", "chassis")],
)  # fmt: skip
def test_a_piece_as_it_is_printed(said: str, meant: str) -> None:
    assert part_named(said, PIECES, "piece", "piece") == meant


@pytest.mark.parametrize("kind", sorted(shipped().kinds)[::9])
def test_every_printed_name_that_one_alone_has_means_it(kind: str) -> None:
    anatomy = shipped().anatomy(kind)
    for known in ({op.id: op.name for op in anatomy.operations}, {piece.id: piece.name for piece in anatomy.pieces}):
        for one, name in known.items():
            assert part_named(one, known, "part", "part") == one
            if sum(name.casefold() == other.casefold() for other in known.values()) == 1:
                try:
                    assert part_named(name, known, "part", "part") == one
                except Refused as refused:  # an id of another one, or of several
                    assert one in str(refused), (kind, name)


def test_several_and_none() -> None:
    with pytest.raises(Refused) as several:
        part_named("take the", {"a": "take the lid off", "b": "take the base off"}, "operation", "op")
    assert "a (take the lid off), b (take the base off)" in several.value.expected
    with pytest.raises(Refused) as none:
        part_named("transfromer", PIECES, "piece", "piece")
    assert 'did you mean "transformer"' in none.value.expected


@pytest.mark.parametrize(
    ("text", "grade", "mass", "price"),
    [
        ("copper-2 10.2 lb at 4.10 /lb", "copper-2", "10.2 lb", "4.10 /lb"),
        ("no 2 copper 10.2 lb at 4.10", "no 2 copper", "10.2 lb", "4.10"),
        ("no 2 copper: 21 lb 3 oz at 4.10", "no 2 copper", "21 lb 3 oz", "4.10"),
        ("heavy melt 2 1.2 short tons at 180 /short ton", "heavy melt 2", "1.2 short tons", "180 /short ton"),
        ("copper-2 6lb8oz x 4", "copper-2", "6lb8oz", "4"),
        ("motors 6 1/2 lb at 38c", "motors", "6 1/2 lb", "38c"),
        ("304 stainless 12,5 kg at 1,20 /kg", "304 stainless", "12,5 kg", "1,20 /kg"),
        ("light-iron=180 at 0.11", "light-iron", "180", "0.11"),
    ],
)
def test_a_line_of_a_ticket(text: str, grade: str, mass: str, price: str) -> None:
    read = line_given(text)
    assert (read.grade, read.mass, read.price) == (grade, mass, price)


def test_the_rest_of_a_line_is_read_with_it() -> None:
    read = line_given("no 2 copper 10.2 lb at 4.10 = 41.82 ~10.4 lb @copper-shed")
    assert (read.grade, read.amount, read.own, read.bin) == ("no 2 copper", "41.82", "10.4 lb", "copper-shed")


@pytest.mark.parametrize(
    ("typed", "answer"),
    [("1", "copper-1"), ("3", "lead-soft"), ("copper-2", "copper-2"), ("no. 2 copper", "copper-2"),
     ("soft", "lead-soft"), ("lead", "lead-soft"), ("0", None), ("4", None), ("copper", None), ("", None), ("²", None),
     ("99999999999999", None)],
)  # fmt: skip
def test_an_answer_by_its_number_or_its_name(typed: str, answer: str | None) -> None:
    assert picked(typed, CHOICES) == answer
