"""What a plan report says, held against the scenario it speaks of.

Sums, numbers and orders are recomputed from the lines themselves; reasons by looking the named fact up in
the scenario.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from functools import cache

import pytest
from graphs import Worths, mean
from posting import enumerated
from tiny import scenario as tiny

from partway.actions.plans.plan import Limits, plan
from partway.catalogue.shipped import DATA
from partway.planning.instance.build import build
from partway.reports.haul.plan import Plan
from partway.reports.haul.plan_lines import KeptLine, TripLine
from partway.storage.scenario.scenario import read_scenario
from partway.things.scenario import Buyer, Find, Quote, Scenario

DEMO = DATA.parent / "demo" / "harbour-week.toml"
SEEDS = range(80)
EMPTY = {seed for seed in SEEDS if not tiny(seed).finds and not tiny(seed).stock}  # has a test of its own
CENT = 1e-9


@cache
def cases() -> tuple[tuple[Scenario, Plan], ...]:
    """The demo and tiny random scenarios, planned."""
    scenarios = [read_scenario(DEMO), *(tiny(seed) for seed in SEEDS if seed not in EMPTY)]
    return tuple((it, plan(it, Limits(seconds=30.0))) for it in scenarios)


# --- plan: sums ----------------------------------------------------------------------------------


def test_the_objective_is_the_sum_of_its_money() -> None:
    for _, report in cases():
        money = report.money
        parts = (money.sales, money.parts, money.shipping, money.fees, money.driving, money.wage, money.kept)
        assert report.objective == pytest.approx(math.fsum(parts), abs=CENT * max(1.0, abs(report.objective)))
        assert min(money.sales, -money.shipping, -money.fees, -money.driving, -money.wage) >= 0.0
        assert report.bound is not None and report.gap is not None
        assert report.bound >= report.objective
        assert report.gap == pytest.approx((report.bound - report.objective) / max(1.0, abs(report.objective)))
        assert (report.status == "optimal") is (report.gap <= 1e-6)


def test_money_is_the_sum_of_the_lines() -> None:
    for it, report in cases():
        amounts = [line.amount for line in report.sales]
        assert report.money.sales == pytest.approx(math.fsum(a for a in amounts if a > 0), abs=1e-9)
        costs = {(a.kind, op.id): op.cost for a in it.anatomies.values() for op in a.operations}
        costs |= {(kind, "test"): 0.0 for kind in it.anatomies}  # finding out costs minutes alone
        spent = sum(costs[line.kind, line.operation] * line.times for line in report.open)
        assert report.money.fees == pytest.approx(math.fsum(a for a in amounts if a < 0) - spent, abs=1e-9)
        assert report.money.parts == pytest.approx(sum(line.expected for line in report.parts), abs=1e-9)
        assert report.money.shipping == pytest.approx(-sum(line.cost for line in report.parcels), abs=1e-9)
        per_km = it.vehicle.cost_per_km if it.vehicle else 0.0
        assert report.money.driving == pytest.approx(-per_km * sum(t.km for t in report.trips), abs=1e-9)
        hours = report.hours.bench + report.hours.away
        assert report.money.wage == pytest.approx(-it.hours.wage * hours, abs=1e-9)
        kept = sum(line.value for line in report.kept)
        if not any(line.chance < 1.0 for line in report.parts):  # an unsold part counts as kept too
            assert report.money.kept == pytest.approx(kept, abs=1e-6)


def test_hours_are_the_sum_of_the_lines() -> None:
    for it, report in cases():
        minutes = sum(line.minutes for line in report.open) + sum(line.minutes for line in report.parts)
        assert report.hours.bench == pytest.approx(minutes / 60.0, abs=1e-9)
        mailed = {line.buyer for line in report.sales if line.trip is None}
        posting = sum(b.minutes / 60.0 for b in it.buyers if b.id in mailed)
        assert report.hours.away == pytest.approx(sum(t.hours for t in report.trips) + posting, abs=1e-9)
        assert report.hours.bench <= it.hours.bench + 1e-6 and report.hours.away <= it.hours.away + 1e-6


def test_kilograms_put_in_bins_come_from_stock_and_pieces_and_all_go_somewhere() -> None:
    for it, report in cases():
        binned = sum(line.mass_kg for line in report.bins)
        gone = sum(line.mass_kg for line in report.sales)
        gone += sum(line.mass_kg for line in report.kept if line.grade is not None)
        assert gone == pytest.approx(binned, abs=1e-5)
        for line in report.bins:
            assert line.stock_kg == pytest.approx(it.stock.get(line.grade, 0.0))


# --- plan: numbers and orders ----------------------------------------------------------------------


def test_line_numbers_run_through_the_report() -> None:
    for _, report in cases():
        lines = [line.line for line in report.open]
        lines += [line.line for line in report.parts]
        lines += [line.line for line in report.sales]
        lines += [line.line for line in report.kept]
        assert lines == list(range(1, len(lines) + 1))


def test_sales_point_into_routes() -> None:
    posted = 0
    for it, report in cases():
        kinds = {b.id: b.kind for b in it.buyers}
        assert report.routes == tuple(trip.stops for trip in report.trips)
        assert [trip.trip for trip in report.trips] == list(range(1, len(report.trips) + 1))
        assert len(report.trips) <= it.hours.trips
        for line in report.sales:
            posted += line.trip is None
            if line.trip is None:
                assert kinds[line.buyer] == "mail-in"
            else:
                assert line.buyer in report.routes[line.trip - 1]
        sold_at = {(line.trip, line.buyer) for line in report.sales}
        assert all((n, stop) in sold_at for n, route in enumerate(report.routes, 1) for stop in route)
    assert posted >= 3


def test_a_trip_carries_its_lots_and_no_more_than_the_vehicle_does() -> None:
    for it, report in cases():
        for trip in report.trips:
            load = sum(line.mass_kg for line in report.sales if line.trip == trip.trip)
            assert trip.load_kg == pytest.approx(load)
            assert it.vehicle is not None
            assert load <= it.vehicle.payload_kg * (1 + 1e-6)
            if it.vehicle.volume_l is not None:
                assert trip.load_litres <= it.vehicle.volume_l * (1 + 1e-6)


def test_every_lot_is_paid_what_was_quoted_and_by_somebody_who_takes_it() -> None:
    for it, report in cases():
        buyers = {b.id: b for b in it.buyers}
        for line in report.sales:
            assert line.amount == pytest.approx(line.mass_kg * line.price_per_kg, rel=1e-12)
            buyer, grade = buyers[line.buyer], it.grades[line.grade]
            assert not {grade.id, grade.family, *grade.hazards} & set(buyer.refuses)
            said = [q for q in buyer.quotes if q.grade == line.grade and q.from_kg <= line.mass_kg * (1 + 1e-6)]
            assert line.price_per_kg in [pytest.approx(mean(q.price)) for q in said]


def test_openings_come_find_by_find_the_best_hour_first() -> None:
    several = 0
    for it, report in cases():
        first: dict[tuple[str, str, float | None], float] = {}
        seen: list[tuple[str, str, float | None]] = []
        bare: set[tuple[tuple[str, str, float | None], str]] = set()
        for line in report.open:
            find = (line.kind, line.works, line.mass_kg)
            first.setdefault(find, math.inf if line.per_hour is None else line.per_hour)
            if not seen or seen[-1] != find:
                seen.append(find)
            anatomy = next(
                group.anatomy
                for group in build(it).groups
                if (group.find.kind, group.find.works, group.find.mass_kg) == find
            )  # with the test of what nobody knows
            assert line.piece == anatomy.whole.id or (find, line.piece) in bare, "opened before it came out"
            op = next(op for op in anatomy.operations if (op.id, op.on) == (line.operation, line.piece))
            bare |= {(find, given.piece) for given in op.gives}
            share = anatomy.piece(line.piece).share  # of many finds, those whose answer it is
            assert line.minutes == pytest.approx(mean(op.minutes) * line.times * share)
            assert 1 <= line.times <= line.of
        assert len(seen) == len(set(seen)), "the openings of one find stand together"
        rates = list(first.values())
        assert rates == sorted(rates, reverse=True)
        several += len(rates) >= 2
    assert several >= 5


def test_nothing_to_plan_is_a_plan_to_do_nothing() -> None:
    """No finds, nothing in the bins: an empty plan, not an error."""
    it = next(tiny(seed) for seed in range(200) if not tiny(seed).finds and not tiny(seed).stock)
    report = plan(it)
    assert (report.status, report.objective) == ("optimal", 0.0)
    assert not (report.open or report.parts or report.sales or report.kept or report.routes)


# --- plan: reasons ---------------------------------------------------------------------------------


def below(it: Scenario, grade: str) -> set[str]:
    """The grade and all it may be sold as that names its hazards."""
    hazards = set(it.grades[grade].hazards)
    found = {grade}
    for lower in it.grades[grade].downgrades:
        if hazards <= set(it.grades[lower].hazards):
            found |= below(it, lower)
    return found


def offers(it: Scenario, grades: Iterable[str]) -> list[tuple[float, str, str, Quote]]:
    """Net price, buyer, grade and quote for any of these grades, from those who take it."""
    found = []
    for b in it.buyers:
        post = min((p.cost / p.up_to_kg for p in b.shipping), default=0.0)
        for q in b.quotes:
            g = it.grades[q.grade]
            if q.grade in grades and not {g.id, g.family, *g.hazards} & set(b.refuses):
                found.append((mean(q.price) - post, b.id, q.grade, q))
    return found


def outlets(it: Scenario, line: KeptLine) -> list[str]:
    """The grades that what is kept may be sold as, as it lies there."""
    if line.grade is not None:
        return [line.grade]
    anatomy = it.anatomies[str(line.kind)]
    alone = replace(it, finds=(Find(anatomy.kind),))
    return [sale.grade for sale in Worths(alone, 0.0).sales(anatomy.piece(str(line.piece)))]


def is_true(it: Scenario, report: Plan, line: KeptLine) -> bool:
    """Whether the fact that a kept line's reason names holds in the scenario."""
    because = line.because
    by_grade = [offers(it, below(it, grade)) for grade in outlets(it, line)]
    there = [offer for found in by_grade for offer in found]
    if because.code == "unquoted":
        return not there
    if because.code == "stays-shut":
        anatomy = it.anatomies[str(line.kind)]
        return not there and because.caution == anatomy.piece(str(line.piece)).stop
    if because.code in ("payload-full", "vehicle-full"):
        return is_full(it, report, "load_kg" if because.code == "payload-full" else "load_litres")
    if because.code == "pays-less" and line.grade:
        served = {stop for route in report.routes for stop in route} | {s.buyer for s in report.sales}
        posted = {b.id for b in it.buyers if b.shipping}  # there a little more may take a whole parcel more
        here = [(p, q) for p, b, _, q in there if b in served - posted]
        now = [price for price, q in here if max(q.from_kg, q.minimum_kg) <= line.mass_kg]
        return all(price <= line.value / line.mass_kg + 1e-9 for price in now)
    if because.buyer is None:
        return piece_reason_is_true(it, line)
    return buyer_reason_is_true(it, report, line, [found for found in by_grade if found])


def buyer_reason_is_true(
    it: Scenario, report: Plan, line: KeptLine, by_grade: list[list[tuple[float, str, str, Quote]]]
) -> bool:
    """The same for a reason that names a buyer."""
    because = line.because
    buyer = next(b for b in it.buyers if b.id == because.buyer)
    kg = line.mass_kg
    quotes = [q for found in by_grade for _, b, g, q in found if (b, g) == (buyer.id, because.grade)]
    best = [max(found, key=lambda offer: offer[0]) for found in by_grade]
    least = [max(q.from_kg, q.minimum_kg) for q in quotes]
    served = {stop for route in report.routes for stop in route} | {s.buyer for s in report.sales}
    if because.code == "charges":
        return because.per_kg == pytest.approx(-max(p for p, b, *_ in best if b == buyer.id), abs=1e-9)
    if because.code == "postage-too-dear":
        return any(b == buyer.id and p < 0 <= mean(q.price) for p, b, _, q in best)
    if because.code == "small-lot":
        sold = any((sale.buyer, sale.grade) == (buyer.id, line.grade) for sale in report.sales)
        return min(least) == because.least_kg and kg < min(least) and not sold and because.grade == line.grade
    if because.code == "no-room-for-lot":
        trips = [trip for trip in report.trips if buyer.id in trip.stops]
        return (
            min(least) == because.least_kg
            and trips != []
            and not any(fits(it, trip, min(least), str(line.grade)) for trip in trips)
        )
    if because.code == "small-to-post":
        return small_to_post(buyer, because.least_kg or 0.0, quotes, kg)
    if because.code == "not-posted":
        return buyer.kind == "mail-in" and buyer.id not in served and any(b == buyer.id and p >= 0 for p, b, *_ in best)
    reached = [[o for o in found if max(o[3].from_kg, o[3].minimum_kg) <= kg] for found in by_grade]
    mailed = {b.id for b in it.buyers if b.kind == "mail-in"}
    driven = [[o for o in found if o[1] not in mailed] for found in reached]
    best += [max(found, key=lambda offer: offer[0]) for found in driven if found and best[0][1] in mailed]
    pays = [price for price, b, *_ in best if b == buyer.id]
    free = because.code == "taken-free-elsewhere"
    return buyer.id not in served | mailed and any((price > 0) is not free for price in pays)


def fits(it: Scenario, trip: TripLine, kg: float, grade: str) -> bool:
    """Whether a trip could take so much more of a grade."""
    assert it.vehicle is not None
    litres = trip.load_litres + kg / mean(it.grades[grade].density)
    room = it.vehicle.volume_l is None or litres <= it.vehicle.volume_l
    return room and trip.load_kg + kg <= it.vehicle.payload_kg


def small_to_post(buyer: Buyer, least: float, quotes: list[Quote], kg: float) -> bool:
    """Whether no lot from `kg` to just below `least` pays for parcels of its own, and `least` does."""

    def gains(mass: float) -> float:
        paid = [mean(q.price) for q in quotes if max(q.from_kg, q.minimum_kg) <= mass]
        return max(paid, default=0.0) * mass - enumerated(buyer.shipping, mass)

    tried = [kg + (least - kg) * n / 50 for n in range(50)]
    return kg < least and all(gains(mass) < 1e-9 for mass in tried) and gains(least) >= -1e-5


def is_full(it: Scenario, report: Plan, what: str) -> bool:
    """Whether some trip carries what the vehicle takes, to 1 %."""
    assert it.vehicle is not None
    most = it.vehicle.payload_kg if what == "load_kg" else it.vehicle.volume_l
    return most is not None and any(getattr(trip, what) >= 0.99 * most for trip in report.trips)


def wanting(it: Scenario, line: KeptLine) -> list[tuple[Buyer, Quote]]:
    """Who takes it as it lies there, under which quote."""
    buyers = {b.id: b for b in it.buyers}
    return [(buyers[b], q) for grade in outlets(it, line) for _, b, _, q in offers(it, below(it, grade))]


def carried_whole(it: Scenario, line: KeptLine, wanted: tuple[Buyer, Quote]) -> bool:
    """Whether one of it fits the load, or the parcel, in which it would go to a buyer."""
    buyer, quote = wanted
    share = max(s.share for s in it.anatomies[str(line.kind)].piece(str(line.piece)).sells)
    one = line.mass_kg / (line.count or 1) * share
    if buyer.shipping:
        return one <= max(step.up_to_kg for step in buyer.shipping)
    litres = one / mean(it.grades[quote.grade].density)
    vehicle = it.vehicle
    return vehicle is None or (one <= vehicle.payload_kg and litres <= (vehicle.volume_l or math.inf))


def piece_reason_is_true(it: Scenario, line: KeptLine) -> bool:
    """The same for a find or a piece kept as it is, where no buyer is named."""
    anatomy = it.anatomies[str(line.kind)]
    piece, because = anatomy.piece(str(line.piece)), line.because
    if because.code == "required-first":
        required = [op.id for op in anatomy.operations_on(piece.id) if op.required]
        return because.operation in required and not any(s.before_required for s in piece.sells)
    if because.code == "too-large":  # one of it is more than any load that goes anywhere, or than any lot
        return not any(carried_whole(it, line, quote) for quote in wanting(it, line))
    if because.code == "opening-earns-less":
        return bool(anatomy.operations_on(piece.id))
    return because.code in ("no-room", "pays-less") and bool(piece.sells or piece.parts)


def test_reasons_for_keeping_are_true() -> None:
    wrong, kinds = [], set()
    for it, report in cases():
        for line in report.kept:
            kinds.add(line.because.code)
            if not is_true(it, report, line):
                wrong.append((it.name, line.kind, line.piece, line.grade, line.reason))
    assert not wrong
    assert len(kinds) >= 8, kinds
