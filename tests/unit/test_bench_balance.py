"""The mass balance while it is typed: conservation of mass by hand, slips of the finger, nothing refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ledger_day import KG, Day, found

from partway.actions.bench import opening
from partway.actions.bench.balancing import balance
from partway.actions.bench.pieces import PieceGiven
from partway.actions.recording.questions import Asked
from partway.ledger.fold import standing
from partway.reports.bench.balance_typed import MassBalance, TypedPiece, balance_typed
from partway.things.estimate import Estimate

TRANSFORMER = Estimate(2.5, 3.0, 4.0)
MASSES = st.integers(0, 50_000_000)


def hint_of(mg: int) -> tuple[bool, str, int | None] | None:
    row = balance_typed(None, [TypedPiece("transformer", mg, "", TRANSFORMER)]).rows[0]
    return None if row.hint is None else (row.hint.heavy, row.hint.slip, row.hint.meant_mg)


def typed(day: Day, find: str, *pieces: tuple[str, str], **more: str) -> MassBalance:
    rows = [PieceGiven(piece, mass, 1, more.pop(piece, "")) for piece, mass in pieces]
    return balance(day.book, standing.find(day.book, find), rows, ["cord-and-tray"], **more)


@given(MASSES, st.lists(st.tuples(MASSES, st.booleans())), MASSES, MASSES, MASSES)
def test_what_was_in_is_what_came_out_and_the_gap(
    was: int, pieces: list[tuple[int, bool]], residue: int, loss: int, allowed: int
) -> None:
    told = balance_typed(was, [TypedPiece("p", mg, to_residue=r) for mg, r in pieces], residue, loss, allowed)
    assert was == told.pieces_mg + told.residue_mg + told.loss_mg + told.gap_mg
    assert told.out_mg == sum(mg for mg, _ in pieces) + residue + loss
    assert 0.0 <= told.share <= 1.0
    assert (told.state == "over") == (told.gap_mg < 0)
    assert (told.state == "within") == (told.out_mg > 0 and 0 < told.gap_mg <= allowed)


@pytest.mark.parametrize(
    ("mg", "expected"),
    [
        (3_100_000, None),
        (7_900_000, None),  # heavy, but within twice the usual
        (31_000_000, (True, "ten", 3_100_000)),
        (310_000, (False, "tenth", 3_100_000)),
        (310_000_000, (True, "hundred", 3_100_000)),
        (3_100, (False, "thousandth", 3_100_000)),  # 3.1 g: the k of kg forgotten
        (100_000_000_000, (True, "", None)),  # 100 tonnes: nothing explains it
    ],
)
def test_fat_fingers(mg: int, expected: tuple[bool, str, int | None] | None) -> None:
    assert hint_of(mg) == (pytest.approx(expected) if expected and expected[2] else expected)


def test_pounds_typed_as_kilograms() -> None:
    """8.2 lb of transformer (3.72 kg) typed as 8.2 kg; 1 lb is 0.45359237 kg (yard and pound agreement, 1959)."""
    assert hint_of(8_200_000) == (True, "pounds", round(8.2 * 0.45359237 * KG))


def test_a_weighed_oven_by_hand() -> None:
    """13 kg in; 0.3 cord, 0.9 tray, 0.06 ring and 11.7 body out: 0.04 missing, within the 2 % an opening may lose."""
    day = Day()
    oven = found(day, "microwave", mass="13 kg")
    rows = [("cord", "0.3 kg"), ("tray", "0.9 kg"), ("ring", "60 g"), ("body", "11.7 kg")]
    told = typed(day, oven, *rows)
    assert (told.out_mg, told.gap_mg, told.state) == (12_960_000, 40_000, "within")
    assert told.allowed_mg == 260_000
    assert [row.hint for row in told.rows] == [None] * 4


def test_nothing_is_refused_and_nothing_recorded() -> None:
    day = Day()
    oven = found(day, "microwave", mass="13 kg")
    before = day.book.state
    told = typed(day, oven, ("cord", "3 tons"), ("tray", ""), ("body", "-4 kg"), residue="much", loss="\u202e12")
    assert [bool(row.wrong) for row in told.rows] == [True, False, True, True, True]
    assert (told.out_mg, told.state, told.wrong) == (0, "empty", True)
    assert "short ton" in told.rows[0].wrong
    assert day.book.state == before


def test_what_goes_to_residue_is_no_piece() -> None:
    day = Day(unit="kg")
    oven = found(day, "microwave", mass="13")
    told = typed(day, oven, ("ring", "0.06"), ("body", "12"), ring="residue", residue="0.5", loss="0.44")
    assert (told.pieces_mg, told.residue_mg, told.loss_mg, told.state) == (12 * KG, 560_000, 440_000, "closed")


def test_an_unweighed_find_misses_nothing() -> None:
    day = Day()
    told = typed(day, found(day, "microwave"), ("cord", "0.3 kg"))
    assert (told.was_mg, told.gap_mg, told.state) == (None, 0, "unweighed")


def test_a_heavy_find_has_heavy_pieces() -> None:
    """Expected masses scale with the find: twice as heavy, twice the cord."""
    day = Day()
    usual, heavy = found(day, "microwave"), found(day, "microwave", mass=f"{2 * 79 / 6} kg")
    cords = [typed(day, find, ("cord", "")).rows[0].expected for find in (usual, heavy)]
    assert cords[0] is not None and cords[1] is not None
    assert cords[1].likely == pytest.approx(2 * cords[0].likely, rel=1e-6)


@pytest.mark.parametrize("body", ["11.7 kg", "11.0 kg", "12.5 kg", "11.74 kg"])
def test_it_says_before_what_the_action_says_after(body: str) -> None:
    """Missing and too much are asked about by the action, what is within is not."""
    day = Day()
    oven = found(day, "microwave", mass="13 kg", works="no")
    rows = [("cord", "0.3 kg"), ("tray", "0.9 kg"), ("ring", "60 g"), ("body", body)]
    state = typed(day, oven, *rows).state
    grades = {"cord": "wire-cord-plugs", "tray": "glass", "ring": "residue", "body": "light-iron"}
    given = [PieceGiven(piece, mass, 1, grades[piece]) for piece, mass in rows]
    if state in ("missing", "over"):
        with pytest.raises(Asked):
            opening.open_up(day.book, day.context(), oven, given, ["cord-and-tray"], 2)
    else:
        assert day.do(opening.open_up, oven, given, ["cord-and-tray"], 2).result.closed
