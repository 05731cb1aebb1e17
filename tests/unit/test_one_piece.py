"""What one piece weighs, where a price by the piece does not say it: asked only where nobody knows."""

from __future__ import annotations

from decimal import Decimal

import pytest
from ledger_day import Day, trading_day

from partway.actions.bench import finds
from partway.actions.buyers.price_lists import read_list, save_list
from partway.actions.buyers.quoting import quote
from partway.catalogue import shipped
from partway.ledger import trading
from partway.pricelist import PriceLine, preview
from partway.quantities import kg_per, to_mg
from partway.things.buyers import buyer_name

KG_PER_LB = 0.45359237  # exact: yard and pound agreement of 1959

ALTERNATOR = "car alternators 4 each"


def a_day() -> Day:
    return trading_day(unit="lb")


def read(day: Day, text: str, buyer: str = "harbour") -> PriceLine:
    (line,) = read_list(day.book, buyer, text)
    return line


def test_the_catalogue_knows_what_its_one_piece_of_a_grade_weighs() -> None:
    """One piece of one shipped kind goes as this grade; its mean is worked out here from the file's three masses."""
    day = a_day()
    masses = {
        (sale.grade, piece.mass.low, piece.mass.likely, piece.mass.high)
        for anatomy in shipped().all_anatomies()
        for piece in anatomy.pieces
        for sale in piece.sells
        if sale.grade == "alternator"
    }
    ((_, low, likely, high),) = masses
    line = read(day, ALTERNATOR)
    assert (line.status, line.unit, line.question, line.grade) == ("understood", "each", "", "alternator")
    pounds = (low + 4 * likely + high) / 6 / KG_PER_LB
    assert line.piece_mg / 1e6 / KG_PER_LB == pytest.approx(pounds, rel=0.05)  # two digits
    assert "one weighs" in preview([line])[0].read_as and "mean of what is sold as it" in line.piece_by
    day.do(save_list, "harbour", [line])
    (heard,) = [one for one in trading.quotes(day.book, "harbour", "alternator") if one.price is not None]
    assert heard.each and heard.piece_mg == line.piece_mg
    again = read(day, ALTERNATOR)
    assert (again.piece_mg, again.piece_by) == (line.piece_mg, "")  # now it is this buyer's


def test_own_weighings_move_what_one_weighs() -> None:
    day = a_day()
    before = read(day, ALTERNATOR).piece_mg
    for _ in range(8):
        day.do(finds.find, "alternator", mass="7.8 kg")
    assert before < to_mg("6 kg", "") < read(day, ALTERNATOR).piece_mg <= to_mg("7.8 kg", "")


def test_pieces_that_differ_widely_are_asked_about() -> None:
    """A starter battery and one of an alarm panel both go as lead-acid: no mean of them is one of either."""
    line = read(a_day(), "lead acid batteries 6 each")
    assert line.asks == "piece" and not line.piece_mg and not line.piece_by


def test_a_find_that_goes_by_the_name_says_what_one_weighs() -> None:
    """The catalogue's car battery, by the three masses of its file, and none of the small ones of the same grade."""
    (battery,) = [one for one in shipped().all_anatomies() if one.kind == "car-battery"]
    mass = battery.pieces[0].mass
    line = read(a_day(), "car batteries 6 each")
    pounds = (mass.low + 4 * mass.likely + mass.high) / 6 / KG_PER_LB
    assert line.status == "understood" and line.piece_by == "the mean of what goes by that name"
    assert line.piece_mg / 1e6 / KG_PER_LB == pytest.approx(pounds, rel=0.05)  # two digits
    assert read(a_day(), "sealed lead acid batteries 2 each").asks == "piece"


def test_what_another_buyer_counts_comes_first_and_what_is_said_before_all() -> None:
    day = a_day()
    day.do(quote, "boards", "alternator", "3 each", piece="12 lb")
    other = read(day, ALTERNATOR)
    assert other.piece_mg == to_mg("12 lb", "") and other.piece_by.endswith("counts them")
    assert other.piece_by == f"as {buyer_name('boards', trading.buyers(day.book)['boards'].name)} counts them"
    said = read(day, "car alternators 4 each, one weighs 14 lb")
    assert (said.piece_mg, said.piece_by) == (to_mg("14 lb", ""), "")
    assert said.per_kg == pytest.approx(Decimal(4) / 14 / kg_per("lb"), rel=Decimal("1e-6"))


def test_a_price_by_mass_needs_no_piece() -> None:
    line = read(a_day(), "car alternators 30c a pound")
    assert (line.status, line.piece_mg, line.piece_by) == ("understood", 0, "")
    most = read(a_day(), "car alternators 30c a pound max 5 pieces")
    assert most.status == "understood" and most.most_pieces == 5 and most.piece_mg and most.piece_by
