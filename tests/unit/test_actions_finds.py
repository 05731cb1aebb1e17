"""Finds recorded, tested, weighed, sold and given up: what is recorded, what is refused, nothing half done."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest
from ledger_day import KG, START, Day, found

from partway.actions.bench import finds, selling
from partway.actions.books.corrections import correct
from partway.actions.recording.context import Context, when
from partway.actions.recording.questions import Asked
from partway.errors import Hint, Refused
from partway.ledger.events.kinds import Found
from partway.ledger.fold import standing
from partway.reports.books.ledger import report_ledger
from partway.things.units import ShownUnits


def test_a_find_gets_a_name_to_write_on_it_and_its_mass_comes_from_outside() -> None:
    day = Day()
    told = day.do(finds.find, "microwave", mass="13.2 kg", source="maple street", note="rusty").result
    assert (told.find, told.name, told.mass_mg) == ("microwave-1", "Microwave oven", 13_200_000)
    assert {"hv-capacitor", "mains"} <= {card.id for card in told.cautions}
    assert day.mg("find:microwave-1") == 13_200_000
    now = standing.find(day.book, "microwave-1")
    assert (now.source, now.note, now.works, now.closed) == ("maple street", "rusty", "unknown", False)


def test_numbers_go_on_by_kind_and_fans_do_not_count_fan_heaters() -> None:
    day = Day()
    assert [found(day, kind) for kind in ("fan", "fan-heater", "fan", "fan-heater")] == [
        "fan-1",
        "fan-heater-1",
        "fan-2",
        "fan-heater-2",
    ]


def test_a_second_machine_marks_its_numbers() -> None:
    day = Day()
    found(day, "fan")
    context = Context("me", lambda: day.now, day.ids, mark="b")
    assert finds.find(day.book, context, "fan").result.find == "fan-b1"
    assert finds.find(day.book, context, "fan").result.find == "fan-b2"
    assert found(day, "fan") == "fan-2"


def test_a_kind_is_taken_by_its_name_and_asked_about_by_anything_else() -> None:
    day = Day()
    assert found(day, "Bread maker") == "bread-machine-1"
    assert "cast-radiator" in day.refuses(finds.find, "iron").expected
    assert "bread-machine" in day.refuses(finds.find, "bread").expected
    assert found(day, "Bread Machine") == "bread-machine-2"
    assert "washer-front" in day.refuses(finds.find, "washer").expected
    assert set(standing.finds(day.book)) == {"bread-machine-1", "bread-machine-2"}


@pytest.mark.parametrize(
    ("arguments", "given", "expected"),
    [
        ({"kind": "microwve"}, "microwve", "such as microwave (Microwave oven)"),
        ({"kind": "zzzz"}, "zzzz", "what it is mostly: steel, iron"),  # since anything can be recorded
        ({"kind": "fan", "count": 0}, "0", "at least 1"),
        ({"kind": "fan", "count": -2}, "-2", "at least 1"),
        ({"kind": "fan", "mass": "-3 kg"}, "-3 kg", "at least 0"),
        ({"kind": "fan", "mass": "0 kg"}, "0 kg", "above 0"),
        ({"kind": "fan", "mass": "0.02 ton"}, "0.02 ton", "short ton"),
        ({"kind": "fan", "mass": "heavy"}, "heavy", "a number and a unit"),
        ({"kind": "fan", "mass": "12"}, "12", "a mass with its unit"),
        ({"kind": "fan", "mass": "-12"}, "-12", "a mass with its unit"),
        ({"kind": "fan", "works": "maybe"}, "maybe", "yes, no, unknown"),
        ({"kind": "fan", "note": "bell\a"}, "bell", "printable"),
    ],
)
def test_what_a_find_cannot_be(arguments: dict[str, object], given: str, expected: str) -> None:
    said = Day().refuses(finds.find, **arguments)
    assert given in said.given
    assert expected in said.expected


def test_a_bare_number_is_in_the_unit_of_the_workspace() -> None:
    day = Day(unit="lb")
    found(day, "fan", mass="10")
    assert day.mg("find:fan-1") == 4_535_924  # 10 lb of 0.45359237 kg, to the milligram


def test_a_mass_with_a_comma_is_read_where_the_locale_writes_it_so() -> None:
    day = Day()
    assert day.refuses(finds.find, "fan", mass="4,5 kg").expected == "4.5 kg or 45 kg: which one"
    from partway.actions.home.settings import set_

    day.do(set_, "locale", "de_DE")
    found(day, "fan", mass="4,5 kg")
    assert day.mg("find:fan-1") == 4_500_000


def test_testing_and_weighing() -> None:
    day = Day()
    find = found(day, "fan", mass="3 kg")
    day.do(finds.test, "fan", "no")
    assert standing.find(day.book, find).works == "no"
    told = day.do(finds.weigh, find, "2.8 kg").result
    assert (told.mass_mg, day.mg(f"find:{find}"), day.mg("outside")) == (2_800_000, 2_800_000, -2_800_000)


def test_a_find_that_is_not_there() -> None:
    day = Day()
    find = found(day, "fan", mass="3 kg")
    assert 'did you mean "fan-1"' in day.refuses(finds.test, "fam-1", "no").expected
    day.do(selling.discard, find)
    assert "nothing is left" in day.refuses(finds.test, find, "no").given
    assert day.mg("bin:residue", "residue") == 3 * KG


def test_nothing_happens_in_the_future_or_before_its_find() -> None:
    day = Day()
    tomorrow = day.now + dt.timedelta(days=1)
    with pytest.raises(Refused, match="in the future"):
        finds.find(day.book, day.context(tomorrow), "fan")
    found(day, "fan")
    with pytest.raises(Refused, match="before fan-1 was found"):
        finds.test(day.book, day.context(START - dt.timedelta(days=3)), "fan-1", "no")
    assert not day.payloads("tested")


def test_nobody_says_nothing() -> None:
    day = Day()
    with pytest.raises(Refused, match="name of whoever"):
        finds.find(day.book, Context(" ", lambda: day.now, day.ids), "fan")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("today", START),
        ("yesterday", START - dt.timedelta(days=1)),
        ("2026-03-10", START - dt.timedelta(days=4)),
        ("monday", START - dt.timedelta(days=(START.weekday() or 7))),
        ("mar 10", START.replace(day=10)),
        ("4 days ago", START - dt.timedelta(days=4)),
        ("2026-03-10 15:30", START.replace(day=10, hour=15, minute=30)),
        ("2026-03-10T15:30+00:00", dt.datetime(2026, 3, 10, 15, 30, tzinfo=dt.UTC)),
    ],
)
def test_days_and_times_as_people_type_them(text: str, expected: dt.datetime) -> None:
    assert when(text, START) == expected


@pytest.mark.parametrize("text", ["", "next week", "2026-13-01", "2026-02-30", "14.3.2026", "2026-03-1x"])
def test_days_that_are_none(text: str) -> None:
    with pytest.raises(Refused, match="a day or a time"):
        when(text, START)


def test_a_part_is_sold_and_the_rest_stays() -> None:
    day = Day()
    find = found(day, "microwave", mass="13 kg", works="no")
    told = day.do(selling.sell, find, "12.50", what="tray", mass="0.9 kg", fee="1.75", postage="4", minutes="20").result
    assert (told.net, told.left_mg, told.closed) == (Decimal("6.75"), 12_100_000, False)
    assert day.book.accounts() == {
        "parts": Decimal("12.50"),
        "parts-fees": Decimal("-1.75"),
        "parts-postage": Decimal("-4.00"),
        "minutes:list": Decimal(20),
    }
    assert day.mg("people") == 900_000


def test_a_whole_find_sold_is_closed_and_so_are_the_last_of_several() -> None:
    day = Day()
    one = found(day, "stand-mixer", mass="8 kg", works="yes")
    assert day.do(selling.sell, one, "60").result.closed
    assert standing.finds(day.book) == {}
    several = found(day, "fan", count=3, mass="9 kg", works="yes")
    assert not day.do(selling.sell, several, "10", count=2, mass="6 kg").result.closed
    assert "at most 1" in day.refuses(selling.sell, several, "10", count=2).expected
    assert day.do(selling.sell, several, "10").result.closed
    assert day.mg("people") == 17 * KG


def test_more_than_there_is_cannot_be_sold_and_an_unknown_mass_is_asked_for() -> None:
    day = Day()
    find = found(day, "microwave", mass="13 kg")
    said = day.refuses(selling.sell, find, "10", what="tray", mass="14 kg")
    assert "13.0 kg" in said.expected
    assert isinstance(day.refuses(selling.sell, find, "10", what="tray"), Asked)
    assert "tray" in day.refuses(selling.sell, find, "10", what="tary", mass="1 kg").expected
    for price in ("-5", "free", "1.005", "NaN", "1e9"):
        day.refuses(selling.sell, find, price, what="tray", mass="1 kg")


def test_money_needs_a_currency() -> None:
    day = Day(currency=None)
    find = found(day, "fan", mass="3 kg")
    assert day.refuses(selling.sell, find, "10").hint == Hint("set", "currency")


def test_the_makers_model_number_is_kept_said_and_said_anew() -> None:
    day = Day()
    day.do(finds.find, "fan", mass="3 kg", model=" type 20 ")
    (event,) = day.book.events(("found",))
    assert event.what == Found("fan-1", "fan", mass_mg=3_000_000, model="type 20")
    assert day.book.facts("find:fan-1", "model") == {("find:fan-1", "model"): "type 20"}
    day.do(correct, str(event.id), changes={"model": "type 21"})
    assert day.book.facts("find:fan-1", "model") == {("find:fan-1", "model"): "type 21"}
    assert report_ledger(day.book, ShownUnits(), dt.UTC, ("found",)).lines[-1].words == "fan-1: fan type 21, 3.0 kg"
    refused = day.refuses(finds.find, "fan", model="type\x1b[2J")
    assert refused.where == "model"
