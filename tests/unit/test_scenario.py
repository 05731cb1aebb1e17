"""Scenario files that hold: what is read, which defaults are named, and that units do not matter.

Source of the contract: docs/scenario.md. The scenarios are invented.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
import math
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from partway.errors import Refused
from partway.storage.scenario.scenario import check_file, read_scenario, read_scenario_text, scenario_schema
from partway.storage.scenario.write import scenario_text
from partway.things.currencies import CURRENCIES
from partway.things.estimate import Estimate
from partway.things.scenario import Buyer, Find, Hours, Postage, Quote, Road, Scenario, TripEnd, Vehicle

KG_PER_LB = 0.45359237  # exact: yard and pound agreement of 1959
KG_PER_SHORT_TON = 2000 * KG_PER_LB  # NIST Handbook 44, Appendix C

ANATOMY = """
[[anatomy]]
kind = "wall-clock"
  [[anatomy.piece]]
  id = "whole"
  mass_kg = [0.9, 1.0, 1.2]
  sells = [ { grade = "light-iron", share = 0.6 } ]
"""

BARE = (
    """
[scenario]
name = "Bare"
currency = "CAD"
on = 2026-03-14
[hours]
bench = 6
away = 5
wage = 12
[vehicle]
payload = "450 kg"
[home]
at = [31.0, -40.5]
[[buyer]]
id = "harbour"
kind = "yard"
at = [31.1, -40.6]
[[buyer.price]]
grade = "copper-2"
price = "4.10 /lb"
[[buyer.price]]
grade = "light-iron"
price = "150 /tonne"
on = 2026-01-28
[[buyer]]
id = "ridge"
kind = "yard"
km = 9
[[buyer]]
id = "boards"
kind = "mail-in"
km = 300
[[buyer.price]]
grade = "board-mid"
price = "1.50 /lb"
[[find]]
kind = "wall-clock"
"""
    + ANATOMY
)

FULL = """
[scenario]
name = "Full"
currency = "CAD"
on = 2026-03-14
keep_factor = 0.7
storage = "{storage}"
inflow = "{inflow}"
[hours]
bench = 6.5
away = 5.0
wage = 12.0
trips = 2
[vehicle]
payload = "{payload}"
volume = "{volume}"
cost_per_km = 0.35
kmh = 50
road_factor = 1.2
[home]
at = [31.0, -40.5]
[[buyer]]
id = "harbour"
kind = "yard"
name = "Harbour yard"
km = 14.0
at = [31.1, -40.6]
minutes = 20
refuses = ["li-ion", "plastics"]
[[buyer.price]]
grade = "copper-2"
price = "{copper}"
on = 2026-03-10
minimum = "{minimum}"
[[buyer.price]]
grade = "copper-2"
price = ["{low}", "{likely}", "{high}"]
on = 2026-02-12
from = "{tier}"
[[buyer]]
id = "boards"
kind = "mail-in"
shipping = [ {{ up_to = "{step}", cost = 11.0 }}, {{ up_to = "20 kg", cost = 17.0 }} ]
[[buyer.price]]
grade = "board-mid"
price = "1.50 /kg"
on = 2026-03-14
[[buyer]]
id = "tip"
kind = "tip"
minutes = 10
[[buyer.price]]
grade = "residue"
price = "{tip}"
on = 2026-03-01
[[road]]
from = "harbour"
to = "tip"
km = 6.5
minutes = 11
[stock]
copper-2 = "{stock}"
[inflow]
copper-2 = "{weekly}"
[[find]]
kind = "wall-clock"
count = 3
works = "no"
mass = "{find}"
"""

POUNDS = {
    "payload": "1000 lb",
    "volume": "50 cu ft",
    "copper": "4.10 /lb",
    "minimum": "10 lb",
    "low": "410 ¢/lb",
    "likely": "4.30 CAD/lb",
    "high": "4.50 /lb",
    "tier": "50 lb",
    "step": "16 oz",
    "tip": "-80 /short ton",
    "stock": "11 lb",
    "storage": "150 cu ft",
    "inflow": "130 lb",
    "weekly": "3 lb",
    "find": "2.2 lb",
}
METRIC = {
    "payload": "453.59237 kg",
    "volume": "1415.8423296 L",
    "copper": f"{4.10 / KG_PER_LB!r} /kg",
    "minimum": "4535.9237 g",
    "low": f"{4.10 / KG_PER_LB!r} /kg",
    "likely": f"{4300 / KG_PER_LB!r} /tonne",
    "high": f"CAD {4.50 / KG_PER_LB!r} /kg",
    "tier": "0.0226796185 tonne",
    "step": "453.59237 g",
    "tip": f"{-80 / KG_PER_SHORT_TON!r} /kg",
    "storage": f"{150 * 28.316846592} L",
    "inflow": f"{130 * 0.45359237} kg",
    "weekly": f"{3 * 0.45359237} kg",
    "stock": "4.98951607 kg",
    "find": "0.997903214 kg",
}


def full_text(units: dict[str, str]) -> str:
    return FULL.format(**units) + ANATOMY


def full(units: dict[str, str]) -> Scenario:
    return read_scenario_text(full_text(units), "full.toml")


def per_lb(*prices: float) -> Estimate:
    return Estimate(*(price / KG_PER_LB for price in prices))


def numbers_apart(a: Any, b: Any) -> float:
    """Largest relative difference of two values of the same shape; inf where anything else differs."""
    if isinstance(a, float) and isinstance(b, float):
        return 0.0 if a == b else abs(a - b) / max(abs(a), abs(b))
    if dataclasses.is_dataclass(a) and type(a) is type(b):
        return numbers_apart(
            [getattr(a, f.name) for f in dataclasses.fields(a)],
            [getattr(b, f.name) for f in dataclasses.fields(b)],
        )
    if isinstance(a, list | tuple) and isinstance(b, list | tuple) and len(a) == len(b):
        return max((numbers_apart(x, y) for x, y in zip(a, b, strict=True)), default=0.0)
    if isinstance(a, dict) and isinstance(b, dict) and list(a) == list(b):
        return numbers_apart(list(a.values()), list(b.values()))
    return 0.0 if a == b else math.inf


def test_everything_given_is_read() -> None:
    got = full(POUNDS)
    assert (got.name, got.currency, got.on, got.keep_factor) == ("Full", "CAD", dt.date(2026, 3, 14), 0.7)
    assert got.storage_l == pytest.approx(150 * 0.3048**3 * 1000)  # cubic feet of exactly 0.3048 m each way
    assert got.inflow_kg_week == pytest.approx(130 * KG_PER_LB)
    assert got.inflow == pytest.approx({"copper-2": 3 * KG_PER_LB})
    assert got.hours == Hours(bench=6.5, away=5.0, wage=12.0, trips=2)
    assert got.home == (31.0, -40.5)
    copper = Quote("copper-2", per_lb(4.10, 4.10, 4.10), dt.date(2026, 3, 10), minimum_kg=10 * KG_PER_LB)
    tier = Quote("copper-2", per_lb(4.10, 4.30, 4.50), dt.date(2026, 2, 12), from_kg=50 * KG_PER_LB)
    board = Quote("board-mid", Estimate.exact(1.5), dt.date(2026, 3, 14))
    residue = Quote("residue", Estimate.exact(-80 / KG_PER_SHORT_TON), dt.date(2026, 3, 1))
    expected = (
        Vehicle(1000 * KG_PER_LB, 50 * 0.3048**3 * 1000, 0.35, 50.0, 1.2),
        Buyer(
            "harbour",
            "yard",
            "Harbour yard",
            14.0,
            (31.1, -40.6),
            20.0,
            ("li-ion", "plastics"),
            (),
            (copper, tier),
        ),
        Buyer("boards", "mail-in", shipping=(Postage(KG_PER_LB, 11.0), Postage(20.0, 17.0)), quotes=(board,)),
        Buyer("tip", "tip", minutes=10.0, quotes=(residue,)),
        Road("harbour", "tip", 6.5, 11.0),
        {"copper-2": 11 * KG_PER_LB},
        Find("wall-clock", 3, "no", 2.2 * KG_PER_LB),
    )
    assert numbers_apart((got.vehicle, *got.buyers, *got.roads, got.stock, *got.finds), expected) < 1e-12


def test_a_quote_of_exactly_thirty_days_is_not_old_and_nothing_given_is_noted() -> None:
    assert full(POUNDS).notes == ()


def test_pounds_and_kilograms_of_the_same_facts_are_the_same_scenario() -> None:
    pounds, metric = full(POUNDS), full(METRIC)
    assert (pounds.unit, metric.unit) == ("lb", "kg")  # what people are shown, nothing that is computed with
    assert numbers_apart(replace(pounds, unit="kg"), metric) < 1e-9


def test_the_comparison_can_tell_scenarios_apart() -> None:
    assert numbers_apart(full(POUNDS), full(METRIC | {"find": "0.9979033 kg"})) > 1e-9
    assert numbers_apart(full(POUNDS), read_scenario_text(BARE, "bare.toml")) == math.inf


def test_only_the_kinds_that_finds_name_come_along() -> None:
    assert list(full(POUNDS).anatomies) == ["wall-clock"]
    text = full_text(POUNDS) + '\n[[find]]\nkind = "toaster"\ncount = 1\nworks = "no"\n'
    assert list(read_scenario_text(text, "x").anatomies) == ["wall-clock", "toaster"]


def test_grades_are_ours_with_the_overlay_on_top() -> None:
    text = full_text(POUNDS) + '[[grade]]\nid = "copper-2"\ndensity = 1.1\n[[grade]]\nid = "odd"\ndensity = 2\n'
    ours, laid = full(POUNDS).grades, read_scenario_text(text, "x").grades
    assert laid["copper-2"].density == Estimate.exact(1.1)
    assert laid["copper-2"].downgrades == ours["copper-2"].downgrades
    assert laid["odd"].density == Estimate.exact(2.0)
    assert set(laid) - set(ours) == {"odd"}


DEFAULTS = {
    "storage": "storage not given, the shed is counted as less than half full.",
    "trips": "trips not given, taken as 1.",
    "volume": "volume of the vehicle not given, loads are limited by payload alone.",
    "cost_per_km": "cost_per_km not given, driving is counted as costing time only.",
    "kmh": "kmh not given, taken as 45.",
    "road_factor": "road_factor not given, taken as 1.3 times the straight line.",
    "minutes": "Minutes on site not given, counted as 0: harbour, ridge.",
    "shipping": "No postage given: counted as paid by the buyer: boards.",
    "km of a mail-in buyer": "Mail-in buyers are not driven to, km is not used: boards.",
    "no quotes": "No price heard, which is not a price of zero: ridge.",
    "day of quotes": "Date of quotes not given, taken as heard on 2026-03-14: harbour, boards.",
    "old quotes": "Quotes of harbour older than 30 days: light-iron (45 days).",
    "count": "count not given, taken as 1: wall-clock.",
    "works": "works not given, taken as unknown: wall-clock.",
}


def test_defaults_are_those_of_the_contract() -> None:
    got = read_scenario_text(BARE, "bare.toml")
    assert (got.keep_factor, got.storage_l, got.inflow_kg_week, got.inflow) == (None, None, None, {})
    assert got.hours.trips == 1
    assert got.vehicle == Vehicle(450.0, None, 0.0, 45.0, 1.3)
    assert [b.minutes for b in got.buyers] == [0.0, 0.0, 0.0]
    heard = Quote("copper-2", per_lb(4.10, 4.10, 4.10), dt.date(2026, 3, 14), 0.0, 0.0)
    assert numbers_apart(got.buyers[0].quotes[0], heard) < 1e-12
    assert got.finds == (Find("wall-clock", 1, "unknown", None),)


@pytest.mark.parametrize("note", DEFAULTS.values(), ids=DEFAULTS.keys())
def test_every_default_used_is_named_once(note: str) -> None:
    assert read_scenario_text(BARE, "bare.toml").notes.count(note) == 1


def test_nothing_else_is_noted() -> None:
    assert set(read_scenario_text(BARE, "bare.toml").notes) == set(DEFAULTS.values())


@pytest.mark.parametrize(
    ("given", "instead", "note"),
    [
        ("on = 2026-03-14\n[hours]", "on = 2026-03-14\nstorage = '5 m3'\n[hours]", "storage"),
        ("on = 2026-03-14\n[hours]", "on = 2026-03-14\nkeep_factor = 0.8\n[hours]", "storage"),
        ("wage = 12", "wage = 12\ntrips = 1", "trips"),
        ('payload = "450 kg"', 'payload = "450 kg"\nvolume = "1 m3"', "volume"),
        ('payload = "450 kg"', 'payload = "450 kg"\ncost_per_km = 0', "cost_per_km"),
        ('payload = "450 kg"', 'payload = "450 kg"\nkmh = 45', "kmh"),
        ('payload = "450 kg"', 'payload = "450 kg"\nroad_factor = 1.3', "road_factor"),
        ("km = 300\n", "km = 300\nshipping = [ { up_to = '9 kg', cost = 0 } ]\n", "shipping"),
        ("km = 300\n", "", "km of a mail-in buyer"),
        ("on = 2026-01-28", "on = 2026-02-12", "old quotes"),
        ('kind = "wall-clock"\n\n', 'kind = "wall-clock"\ncount = 1\n', "count"),
        ('kind = "wall-clock"\n\n', 'kind = "wall-clock"\nworks = "unknown"\n', "works"),
    ],
)
def test_what_is_given_is_not_noted(given: str, instead: str, note: str) -> None:
    assert BARE.count(given) == 1
    notes = read_scenario_text(BARE.replace(given, instead), "bare.toml").notes
    assert set(DEFAULTS.values()) - set(notes) == {DEFAULTS[note]}


def test_zero_trips_is_not_the_default() -> None:
    assert read_scenario_text(BARE.replace("wage = 12", "wage = 12\ntrips = 0"), "x").hours.trips == 0


def test_mail_in_alone_needs_no_vehicle_and_no_note_about_one() -> None:
    text = BARE.replace('kind = "yard"', 'kind = "mail-in"').replace('[vehicle]\npayload = "450 kg"\n', "")
    got = read_scenario_text(text, "x")
    assert got.vehicle is None
    assert not [note for note in got.notes if "kmh" in note or "volume" in note]


def test_a_buyer_may_be_reached_by_way_of_another() -> None:
    text = full_text(POUNDS)
    assert read_scenario_text(text, "x").buyers[2].km is None
    with pytest.raises(Refused):
        read_scenario_text(text.replace('from = "harbour"\n', 'from = "boards"\n'), "x")


def test_a_road_from_home_beats_km_and_says_so() -> None:
    text = full_text(POUNDS).replace('to = "tip"', 'to = "tip"\nkm = 6.5\n[[road]]\nfrom = "home"\nto = "harbour"')
    assert read_scenario_text(text, "x").notes == ("A road from home is given, km is not used: harbour.",)


TO_THE_END = """
[end]
name = "the workshop"
at = [31.2, -40.4]
[[road]]
from = "home"
to = "ridge"
km = 8.5
one_way = true
[[road]]
from = "ridge"
to = "end"
km = 3.5
minutes = 6
[[road]]
from = "harbour"
to = "ridge"
km = 4
one_way = true
[[road]]
from = "ridge"
to = "harbour"
km = 5
one_way = true
"""


def test_one_way_roads_and_an_end_are_read_and_written() -> None:
    got = read_scenario_text(BARE + TO_THE_END, "x")
    assert got.end == TripEnd("the workshop", (31.2, -40.4))
    assert got.roads == (
        Road("home", "ridge", 8.5, one_way=True),
        Road("ridge", "end", 3.5, 6.0),
        Road("harbour", "ridge", 4.0, one_way=True),
        Road("ridge", "harbour", 5.0, one_way=True),
    )
    assert not [note for note in got.notes if "km is not used: ridge" in note]  # it is, the other way
    again = read_scenario_text(scenario_text(got), "written")
    assert (again.end, again.roads) == (got.end, got.roads)


def test_an_end_without_a_point_is_reached_by_roads_alone() -> None:
    got = read_scenario_text(BARE + TO_THE_END.replace("at = [31.2, -40.4]\n", ""), "x")
    assert got.end == TripEnd("the workshop")


def test_part_prices_of_ours_are_said_to_be_estimates() -> None:
    text = full_text(POUNDS) + '\n[[find]]\nkind = "bread-machine"\ncount = 1\nworks = "no"\n'
    assert read_scenario_text(text, "x").notes == ()


def test_a_byte_order_mark_and_windows_line_ends_do_not_matter(tmp_path: Path) -> None:
    plain, windows = tmp_path / "plain.toml", tmp_path / "windows.toml"
    plain.write_bytes(BARE.encode())
    windows.write_bytes(b"\xef\xbb\xbf" + BARE.replace("\n", "\r\n").encode())
    assert read_scenario(plain) == read_scenario(windows)


def test_check_tells_a_file_of_anatomies_from_a_scenario(tmp_path: Path) -> None:
    path = tmp_path / "file.toml"
    path.write_text(BARE)
    assert check_file(path) == "scenario"
    path.write_text('source = "measured"\non = 2026-03-01\n' + ANATOMY)
    assert check_file(path) == "anatomies"
    path.write_text('[[grade]]\nid = "odd"\ndensity = 2\n')
    assert check_file(path) == "anatomies"


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("anatomy = 5", "anatomy"),
        ("grade = [5]", "grade[#1]"),
        ("[[anatomy]]", "anatomy[#1].kind"),
        ('source = 7\n[[grade]]\nid = "odd"\ndensity = 2\n', "source"),
        (ANATOMY.replace("light-iron", "light-irn"), "anatomy[wall-clock].piece[whole].sells"),
    ],
)
def test_check_refuses_bad_anatomies(text: str, where: str, tmp_path: Path) -> None:
    path = tmp_path / "file.toml"
    path.write_text(text)
    with pytest.raises(Refused) as caught:
        check_file(path)
    assert where in caught.value.where
    assert str(path) in caught.value.where


def as_json(text: str) -> Any:
    """A TOML text the way JSON would say it: dates as text."""
    return json.loads(json.dumps(tomllib.loads(text), default=str))


@pytest.mark.parametrize("text", [BARE, full_text(POUNDS), full_text(METRIC)])
def test_the_schema_takes_what_the_loader_takes(text: str) -> None:
    jsonschema.Draft202012Validator.check_schema(scenario_schema())
    jsonschema.Draft202012Validator(scenario_schema()).validate(as_json(text))


@pytest.mark.parametrize(
    ("given", "instead"),
    [
        ("wage = 12", "wage = -12"),
        ("wage = 12", 'wage = "12"'),
        ("wage = 12", "wages = 12"),
        ('kind = "yard"\nkm', 'kind = "yards"\nkm'),
        ("km = 9", "km = 20041"),
        ("at = [31.0, -40.5]", "at = [131.0, -40.5]"),
        ("share = 0.6", "share = 1.6"),
    ],
)
def test_the_schema_refuses_what_the_loader_refuses(given: str, instead: str) -> None:
    assert BARE.count(given) == 1
    bad = BARE.replace(given, instead)
    assert list(jsonschema.Draft202012Validator(scenario_schema()).iter_errors(as_json(bad)))
    with pytest.raises(Refused):
        read_scenario_text(bad, "x")


def test_every_field_of_the_schema_teaches() -> None:
    schema = scenario_schema()
    tables = [schema, *schema["$defs"].values()]
    assert len(tables) > 10
    for table in tables:
        assert table["title"]
        assert table["description"]
        for name, field in table["properties"].items():
            assert field["title"], name
            assert field["description"], name
    assert '"null"' not in json.dumps(schema)


def test_currencies_in_use() -> None:
    # ISO 4217: a few that are in use, one withdrawn (DEM, 2002), a metal and the test code. From memory.
    assert {"CAD", "GBP", "EUR", "USD", "AUD", "NZD", "JPY", "ZAR"} <= CURRENCIES
    assert not {"DEM", "XAU", "XTS", "XXX"} & CURRENCIES
    assert all(len(code) == 3 and code.isupper() for code in CURRENCIES)
