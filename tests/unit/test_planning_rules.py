"""Small rules of a plan, each by hand: who waits for a buyer, what is counted, who is open, and how long a way is.

How likely the n-th of a row sells is worked out twice in the program, by the plan and by its check; here they are held
against each other. The rest are numbers of an invented shed.
"""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from partway.planning.check.direct import arrivals, as_long_as, cheapest_trips
from partway.planning.check.figures import row_chance
from partway.planning.instance.counted import amount_of, counted_by, left_of_lot, more_for_one, pieces_in
from partway.planning.instance.offers import ahead, offered_as, ranked, steps
from partway.planning.instance.opening import OpenHours
from partway.planning.tours.roads import measure, round_trips
from partway.planning.tours.timed import served
from partway.planning.tours.tours import Tour
from partway.things.anatomy import Anatomy, Part, Piece
from partway.things.estimate import Estimate
from partway.things.scenario import Buyer, Find, Hours, Quote, Road, Scenario, Vehicle

DAY = dt.date(2026, 3, 14)  # a Saturday
exact = Estimate.exact


def shed(**changes: Any) -> Scenario:
    """Nothing but three yards on a road: 5 km to the first, 3 from it to the second, 20 from home to the third."""
    it = Scenario(
        name="shed",
        currency="EUR",
        on=DAY,
        hours=Hours(1.0, 4.0, 6.0, 2),
        vehicle=Vehicle(100.0, cost_per_km=0.2, kmh=30.0),
        buyers=(
            Buyer("near", "yard", km=5.0, minutes=15.0),
            Buyer("post", "mail-in", minutes=10.0),
            Buyer("mid", "yard", minutes=30.0),
            Buyer("far", "yard", km=20.0),
        ),
        finds=(),
        stock={},
        grades={},
        anatomies={},
        roads=(Road("near", "mid", 3.0), Road("mid", "far", 6.0, minutes=30.0)),
    )
    return replace(it, **changes)


# --- a row of offers ---------------------------------------------------------------------------------


def part(chance: float = 0.5, **has: Any) -> Part:
    """Sold by the unit at 10."""
    return Part(exact(10.0), chance, exact(5.0), **has)


def box(*parts: Part) -> Anatomy:
    """A box and its lid, that sell by the unit alike."""
    return Anatomy(
        "box", "Box", (Piece("whole", "box", exact(5.0), (), parts), Piece("lid", "lid", exact(1.0), (), parts))
    )


def test_how_many_are_on_offer_before_one_more() -> None:
    """Finds on offer whole stand in the row of the part they are on offer by; what was said stands in it too."""
    plain, use = part(name="for parts"), part(name="for use", needs="works")
    anatomy = box(plain, use)
    finds = (
        Find("box", 5, "yes", listed=2),
        Find("box", 4, "no", listed=3),
        Find("fan", 9, "no", listed=9),
        Find("box"),
    )
    it = shed(finds=finds, listed={("box", "lid", "for parts"): 4, ("box", "whole", "for use"): 1})
    assert ahead(it, anatomy, "whole", plain) == 3
    assert ahead(it, anatomy, "whole", use) == 3
    assert ahead(it, anatomy, "lid", plain) == 4
    assert ahead(it, anatomy, "lid", use) is None, "nothing is known of it: one sells like another"
    assert ahead(shed(listed={("box", "lid", "for use"): 0}), anatomy, "lid", use) == 0
    for chance in (0.0, 1.0):
        sure = replace(plain, chance=chance)
        assert ahead(it, box(sure, use), "lid", sure) is None


@pytest.mark.parametrize(
    ("before", "most", "places"), [(0, 3, 3), (2, 3, 3), (10, 5, 2), (12, 5, 0), (15, 5, 0), (3, 0, 0)]
)
def test_no_more_than_twelve_are_on_offer_side_by_side(before: int, most: int, places: int) -> None:
    found = list(steps(part(0.9), before, most))
    assert [step for step, _ in found] == list(range(places))
    expected = [row_chance(before + step + 1, 0.9) for step in range(places)]
    assert [chance for _, chance in found] == pytest.approx(expected)


def test_where_all_sell_alike_there_is_one_step() -> None:
    assert list(steps(part(0.5), None, 7)) == [(None, 0.5)]


def test_a_unit_that_hardly_sells_is_not_put_on_offer() -> None:
    """The least is one in a hundred."""
    found = list(steps(part(0.03), 0, 12))
    chances = [row_chance(place, 0.03) for place in range(1, 13)]
    assert [chance for _, chance in found] == pytest.approx([chance for chance in chances if chance >= 0.01])
    assert 0 < len(found) < 12


def test_a_find_is_on_offer_for_use_if_it_works_and_else_by_what_brings_most() -> None:
    cheap, dear, use = part(0.5), part(0.9), part(0.1, needs="works")
    assert offered_as(box(cheap, dear, use), "yes") == use
    for works in ("no", "unknown"):
        assert offered_as(box(cheap, dear, use), works) == dear
    assert offered_as(box(use), "no") is None and offered_as(box(), "yes") is None


def test_finds_on_offer_have_ranks_and_those_that_hardly_sell_one_together() -> None:
    find = Find("box", 9, "no", listed=4)
    assert list(ranked(find, 3, part(0.5))) == [(3, 1), (4, 1), (5, 1), (6, 1)]
    assert list(ranked(find, 3, None)) == [(3, 4)]
    assert list(ranked(replace(find, listed=0), 3, None)) == []
    last = next(place for place in range(1, 50) if row_chance(place, 0.03) < 0.01)
    assert list(ranked(replace(find, listed=5), last - 2, part(0.03))) == [(last - 2, 1), (last - 1, 1), (last, 3)]


# --- what is counted ---------------------------------------------------------------------------------


def counting(share: float = 0.0, **has: Any) -> Any:
    """One lot that is paid 4 a piece of 2 kg, and pieces of 3 kg, half of which are there; a share is kept back."""
    quote = Quote("iron", exact(2.0), DAY, **{"piece_kg": 2.0, "each": True, **has})
    return SimpleNamespace(
        buyers=[Buyer("yard", "yard", ticket_share=share)],
        lots=[SimpleNamespace(buyer=0, tiers=[SimpleNamespace(price=2.0 * (1.0 - share), quote=quote)])],
        grade_sales=[SimpleNamespace(node=0, kg=3.0)],
        nodes=[SimpleNamespace(piece=SimpleNamespace(share=0.5))],
        share_of=lambda _: 0.5,
    )


def loaded(kg: float) -> Any:
    """Two pieces loaded whole into the lot on the first trip, three on the second, and so much in all on the first."""
    return SimpleNamespace(blocks={(0, 0, 0): 2, (0, 0, 1): 3}, lots={(0, 0, 0): kg})


def test_a_piece_brings_its_price_whatever_it_weighs() -> None:
    """Half a piece brings 2, its 3 kg would 6. Two of them and 4 kg out of a bin are 3 pieces, and bring 12."""
    it = counting()
    assert more_for_one(it, 0, 0) == -4.0
    assert pieces_in(it, loaded(10.0), (0, 0, 0)) == 3.0
    assert amount_of(it, loaded(10.0), (0, 0, 0)) == 12.0


def test_a_share_that_is_kept_back_leaves_less_and_the_ticket_says_all_of_it() -> None:
    """A tenth: half a piece leaves 1.80, its 3 kg would 5.40; three pieces leave 10.80 of 12."""
    it = counting(0.1)
    assert more_for_one(it, 0, 0) == pytest.approx(-3.6)
    assert left_of_lot(it, loaded(10.0), (0, 0, 0)) == pytest.approx(10.8)
    assert amount_of(it, loaded(10.0), (0, 0, 0)) == pytest.approx(12.0)


def test_pieces_are_counted_for_their_number_alone_where_they_are_paid_by_the_kilogram() -> None:
    it = counting(each=False, most_pieces=5)
    assert more_for_one(it, 0, 0) == 0.0
    assert pieces_in(it, loaded(10.0), (0, 0, 0)) == 3.0
    assert amount_of(it, loaded(10.0), (0, 0, 0)) == 20.0
    plain = counting(each=False)
    assert counted_by(plain.lots[0]) is None and pieces_in(plain, loaded(10.0), (0, 0, 0)) is None
    it.lots[0].tiers *= 2
    assert counted_by(it.lots[0]) is None, "what has tiers is weighed"


# --- opening hours -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "leave", "away", "part"),
    [
        ("sat 8:00-12:00", None, 4.0, None),  # from leaving at eight to the end of the hours away
        ("sat 8:00-12:00", None, 4.1, ((8.0, 12.0),)),
        ("sat 8:00-12:00", 9.0, 3.0, None),
        ("sat 8:00-12:00", 9.0, 3.1, ((8.0, 12.0),)),
        ("sat 8:00-12:00", 7.9, 1.0, ((8.0, 12.0),)),
        ("sun 8:00-12:00", None, 1.0, ()),
    ],
)
def test_who_is_open_all_the_time_that_anybody_may_be_away_has_no_hours(
    said: str, leave: float | None, away: float, part: Any
) -> None:
    buyers = (Buyer("post", "mail-in", open=(said,)), Buyer("near", "yard", km=5.0, open=(said,)), Buyer("far", "yard"))
    hours = OpenHours.of(shed(buyers=buyers, hours=Hours(1.0, away, 6.0, 3, leave=leave)))
    assert hours.leave == (8.0 if leave is None else leave)
    assert hours.part == ({} if part is None else {1: part})
    assert hours.closed == ({1} if part == () else set())
    assert list(hours.visits_on(1, 3)) == (list(range(3)) if part is None else [0] if part else [])
    assert list(hours.visits_on(2, 3)) == [0, 1, 2] and list(hours.visits_on(1, 0)) == []


@pytest.mark.parametrize(
    ("arrival", "over"),
    [(7.0, 8.5), (8.0, 8.5), (9.25, 9.75), (9.5, 10.0), (9.6, 13.5), (12.9, 13.5), (15.5, 16.0), (15.51, None)],
)
def test_who_is_early_waits_and_who_is_late_comes_in_the_afternoon(arrival: float, over: float | None) -> None:
    """Eight to ten and one to four, half an hour on site."""
    assert served(((8.0, 10.0), (13.0, 16.0)), arrival, 0.5) == (None if over is None else pytest.approx(over))
    assert served(None, arrival, 0.5) == arrival + 0.5


# --- ways --------------------------------------------------------------------------------------------


def test_a_way_is_as_long_as_its_roads() -> None:
    """Home, near, mid and back: 5 + 3 + 3 + 5 km; at 30 km/h 16 km take 32 minutes."""
    it = shed()
    tour = Tour((2,), 16.0, 16.0 / 30.0, (0, 1, 2, 1, 0))
    assert as_long_as(it, tour)
    assert as_long_as(it, Tour((1, 3), 28.0 + 6.0, 28.0 / 30.0 + 0.5, (0, 1, 2, 3, 0)))
    for wrong in (
        replace(tour, km=16.001), replace(tour, hours=0.5), replace(tour, way=(0, 1, 2, 0)), replace(tour, stops=(3,)),
        replace(tour, stops=(2, 2)), replace(tour, way=(1, 2, 1, 0)), replace(tour, way=(0, 1, 2, 1)),
    ):  # fmt: skip
        assert not as_long_as(it, wrong)
    assert not as_long_as(shed(vehicle=None), tour)
    near = replace(tour, km=16.0 + 9e-7, hours=16.0 / 30.0 - 9e-7)
    assert as_long_as(it, near)


def test_one_arrives_where_one_stops_after_the_hours_at_the_wheel() -> None:
    it = shed()
    tour = Tour((2, 1), 16.0, 16.0 / 30.0, (0, 1, 2, 1, 0))
    assert [stop for stop, _ in arrivals(it, tour)] == [2, 1]
    assert [hours for _, hours in arrivals(it, tour)] == pytest.approx([8.0 / 30.0, 11.0 / 30.0])
    tour = Tour((3,), 34.0, 1.0, (0, 1, 2, 3, 0))
    ((stop, hours),) = arrivals(it, tour)
    assert stop == 3 and hours == pytest.approx(8.0 / 30.0 + 0.5)


def test_a_round_trip_costs_the_cheapest_way_there_and_back_and_the_time_on_site() -> None:
    """A km is 0.20 and two minutes at 6 an hour: 0.40. To mid 8 km; on to far 6 km in half an hour, 4.20 more: 7.40 by
    that way, 8.00 straight.
    """
    expected = {"near": 2 * 2.0 + 1.5, "mid": 2 * 3.2 + 3.0, "far": 2 * 7.4}
    assert cheapest_trips(shed()) == pytest.approx(expected)
    vehicle = shed().vehicle
    assert vehicle is not None and dict(round_trips(shed(), vehicle)) == pytest.approx(expected)
    assert cheapest_trips(shed(vehicle=None)) == {}
    alone = shed(roads=())
    assert cheapest_trips(alone)["mid"] == math.inf and "mid" not in dict(round_trips(alone, vehicle))
    assert round_trips(shed(buyers=()), vehicle) == ()


def test_where_the_wage_is_high_one_drives_the_quicker_way() -> None:
    it = shed(hours=Hours(1.0, 4.0, 60.0, 2), roads=(Road("home", "far", 40.0, minutes=20.0), *shed().roads))
    # 40 km in 20 minutes: 8 and 20. By near and mid: 14 km at 0.20 and 46 minutes.
    assert cheapest_trips(it)["far"] == pytest.approx(2 * 28.0)
    vehicle = it.vehicle
    assert vehicle is not None and dict(round_trips(it, vehicle))["far"] == pytest.approx(2 * 28.0)
    there = measure(it, vehicle).between(0, 3)
    assert there[0].via == () and there[0].km == 40.0
