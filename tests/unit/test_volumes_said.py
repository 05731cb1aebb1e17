"""Volumes as people say them, where a volume is asked: a bin's room, the shed, the vehicle, what is left on it.

A US gallon is 231 cubic inches, 3.785411784 L, a cubic foot 28.316846592 L (NIST Handbook 44, appendix C: exactly); an
imperial gallon is 4.54609 L (the Units of Measurement Regulations 1995, schedule: exactly).
"""

from __future__ import annotations

from decimal import Decimal

import pytest
from ledger_day import Day

from partway.actions.bins import bins
from partway.actions.curb.in_sight import room_left
from partway.actions.home.settings import set_
from partway.errors import Refused
from partway.ledger.fold import standing
from partway.ledger.fold.standing import settings
from partway.spoken import Hearing, read_volume

SAID = [
    ("forty litres", "40"),
    ("two and a half liters", "2.5"),
    ("five US gallons", "18.92705892"),
    ("a us gallon", "3.785411784"),
    ("twelve imperial gallons", "54.55308"),
    ("two hundred cubic feet", "5663.3693184"),
    ("a cubic metre", "1000"),
    ("eighteen hundred litres", "1800"),
]


@pytest.mark.parametrize(("said", "litres"), SAID)
def test_a_volume_in_words(said: str, litres: str) -> None:
    assert read_volume(said, Hearing(), "capacity") == Decimal(litres)


@pytest.mark.parametrize(
    "said", ["forty", "five gallons", "a gallon", "five pounds", "litres", "some litres", "", "forty litres or so"]
)
def test_what_is_none_is_refused_and_of_a_gallon_it_is_said_that_there_are_two(said: str) -> None:
    with pytest.raises(Refused) as caught:
        read_volume(said, Hearing(), "capacity")
    assert "gal" not in said or ("US gal" in caught.value.expected and "imperial gal" in caught.value.expected)


def test_wherever_a_volume_is_asked() -> None:
    day = Day()
    day.do(bins.add_bin, "motors", capacity="twenty litres")
    assert standing.bins(day.book)["motors"].capacity_l == 20
    day.do(set_, "volume", "eighteen hundred litres")
    day.do(set_, "storage", "5000 L")
    assert (settings(day.book)["volume"], settings(day.book)["storage"]) == ("1800 L", "5000 L")
    assert room_left(day.book, "", "five us gallons", "").litres == pytest.approx(18.92705892)
    assert room_left(day.book, "", "40", "").litres == 40
    for action, given in ((bins.add_bin, ("motors", "", "", "five gallons")), (set_, ("volume", "a gallon"))):
        refused = day.refuses(action, *given)
        assert "imperial gal" in refused.expected
