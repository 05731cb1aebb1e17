"""What must hold for every plan, whatever its numbers.

More to choose from never makes less; money has no natural unit; a decision that breaks a rule does not
pass the check; the objective is the sum of its parts. Design 4.3; no outside source is needed for these.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import random
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache

import pytest
import tiny
from brute import Prices, refused

from partway.errors import PartwayError, PlanUnsound
from partway.planning.build import build
from partway.planning.decision import Decision
from partway.planning.instance import GradeSale, Instance, Opening
from partway.planning.milp import MAIL
from partway.planning.search import Found, search
from partway.planning.tours import Tour
from partway.planning.verify import Money, verify
from partway.things.anatomy import Anatomy, Gives, Operation, Part, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Caution, Grade
from partway.things.scenario import (
    Buyer,
    Find,
    Hours,
    Postage,
    Quote,
    Road,
    Scenario,
    Vehicle,
)

DAY = dt.date(2026, 3, 14)
exact = Estimate.exact


def best(scenario: Scenario) -> tuple[Instance, Found]:
    """An instance and its optimal decision."""
    instance = build(scenario)
    found = search(instance, seconds=30.0, gap=1e-9)
    assert found.optimal
    return instance, found


@cache
def known(seed: int) -> tuple[Instance, Found]:
    """The best plan of a tiny scenario."""
    return best(tiny.scenario(seed))


def worth(instance: Instance, found: Found) -> float:
    """The objective as the check counts it."""
    return verify(instance, found.decision).money.total


def slack(amount: float) -> float:
    """How far two optima may lie apart."""
    return 1e-6 * max(1.0, abs(amount))


# --- more to choose from ---------------------------------------------------------------------------

Option = Callable[[random.Random, Scenario], Scenario | None]


def a_buyer(rng: random.Random, it: Scenario) -> Scenario:
    prices = (Quote(g, exact(rng.uniform(0.1, 9.0)), DAY) for g in rng.sample(sorted(tiny.USUAL), 2))
    new = Buyer("new", "yard", km=rng.uniform(0.1, 4.0), minutes=2.0, quotes=tuple(prices))
    return replace(it, buyers=(*it.buyers, new))


def a_buyer_by_mail(rng: random.Random, it: Scenario) -> Scenario:
    prices = (Quote(g, exact(rng.uniform(0.1, 9.0)), DAY) for g in rng.sample(sorted(tiny.USUAL), 2))
    shipping = (Postage(rng.uniform(1.0, 9.0), rng.uniform(0.1, 2.0)),)
    return replace(it, buyers=(*it.buyers, Buyer("new", "mail-in", shipping=shipping, quotes=tuple(prices))))


def a_quote_of_a_new_grade(rng: random.Random, it: Scenario) -> Scenario | None:
    b = rng.randrange(len(it.buyers))
    unquoted = sorted(set(it.grades) - {q.grade for q in it.buyers[b].quotes})
    if not unquoted:
        return None
    quote = Quote(rng.choice(unquoted), exact(rng.uniform(0.1, 9.0)), DAY, minimum_kg=rng.choice([0.0, 1.0]))
    return with_buyer(it, b, quotes=(*it.buyers[b].quotes, quote))


def a_size_of_parcel(rng: random.Random, it: Scenario) -> Scenario | None:
    for b, buyer in enumerate(it.buyers):
        if buyer.shipping:
            last = buyer.shipping[-1]
            return with_buyer(it, b, shipping=(*buyer.shipping, Postage(last.up_to_kg + 3.0, last.cost * 1.2)))
    return None


def one_refusal_less(rng: random.Random, it: Scenario) -> Scenario | None:
    for b, buyer in enumerate(it.buyers):
        if any(refused(it, buyer, q.grade) for q in buyer.quotes):
            return with_buyer(it, b, refuses=())
    return None


def with_buyer(it: Scenario, b: int, **changes: object) -> Scenario:
    """The scenario with one buyer changed."""
    changed = replace(it.buyers[b], **changes)  # type: ignore[arg-type]
    return replace(it, buyers=(*it.buyers[:b], changed, *it.buyers[b + 1 :]))


def an_operation(rng: random.Random, it: Scenario) -> Scenario | None:
    """A way to get a clean bit of metal out of some piece, in a minute."""
    if not it.finds:
        return None
    anatomy = it.anatomies[rng.choice(it.finds).kind]
    on = rng.choice([p for p in anatomy.pieces if p.stop is None]).id
    bit = Piece("bit", "bit", exact(1.0), (SaleAs(rng.choice(["copper-2", "iron"])),))
    new = Operation("pluck", "pluck", on, exact(1.0), (Gives("bit"),), loss=0.9)
    changed = replace(anatomy, pieces=(*anatomy.pieces, bit), operations=(*anatomy.operations, new))
    return replace(it, anatomies={**it.anatomies, anatomy.kind: changed})


def a_part(rng: random.Random, it: Scenario) -> Scenario | None:
    if not it.finds:
        return None
    anatomy = it.anatomies[rng.choice(it.finds).kind]
    p = rng.randrange(len(anatomy.pieces))
    part = Part(exact(rng.uniform(1.0, 20.0)), rng.choice([0.5, 1.0]), exact(3.0), most=rng.choice([None, 1]))
    piece = replace(anatomy.pieces[p], parts=(*anatomy.pieces[p].parts, part))
    changed = replace(anatomy, pieces=(*anatomy.pieces[:p], piece, *anatomy.pieces[p + 1 :]))
    return replace(it, anatomies={**it.anatomies, anatomy.kind: changed})


def an_hour_at_the_bench(rng: random.Random, it: Scenario) -> Scenario:
    return replace(it, hours=replace(it.hours, bench=it.hours.bench + 1.0))


def an_hour_away(rng: random.Random, it: Scenario) -> Scenario:
    return replace(it, hours=replace(it.hours, away=it.hours.away + 1.0))


def a_trip(rng: random.Random, it: Scenario) -> Scenario:
    return replace(it, hours=replace(it.hours, trips=it.hours.trips + 1))


def payload(rng: random.Random, it: Scenario) -> Scenario | None:
    if it.vehicle is None:
        return None
    return replace(it, vehicle=replace(it.vehicle, payload_kg=it.vehicle.payload_kg * 1.5))


def volume(rng: random.Random, it: Scenario) -> Scenario | None:
    if it.vehicle is None or it.vehicle.volume_l is None:
        return None
    return replace(it, vehicle=replace(it.vehicle, volume_l=rng.choice([None, it.vehicle.volume_l * 1.5])))


def a_cap_less(rng: random.Random, it: Scenario) -> Scenario:
    def uncapped(anatomy: Anatomy) -> Anatomy:
        pieces = (replace(p, parts=tuple(replace(x, most=None) for x in p.parts)) for p in anatomy.pieces)
        return replace(anatomy, pieces=tuple(pieces))

    return replace(it, anatomies={kind: uncapped(a) for kind, a in it.anatomies.items()})


OPTIONS: tuple[Option, ...] = (
    a_buyer,
    a_buyer_by_mail,
    a_quote_of_a_new_grade,
    a_size_of_parcel,
    one_refusal_less,
    an_operation,
    a_part,
    an_hour_at_the_bench,
    an_hour_away,
    a_trip,
    payload,
    volume,
    a_cap_less,
)


def keeps_no_worse(before: Scenario, after: Scenario) -> bool:
    """Whether no kept price falls.

    It can: the first quote of a grade that nobody wanted may be negative, and what was kept for nothing
    before then counts as a burden. That is news, not an option, so such cases are left out.
    """
    was, now = Prices(before).kept, Prices(after).kept
    return all(now[grade] >= was[grade] - 1e-12 for grade in was)


@pytest.mark.parametrize("option", OPTIONS, ids=lambda option: str(option.__name__))
def test_an_option_more_never_lowers_the_optimum(option: Option) -> None:
    cases, raised, wrong = 0, 0, {}
    for seed in range(1000, 1200):
        before = tiny.scenario(seed)
        after = option(random.Random(seed), before)
        if after is None or not keeps_no_worse(before, after):
            continue
        less, more = worth(*known(seed)), worth(*best(after))
        cases += 1
        raised += more > less + slack(less)
        if more < less - slack(less):
            wrong[seed] = (less, more)
        if cases == 60:
            break
    assert not wrong
    assert cases >= 20
    assert raised >= 1, "none of the options was worth anything, so the test shows nothing"


# --- money has no natural unit ---------------------------------------------------------------------


def in_half_units(it: Scenario) -> Scenario:
    """The same scenario with all money counted in half units, so that every amount doubles.

    Parts priced in copper follow the price of copper and stay as they are.
    """

    def part(p: Part) -> Part:
        return p if p.in_copper else replace(p, price=p.price.scaled(2.0), postage=2.0 * p.postage)

    def quote(q: Quote) -> Quote:
        return replace(q, price=Estimate(2.0 * q.price.low, 2.0 * q.price.likely, 2.0 * q.price.high))

    def anatomy(a: Anatomy) -> Anatomy:
        pieces = tuple(replace(p, parts=tuple(map(part, p.parts))) for p in a.pieces)
        return replace(a, pieces=pieces, operations=tuple(replace(o, cost=2.0 * o.cost) for o in a.operations))

    def buyer(b: Buyer) -> Buyer:
        shipping = tuple(replace(s, cost=2.0 * s.cost) for s in b.shipping)
        return replace(b, quotes=tuple(map(quote, b.quotes)), shipping=shipping)

    vehicle = it.vehicle and replace(it.vehicle, cost_per_km=2.0 * it.vehicle.cost_per_km)
    return replace(
        it,
        hours=replace(it.hours, wage=2.0 * it.hours.wage),
        vehicle=vehicle,
        buyers=tuple(map(buyer, it.buyers)),
        anatomies={kind: anatomy(a) for kind, a in it.anatomies.items()},
    )


def test_twice_the_money_is_twice_the_objective_and_the_same_plans() -> None:
    wrong = {}
    for seed in range(2000, 2100):
        instance, found = known(seed)
        twice, found_twice = best(in_half_units(tiny.scenario(seed)))
        single = worth(instance, found)
        three = (
            worth(twice, found_twice),
            verify(twice, found.decision).money.total,
            2.0 * verify(instance, found_twice.decision).money.total,
        )
        if any(abs(double - 2.0 * single) > slack(single) for double in three):
            wrong[seed] = (single, *three)
    assert not wrong


# --- the objective is the sum of its parts ---------------------------------------------------------


def test_the_objective_is_the_sum_of_the_money_with_its_signs() -> None:
    seen: Counter[str] = Counter()
    for seed in range(2000, 2100):
        instance, found = known(seed)
        money = verify(instance, found.decision).money
        fields = {f.name: getattr(money, f.name) for f in dataclasses.fields(Money)}
        assert set(fields) == {"sales", "parts", "shipping", "fees", "driving", "wage", "kept"}
        assert sum(fields.values()) == pytest.approx(found.objective, rel=1e-6, abs=1e-6), seed
        assert money.total == pytest.approx(sum(fields.values()), abs=1e-9)
        assert min(fields["sales"], -fields["shipping"], -fields["fees"], -fields["driving"], -fields["wage"]) >= 0.0
        seen.update(name for name, amount in fields.items() if amount)
    assert all(seen[name] >= 5 for name in ("sales", "parts", "shipping", "fees", "driving", "wage", "kept")), seen


# --- a decision that breaks a rule -----------------------------------------------------------------

YARD, REFINER, BOARDS, DEPOT = range(4)


def rich_scenario() -> Scenario:
    """One situation in which the best plan does everything a plan can do. Invented."""
    grades = [
        Grade("copper-2", "copper", "copper", exact(1.0), ("copper-light",)),
        Grade("copper-light", "light copper", "copper", exact(1.0)),
        Grade("iron", "iron", "ferrous", exact(0.5)),
        Grade("aluminium", "aluminium", "aluminium", exact(0.4)),
        Grade("board", "board", "boards", exact(0.5)),
        Grade("pack", "pack", "batteries", exact(1.5), (), ("li-ion",)),
    ]
    pieces = (
        Piece("whole", "drill", exact(2.0), (SaleAs("iron"),)),
        Piece("pack", "pack", exact(0.5), (SaleAs("pack"),)),
        Piece("body", "body", exact(1.5), (SaleAs("iron"),), (Part(exact(20.0), 1.0, exact(10.0), most=1),)),
        Piece("motor", "motor", exact(1.0), (SaleAs("copper-2"),)),
        Piece("case", "case", exact(0.5)),
    )
    operations = (
        Operation("out", "take the pack out", "whole", exact(2.0), (Gives("pack"), Gives("body")), required=True),
        Operation("break", "break it", "whole", exact(1.0), (Gives("pack"), Gives("body"))),
        Operation("open", "open the body", "body", exact(6.0), (Gives("motor"), Gives("case")), cost=0.1),
    )
    tiers = (Quote("copper-light", exact(5.0), DAY), Quote("copper-light", exact(6.0), DAY, from_kg=10.0))
    shipping = (Postage(2.0, 5.0), Postage(10.0, 12.0))
    return Scenario(
        name="all at once",
        currency="EUR",
        on=DAY,
        hours=Hours(bench=1.0, away=4.0, wage=6.0, trips=2),
        vehicle=Vehicle(payload_kg=40.0, volume_l=150.0, cost_per_km=0.2),
        buyers=(
            Buyer("yard", "yard", km=5.0, minutes=10.0, refuses=("li-ion",), quotes=(*tiers, quote("iron", 0.8))),
            Buyer("refiner", "yard", km=7.0, minutes=5.0, quotes=(quote("aluminium", 3.0, minimum=4.0),)),
            Buyer("boards", "mail-in", minutes=15.0, shipping=shipping, quotes=(quote("board", 12.0),)),
            Buyer("depot", "drop-off", km=6.0, quotes=(quote("pack", 9.0),)),
        ),
        finds=(Find("drill", 3, "no"),),
        stock={"copper-2": 20.0, "iron": 60.0, "aluminium": 6.0, "board": 5.0},
        grades={g.id: g for g in grades},
        anatomies={"drill": Anatomy("drill", "drill", pieces, operations)},
        cautions={"li-ion": Caution("li-ion", "lithium", "fire", "take it out", out_first=True)},
        roads=(Road("yard", "refiner", 3.0), Road("yard", "depot", 2.0, minutes=4.0)),
        keep_factor=0.3,
    )


def quote(grade: str, price: float, minimum: float = 0.0) -> Quote:
    """An exact price."""
    return Quote(grade, exact(price), DAY, minimum_kg=minimum)


@pytest.fixture(scope="module")
def rich() -> tuple[Instance, Decision]:
    """The rich scenario's best plan, which has everything the tampering below needs."""
    instance, found = best(rich_scenario())
    decision = found.decision
    verify(instance, decision)
    assert all(tour is not None for tour in decision.tours) and len(decision.tours) == 2
    assert any(len(tour.stops) > 1 for tour in decision.tours if tour is not None)
    assert sum(decision.opened) > 3 and sum(decision.parts) == 1 and any(decision.kept)
    assert any(kg > 1.0 for kg in decision.downgraded.values()) and any(kg > 1.0 for kg in decision.kept_kg.values())
    assert lot_of(instance, decision, YARD, "copper-light")[1] == 1
    assert {step for _, step in decision.parcels} == {0, 1} or sum(decision.parcels.values()) > 0
    return instance, decision


def lot_of(instance: Instance, decision: Decision, buyer: int, grade: str) -> tuple[int, int, int]:
    """The key of a lot that was decided on."""
    g = instance.grades.index(grade)
    return next(k for k in decision.lots if (instance.lots[k[0]].buyer, instance.lots[k[0]].grade) == (buyer, g))


def node_of(instance: Instance, piece: str) -> int:
    """The node of a piece of the only group."""
    return next(n for n, node in enumerate(instance.nodes) if node.piece.id == piece)


def put(counts: tuple[int, ...], i: int, change: float) -> tuple[int, ...]:
    """Counts with one of them changed by so much."""
    return (*counts[:i], counts[i] + change, *counts[i + 1 :])  # type: ignore[return-value]


def moved(amounts: Mapping[int, float], i: int, change: float) -> dict[int, float]:
    """Amounts with one of them changed by so much."""
    return {**amounts, i: amounts.get(i, 0.0) + change}


def relot(decision: Decision, key: tuple[int, int, int], kg: float) -> dict[tuple[int, int, int], float]:
    """The lots with one of them changed by so many kg."""
    return {**decision.lots, key: decision.lots[key] + kg}


def amended(instance: Instance, **changes: object) -> Instance:
    """The instance with facts of its scenario changed under the decision's feet."""
    return replace(instance, scenario=replace(instance.scenario, **changes))  # type: ignore[arg-type]


Plan = tuple[Instance, Decision]
Tamper = Callable[[Instance, Decision], Plan]


def one_more_opened(i: Instance, d: Decision) -> Plan:
    return i, replace(d, opened=put(d.opened, 0, 1))


def a_piece_gone(i: Instance, d: Decision) -> Plan:
    n = next(n for n, count in enumerate(d.kept) if count)
    return i, replace(d, kept=put(d.kept, n, -1))


def a_negative_count(i: Instance, d: Decision) -> Plan:
    s = d.sold.index(0)
    n = i.grade_sales[s].node
    return i, replace(d, sold=put(d.sold, s, -1), kept=put(d.kept, n, 1))


def half_a_piece(i: Instance, d: Decision) -> Plan:
    s = next(s for s, count in enumerate(d.sold) if count)
    n = i.grade_sales[s].node
    return i, replace(d, sold=put(d.sold, s, -0.5), kept=put(d.kept, n, 0.5))


def a_sale_without_its_kilograms(i: Instance, d: Decision) -> Plan:
    s = next(s for s, count in enumerate(d.sold) if count)
    return i, replace(d, sold=put(d.sold, s, -1), kept=put(d.kept, i.grade_sales[s].node, 1))


def more_sold_than_there_is(i: Instance, d: Decision) -> Plan:
    return i, replace(d, lots=relot(d, lot_of(i, d, YARD, "iron"), 1.0))


def less_than_nothing_kept(i: Instance, d: Decision) -> Plan:
    g = i.grades.index("iron")
    kg = d.kept_kg.get(g, 0.0) + 0.5
    return i, replace(d, lots=relot(d, lot_of(i, d, YARD, "iron"), kg), kept_kg=moved(d.kept_kg, g, -kg))


def a_downgrade_turned_round(i: Instance, d: Decision) -> Plan:
    a, kg = next((a, kg) for a, kg in d.downgraded.items() if kg > 1.0)
    upper, lower = i.downgrades[a]
    kept = moved(moved(d.kept_kg, upper, kg + 1.0), lower, -kg - 1.0)
    return i, replace(d, downgraded={**d.downgraded, a: -1.0}, kept_kg=kept)


def a_pack_downgraded_to_iron(i: Instance, d: Decision) -> Plan:
    """A hazard named by the upper grade is lost on the way down."""
    pack, iron = i.grades.index("pack"), i.grades.index("iron")
    key = lot_of(i, d, DEPOT, "pack")
    lots = {k: kg for k, kg in d.lots.items() if k != key}
    arcs = (*i.downgrades, (pack, iron))
    downgraded = {**d.downgraded, len(i.downgrades): d.lots[key]}
    kept = moved(d.kept_kg, iron, d.lots[key])
    return replace(i, downgrades=arcs), replace(d, lots=lots, downgraded=downgraded, kept_kg=kept)


def a_lot_below_its_tier(i: Instance, d: Decision) -> Plan:
    key = lot_of(i, d, YARD, "copper-light")
    kg = d.lots[key] - 9.0
    g = i.lots[key[0]].grade
    return i, replace(d, lots=relot(d, key, -kg), kept_kg=moved(d.kept_kg, g, kg))


def a_lot_below_its_minimum(i: Instance, d: Decision) -> Plan:
    key = lot_of(i, d, REFINER, "aluminium")
    kg = d.lots[key] - 3.5
    g = i.lots[key[0]].grade
    return i, replace(d, lots=relot(d, key, -kg), kept_kg=moved(d.kept_kg, g, kg))


def a_lot_above_its_tier(i: Instance, d: Decision) -> Plan:
    lot, tier, trip = key = lot_of(i, d, YARD, "copper-light")
    lots = {k: kg for k, kg in d.lots.items() if k != key}
    return i, replace(d, lots={**lots, (lot, tier - 1, trip): d.lots[key]})


def two_tiers_in_one_lot(i: Instance, d: Decision) -> Plan:
    lot, tier, trip = key = lot_of(i, d, YARD, "copper-light")
    return i, replace(d, lots={**relot(d, key, -2.0), (lot, tier - 1, trip): 2.0})


def a_price_nobody_said(i: Instance, d: Decision) -> Plan:
    lot, tier, _ = lot_of(i, d, YARD, "iron")
    said = i.lots[lot].tiers[tier]
    better = replace(said, price=9.0, quote=replace(said.quote, price=exact(9.0)))
    tiers = (*i.lots[lot].tiers[:tier], better, *i.lots[lot].tiers[tier + 1 :])
    lots = (*i.lots[:lot], replace(i.lots[lot], tiers=tiers), *i.lots[lot + 1 :])
    return replace(i, lots=lots), d


def a_lot_to_a_buyer_that_refuses_its_hazard(i: Instance, d: Decision) -> Plan:
    return amended(i, buyers=with_buyer(i.scenario, DEPOT, refuses=("li-ion",)).buyers), d


def a_lot_to_a_buyer_that_refuses_its_family(i: Instance, d: Decision) -> Plan:
    return amended(i, buyers=with_buyer(i.scenario, YARD, refuses=("ferrous",)).buyers), d


def a_lot_to_a_buyer_that_refuses_its_grade(i: Instance, d: Decision) -> Plan:
    return amended(i, buyers=with_buyer(i.scenario, BOARDS, refuses=("board",)).buyers), d


def a_find_sold_with_its_pack_inside(i: Instance, d: Decision) -> Plan:
    return sold_whole(i, d, i)


def sold_whole(i: Instance, d: Decision, onto: Instance) -> Plan:
    """A sale of the whole find added by hand, with everything that came out of one find taken back."""
    g, whole = i.grades.index("iron"), node_of(i, "whole")
    o = next(o for o, opening in enumerate(i.openings) if opening.node == whole)
    sales = (*i.grade_sales, GradeSale(whole, g, 2.0, 0.0))
    decision = replace(d, opened=put(d.opened, o, -1), sold=(*d.sold, 1))
    return replace(onto, grade_sales=sales), decision


def a_find_broken_before_its_pack_is_out(i: Instance, d: Decision) -> Plan:
    whole = node_of(i, "whole")
    o = next(o for o, opening in enumerate(i.openings) if opening.node == whole)
    wrong = i.scenario.anatomies["drill"].operations[1]
    openings = (*i.openings, Opening(0, whole, wrong, i.openings[o].gives, 1.0 / 60.0))
    return replace(i, openings=openings), replace(d, opened=(*put(d.opened, o, -1), 1))


def a_stopped_piece_opened(i: Instance, d: Decision) -> Plan:
    body = node_of(i, "body")
    node = replace(i.nodes[body], piece=replace(i.nodes[body].piece, stop="li-ion"))
    return replace(i, nodes=(*i.nodes[:body], node, *i.nodes[body + 1 :])), d


def tour_at(d: Decision, k: int) -> Tour:
    """The tour of a trip that is made."""
    tour = d.tours[k]
    assert tour is not None
    return tour


def retour(d: Decision, k: int, tour: Tour | None) -> Decision:
    """The decision with another tour for a trip."""
    return replace(d, tours=(*d.tours[:k], tour, *d.tours[k + 1 :]))


def a_tour_dropped(i: Instance, d: Decision) -> Plan:
    return i, retour(d, 0, None)


def a_stop_left_out(i: Instance, d: Decision) -> Plan:
    k = next(k for k in range(2) if len(tour_at(d, k).stops) > 1)
    stops = tour_at(d, k).stops[1:]
    assert i.tours is not None
    shorter = next(t for t in i.tours if set(t.stops) == set(stops))
    return i, retour(d, k, shorter)


def a_tour_with_too_few_kilometres(i: Instance, d: Decision) -> Plan:
    return i, retour(d, 0, replace(tour_at(d, 0), km=tour_at(d, 0).km - 1.0))


def a_tour_with_too_few_hours(i: Instance, d: Decision) -> Plan:
    return i, retour(d, 1, replace(tour_at(d, 1), hours=tour_at(d, 1).hours / 2.0))


def too_heavy(i: Instance, d: Decision) -> Plan:
    assert i.scenario.vehicle is not None
    return amended(i, vehicle=replace(i.scenario.vehicle, payload_kg=39.0)), d


def too_bulky(i: Instance, d: Decision) -> Plan:
    assert i.scenario.vehicle is not None
    return amended(i, vehicle=replace(i.scenario.vehicle, volume_l=60.0)), d


def all_on_one_trip(i: Instance, d: Decision) -> Plan:
    """Nothing is added: what two trips carried rides on one that stops everywhere."""
    lots: Counter[tuple[int, int, int]] = Counter()
    for (lot, tier, trip), kg in d.lots.items():
        lots[lot, tier, MAIL if trip == MAIL else 0] += kg  # type: ignore[assignment]
    assert i.tours is not None
    everywhere = max(i.tours, key=lambda t: len(t.stops))
    return i, replace(d, lots=dict(lots), tours=(everywhere, None))


def one_trip_too_many(i: Instance, d: Decision) -> Plan:
    return i, replace(d, tours=(*d.tours, tour_at(d, 0)))


def a_lot_on_no_trip(i: Instance, d: Decision) -> Plan:
    lot, tier, trip = key = lot_of(i, d, YARD, "iron")
    lots = {k: kg for k, kg in d.lots.items() if k != key}
    return i, replace(d, lots={**lots, (lot, tier, 7): d.lots[key]})


def a_lot_posted_to_a_yard(i: Instance, d: Decision) -> Plan:
    """Nobody drives, and the yard has no postage: everything would go for nothing."""
    lots: Counter[tuple[int, int, int]] = Counter()
    for (lot, tier, _), kg in d.lots.items():
        lots[lot, tier, MAIL] += kg  # type: ignore[assignment]
    return i, replace(d, lots=dict(lots), tours=(None, None))


def a_lot_driven_to_a_mail_in(i: Instance, d: Decision) -> Plan:
    lot, tier, trip = key = lot_of(i, d, BOARDS, "board")
    lots = {k: kg for k, kg in d.lots.items() if k != key}
    return i, replace(d, lots={**lots, (lot, tier, 0): d.lots[key]}, parcels={})


def a_parcel_missing(i: Instance, d: Decision) -> Plan:
    key = next(iter(d.parcels))
    return i, replace(d, parcels={**d.parcels, key: d.parcels[key] - 1})


def a_parcel_less_than_none(i: Instance, d: Decision) -> Plan:
    """Room enough in the large ones, and money back for a small one."""
    return i, replace(d, parcels={(BOARDS, 1): 1, (BOARDS, 0): -1})


def half_a_parcel(i: Instance, d: Decision) -> Plan:
    return i, replace(d, parcels={(BOARDS, 1): 0.5})  # type: ignore[dict-item]


def more_parts_than_sell(i: Instance, d: Decision) -> Plan:
    """One more body sold by the unit instead of opened: everything else is put right."""
    p = next(p for p, count in enumerate(d.parts) if count)
    body, motor, case = (node_of(i, name) for name in ("body", "motor", "case"))
    o = next(o for o, opening in enumerate(i.openings) if opening.node == body)
    s = next(s for s, sale in enumerate(i.grade_sales) if sale.node == motor)
    assert d.opened[o] and d.sold[s] and d.kept[case]
    g, a = i.grades.index("copper-light"), next(iter(d.downgraded))
    lot = lot_of(i, d, YARD, "copper-light")
    assert i.lots[lot[0]].grade == g
    decision = replace(
        d,
        opened=put(d.opened, o, -1),
        sold=put(d.sold, s, -1),
        kept=put(d.kept, case, -1),
        parts=put(d.parts, p, 1),
        downgraded=moved(d.downgraded, a, -1.0),
        lots=relot(d, lot, -1.0),
    )
    return amended(i, hours=replace(i.scenario.hours, bench=5.0)), decision


def more_hours_at_the_bench(i: Instance, d: Decision) -> Plan:
    return amended(i, hours=replace(i.scenario.hours, bench=0.3)), d


def more_hours_away(i: Instance, d: Decision) -> Plan:
    return amended(i, hours=replace(i.scenario.hours, away=1.0)), d


def no_number_at_all(i: Instance, d: Decision) -> Plan:
    return i, replace(d, lots={**d.lots, lot_of(i, d, YARD, "iron"): float("nan")})


TAMPERED: dict[Tamper, str] = {
    one_more_opened: "there, ",
    a_piece_gone: "there, ",
    a_negative_count: "negative or not whole",
    half_a_piece: "negative or not whole",
    a_sale_without_its_kilograms: "does not balance",
    more_sold_than_there_is: "does not balance",
    no_number_at_all: "does not balance",
    less_than_nothing_kept: "negative mass",
    a_downgrade_turned_round: "negative mass",
    a_pack_downgraded_to_iron: "plan",
    a_lot_below_its_tier: "below the lot",
    a_lot_below_its_minimum: "below the lot",
    a_lot_above_its_tier: "next tier",
    two_tiers_in_one_lot: "two tiers",
    a_price_nobody_said: "nobody said",
    a_lot_to_a_buyer_that_refuses_its_hazard: "refuses",
    a_lot_to_a_buyer_that_refuses_its_family: "refuses",
    a_lot_to_a_buyer_that_refuses_its_grade: "refuses",
    a_find_sold_with_its_pack_inside: "may not be sold",
    a_find_broken_before_its_pack_is_out: "may not come now",
    a_stopped_piece_opened: "may not come now",
    a_tour_dropped: "does not stop",
    a_stop_left_out: "does not stop",
    a_tour_with_too_few_kilometres: "not as long",
    a_tour_with_too_few_hours: "not as long",
    too_heavy: "kg",
    too_bulky: "L",
    all_on_one_trip: "carries",
    one_trip_too_many: "more trips",
    a_lot_on_no_trip: "no trip",
    a_lot_posted_to_a_yard: "plan",
    a_lot_driven_to_a_mail_in: "does not stop",
    a_parcel_missing: "do not fit",
    a_parcel_less_than_none: "plan",
    half_a_parcel: "plan",
    more_parts_than_sell: "more than 1",
    more_hours_at_the_bench: "at the bench",
    more_hours_away: "away",
}


@pytest.mark.parametrize("tamper", TAMPERED, ids=lambda tamper: str(tamper.__name__))
def test_a_decision_that_breaks_a_rule_does_not_pass(tamper: Tamper, rich: Plan) -> None:
    instance, decision = tamper(*rich)
    with pytest.raises(PlanUnsound, match=TAMPERED[tamper]):
        verify(instance, decision)


def shaken(rng: random.Random, instance: Instance, decision: Decision) -> Decision:
    """A decision with one or two things changed at random, kilograms and pieces balanced by what is kept."""
    for _ in range(rng.randint(1, 2)):
        change = rng.choice([shake_pieces, shake_lots, shake_parcels, shake_tours])
        decision = change(rng, instance, decision)
    return decision


def shake_pieces(rng: random.Random, instance: Instance, d: Decision) -> Decision:
    """Some piece sold or kept instead of what was decided."""
    if not d.sold:
        return d
    s = rng.randrange(len(d.sold))
    sale, n = instance.grade_sales[s], rng.choice([-1, 1])
    kept_kg = moved(d.kept_kg, sale.grade, n * sale.kg)
    if instance.residue is not None:
        kept_kg = moved(kept_kg, instance.residue, n * sale.residue_kg)
    return replace(d, sold=put(d.sold, s, n), kept=put(d.kept, sale.node, -n), kept_kg=kept_kg)


def shake_lots(rng: random.Random, instance: Instance, d: Decision) -> Decision:
    """Some kilograms sold in some tier on some trip or by mail instead of kept."""
    if not instance.lots:
        return d
    i = rng.randrange(len(instance.lots))
    key = (i, rng.randrange(len(instance.lots[i].tiers)), rng.choice([MAIL, *range(len(d.tours))]))
    g = instance.lots[i].grade
    kg = rng.choice([d.kept_kg.get(g, 0.0), -d.lots.get(key, 0.0), rng.uniform(-2.0, 2.0)])
    lots = {k: v for k, v in {**d.lots, key: d.lots.get(key, 0.0) + kg}.items() if v}
    return replace(d, lots=lots, kept_kg=moved(d.kept_kg, g, -kg))


def shake_parcels(rng: random.Random, instance: Instance, d: Decision) -> Decision:
    """One parcel more or less."""
    steps = [(b, s) for b, buyer in enumerate(instance.buyers) for s in range(len(buyer.shipping))]
    if not steps:
        return d
    step = rng.choice(steps)
    return replace(d, parcels={**d.parcels, step: d.parcels.get(step, 0) + rng.choice([-1, 1])})


def shake_tours(rng: random.Random, instance: Instance, d: Decision) -> Decision:
    """Another tour for a trip, or none."""
    if not d.tours:
        return d
    return retour(d, rng.randrange(len(d.tours)), rng.choice([None, *(instance.tours or ())]))


def test_no_decision_that_passes_the_check_beats_the_optimum() -> None:
    passed, wrong = 0, {}
    for seed in range(2000, 2100):
        instance, found = known(seed)
        optimum = worth(instance, found)
        for n in range(40):
            try:
                decision = shaken(random.Random(1000 * seed + n), instance, found.decision)
                total = verify(instance, decision).money.total
            except PartwayError:
                continue
            passed += 1
            if total > optimum + slack(optimum):
                wrong[seed, n] = (optimum, total)
    assert not wrong
    assert passed >= 300, "too few of the shaken decisions were sound"
