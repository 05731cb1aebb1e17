"""Finds opened: order of operations, pieces into bins, and the mass balance."""

from __future__ import annotations

import pytest
from ledger_day import KG, Day, found, stocked

from partway.actions.bench import opening, selling
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven, piece_given
from partway.actions.bins import bins
from partway.actions.home.settings import set_
from partway.actions.recording.questions import Asked
from partway.errors import Refused
from partway.ledger.fold import standing

OPERATIONS = ["cord-and-tray", "discharge", "transformer-out"]
PIECES = [
    PieceGiven("tray", "0.9 kg"),
    PieceGiven("ring", "60 g"),  # its only grade is residue
    PieceGiven("cord", "0.3 kg", grade="wire-cord-plugs"),
    PieceGiven("capacitor", "0.15 kg"),
    PieceGiven("cover", "1.8 kg"),
    PieceGiven("transformer.copper", "3 kg"),
    PieceGiven("carcass", "6.7 kg"),
]  # 12.91 kg


def test_pieces_go_into_bins_and_the_balance_closes() -> None:
    day = Day()
    find = found(day, "microwave", mass="13 kg")
    told = day.do(open_up, find, PIECES, OPERATIONS, "14 min").result
    assert told.was_mg == 13 * KG
    assert sum(mg for *_, mg in told.pieces) + told.residue_mg + told.loss_mg + told.left_mg == told.was_mg
    assert (told.loss_mg, told.residue_mg, told.closed) == (90_000, 60_000, True)
    assert day.mg("bin:light-iron", "light-iron") == 8_500_000
    assert day.mg("bin:transformer-cu", "transformer-cu") == 3 * KG
    assert set(told.new_bins) == set(standing.bins(day.book))
    assert day.mg(f"find:{find}") == 0
    assert standing.finds(day.book) == {}
    assert day.book.accounts("minutes:")["minutes:bench"] == 14
    assert "hv-capacitor" in {card.id for card in told.cautions}


def test_one_append_holds_new_bins_and_the_opening() -> None:
    day = Day()
    find = found(day, "microwave", mass="13 kg")
    events = day.do(open_up, find, PIECES, OPERATIONS).events
    assert [event.kind for event in events] == ["binned"] * 6 + ["opened"]
    assert len({event.typed for event in events}) == 1


@pytest.mark.parametrize(
    ("gap", "loss", "residue", "left"),
    [("loss", 3 * KG, 0, 0), ("residue", 0, 3 * KG, 0), ("left", 0, 0, 3 * KG), ("scale", 0, 0, 0)],
)
def test_a_gap_beyond_the_stated_loss_is_asked_about(gap: str, loss: int, residue: int, left: int) -> None:
    day = Day()
    find = found(day, "microwave", mass="4.8 kg")
    pieces = [PieceGiven("cover", "1.8 kg")]
    said = day.refuses(open_up, find, pieces)
    assert isinstance(said, Asked)
    assert said.option == "gap"
    assert {answer for answer, _ in said.choices} == {"loss", "residue", "left", "scale"}
    for words in ("4.8 kg in", "1.8 kg out", "3.0 kg missing"):
        assert words in said.given
    told = day.do(open_up, find, pieces, gap=gap).result
    assert (told.loss_mg, told.residue_mg, told.left_mg, told.closed) == (loss, residue, left, gap != "left")
    assert day.mg(f"find:{find}") == left


def test_more_out_than_was_in_is_refused_unless_the_scale_was_wrong() -> None:
    day = Day()
    find = found(day, "microwave", mass="1 kg", sure=True)
    pieces = [PieceGiven("cover", "1.8 kg")]
    for gap in (None, "loss", "residue", "left"):
        assert "0.8 kg too much" in day.refuses(open_up, find, pieces, gap=gap).given.replace("800 g", "0.8 kg")
    told = day.do(open_up, find, pieces, gap="scale").result
    assert (told.was_mg, told.reweighed) == (1_800_000, True)
    assert day.mg("outside") == -1_800_000


def test_the_division_of_the_scale_explains_a_little() -> None:
    """Three weighings and the find's own, half a division each: 5 g times 2."""
    day = Day()
    find = found(day, "kettle", mass="1 kg")
    pieces = [PieceGiven("jug", "0.6 kg", grade="light-iron"), PieceGiven("cord", "0.1 kg")]
    opened = ([*pieces, PieceGiven("base-shell", "0.29 kg", grade="residue")], ["lift", "cord"])
    assert "at most 0 g" in day.refuses(open_up, find, *opened).expected
    day.do(set_, "division", "4 g")
    assert isinstance(day.refuses(open_up, find, *opened), Asked)
    day.do(set_, "division", "5 g")
    assert day.do(open_up, find, *opened).result.loss_mg == 10_000


def test_an_unweighed_find_weighs_what_came_out_of_it() -> None:
    day = Day()
    find = found(day, "microwave")
    told = day.do(open_up, find, PIECES, OPERATIONS).result
    assert (told.was_mg, told.closed) == (0, True)
    assert day.mg("outside") == -12_910_000


def test_a_find_is_opened_further_another_day() -> None:
    day = Day()
    find = found(day, "microwave", mass="13 kg")
    day.do(open_up, find, PIECES[:3], OPERATIONS[:1], gap="left")
    assert "discharge" in day.refuses(open_up, find, [], ["transformer-out"]).expected
    told = day.do(open_up, find, PIECES[3:], OPERATIONS[1:]).result
    assert told.closed
    assert told.was_mg == 11_740_000


def test_what_has_to_come_first_comes_first() -> None:
    day = Day()
    find = found(day, "microwave", mass="13 kg")
    assert "discharge" in day.refuses(open_up, find, [], ["strip"]).expected
    assert "cord-and-tray" in day.refuses(open_up, find, [], ["discharge"]).expected
    assert day.payloads("opened") == []


def test_what_still_holds_a_hazard_goes_into_no_bin() -> None:
    """An appliance shell with its refrigerant in it is no scrap: recovery comes first (docs/model.md)."""
    day = Day()
    find = found(day, "fridge", mass="60 kg")
    whole = PieceGiven("whole", "60 kg", grade="light-iron")
    assert "refrigerant" in day.refuses(open_up, find, [whole]).expected


def test_a_battery_is_put_only_where_its_grade_says_so() -> None:
    day = Day()
    stocked(day, light_iron=3)
    find = found(day, "car-battery", mass="15 kg")
    assert "lead-acid" in day.refuses(open_up, find, [PieceGiven("whole", "15 kg", bin="light-iron")]).expected
    day.do(open_up, find, [PieceGiven("whole", "15 kg")])
    assert day.mg("bin:lead-acid", "lead-acid") == 15 * KG


def test_bins_are_chosen_only_where_there_is_no_choice() -> None:
    day = Day()
    find = found(day, "kettle", mass="1 kg")
    jug = PieceGiven("jug", "0.6 kg")
    assert "stainless-dirty, light-iron" in day.refuses(open_up, find, [jug], gap="left").expected
    stocked(day, light_iron=1)
    day.do(open_up, find, [jug], gap="left")
    assert day.mg("bin:light-iron", "light-iron") == 1_600_000
    day.do(bins.add_bin, "light-iron", "shed")
    day.do(bins.add_bin, "cast-iron", "yard")
    day.do(bins.add_bin, "cast-iron", "barn")
    other = found(day, "kettle", mass="1 kg")
    assert "yard" in day.refuses(open_up, other, [PieceGiven("jug", "1 kg", grade="cast-iron")], gap="left").expected


def test_a_bin_of_another_grade_an_unknown_bin_and_an_unknown_piece() -> None:
    day = Day()
    stocked(day, light_iron=1, copper_2=1)
    find = found(day, "microwave", mass="13 kg")
    said = day.refuses(open_up, find, [PieceGiven("cover", "1.8 kg", grade="light-iron", bin="copper-2")])
    assert "copper-2" in said.expected
    assert (
        'did you mean "light-iron"'
        in day.refuses(open_up, find, [PieceGiven("cover", "1.8 kg", bin="light-irn")]).expected
    )
    assert "transformer" in day.refuses(open_up, find, [PieceGiven("transfromer", "3 kg")]).expected
    assert "known grade" in day.refuses(open_up, find, [PieceGiven("cover", "1 kg", grade="sparkly")]).expected
    assert "above 0" in day.refuses(open_up, find, [PieceGiven("cover", "0 kg")]).expected


def test_no_more_pieces_than_the_operations_give() -> None:
    day = Day()
    find = found(day, "microwave", mass="13 kg")
    assert "at most 1" in day.refuses(open_up, find, [PieceGiven("tray", "2 kg", 2)], ["cord-and-tray"]).expected
    assert "at most 0" in day.refuses(open_up, find, [PieceGiven("transformer", "3 kg")], ["cord-and-tray"]).expected


def test_one_of_several_alike_is_opened_and_the_others_are_left() -> None:
    day = Day()
    find = found(day, "microwave", count=3, mass="39 kg")
    told = day.do(open_up, find, PIECES, OPERATIONS, count=1).result
    assert (told.closed, told.left_mg) == (False, 39 * KG - 12_910_000)
    assert "from 1 to 2" in day.refuses(open_up, find, PIECES, OPERATIONS, count=3).expected
    assert day.do(selling.sell, find, "10", count=2).result.closed


def test_finds_are_put_into_a_bin_as_they_are() -> None:
    day = Day()
    find = found(day, "toaster", count=3, mass="6 kg")
    told = day.do(open_up, find, [PieceGiven("whole", "4 kg", 2, "light-iron")]).result
    assert (told.closed, told.left_mg) == (False, 2 * KG)
    assert "from 1 to 1" in day.refuses(open_up, find, [PieceGiven("whole", "2 kg", 2, "light-iron")]).expected
    assert day.do(open_up, find, [PieceGiven("whole", "2 kg", 1, "light-iron")]).result.closed
    assert day.mg("bin:light-iron", "light-iron") == 6 * KG


def test_nothing_at_all_is_no_opening() -> None:
    day = Day()
    find = found(day, "microwave", mass="13 kg")
    day.refuses(open_up, find)
    assert "loss, residue, left, scale" in day.refuses(open_up, find, PIECES, gap="lost").expected
    assert set(opening.GAPS) == {"loss", "residue", "left", "scale"}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("transformer=3.1 kg", PieceGiven("transformer", "3.1 kg")),
        ("2x fan-motor=0.7kg:motors", PieceGiven("fan-motor", "0.7kg", 2, "motors")),
        ("cord=0.3 kg@cords", PieceGiven("cord", "0.3 kg", 1, "", "cords")),
        ("3×blade=1 lb:light-iron@drum", PieceGiven("blade", "1 lb", 3, "light-iron", "drum")),
        ("fan-motor.copper=80 g", PieceGiven("fan-motor.copper", "80 g")),
    ],
)
def test_pieces_as_they_are_typed(text: str, expected: PieceGiven) -> None:
    assert piece_given(text) == expected


@pytest.mark.parametrize("text", ["", "transformer", "transformer 3 kg", "=3 kg", "a=b=c", "cord=1kg@"])
def test_pieces_that_cannot_be_read(text: str) -> None:
    with pytest.raises(Refused, match="PIECE=MASS"):
        piece_given(text)
