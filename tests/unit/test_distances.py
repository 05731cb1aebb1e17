"""Distances in kilometres or miles: what is typed and said, what is shown, and that one comes back from the other."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ledger_day import Day

from partway import display
from partway.actions.buyers import buyers
from partway.actions.buyers.buyers import Terms
from partway.actions.curb.rounds import past_round
from partway.actions.haul import hauls
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.home.distances import in_unit, km_heard
from partway.actions.home.driving import shown_in, typed_in
from partway.actions.home.settings import set_, set_many
from partway.actions.recording.describe import Say
from partway.actions.saying.say import say
from partway.distances import distance_number, format_km_in
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.fold.standing import settings
from partway.reports.books.ledger import words
from partway.spoken import Hearing, NotUnderstood, read_distance
from partway.things.units import KILOMETRES, ShownUnits
from partway.valuing.planned_lots import Drive, drive_in, planned_note

MILE = Decimal(KILOMETRES["mi"][0])  # tests/references/test_units.py holds it against two other tables
MOST = Decimal(20_000)
HERE = Hearing("CAD", "lb", distance="mi")
SAID = [
    ("12 miles", 12 * MILE),
    ("12 mi", 12 * MILE),
    ("12mi", 12 * MILE),
    ("8 km", Decimal(8)),
    ("8 kilometers", Decimal(8)),
    ("eight and a half miles", Decimal("8.5") * MILE),
    ("half a mile", MILE / 2),
    ("a mile and a half", Decimal("1.5") * MILE),
    ("three quarters of a mile", Decimal("0.75") * MILE),
    ("thirty", 30 * MILE),
    ("14", 14 * MILE),
    ("60k", Decimal(60)),
]


@pytest.mark.parametrize(("text", "km"), SAID)
def test_a_distance_as_people_say_it(text: str, km: Decimal) -> None:
    assert read_distance(text, HERE, "km") == km
    assert km_heard(text, "km", MOST, HERE) == km


def test_a_bare_number_is_in_kilometres_where_those_are_used() -> None:
    assert km_heard("14", "km", MOST, Hearing()) == 14 and km_heard("fourteen", "km", MOST, Hearing()) == 14
    assert km_heard("14,5", "km", MOST, Hearing(comma=True)) == Decimal("14.5")


@pytest.mark.parametrize(
    "text", ["", "far", "12 lb", "-3 mi", "nan", "inf", "12 miles or so", "20001 km", "13000", "two fifty mi"]
)
def test_what_is_no_distance_is_refused_in_the_words_of_the_place(text: str) -> None:
    with pytest.raises(Refused) as caught:
        km_heard(text, "km", MOST, HERE)
    assert "mi" in caught.value.expected and "km" not in caught.value.expected and caught.value.where == "km"


def test_a_distance_that_may_be_two_is_asked_about() -> None:
    with pytest.raises(Refused, match=r"2\.5 mi or 250 mi: which one"):
        km_heard("two fifty miles", "km", MOST, HERE)
    with pytest.raises(NotUnderstood, match="was understood"):
        read_distance("12 miles uphill", HERE, "km")


@given(st.decimals(0, 999, places=1), st.sampled_from(sorted(KILOMETRES)), st.sampled_from(["en_CA", "de_DE", "fr_CA"]))
def test_what_is_shown_can_be_read_again(number: Decimal, unit: str, locale: str) -> None:
    """To the tenth of a unit, which is all that is shown; "1.459" in Germany may be 1459 and is asked about."""
    heard = Hearing(comma=display.decimal_comma(locale), distance=unit)
    km = km_heard(f"{number} {unit}", "km", MOST, Hearing())
    shown = display.distance(km, unit, locale)
    assert km_heard(display.with_points(shown, locale, "km"), "km", MOST, heard) == km
    assert format_km_in(km, unit) == format_km_in(km_heard(format_km_in(km, unit), "km", MOST, heard), unit)


@given(st.decimals(0, 9_999, places=4), st.sampled_from(sorted(KILOMETRES)))
def test_a_form_that_is_sent_as_it_was_changes_nothing(km: Decimal, unit: str) -> None:
    assert km_heard(distance_number(km, unit), "km", MOST, Hearing(distance=unit)) == km


def test_few_figures_are_shown() -> None:
    said = [display.distance(Decimal(km), "km", "en_CA") for km in ("0.254", "9", "14.56", "212.44", "1234")]
    assert said == ["0.25 km", "9 km", "14.6 km", "212.4 km", "1,234 km"]
    assert (
        display.distance(12 * MILE, "mi", "de_DE") == "12 mi"
        and display.distance(Decimal(14), "mi", "de_DE") == "8,7 mi"
    )


def test_under_a_name_that_says_km_a_number_alone_is_in_km() -> None:
    assert in_unit("14", "km") == "14 km" and in_unit("fourteen", "km") == "fourteen km"
    assert (
        in_unit("9 mi", "km") == "9 mi"
        and in_unit("half a mile", "km") == "half a mile"
        and in_unit("far", "km") == "far"
    )


def miles_day() -> Day:
    day = Day(unit="lb")
    day.do(set_, "distance", "miles")
    return day


def test_what_was_never_asked_counts_in_kilometres() -> None:
    """Bare numbers of ledgers from before were kilometres; another meaning of the same typing would be a guess."""
    day = Day(unit="lb")
    day.do(set_, "locale", "en_US")
    day.do(buyers.buyer, "ridge", Terms(kind="yard", km="14"))
    assert trading.buyers(day.book)["ridge"].km == 14 and Say.of(day.book).distance == "km"


def test_a_day_in_miles_is_kept_in_kilometres() -> None:
    day = miles_day()
    day.do(buyers.buyer, "ridge", Terms(kind="yard", km="12"))
    day.do(buyers.buyer, "quarry", Terms(kind="yard", km="8 km"))
    known = trading.buyers(day.book)
    assert known["ridge"].km == 12 * MILE and known["quarry"].km == 8
    day.do(past_round, "west streets", "6:10", "7:40", "nine and a half")
    day.do(hauls.start, ["ridge"])
    done = day.do(hauls.finish, None, "30 miles", "2 h").result
    assert done.km == 30 * MILE
    say = Say.of(day.book)
    assert "30 mi" in " ".join(done.words(say))
    said = [words(event.what, say.units) for event in day.book.newest(9, kinds=("hauled", "round", "traded"))]
    assert not [line for line in said if " km" in line]
    assert sum(" mi" in line for line in said) == 4
    assert scenario_from_book(day.book, day.now.date(), counting=False).distance == "mi"


COSTS = [
    ("cost_per_km", "0.35", "0.35", Decimal("0.35")),
    ("cost_per_km", "0.56 /mi", "0.56 /mi", Decimal("0.56") / MILE),
    ("cost_per_km", "0.56 a mile", "0.56 /mi", Decimal("0.56") / MILE),
    ("cost_per_km", "0.35 per km", "0.35", Decimal("0.35")),
    ("kmh", "45", "45", Decimal(45)),
    ("kmh", "28 mph", "28 mph", 28 * MILE),
    ("kmh", "28 miles an hour", "28 mph", 28 * MILE),
    ("kmh", "45 km/h", "45", Decimal(45)),
]


@pytest.mark.parametrize(("name", "text", "kept", "per_km"), COSTS)
def test_driving_is_set_by_the_kilometre_or_by_the_mile(name: str, text: str, kept: str, per_km: Decimal) -> None:
    day = miles_day()
    day.do(buyers.buyer, "ridge", Terms(kind="yard", km="12"))
    assert day.do(set_, name, text).result.value == kept
    vehicle = scenario_from_book(day.book, day.now.date(), counting=False).vehicle
    assert vehicle is not None
    assert getattr(vehicle, name) == pytest.approx(float(per_km), rel=1e-12)


def test_a_drive_costs_the_same_said_either_way() -> None:
    """10 miles at 0.50 a mile are 16.09344 km at 0.3106856 a km: 5.00 one way, by hand."""
    day = miles_day()
    day.do(set_many, {"cost_per_km": "0.50 /mi"})
    day.do(buyers.buyer, "ridge", Terms(kind="yard", km="10"))
    scenario = scenario_from_book(day.book, day.now.date(), counting=False)
    assert scenario.vehicle is not None and scenario.buyers[0].km is not None
    assert scenario.vehicle.cost_per_km * scenario.buyers[0].km == pytest.approx(5.0, rel=1e-12)


@pytest.mark.parametrize(
    ("name", "text"),
    [("cost_per_km", "far"), ("cost_per_km", "-1 /mi"), ("kmh", "0"), ("kmh", "200 mph"), ("distance", "furlong")],
)
def test_what_is_no_such_setting_is_refused_and_nothing_is_kept(name: str, text: str) -> None:
    day = miles_day()
    day.refuses(set_, name, text)
    assert name == "distance" or name not in settings(day.book)


FIELDS = [
    ("cost_per_km", "0.35", "0.35", "0.35 /km"),
    ("cost_per_km", "0.56 /mi", "0.56 /mi", "0.56"),
    ("kmh", "45", "45", "45 km/h"),
    ("kmh", "28 mph", "28 mph", "28"),
]


@pytest.mark.parametrize(("name", "kept", "in_km", "in_miles"), FIELDS)
def test_a_field_has_the_number_alone_in_its_own_unit(name: str, kept: str, in_km: str, in_miles: str) -> None:
    assert shown_in(name, kept, "km") == in_km and shown_in(name, kept, "mi") == in_miles
    for unit, shown in (("km", in_km), ("mi", in_miles)):  # and what it shows is read as what was kept
        day = Day()
        assert day.do(set_, name, typed_in(name, shown, unit)).result.value == kept


def test_what_is_no_number_is_left_to_be_refused() -> None:
    assert typed_in("kmh", "fast", "mi") == "fast" and typed_in("wage", "12", "mi") == "12"


@pytest.mark.parametrize("unit", ["km", "mi"])
def test_a_planned_drive_comes_back_from_its_note(unit: str) -> None:
    class Lot:
        buyer, grade, mass_kg, price_per_kg, amount = "ridge", "copper-2", 10.0, 4.0, 40.0

    note = planned_note([Lot()], ShownUnits("kg", unit), Drive(Decimal("61.2"), 130))
    assert (" km in" in note) == (unit == "km")
    found = drive_in(note)
    assert found is not None and found.km is not None and found.minutes == 130
    assert float(found.km) == pytest.approx(61.2, abs=0.05 * float(MILE))


@pytest.mark.parametrize(
    ("text", "language", "km"),
    [
        ("back home, drove thirty miles", "en", 30 * MILE),
        ("drove thirty miles", "en", 30 * MILE),
        ("back home, 60 k, 2 hours", "en", Decimal(60)),
        ("back home, eight and a half miles", "en", Decimal("8.5") * MILE),
        ("de retour, trente milles", "fr", 30 * MILE),
        ("de retour, trente kilomètres", "fr", Decimal(30)),
        ("de vuelta, treinta millas", "es", 30 * MILE),
        ("de vuelta, treinta kilómetros", "es", Decimal(30)),
    ],
)
def test_a_haul_is_over_in_what_is_said(text: str, language: str, km: Decimal) -> None:
    """French and Spanish words from memory, as their lexicons are."""
    day = miles_day()
    day.do(buyers.buyer, "harbour-yard", Terms(kind="yard", km="9"))
    day.do(hauls.start, ["harbour-yard"])
    (event,) = day.do(say, text, {}, language).events
    assert (event.what.status, event.what.km) == ("finished", km)


def test_what_was_said_of_a_distance_that_may_be_two_is_asked_about() -> None:
    day = miles_day()
    day.do(buyers.buyer, "harbour-yard", Terms(kind="yard", km="9"))
    day.do(hauls.start, ["harbour-yard"])
    assert "2.5 mi or 250 mi" in day.refuses(say, "back home, two fifty miles").expected
