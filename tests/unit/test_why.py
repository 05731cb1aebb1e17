"""Why a line is in the plan: flip prices by planning again just beside them, worths by planning without."""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench_day import DAYS, bench_day
from planned import defended

from partway.actions.plans.plan import Limits, plan
from partway.reports.haul.plan_lines import SaleLine
from partway.things.estimate import Estimate
from partway.things.scenario import Postage, Scenario


def priced(it: Scenario, line: SaleLine, price: float) -> Scenario:
    """The scenario with one buyer's price of one grade changed."""
    buyers = []
    for b in it.buyers:
        quotes = tuple(
            replace(q, price=Estimate.exact(price)) if (b.id, q.grade) == (line.buyer, line.grade) else q
            for q in b.quotes
        )
        buyers.append(replace(b, quotes=quotes))
    return replace(it, buyers=tuple(buyers))


def stays(it: Scenario, line: SaleLine, price: float) -> bool:
    """Whether that buyer still gets some of that grade at that price."""
    report = plan(priced(it, line, price), Limits(seconds=30.0))
    return any((s.buyer, s.grade) == (line.buyer, line.grade) for s in report.sales)


@pytest.mark.parametrize("day", ["two yards", "opened for it"])
def test_the_lines_of_a_plan_are_defended_as_they_are_without_other_worlds(day: str) -> None:
    """Other tests leave the other worlds out, as they take most of the time."""
    whole, lines = plan(DAYS[day], why=True), defended(DAYS[day])
    assert whole.again is not None and whole.again.times == 50
    assert (whole.open, whole.parts, whole.sales) == (lines.open, lines.parts, lines.sales)
    assert all(sale.why is not None for sale in whole.sales) and whole.sales
    assert all(opening.why is not None for opening in whole.open)


@pytest.mark.parametrize("day", DAYS)
def test_the_flip_price_of_a_lot_really_flips(day: str) -> None:
    """Planned again: a little below, the lot leaves; a little above, it stays. Nothing kept has worth here."""
    it = DAYS[day]
    report = defended(it)
    assert report.sales
    for line in report.sales:
        assert line.why is not None and line.why.exact and line.why.worth >= 0.0
        flip = line.why.flip_price
        assert flip is not None and line.why.flip_grade == line.grade
        assert flip <= line.price_per_kg + 1e-9
        assert stays(it, line, flip + 0.02), (line.grade, flip)
        assert not stays(it, line, flip - 0.02), (line.grade, flip)


def test_the_worth_of_a_lot_is_what_the_plan_loses_when_the_buyer_will_not_take_it() -> None:
    it = DAYS["two yards"]
    report = defended(it)
    for line in report.sales:
        without = tuple(
            replace(b, quotes=tuple(q for q in b.quotes if (b.id, q.grade) != (line.buyer, line.grade)))
            for b in it.buyers
        )
        assert line.why is not None
        lost = report.objective - plan(replace(it, buyers=without)).objective
        assert line.why.worth == pytest.approx(lost, abs=1e-6)


def test_the_worth_of_an_opening_is_what_the_plan_loses_without_it() -> None:
    it = DAYS["opened for it"]
    report = defended(it)
    (line,) = report.open
    motor = it.anatomies["motor"]
    shut = plan(replace(it, anatomies={"motor": replace(motor, pieces=motor.pieces[:1], operations=())}))
    assert line.why is not None
    assert line.why.worth == pytest.approx(report.objective - shut.objective, abs=1e-6)
    assert report.objective > shut.objective + 1.0


def two_quotes(near: float) -> Scenario:
    """10 kg of copper; a near yard pays `near`, a far one 4 and costs 80 to reach; what is kept counts for 0.8."""
    it = bench_day({"harbour-yard": {"copper": near}, "ridge-yard": {"copper": 4.0}}, {"copper": 10.0})
    near_by, far_off = it.buyers
    return replace(
        it,
        hours=replace(it.hours, wage=0.0),
        buyers=(replace(near_by, km=5.0), replace(far_off, km=100.0)),
        keep_factor=0.8,
    )


def test_another_quote_that_holds_up_the_keep_value_stops_the_flip_price() -> None:
    """By hand: 10 kg sold at p bring 10 p - 10 km x 0.40; kept they count for 10 x 0.8 x 4.00 below 4: p = 3.60."""
    it = two_quotes(5.0)
    (line,) = defended(it).sales
    assert line.why is not None and line.why.exact
    assert line.why.flip_price == pytest.approx(3.6, abs=1e-9)
    assert stays(it, line, 3.601) and not stays(it, line, 3.599)


@pytest.mark.parametrize("keep_factor", [0.8, None])
def test_the_flip_price_of_what_goes_by_mail_says_that_postage_is_in_it(keep_factor: float | None) -> None:
    """By hand: 5 kg at p less 6.00 of postage, or kept for 0.8 x (p - 6.00 / 5) a kg, p the only quote: p = 1.20.

    Without a keep factor what is kept counts 0.9 of that above 1.20 and all of it below: there the keep value bends
    downwards, and from there on both are worth the same.
    """
    it = bench_day({"harbour-yard": {"copper": 9.0}}, {"copper": 5.0})
    mail = replace(it.buyers[0], kind="mail-in", km=None, minutes=0.0, shipping=(Postage(5.0, 6.0),))
    (line,) = defended(replace(it, buyers=(mail,), keep_factor=keep_factor)).sales
    assert line.why is not None and line.why.exact and line.why.includes_postage
    assert line.why.flip_price == pytest.approx(1.2, abs=1e-6)
    (by_road,) = defended(two_quotes(5.0)).sales
    assert by_road.why is not None and not by_road.why.includes_postage


def waiting(price: float, kg: float) -> Scenario:
    """Copper at one yard 5 km away, a trip of 4.00, in loads of 300 kg; what is kept counts by the room it takes."""
    it = bench_day({"harbour-yard": {"copper": price}}, {"copper": kg})
    assert it.vehicle is not None
    return replace(
        it,
        hours=replace(it.hours, wage=0.0),
        buyers=(replace(it.buyers[0], km=5.0),),
        vehicle=replace(it.vehicle, payload_kg=300.0, volume_l=None, cost_per_km=0.4),
        keep_factor=None,
    )


def test_a_load_that_may_wait_flips_where_its_price_no_longer_pays_the_trip() -> None:
    """By hand: 10 kg kept count for 0.9 p less 4 / (0.85 x 300) each, so that sold they gain p - 4 + 40 / 255."""
    it = waiting(5.0, 10.0)
    (line,) = defended(it).sales
    assert line.why is not None and line.why.exact
    flip = 4.0 - 40.0 / 255.0
    assert line.why.flip_price == pytest.approx(flip, abs=1e-6)
    assert stays(it, line, flip + 0.001) and not stays(it, line, flip - 0.001)


def test_a_full_load_that_is_charged_for_flips_at_no_price() -> None:
    """What is kept moves along, a charge in full: a full load is worth its trip at any price."""
    (line,) = defended(waiting(-0.1, 300.0)).sales
    assert line.why is not None and line.why.exact
    assert line.why.flip_price is None
