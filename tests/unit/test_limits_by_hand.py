"""Limits of buyers, days and backs in cases worked out by hand. All invented; 14 March 2026 is a Saturday (ISO 8601
calendar: `datetime.date.weekday`).
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from planned import DAY, amended, best, exact, quote

from partway.actions.plans.plan import plan
from partway.errors import PlanUnsound
from partway.planning.check.verify import recount
from partway.planning.instance.frozen import Instance
from partway.reports.haul.reason_words import ReasonWords
from partway.storage.scenario.scenario import read_scenario_text
from partway.storage.scenario.write import scenario_text
from partway.things.anatomy import Anatomy, Piece, SaleAs
from partway.things.limits.opening import next_open, open_on, read_opening
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Quote, Scenario, Vehicle

BATTERY = Grade("battery", "car battery", "batteries", exact(1.0))


def batteries(*masses: float, buyers: tuple[Buyer, ...], **changes: object) -> Scenario:
    """Batteries of these masses, each a find of its own; driving costs time only, at no wage."""
    whole = Piece("whole", "battery", exact(10.0), (SaleAs("battery"),))
    it = Scenario(
        name="batteries",
        currency="CAD",
        on=DAY,
        hours=Hours(bench=0.0, away=10.0, wage=0.0),
        vehicle=Vehicle(payload_kg=500.0, kmh=40.0),
        buyers=buyers,
        finds=tuple(Find("battery", 1, "no", kg) for kg in masses),
        stock={},
        grades={"battery": BATTERY},
        anatomies={"battery": Anatomy("battery", "car battery", (whole,))},
        keep_factor=0.5,
    )
    return replace(it, **changes)  # type: ignore[arg-type]


def yard(price: Quote, **changes: object) -> Buyer:
    return replace(Buyer("yard", "yard", km=20.0, quotes=(price,)), **changes)  # type: ignore[arg-type]


def said(it: Scenario) -> list[str]:
    """Why what stays does, in words."""
    words = ReasonWords.of(it)
    return [words.say(line.because) for line in plan(it).kept]


# --- the most that is taken ------------------------------------------------------------------------


@pytest.mark.parametrize(("trips", "sold"), [(1, [100.0]), (2, [80.0, 100.0])])
def test_a_yard_takes_so_much_at_each_visit(trips: int, sold: list[float]) -> None:
    """180 kg in a bin, 100 kg a visit."""
    buyer = yard(replace(quote("battery", 1.0), most_kg=100.0))
    it = batteries(buyers=(buyer,), stock={"battery": 180.0}, hours=Hours(0.0, 10.0, 0.0, trips))
    assert sorted(sale.mass_kg for sale in plan(it).sales) == pytest.approx(sold)
    if trips == 1:
        assert said(it) == ["yard takes no more than 100 kg at one visit"]


def test_five_batteries_are_five_whatever_they_weigh() -> None:
    """Six of 12 kg and one of 30 kg at 1 a kg, five taken: the heavy one and four others, 78."""
    buyer = yard(replace(quote("battery", 1.0), piece_kg=10.0, most_pieces=5))
    it = batteries(*[12.0] * 6, 30.0, buyers=(buyer,))
    report = plan(it)
    (sale,) = report.sales
    assert (sale.pieces, sale.each) == (5.0, None) and sale.amount == pytest.approx(78.0)
    assert said(it) == ["yard takes no more than 5 pieces at one visit"]
    instance, found = best(it)
    four = (replace(instance.scenario.buyers[0].quotes[0], most_pieces=4),)
    with pytest.raises(PlanUnsound, match="no more than 4 are taken"):
        recount(_quoted(instance, four), found.decision)


def _quoted(instance: Instance, quotes: tuple[Quote, ...]) -> Instance:
    """The instance with other quotes at the yard, its lots too."""
    changed = amended(instance, buyers=(replace(instance.buyers[0], quotes=quotes),))
    lots = tuple(replace(lot, tiers=(replace(lot.tiers[0], quote=quotes[0]),)) for lot in instance.lots)
    return replace(changed, lots=lots)


def test_by_the_piece_light_ones_and_by_the_kilogram_heavy_ones() -> None:
    """4 each at one yard, .7 a kg at another: 3 kg bring 4 or 2.10, 8 kg bring 4 or 5.60. By hand: 4 + 5.60."""
    by_piece = yard(replace(quote("battery", 0.8), piece_kg=5.0, each=True))
    by_mass = Buyer("scale", "yard", km=1.0, quotes=(quote("battery", 0.7),))
    report = plan(batteries(3.0, 8.0, buyers=(by_piece, by_mass)))
    light, heavy = sorted(report.sales, key=lambda sale: sale.mass_kg)
    assert (light.buyer, light.pieces) == ("yard", 1.0)
    assert light.each == pytest.approx(4.0)
    assert (heavy.buyer, heavy.pieces, heavy.each) == ("scale", None, None)
    assert report.money.sales == pytest.approx(9.6)
    assert sum(sale.amount for sale in report.sales) == pytest.approx(9.6)


def test_out_of_a_bin_only_whole_pieces_are_sold() -> None:
    """17 kg in a bin, one weighs 5 kg: three at 4, and 2 kg stay."""
    it = batteries(buyers=(yard(replace(quote("battery", 0.8), piece_kg=5.0, each=True)),), stock={"battery": 17.0})
    (sale,) = plan(it).sales
    assert (sale.pieces, sale.mass_kg, sale.amount) == pytest.approx((3.0, 15.0, 12.0))
    instance, found = best(it)
    (key,) = found.decision.lots
    half = replace(found.decision, lots={key: 12.5}, kept_kg={0: 4.5})
    with pytest.raises(PlanUnsound, match="not a whole number of pieces"):
        recount(instance, half)


# --- hours, backs, days ----------------------------------------------------------------------------


def test_one_trip_may_take_so_long_beside_all_hours() -> None:
    """An hour there and back by each of two yards, which pay alike: together two hours, alone one."""
    near = [Buyer(name, "yard", km=20.0, quotes=(replace(quote("battery", 1.0), most_kg=10.0),)) for name in "ab"]
    it = batteries(buyers=tuple(near), stock={"battery": 20.0})
    assert [len(route) for route in plan(it).routes] == [2]
    short = replace(it, hours=Hours(0.0, 10.0, 0.0, 1, trip=1.5))
    assert [len(route) for route in plan(short).routes] == [1]
    twice = replace(it, hours=Hours(0.0, 10.0, 0.0, 2, trip=1.5))
    assert [len(route) for route in plan(twice).routes] == [1, 1]
    instance, found = best(it)
    with pytest.raises(PlanUnsound, match="2 hours on trip 1"):
        recount(amended(instance, hours=short.hours), found.decision)


def test_alone_nobody_loads_what_is_too_heavy_and_with_a_helper_it_goes() -> None:
    lift = Vehicle(payload_kg=500.0, kmh=40.0, lift_kg=40.0)
    it = batteries(30.0, 60.0, buyers=(yard(quote("battery", 1.0)),), vehicle=lift)
    assert [sale.mass_kg for sale in plan(it).sales] == [30.0]
    assert said(it) == ["too heavy for one person, who lifts 40 kg: it takes a helper"]
    helped = replace(it, hours=replace(it.hours, helpers=1))
    assert [sale.mass_kg for sale in plan(helped).sales] == [90.0]
    instance, found = best(helped)
    with pytest.raises(PlanUnsound, match="60 kg is too heavy for one person"):
        recount(amended(instance, hours=it.hours), found.decision)


def test_a_closed_yard_gets_nothing_and_the_next_open_day_is_named() -> None:
    it = batteries(30.0, buyers=(yard(quote("battery", 1.0), open=("mon-fri 08:00-16:30",)),))
    report = plan(it)
    assert report.sales == () and report.routes == ()
    assert said(it) == ["yard pays best and is closed that day: it opens on 2026-03-16"]
    assert "Closed on 14 March 2026, nothing is driven there: yard (opens on 16 March 2026)." in report.notes
    instance, found = best(replace(it, on=DAY + dt.timedelta(days=2)))
    assert found.decision.lots
    with pytest.raises(PlanUnsound, match="at yard when it is not open"):
        recount(amended(instance, on=DAY), found.decision)


def test_who_comes_too_early_waits_and_waiting_is_paid() -> None:
    """Leaving at eight and half an hour there; it opens at nine: half an hour of waiting, an hour and a half away."""
    it = batteries(30.0, buyers=(yard(quote("battery", 1.0), open=("sat 9:00-12:00",)),))
    it = replace(it, hours=Hours(0.0, 10.0, 6.0))
    report = plan(it)
    assert report.hours.away == pytest.approx(1.5) and report.money.wage == pytest.approx(-9.0)
    assert [trip.hours for trip in report.trips] == pytest.approx([1.5])
    later = replace(it, hours=replace(it.hours, leave=8.75))
    assert plan(later).hours.away == pytest.approx(1.0)
    assert plan(replace(it, hours=replace(it.hours, leave=11.75))).routes == ()


def test_the_order_of_stops_follows_the_hours() -> None:
    """One yard shuts soon and the other opens late: the near one is left for the end, whatever the way costs."""
    soon = Buyer("soon", "yard", km=20.0, quotes=(quote("battery", 1.0),), open=("sat 8:00-8:40",))
    late = Buyer(
        "late", "yard", km=1.0, quotes=(replace(quote("battery", 2.0), most_kg=30.0),), open=("sat 9:30-12:00",)
    )
    it = batteries(buyers=(late, soon), stock={"battery": 60.0}, hours=Hours(0.0, 4.0, 1.0), keep_factor=0.0)
    assert plan(it).routes == (("soon", "late"),)


def test_who_is_open_part_of_the_time_is_visited_by_the_first_trip_alone() -> None:
    it = batteries(
        buyers=(yard(replace(quote("battery", 1.0), most_kg=20.0), open=("sat 8:00-12:00",)),),
        stock={"battery": 60.0},
        hours=Hours(0.0, 6.0, 0.0, 3),
    )
    report = plan(it)
    assert [sale.mass_kg for sale in report.sales] == [20.0]
    assert any("visited by the first trip alone: yard" in note for note in report.notes)
    always = replace(it, hours=replace(it.hours, away=4.0))
    assert sum(sale.mass_kg for sale in plan(always).sales) == pytest.approx(60.0)


# --- what is said of hours -------------------------------------------------------------------------


def test_opening_hours_are_read() -> None:
    assert read_opening("Mon-Fri 8:00-16:30") == (frozenset(range(5)), 8.0, 16.5)
    assert read_opening("sat,mon 08:00 - 24:00") == (frozenset({0, 5}), 8.0, 24.0)
    assert read_opening("sat-mon 8:00-9:00")[0] == {5, 6, 0}
    assert open_on(("sat 8:00-12:00", "sat 12:00-14:00", "sat 15:00-16:00"), DAY) == ((8.0, 14.0), (15.0, 16.0))
    assert open_on(("sun 8:00-12:00",), DAY) == ()
    assert next_open(("sat 8:00-12:00",), DAY) == DAY + dt.timedelta(days=7)


@pytest.mark.parametrize(
    "text",
    ["", "mon", "mon 8-16", "mon 16:00-8:00", "mon 8:00-8:00", "mon 8:60-9:00", "day 8:00-9:00", "mon 8:00-25:00"],
)
def test_what_are_no_opening_hours_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"^"):
        read_opening(text)


# --- the file --------------------------------------------------------------------------------------

FILE = """
[scenario]
name = "limits"
currency = "CAD"
on = 2026-03-14
[hours]
bench = 1
away = 5
wage = 0
trip = 2.5
leave = "09:30"
helpers = 1
[vehicle]
payload = "450 kg"
lift = "90 lb"
[[buyer]]
id = "harbour"
kind = "yard"
km = 5
open = ["mon-fri 08:00-16:30", "sat 08:00-12:00"]
price = [
  { grade = "lead-acid", price = "6 each", piece = "40 lb", most = 5 },
  { grade = "copper-2", price = "4.10 /lb", most = "200 kg" },
]
[stock]
lead-acid = "100 kg"
"""


def test_a_file_says_all_of_it_and_is_written_as_it_was_read() -> None:
    it = read_scenario_text(FILE, "limits.toml")
    assert (it.hours.trip, it.hours.leave, it.hours.helpers) == (2.5, 9.5, 1)
    (buyer,) = it.buyers
    battery, copper = buyer.quotes
    assert battery.piece_kg == pytest.approx(40 * 0.45359237) and battery.one_brings == pytest.approx(6.0)
    assert (battery.each, battery.most_pieces, copper.most_kg, copper.counted) == (True, 5, 200.0, False)
    assert buyer.open == ("mon-fri 08:00-16:30", "sat 08:00-12:00")
    assert it.vehicle is not None and it.vehicle.lift_kg == pytest.approx(90 * 0.45359237)
    again = read_scenario_text(scenario_text(it), "again.toml")
    assert replace(again, notes=()) == replace(it, notes=())


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('"6 each", piece = "40 lb"', '"6 each"', "what one piece of lead-acid weighs"),
        ("most = 5", "most = 0", "a whole number of pieces from 1"),
        ("most = 5", 'most = 5, from = "10 kg"', "tiers only of prices by mass"),
        ('most = "200 kg"', 'most = "2 kg", minimum = "5 kg"', "at least the smallest lot"),
        ('most = "200 kg"', 'piece = "2 kg"', "only with a price such as"),
        ("sat 08:00-12:00", "sat 8 till noon", "opening hours such as"),
        ('"09:30"', '"half past nine"', "a time of the day"),
    ],
)
def test_what_cannot_be_is_refused_with_one_message(old: str, new: str, message: str) -> None:
    assert old in FILE
    with pytest.raises(Exception, match=message):
        read_scenario_text(FILE.replace(old, new), "limits.toml")
