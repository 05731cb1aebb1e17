"""The check of a plan at its edges: what just fits passes, what is a little over does not. By hand, rule by rule."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from partway.errors import PlanUnsound
from partway.planning.check.rules.caps import check_caps
from partway.planning.check.rules.clock import check_hours, check_open, mailed_to, trip_hours
from partway.planning.check.rules.lots import amount_of, check_counted, check_lots, number_of
from partway.planning.check.rules.material import grade_inflow
from partway.planning.check.rules.money import Money, money_of
from partway.planning.check.rules.trips import check_parcels, check_trips
from partway.planning.check.rules.whole import check_lifting
from partway.planning.check.verify import Checked, worth_of
from partway.planning.model.milp import MAIL
from partway.planning.tours.tours import Tour
from partway.things.anatomy import Part
from partway.things.estimate import Estimate
from partway.things.scenario import Buyer, Hours, Postage, Quote, Road, Scenario, Vehicle

DAY = dt.date(2026, 3, 14)  # a Saturday
exact = Estimate.exact


def quote(price: float = 1.0, **has: Any) -> Quote:
    """What is paid for iron."""
    return Quote("iron", exact(price), DAY, **has)


def instance(*quotes: Quote, **facts: Any) -> Any:
    """One buyer of iron with these quotes, one tier each."""
    buyer = Buyer("yard", "yard", km=5.0, quotes=quotes)
    tiers = [SimpleNamespace(quote=one) for one in quotes]
    it = {"lots": [SimpleNamespace(buyer=0, grade=0, tiers=tiers)], "grades": ["iron"], "buyers": [buyer], **facts}
    return SimpleNamespace(**it)


def decision(**has: Any) -> Any:
    """These decisions and no others."""
    return SimpleNamespace(**{"lots": {}, "blocks": {}, "parcels": {}, "tours": (), "sold": (), "parts": (), **has})


def passes(rule: Callable[..., Any], *what: Any) -> bool:
    """Whether a rule lets something pass."""
    try:
        rule(*what)
    except PlanUnsound:
        return False
    return True


# --- lots --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kg", "fits"),
    [(10.0, True), (10.0 - 4e-7, True), (10.0 - 6e-7, False), (20.0 - 1e-6, True), (20.0 - 4e-7, False), (20.0, False)],
)
def test_a_lot_begins_at_its_tier_and_ends_before_the_next(kg: float, fits: bool) -> None:
    it = instance(quote(), quote(from_kg=10.0), quote(from_kg=20.0))
    assert passes(check_lots, it, decision(lots={(0, 1, 0): kg})) == fits


def test_a_minimum_lot_counts_where_it_is_more_than_the_tier() -> None:
    it = instance(quote(minimum_kg=12.0, from_kg=10.0))
    assert passes(check_lots, it, decision(lots={(0, 0, 0): 12.0}))
    assert not passes(check_lots, it, decision(lots={(0, 0, 0): 11.9}))


def test_no_more_than_the_least_that_any_quote_says() -> None:
    it = instance(quote(most_kg=30.0), quote(from_kg=10.0, most_kg=25.0))
    for kg, fits in ((25.0, True), (25.0 + 9e-7, True), (25.0 + 2e-6, False)):
        assert passes(check_lots, it, decision(lots={(0, 1, 0): kg})) == fits


def test_one_tier_a_lot_on_each_trip() -> None:
    it = instance(quote(), quote(from_kg=10.0))
    assert passes(check_lots, it, decision(lots={(0, 0, 0): 5.0, (0, 1, 1): 15.0}))
    assert not passes(check_lots, it, decision(lots={(0, 0, 0): 5.0, (0, 1, 0): 15.0}))


def test_a_price_is_one_that_the_buyer_said_of_the_grade() -> None:
    it = instance(quote())
    it.lots[0].tiers[0].quote = quote(2.0)
    assert not passes(check_lots, it, decision(lots={(0, 0, 0): 5.0}))
    it = instance(replace(quote(), grade="brass"))
    assert not passes(check_lots, it, decision(lots={(0, 0, 0): 5.0}))


# --- counted -----------------------------------------------------------------------------------------


def counting(**has: Any) -> Any:
    """Pieces of 2 kg by the piece, and two sales of 3 and 4 kg, of which one in two finds has the second."""
    nodes = [SimpleNamespace(piece=SimpleNamespace(share=share)) for share in (1.0, 0.5)]
    sales = [SimpleNamespace(node=0, kg=3.0), SimpleNamespace(node=1, kg=4.0)]
    facts = {"piece_kg": 2.0, "each": True, **has}
    return instance(quote(4.0, **facts), nodes=nodes, grade_sales=sales)


@pytest.mark.parametrize(
    ("kg", "fits"),
    [(6.0, True), (6.0 + 1e-5, True), (6.0 + 3e-5, False), (6.0 - 3e-5, False), (5.0, False), (7.0, False)],
)
def test_out_of_a_bin_only_whole_pieces_are_counted(kg: float, fits: bool) -> None:
    assert passes(check_counted, counting(), decision(lots={(0, 0, 0): kg})) == fits


def test_pieces_loaded_whole_count_themselves_and_the_rest_by_what_one_weighs() -> None:
    """Two of 3 kg, one of 4 that half of the finds have, and 4 kg loose: two, a half, and two more."""
    it = counting(most_pieces=4)
    made = decision(lots={(0, 0, 0): 14.0}, blocks={(0, 0, 0): 2, (1, 0, 0): 1, (0, 0, 1): 9})
    assert number_of(it, made, (0, 0, 0)) == (4.5, 2.0)
    with pytest.raises(PlanUnsound, match=r"iron to yard: 4\.5 pieces, and no more than 4 are taken"):
        check_counted(it, made)
    assert passes(check_counted, counting(most_pieces=5), made)
    assert passes(check_counted, counting(), made)
    assert amount_of(it, made, (0, 0, 0)) == 4.5 * 4.0 * 2.0
    assert amount_of(counting(each=False, most_pieces=9), made, (0, 0, 0)) == 56.0


# --- trips -------------------------------------------------------------------------------------------


def shed(**changes: Any) -> Scenario:
    """One yard 10 km away and a quarter of an hour there; 30 km/h."""
    it = Scenario(
        name="shed",
        currency="EUR",
        on=DAY,
        hours=Hours(2.0, 2.0, 6.0, 2),
        vehicle=Vehicle(100.0, 50.0, kmh=30.0),
        buyers=(Buyer("yard", "yard", km=10.0, minutes=15.0, quotes=(quote(),)), Buyer("post", "mail-in", minutes=6.0)),
        finds=(),
        stock={},
        grades={},
        anatomies={},
        roads=(Road("home", "yard", 10.0),),
    )
    return replace(it, **changes)


THERE = Tour((1,), 20.0, 2.0 / 3.0, (0, 1, 0))


def driving(scenario: Scenario | None = None) -> Any:
    """One lot at the yard, one by mail; 0.5 L to a kg of iron."""
    it = shed() if scenario is None else scenario
    return SimpleNamespace(
        scenario=it,
        buyers=it.buyers,
        lots=[SimpleNamespace(buyer=0, grade=0, tiers=[]), SimpleNamespace(buyer=1, grade=0, tiers=[])],
        grades=["iron"],
        stops=(1, None),
        buyer_at={1: 0},
        roads="some",
        litres_per_kg=(0.5,),
        openings=[SimpleNamespace(hours=0.5)],
        part_sales=[SimpleNamespace(hours=0.25)],
        on_site_hours=lambda b: it.buyers[b].minutes / 60.0,
    )


@pytest.mark.parametrize(("kg", "fits"), [(100.0, True), (100.0 + 1e-4, True), (100.01, False)])
def test_a_trip_carries_its_payload_and_a_millionth(kg: float, fits: bool) -> None:
    made = decision(lots={(0, 0, 0): kg}, tours=(THERE,))
    assert passes(check_trips, driving(), made) == fits
    light = driving(shed(vehicle=Vehicle(1000.0, 50.0, kmh=30.0)))
    assert passes(check_trips, light, made) == fits, "and its litres: half as many"
    assert passes(check_trips, driving(shed(vehicle=Vehicle(1000.0, kmh=30.0))), made)


def test_what_is_loaded_on_a_trip_stops_there() -> None:
    assert passes(check_trips, driving(), decision(lots={(0, 0, 1): 5.0}, tours=(None, THERE)))
    assert not passes(check_trips, driving(), decision(lots={(0, 0, 0): 5.0}, tours=(None, THERE)))
    assert not passes(check_trips, driving(), decision(lots={(0, 0, 2): 5.0}, tours=(None, THERE)))
    assert not passes(check_trips, driving(), decision(tours=(None, None, None))), "two trips are allowed"
    assert passes(check_trips, driving(), decision(tours=(THERE, THERE)))
    assert not passes(check_trips, driving(), decision(tours=(replace(THERE, km=19.0),)))


def test_what_goes_by_mail_goes_to_a_mail_in() -> None:
    assert passes(check_trips, driving(), decision(lots={(1, 0, MAIL): 500.0}, tours=()))
    for key, message in (
        ((0, 0, MAIL), "a lot to yard goes by mail"),
        ((1, 0, 0), "a lot to post does not go by mail"),
    ):
        it = driving()
        it.stops = (1, 1)
        with pytest.raises(PlanUnsound, match=message):
            check_trips(it, decision(lots={key: 5.0}, tours=(THERE,)))
    assert mailed_to(driving(), decision(lots={(1, 0, MAIL): 5.0, (0, 0, 0): 5.0})) == {1}


def hours(scenario: Scenario, **has: Any) -> Any:
    """Hours at the bench and away of so many openings and parts, and these trips."""
    made = decision(**{"opened": (0,), "parts": (0,), **has})
    return check_hours(driving(scenario), made)


def test_hours_are_added_up_and_kept_to() -> None:
    """Two openings and a part: an hour and a quarter. Two trips of 40 minutes and 15, and a mailing of 6."""
    bench, away = hours(shed(), opened=(2,), parts=(1,), tours=(THERE, None, THERE), lots={(1, 0, MAIL): 1.0})
    assert (bench, away) == (1.25, pytest.approx(2.0 * (2.0 / 3.0 + 0.25) + 0.1))
    waits = replace(THERE, wait=0.25)
    assert hours(shed(), tours=(waits,))[1] == pytest.approx(2.0 / 3.0 + 0.5)


@pytest.mark.parametrize(("over", "fits"), [(0.0, True), (9e-7, True), (2.5e-6, False)])
def test_no_hours_are_more_than_there_are(over: float, fits: bool) -> None:
    trip = 2.0 / 3.0 + 0.25
    for limits, has in (
        ({"bench": 1.0 - over}, {"opened": (2,)}),
        ({"away": trip - over}, {"tours": (THERE,)}),
        ({"trip": trip - over}, {"tours": (THERE,)}),
    ):
        it = shed(hours=replace(shed().hours, **limits))  # type: ignore[arg-type]
        assert _fits(it, has) == fits


def _fits(scenario: Scenario, has: dict[str, Any]) -> bool:
    return passes(lambda: hours(scenario, **has))


def test_each_trip_has_its_own_limit_and_one_at_home_none() -> None:
    it = shed(hours=replace(shed().hours, trip=0.95))
    assert _fits(it, {"tours": (THERE, THERE, None)})
    assert not _fits(it, {"tours": (None, replace(THERE, wait=0.1))})
    assert trip_hours(driving(), None) == 0.0


# --- opening hours -----------------------------------------------------------------------------------


def opened(tour: Tour, *said: str, leave: float | None = None, trips: int = 1) -> bool:
    """Whether so many such trips keep to hours; twenty minutes there and a quarter of an hour on site."""
    it = shed(hours=Hours(2.0, 9.0, 6.0, 3, leave=leave))
    it = replace(it, buyers=(replace(it.buyers[0], open=said), it.buyers[1]))
    return passes(check_open, driving(it), decision(tours=(tour,) * trips))


def test_all_the_time_on_site_lies_within_the_hours() -> None:
    assert opened(THERE) and opened(THERE, "sat 8:20-8:35") and opened(THERE, "sat 8:00-17:00")
    assert not opened(THERE, "sat 8:00-8:34") and not opened(THERE, "sun 8:00-17:00")
    assert not opened(THERE, "sat 8:21-9:00"), "who is early waits, and says so"
    assert opened(replace(THERE, wait=1.0 / 60.0), "sat 8:21-9:00")
    assert not opened(replace(THERE, wait=1.0 / 60.0), "sat 8:00-9:00"), "and who is not does not"
    assert opened(THERE, "sat 6:20-6:35", leave=6.0) and not opened(THERE, "sat 6:20-6:35", leave=7.0)
    assert opened(replace(THERE, wait=0.5), "sat 8:00-8:20", "sat 8:50-9:05")


def test_trips_follow_one_another() -> None:
    """The second leaves when the first is back, at five to nine, and is there at a quarter past nine."""
    assert opened(THERE, "sat 8:00-9:30", trips=2) and not opened(THERE, "sat 8:00-9:29", trips=2)
    assert opened(None, "sun 8:00-9:00", trips=2)  # type: ignore[arg-type]


# --- the rest ----------------------------------------------------------------------------------------


def test_alone_nobody_lifts_more_than_one_person_does() -> None:
    """A piece of 30 kg of a kind that is half as heavy again."""
    node = SimpleNamespace(group=0, piece=SimpleNamespace(id="stove", mass=exact(30.0)))
    group = SimpleNamespace(scale=1.5, anatomy=SimpleNamespace(kind="stove"))

    def lifted(lift: float | None, helpers: int = 0, sold: int = 1) -> bool:
        vehicle = Vehicle(100.0, lift_kg=lift)
        it = SimpleNamespace(
            scenario=shed(vehicle=vehicle, hours=replace(shed().hours, helpers=helpers)),
            grade_sales=[SimpleNamespace(node=0)], nodes=[node], groups=[group],
        )  # fmt: skip
        return passes(check_lifting, it, decision(sold=(sold,)))

    assert lifted(45.0) and not lifted(44.9)
    assert lifted(44.9, helpers=1) and lifted(44.9, sold=0) and lifted(None)


def capped(
    units: tuple[int, ...], most: int | None = 2, share: float = 0.5, step: int | None = None, *, has: bool = True
) -> bool:
    """Units of one part, which two groups of finds have by a share."""
    part = Part(exact(10.0), 0.5, exact(5.0), name="motor", most=most)
    piece = SimpleNamespace(id="whole", of_kind="whole", share=share, parts=[part] if has else [])
    nodes = [SimpleNamespace(group=g, piece=piece) for g in range(2)]
    groups = [SimpleNamespace(anatomy=SimpleNamespace(kind="box"), find=SimpleNamespace(kind="box"))] * 2
    sales = [SimpleNamespace(node=n, part=part, step=step) for n in range(2)]
    it = SimpleNamespace(part_sales=sales, nodes=nodes, groups=groups)
    return passes(check_caps, it, decision(parts=units))


def test_no_more_of_a_part_than_sell_over_all_finds_by_their_share() -> None:
    assert capped((2, 2)) and not capped((3, 2)) and not capped((2, 3)) and not capped((5, 0))
    assert capped((9, 9), most=None)
    assert not capped((1, 0), has=False), "none is sold of what the piece does not have"


def test_one_unit_waits_for_each_buyer() -> None:
    assert capped((1, 1), step=0) and not capped((2, 1), step=0)
    assert capped((9, 9), most=None), "where all sell alike there is no row"
    assert not capped((2, 0), most=None, share=1.0, step=1) and capped((1, 0), most=None, share=1.0, step=1)


@pytest.mark.parametrize(("kg", "fits"), [(12.0, True), (12.0 + 1e-5, True), (12.0 + 2e-5, False)])
def test_what_is_posted_fits_its_parcels(kg: float, fits: bool) -> None:
    it = driving()
    post = replace(it.buyers[1], shipping=(Postage(2.0, 3.0), Postage(10.0, 5.0)))
    it.buyers = (it.buyers[0], post)
    it.grade_sales = []
    made = decision(lots={(1, 0, MAIL): kg, (0, 0, 0): 90.0}, parcels={(1, 0): 1, (1, 1): 1, (0, 1): 5})
    assert passes(check_parcels, it, made) == fits
    assert not passes(check_parcels, it, decision(parcels={(1, 0): -1}))
    assert not passes(check_parcels, it, decision(parcels={(1, 0): 1.0}))


def test_money_is_the_sum_of_its_parts_and_cash_what_changes_hands() -> None:
    money = Money(100.0, 20.0, -3.0, -4.0, -5.0, -60.0, 7.0)
    assert money.total == 55.0 and money.cash == 108.0


def test_what_is_there_of_a_grade_is_the_stock_and_what_was_opened() -> None:
    sales = [SimpleNamespace(grade=0, kg=2.0, residue_kg=0.5), SimpleNamespace(grade=1, kg=3.0, residue_kg=0.25)]
    it: Any = SimpleNamespace(stock=(10.0, 0.0, 1.0), grade_sales=sales, residue=2)
    made = decision(sold=(3, 2))
    assert grade_inflow(it, made) == [16.0, 6.0, 3.0]
    it.residue = None
    assert grade_inflow(it, made) == [16.0, 6.0, 1.0]


def test_what_a_decision_is_worth_elsewhere_counts_the_hours_it_was_checked_with(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[float] = []

    def money(_: Any, __: Any, spent: float) -> Money:
        asked.append(spent)
        return Money(1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 2.0)

    monkeypatch.setattr("partway.planning.check.verify.money_of", money)
    checked = Checked(decision(), Money(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0), 1.5, 2.25)
    assert worth_of(driving(), checked) == 3.0 and asked == [3.75]


def test_money_comes_from_where_it_says() -> None:
    """A lot that brings 8 and one that costs 2; two parts of 5 each, one kept of 3 and 4 kg at 0.50; postage of 3."""
    it = driving()
    it.lots = [SimpleNamespace(buyer=0, tiers=[SimpleNamespace(quote=quote(price))]) for price in (2.0, -1.0)]
    it.part_sales = [SimpleNamespace(income=5.0, unsold_value=1.0)]
    it.openings = [SimpleNamespace(cost=0.5)]
    it.kept_price, it.nodes = (0.5,), [SimpleNamespace(kept_value=3.0)]
    it.buyers = (it.buyers[0], replace(it.buyers[1], shipping=(Postage(2.0, 3.0),)))
    it.drive_money = lambda tour: 0.1 * tour.km
    made = decision(
        lots={(0, 0, 0): 4.0, (1, 0, 0): 2.0}, opened=(3,), parts=(2,), kept=(1,), kept_kg={0: 4.0},
        parcels={(1, 0): 2}, tours=(THERE, None, THERE),
    )  # fmt: skip
    money = money_of(it, made, 2.0)
    assert money == Money(8.0, 10.0, -6.0, -3.5, -4.0, -12.0, 7.0)


# --- the edge itself ---------------------------------------------------------------------------------


def edge(limit: float, fits: Callable[[float], bool], *, last: bool = True) -> None:
    """A figure at its limit passes (or, where `last` is not so, does not), and the next number beyond is the other."""
    assert fits(limit) == last
    assert fits(math.nextafter(limit, 0.0)) or last
    assert not fits(math.nextafter(limit, math.inf))


def test_the_last_number_that_passes() -> None:
    """Slacks are a millionth of a kilogram, of an hour or of a unit, or of what there is: written out in `verify`."""
    low, high, most = (
        instance(quote(from_kg=10.0)),
        instance(quote(), quote(from_kg=20.0)),
        instance(quote(most_kg=25.0)),
    )
    assert not passes(check_lots, low, decision(lots={(0, 0, 0): 10.0 - 0.5e-6}))
    assert passes(check_lots, low, decision(lots={(0, 0, 0): math.nextafter(10.0 - 0.5e-6, 11.0)}))
    edge(20.0 - 0.5e-6, lambda kg: passes(check_lots, high, decision(lots={(0, 0, 0): kg})), last=False)
    edge(25.0 + 1e-6, lambda kg: passes(check_lots, most, decision(lots={(0, 0, 0): kg})))
    heavy, bulky = driving(shed(vehicle=Vehicle(100.0, kmh=30.0))), driving(shed(vehicle=Vehicle(1e9, 50.0, kmh=30.0)))
    bulky.litres_per_kg = (1.0,)
    for it, room in ((heavy, 100.0), (bulky, 50.0)):
        edge(
            room * (1 + 1e-6) + 1e-6,
            lambda kg, it=it: passes(check_trips, it, decision(lots={(0, 0, 0): kg}, tours=(THERE,))),  # type: ignore[misc]
        )
    post = driving()
    post.buyers, post.grade_sales = (post.buyers[0], replace(post.buyers[1], shipping=(Postage(0.5, 3.0),))), []
    edge(
        0.5 + 1e-6 * 1.0,
        lambda kg: passes(check_parcels, post, decision(lots={(1, 0, MAIL): kg}, parcels={(1, 0): 1})),
    )
    edge(
        2.0 + 1e-6,
        lambda units: capped((units, 0), share=1.0),  # type: ignore[arg-type]
    )
    for name, has in (("bench", {"opened": (1,)}), ("away", {"tours": (THERE,)}), ("trip", {"tours": (THERE,)})):
        spent = 0.5 if name == "bench" else 2.0 / 3.0 + 0.25
        slack = 1e-6 * max(1.0, spent)
        just = next(x for x in (spent - slack, math.nextafter(spent - slack, 1.0)) if spent <= x + slack)
        less = just
        while spent <= less + slack:
            less = math.nextafter(less, 0.0)
        it = shed(hours=replace(shed().hours, **{name: just}))  # type: ignore[arg-type]
        assert _fits(it, has)
        assert not _fits(shed(hours=replace(shed().hours, **{name: less})), has)  # type: ignore[arg-type]
