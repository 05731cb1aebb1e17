"""Acts refused beside others, ways driven without a haul, words that sound alike, and rules of their own.

All invented; what is right of each sentence is common practice, no source.
"""

from __future__ import annotations

from decimal import Decimal

import pytest
from test_say import evening, read, saved
from test_say_as_people_do import recorded

from partway.actions.bins import bins
from partway.actions.saying.say import say
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.fold import standing
from partway.pricelist.layout.asides import without_asides
from partway.saying.loose.near_words import sound


def test_what_the_ledger_refuses_is_a_question_and_the_rest_is_saved_once_it_is_answered() -> None:
    text = "found a fan. sold the piano for 20. fuel 40"
    (asked,) = read(evening(), text).open
    assert asked.refused is not None and [key for key, _ in asked.choices] == ["leave", "note"]
    with pytest.raises(Refused):
        evening().do(say, text)
    kinds = [event.kind for event in saved(evening(), text, {asked.option: "leave"}).events]
    assert kinds == ["found", "spent"]
    noted = saved(evening(), text, {asked.option: "note"}).events[1].what
    assert noted.text == "sold the piano for 20"


def test_what_is_refused_by_itself_stays_refused() -> None:
    (line,) = read(evening(), "sold the piano for 20").lines
    assert line.refused is not None and line.asked is None


def test_a_way_driven_with_no_haul_under_way_is_a_haul_that_is_over_only_by_an_answer() -> None:
    day = evening()
    text = "drove 14 miles to the harbour and back. fuel 40"
    (asked,) = read(day, text).open
    assert [key for key, _ in asked.choices] == ["haul", "leave", "note"]
    saved(day, text, {asked.option: "haul"})
    (haul,) = trading.hauls(day.book).values()
    assert (haul.status, haul.stops) == ("finished", ("harbour-yard",))
    day = evening()
    saved(day, text, {asked.option: "leave"})
    assert not trading.hauls(day.book)


def test_an_empty_bin_holds_nothing() -> None:
    day = evening()
    day.do(bins.recount, "motors", "20 lb")
    saved(day, "the motor bin is empty")
    assert standing.bins(day.book)["motors"].mg == 0


def test_prices_under_the_name_of_a_buyer() -> None:
    day = evening()
    saved(day, "Harbour. Number one copper 4.05, number two copper 3.80")
    assert {quote.grade: quote.price for quote in trading.quotes(day.book, "harbour-yard")} == {
        "copper-1": Decimal("4.05"),
        "copper-2": Decimal("3.80"),
    }


@pytest.mark.parametrize(
    ("said", "alike"), [("rich", "ridge"), ("led", "lead"), ("harper", "harbour"), ("steal", "steel")]
)
def test_words_that_sound_alike(said: str, alike: str) -> None:
    assert sound(said) == sound(alike)


def test_words_that_do_not_sound_alike() -> None:
    assert len({sound(word) for word in ("copper", "brass", "motor", "ridge", "lead")}) == 5


def test_a_word_that_sounds_like_a_name_is_asked_and_never_taken() -> None:
    text = "rich yard pays 35 cents for motors"
    (asked,) = read(evening(), text).open
    assert [key for key, _ in asked.choices] == ["1", "leave"] and "ridge" in asked.choices[0][1]
    day = evening()
    saved(day, text, {asked.option: "1"})
    assert [quote.grade for quote in trading.quotes(day.book, "ridge-yard")] == ["motors"]


def test_a_place_hides_neither_a_thing_nor_that_it_works() -> None:
    assert [one[1] for one in recorded("found on Elm Street: a kettle, 2 fans")] == ["kettle", "fan"]
    assert recorded("found a fan in the kitchen it turns on fine") == [("found", "fan", 1, "yes")]


def test_what_was_said_again_with_an_apology_is_said_once() -> None:
    assert recorded("found a sorry found a fan") == recorded("found a fan")


def test_an_address_is_left_out_and_a_long_word_is_not() -> None:
    assert "@" not in without_asides("copper 4.10\nyard@harbour.example")[0]
    assert without_asides("x" * 3000)[0] == "x" * 3000
