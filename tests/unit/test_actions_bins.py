"""Bins, settings: named, recounted, moved, merged; what is checked before it is kept."""

from __future__ import annotations

from decimal import Decimal

import pytest
from ledger_day import KG, Day, stocked

from partway.actions.bins import bins
from partway.actions.books import money
from partway.actions.home.settings import SETTINGS, set_
from partway.actions.recording.questions import Asked
from partway.ledger.fold import standing


def test_a_bin_is_called_after_its_grade_unless_it_is_named() -> None:
    day = Day()
    assert day.do(bins.add_bin, "copper-2", capacity="20 L").result.bin == "copper-2"
    assert day.do(bins.add_bin, "motors", "Motors Shed", "blue drum").result.bin == "motors-shed"
    assert standing.bins(day.book)["copper-2"].capacity_l == Decimal(20)
    assert "did you mean" in day.refuses(bins.add_bin, "coper-2").expected
    assert "unit of volume" in day.refuses(bins.add_bin, "copper-2", capacity="20 kg").expected
    assert "letters, digits" in day.refuses(bins.add_bin, "copper-2", "Kübel").expected


def test_changing_a_bin_keeps_what_was_not_said_and_a_full_bin_keeps_its_grade() -> None:
    day = Day()
    day.do(bins.add_bin, "copper-2", name="red tub", capacity="20 L")
    day.do(bins.recount, "copper-2", "5 kg")
    day.do(bins.add_bin, "copper-2", name="green tub")
    now = standing.bins(day.book)["copper-2"]
    assert (now.name, now.capacity_l, now.mg) == ("green tub", Decimal(20), 5 * KG)
    assert "copper-2, which is in it" in day.refuses(bins.add_bin, "copper-1", "copper-2").expected
    day.do(bins.recount, "copper-2", "0 kg")
    assert day.do(bins.add_bin, "copper-1", "copper-2").result.what == "changed"


def test_a_recount_books_the_difference_as_loss_or_gain() -> None:
    day = Day()
    stocked(day, motors=10)
    told = day.do(bins.recount, "mot", "9.5 kg").result
    assert (told.mass_mg, told.change_mg) == (9_500_000, -500_000)
    assert day.mg("bin:motors", "motors") == 9_500_000
    assert day.mg("loss") == -9_500_000
    assert "at least 0" in day.refuses(bins.recount, "motors", "-1 kg").expected
    assert "known bin" in day.refuses(bins.recount, "copper", "1 kg").expected


def test_bins_are_moved_and_merged() -> None:
    day = Day()
    stocked(day, motors=10)
    day.do(bins.add_bin, "motors", "shed")
    assert day.do(bins.move, "motors", "shed", "4 kg").result.mass_mg == 4 * KG
    assert day.do(bins.move, "motors", "shed").result.mass_mg == 10 * KG
    assert day.mg("bin:motors", "motors") == 0
    assert "at most the 0 kg" in day.refuses(bins.move, "motors", "shed").expected
    assert "at most the 10 kg" in day.refuses(bins.move, "shed", "motors", "11 kg").expected
    assert "another bin" in day.refuses(bins.move, "shed", "shed").expected


def test_another_grade_only_where_it_is_said() -> None:
    day = Day()
    stocked(day, copper_1=3, copper_2=5)
    said = day.refuses(bins.move, "copper-1", "copper-2")
    assert isinstance(said, Asked) and said.option == "regrade"
    day.do(bins.move, "copper-1", "copper-2", regrade=True)
    assert day.book.balances("bin:") == {("bin:copper-2", "copper-2"): 8 * KG}
    assert day.mg("regraded") == 0


def test_a_hazard_is_never_regraded_away() -> None:
    day = Day()
    stocked(day, li_ion=3, light_iron=5)
    said = day.refuses(bins.move, "li-ion", "light-iron", regrade=True)
    assert "li-ion" in said.expected and not isinstance(said, Asked)


@pytest.mark.parametrize(
    ("name", "value", "kept"),
    [
        ("currency", "eur", "EUR"),
        ("unit", "lb", "lb"),
        ("wage", "15.50", "15.50"),
        ("trips", "2", "2"),
        ("keep-factor", "0.7", "0.7"),
        ("payload", "900 lb", "900 lb"),
        ("home", "30.65,-40.57", "30.65, -40.57"),
        ("locale", "en-CA", "en_CA"),
    ],
)
def test_settings_are_read_before_they_are_kept(name: str, value: str, kept: str) -> None:
    day = Day(currency=None)
    told = day.do(set_, name, value).result
    assert (told.value, told.before) == (kept, "")
    assert standing.settings(day.book)[told.name] == kept


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("currency", "dollars"),
        ("unit", "ton"),
        ("wage", "-1"),
        ("wage", "much"),
        ("trips", "1.5"),
        ("trips", "12"),
        ("keep_factor", "2"),
        ("payload", "0 kg"),
        ("payload", "2 ton"),
        ("volume", "2 kg"),
        ("kmh", "0"),
        ("home", "30.65"),
        ("home", "130.65, 3"),
        ("locale", "klingon"),
        ("wages", "15"),
    ],
)
def test_settings_that_cannot_be(name: str, value: str) -> None:
    Day(currency=None).refuses(set_, name, value)


def test_the_currency_stays_once_money_is_recorded() -> None:
    day = Day()
    day.do(set_, "currency", "EUR")
    day.do(money.spend, "blades", "12")
    assert "new workspace" in day.refuses(set_, "currency", "CAD").expected
    assert day.do(set_, "currency", "eur").result.before == "EUR"


def test_every_setting_says_what_it_is() -> None:
    assert all(what for what, _ in SETTINGS.values())


def test_what_was_there_before_the_ledger_began_comes_from_outside_and_is_no_gain() -> None:
    day = Day()
    day.do(bins.add_bin, "copper-2", holds="10 kg")
    assert day.book.balances("bin:") == {("bin:copper-2", "copper-2"): 10 * KG}
    assert day.book.balances("outside") == {("outside", ""): -10 * KG}
    assert day.book.balances("loss") == {}
    assert "at least 0" in day.refuses(bins.add_bin, "copper-2", holds="-1 kg").expected
