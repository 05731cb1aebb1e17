"""A decision that breaks a rule does not pass the check.

Each rule of docs/model.md is broken by itself in an otherwise sound plan. The rules are ours: no outside source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from planned import (
    BOARDS,
    DAY,
    DEPOT,
    REFINER,
    YARD,
    amended,
    best,
    exact,
    lot_of,
    moved,
    node_of,
    put,
    quote,
    relot,
    retour,
    rich_scenario,
    tour_at,
    with_buyer,
)

from partway.errors import PlanUnsound
from partway.planning.check.figures import _finds
from partway.planning.check.verify import recount, verify
from partway.planning.decision import Decision
from partway.planning.instance.blocks import parcel_sizes
from partway.planning.instance.frozen import GradeSale, Instance, Opening
from partway.planning.model.milp import MAIL
from partway.things.anatomy import Anatomy, Piece, SaleAs
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Postage, Quote, Scenario, Vehicle


@pytest.fixture(scope="module")
def rich() -> tuple[Instance, Decision]:
    """The rich scenario's best plan, which has everything the tampering below needs."""
    instance, found = best(rich_scenario())
    decision = found.decision
    verify(instance, decision)
    assert all(tour is not None for tour in decision.tours) and len(decision.tours) == 2
    assert any(len(tour.stops) > 1 for tour in decision.tours if tour is not None)
    assert sum(decision.opened) > 3 and sum(decision.parts) == 1 and any(decision.kept)
    assert max(decision.downgraded.values()) > 1.0 and max(decision.kept_kg.values()) > 1.0
    assert lot_of(instance, decision, YARD, "copper-light")[1] == 1
    assert sum(decision.parcels.values()) > 0
    return instance, decision


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
    openings = (*i.openings, Opening(0, whole, wrong, i.openings[o].gives, 1.0 / 60.0, 0.0))
    return replace(i, openings=openings), replace(d, opened=(*put(d.opened, o, -1), 1))


def a_stopped_piece_opened(i: Instance, d: Decision) -> Plan:
    body = node_of(i, "body")
    node = replace(i.nodes[body], piece=replace(i.nodes[body].piece, stop="li-ion"))
    return replace(i, nodes=(*i.nodes[:body], node, *i.nodes[body + 1 :])), d


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
    lot, tier, _ = key = lot_of(i, d, YARD, "iron")
    lots = {k: kg for k, kg in d.lots.items() if k != key}
    return i, replace(d, lots={**lots, (lot, tier, 7): d.lots[key]})


def a_lot_posted_to_a_yard(i: Instance, d: Decision) -> Plan:
    """Nobody drives, and the yard has no postage: everything would go for nothing."""
    lots: Counter[tuple[int, int, int]] = Counter()
    for (lot, tier, _), kg in d.lots.items():
        lots[lot, tier, MAIL] += kg  # type: ignore[assignment]
    return i, replace(d, lots=dict(lots), tours=(None, None))


def a_lot_driven_to_a_mail_in(i: Instance, d: Decision) -> Plan:
    lot, tier, _ = key = lot_of(i, d, BOARDS, "board")
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


# --- what is loaded whole --------------------------------------------------------------------------


def whole_scenario() -> Scenario:
    """Three stoves of 30 kg and one of 70 kg, a load of 65 kg, two trips, two yards that each take two grades."""
    known = [
        Grade("shell", "shell", "ferrous", exact(1.0), ("iron",)),
        Grade("iron", "iron", "ferrous", exact(1.0)),
        Grade("brass", "brass", "brass", exact(1.0)),
    ]
    stove = Anatomy("stove", "stove", (Piece("whole", "stove", exact(30.0), (SaleAs("shell"),)),), ())
    return replace(
        rich_scenario(),
        hours=Hours(bench=0.0, away=8.0, wage=0.0, trips=2),
        vehicle=Vehicle(payload_kg=65.0, cost_per_km=0.01),
        buyers=(
            Buyer("yard", "yard", km=5.0, quotes=(quote("shell", 1.0), quote("brass", 3.0))),
            Buyer("ridge", "yard", km=5.0, quotes=(quote("iron", 0.6),)),
            Buyer("post", "mail-in", shipping=(Postage(20.0, 50.0),), quotes=(quote("shell", 1.1),)),
        ),
        finds=(Find("stove", 3, "no"), Find("stove", 1, "no", 70.0)),
        stock={"brass": 20.0, "iron": 15.0},
        grades={g.id: g for g in known},
        anatomies={"stove": stove},
        roads=(),
        keep_factor=0.1,
    )


@pytest.fixture(scope="module")
def stoves() -> Plan:
    """Three stoves ride, two and one; the heavy one stays."""
    instance, found = best(whole_scenario())
    decision = found.decision
    verify(instance, decision)
    assert sorted(decision.blocks.values()) == [1, 2] and decision.sold == (3, 0) and decision.kept == (0, 1)
    return instance, decision


def block_of(d: Decision, count: int) -> tuple[int, int, int]:
    return next(key for key, n in d.blocks.items() if n == count)


def a_stove_cut(i: Instance, d: Decision) -> Plan:
    """Sold, its kilograms in a lot, and said to be loose."""
    return i, replace(d, blocks={key: n for key, n in d.blocks.items() if n == 2})


def a_stove_in_two_lots(i: Instance, d: Decision) -> Plan:
    return i, replace(d, blocks={**d.blocks, block_of(d, 1): 0.5})  # type: ignore[dict-item]


def a_stove_less_than_none(i: Instance, d: Decision) -> Plan:
    return i, replace(d, blocks={block_of(d, 2): 4, block_of(d, 1): -1})


def a_stove_loaded_twice(i: Instance, d: Decision) -> Plan:
    return i, replace(d, blocks={**d.blocks, block_of(d, 1): 2})


def a_stove_loaded_that_was_not_sold(i: Instance, d: Decision) -> Plan:
    """Two trips say that they carry four stoves of the three; with stock of the same grade the lots would bear it."""
    there = moved(dict(enumerate(i.stock)), i.grades.index("shell"), 30.0)
    more = replace(i, stock=tuple(there[g] for g in range(len(i.grades))), supply=tuple(kg + 30.0 for kg in i.supply))
    lots = {key: (60.0 if i.lots[key[0]].grade == i.grades.index("shell") else kg) for key, kg in d.lots.items()}
    return more, replace(d, blocks={block_of(d, 2): 2, block_of(d, 1): 2}, lots=lots)


def a_stove_in_a_lot_too_light_for_it(i: Instance, d: Decision) -> Plan:
    """All three on the trip whose lot weighs as much as two; the others' lot is the same grade, so all balances."""
    return i, replace(d, blocks={block_of(d, 2): 3})


def a_stove_as_brass(i: Instance, d: Decision) -> Plan:
    s, _, k = block_of(d, 1)
    brass = next(n for n, lot in enumerate(i.lots) if i.grades[lot.grade] == "brass")
    return i, replace(d, blocks={block_of(d, 2): 2, (s, brass, k): 1})


def a_stove_said_to_be_in_the_iron(i: Instance, d: Decision) -> Plan:
    """It may be sold as iron, and the iron lot would be heavy enough with what is there; the shell is loose then."""
    s, _, k = block_of(d, 1)
    iron = next(n for n, lot in enumerate(i.lots) if i.grades[lot.grade] == "iron")
    lots = {**d.lots, (iron, 0, k): 30.0}
    everywhere = max(i.tours or (), key=lambda t: len(t.stops))
    kept = moved(d.kept_kg, i.grades.index("iron"), -min(15.0, d.kept_kg.get(i.grades.index("iron"), 0.0)))
    tampered = replace(d, blocks={block_of(d, 2): 2, (s, iron, k): 1}, lots=lots, kept_kg=kept)
    return i, retour(tampered, k, everywhere)


def a_stove_above_the_payload(i: Instance, d: Decision) -> Plan:
    """The heavy one in place of two: 5 kg more than the vehicle carries."""
    _, lot, k = block_of(d, 2)
    lots = {key: (70.0 if key[0] == lot and key[2] == k else kg) for key, kg in d.lots.items()}
    blocks = {(1, lot, k): 1, block_of(d, 1): 1}
    return i, replace(d, blocks=blocks, lots=lots, sold=(1, 1), kept=(2, 0))


def a_stove_in_parcels(i: Instance, d: Decision) -> Plan:
    """Two parcels of 20 kg hold 30 kg, and no stove."""
    s, shell, k = block_of(d, 1)
    post = next(n for n, lot in enumerate(i.lots) if i.buyers[lot.buyer].id == "post")
    lots = {key: kg for key, kg in d.lots.items() if (key[0], key[2]) != (shell, k)} | {(post, 0, MAIL): 30.0}
    return i, replace(d, blocks={block_of(d, 2): 2, (s, post, MAIL): 1}, lots=lots, parcels={(2, 0): 2})


def two_stoves_in_one_and_a_half_parcels(i: Instance, d: Decision) -> Plan:
    """Three stoves weigh 90 kg, which two parcels of 40 kg and one of 20 kg have room for; the last holds no stove."""
    s, shell, _ = block_of(d, 1)
    post = next(n for n, lot in enumerate(i.lots) if i.buyers[lot.buyer].id == "post")
    larger = amended(i, buyers=with_buyer(i.scenario, 2, shipping=(Postage(20.0, 50.0), Postage(40.0, 60.0))).buyers)
    lots = {key: kg for key, kg in d.lots.items() if i.lots[key[0]].grade != i.lots[shell].grade}
    lots[post, 0, MAIL] = 90.0
    return larger, replace(d, blocks={(s, post, MAIL): 3}, lots=lots, parcels={(2, 1): 2, (2, 0): 1})


def loose_said_to_be_whole(i: Instance, d: Decision) -> Plan:
    """The same plan where a piece of the bench is light and not a find: nothing of it is loaded whole."""
    node = replace(i.nodes[0], piece=replace(i.nodes[0].piece, id="shelf"))
    lighter = amended(i, vehicle=Vehicle(payload_kg=65.0, cost_per_km=0.01, whole_above_kg=200.0))
    sells = replace(i.groups[0].anatomy.pieces[0], id="shelf")
    anatomy = replace(i.groups[0].anatomy, pieces=(i.groups[0].anatomy.pieces[0], sells))
    groups = (replace(i.groups[0], anatomy=anatomy), *i.groups[1:])
    return replace(lighter, nodes=(node, *i.nodes[1:]), groups=groups), d


WHOLE: dict[Tamper, str] = {
    a_stove_cut: "is cut",
    a_stove_in_two_lots: "not a whole number",
    a_stove_less_than_none: "not a whole number",
    a_stove_loaded_twice: "is cut",
    a_stove_loaded_that_was_not_sold: "is cut",
    a_stove_in_a_lot_too_light_for_it: "in pieces",
    a_stove_as_brass: "brass does not balance|may not be sold as brass|shell does not balance",
    a_stove_said_to_be_in_the_iron: "does not balance",
    a_stove_above_the_payload: "does not fit in one piece",
    a_stove_in_parcels: "does not fit in one piece",
    two_stoves_in_one_and_a_half_parcels: "uncut",
    loose_said_to_be_whole: "not loaded whole",
}


@pytest.mark.parametrize("tamper", WHOLE, ids=lambda tamper: str(tamper.__name__))
def test_a_decision_that_cuts_what_is_loaded_whole_does_not_pass(tamper: Tamper, stoves: Plan) -> None:
    instance, decision = tamper(*stoves)
    with pytest.raises(PlanUnsound, match=WHOLE[tamper]):
        verify(instance, decision)


def test_a_lot_at_the_start_of_the_next_tier_is_not_paid_the_tier_below() -> None:
    """The price falls at 40 kg: a milligram less is paid 2 a kg, 40 kg are not."""
    instance, found = best(
        replace(
            whole_scenario(),
            hours=Hours(bench=0.0, away=8.0, wage=0.0),
            buyers=(
                Buyer(
                    "yard", "yard", km=1.0, quotes=(quote("iron", 2.0), Quote("iron", exact(1.0), DAY, from_kg=40.0))
                ),
            ),
            finds=(),
            stock={"iron": 50.0},
            keep_factor=0.5,
            vehicle=Vehicle(payload_kg=100.0),
        )
    )
    ((key, kg),) = found.decision.lots.items()
    assert kg == pytest.approx(40.0 - 1e-6, abs=1e-9)
    g = instance.grades.index("iron")
    kept = found.decision.kept_kg[g]
    at_it = replace(found.decision, lots={key: 40.0}, kept_kg={g: kept - (40.0 - kg)})
    with pytest.raises(PlanUnsound, match="next tier"):
        verify(instance, at_it)
    upper = (key[0], 1, key[2])
    verify(instance, replace(at_it, lots={upper: 40.0}))
    with pytest.raises(PlanUnsound, match="below the lot"):
        verify(instance, replace(at_it, lots={upper: kg}, kept_kg=found.decision.kept_kg))


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


# --- as close as a float gets ----------------------------------------------------------------------


def iron_alone() -> Plan:
    """50 kg of iron of which 40 kg ride, in litres as many as they take."""
    grade = Grade("iron", "iron", "ferrous", exact(0.5))
    yard = Buyer("yard", "yard", km=1.0, quotes=(quote("iron", 2.0),))
    hours = Hours(bench=0.0, away=8.0, wage=0.0)
    vehicle = Vehicle(payload_kg=40.0, volume_l=1000.0)
    alone = replace(rich_scenario(), grades={"iron": grade}, finds=(), stock={"iron": 50.0}, anatomies={}, roads=())
    instance, found = best(replace(alone, hours=hours, buyers=(yard,), vehicle=vehicle))
    assert list(found.decision.lots.values()) == [pytest.approx(40.0, abs=1e-6)]
    key = next(iter(found.decision.lots))
    return instance, replace(found.decision, lots={key: 40.0}, kept_kg={0: 10.0})


@pytest.mark.parametrize("side", ["payload_kg", "volume_l"])
def test_a_load_is_over_by_a_millionth_and_a_milligram_at_most(side: str) -> None:
    """Floats do not add up to the last digit; what is further over than that is over."""
    instance, decision = iron_alone()
    assert instance.scenario.vehicle is not None
    load = 40.0 if side == "payload_kg" else 40.0 * instance.litres_per_kg[0]
    least = (load - 1e-6) / (1.0 + 1e-6)
    for room, fits in ((load, True), (least + 1e-9, True), (least - 1e-9, False), (0.6 * load, False)):
        smaller = amended(instance, vehicle=replace(instance.scenario.vehicle, **{side: room}))
        if fits:
            verify(smaller, decision)
            continue
        with pytest.raises(PlanUnsound, match=r"carries .* (kg|L)"):
            verify(smaller, decision)


def test_a_piece_fits_in_a_vehicle_of_its_own_mass_and_a_millionth_less(stoves: Plan) -> None:
    """One stove of 30 kg on a trip of its own: the check of the largest piece, before that of the load."""
    instance, decision = stoves
    _, _, one = block_of(decision, 1)
    (key,) = [key for key in decision.lots if key[2] == one and decision.lots[key] >= 30.0]
    alone = replace(
        decision, sold=(1, 0), kept=(2, 1), blocks={block_of(decision, 1): 1}, lots={key: 30.0},
        kept_kg=dict(enumerate(instance.stock)),
    )  # fmt: skip
    assert instance.scenario.vehicle is not None
    for room, what in ((30.0, ""), (30.0 / (1 + 1e-6) + 1e-9, ""), (29.9999, "in one piece"), (20.0, "in one piece")):
        smaller = amended(instance, vehicle=replace(instance.scenario.vehicle, payload_kg=room))
        if not what:
            verify(smaller, alone)
            continue
        with pytest.raises(PlanUnsound, match=what):
            verify(smaller, alone)


def refused_or_not(instance: Instance, decision: Decision, fits: bool, what: str) -> None:
    """The check passes, or says what is wrong; figures that follow from the scenario are not asked for."""
    if fits:
        recount(instance, decision)
        return
    with pytest.raises(PlanUnsound, match=what):
        recount(instance, decision)


@pytest.mark.parametrize("which", ["bench", "away"])
def test_hours_are_over_by_a_millionth_at_most(which: str, rich: Plan) -> None:
    instance, decision = rich
    spent = getattr(verify(instance, decision), f"{which}_hours")
    least = spent - 1e-6 * max(1.0, spent)
    for limit, fits in ((spent, True), (least + 1e-9, True), (least - 1e-9, False), (0.9 * spent, False)):
        less = amended(instance, hours=replace(instance.scenario.hours, **{which: limit}))
        refused_or_not(less, decision, fits, f"hours {'at the bench' if which == 'bench' else 'away'}")


@pytest.mark.parametrize(("which", "what"), [("away", "hours away"), ("trip", "hours on trip 1")])
def test_a_short_way_may_take_a_millionth_of_an_hour_longer_as_well(which: str, what: str) -> None:
    """A kilometre there and back: what is added is a millionth of an hour where the whole is less than an hour."""
    instance, decision = iron_alone()
    spent = recount(instance, decision).away_hours
    assert 0.0 < spent < 1.0
    for limit, fits in ((spent - 0.999e-6, True), (spent - 1.001e-6, False)):
        shorter: dict[str, Any] = {which: limit}
        less = amended(instance, hours=replace(instance.scenario.hours, **shorter))
        refused_or_not(less, decision, fits, what)


def test_nothing_is_short_by_a_milligram_and_by_more_it_is() -> None:
    """One kilogram of iron, all of it sold: what is kept of it may be a milligram less than nothing, as floats go."""
    grade = Grade("iron", "iron", "ferrous", exact(0.5))
    yard = Buyer("yard", "yard", km=1.0, quotes=(quote("iron", 2.0),))
    hours, vehicle = Hours(bench=0.0, away=8.0, wage=0.0), Vehicle(payload_kg=40.0)
    alone = replace(rich_scenario(), grades={"iron": grade}, finds=(), stock={"iron": 1.0}, anatomies={}, roads=())
    instance, found = best(replace(alone, hours=hours, buyers=(yard,), vehicle=vehicle))
    ((key, kg),) = found.decision.lots.items()
    assert kg == 1.0 and not found.decision.kept_kg
    for kept, fits in ((-1e-6, True), (1e-6, True), (-1.1e-6, False), (1.1e-6, False)):
        refused_or_not(instance, replace(found.decision, kept_kg={0: kept}), fits, "does not balance|negative mass")
    for sold, fits in ((1.0 + 0.9e-6, True), (1.0 + 1.1e-6, False)):
        refused_or_not(instance, replace(found.decision, lots={key: sold}), fits, "does not balance")


def test_a_plan_may_name_fewer_trips_than_there_could_be(rich: Plan) -> None:
    instance, decision = rich
    recount(amended(instance, hours=replace(instance.scenario.hours, trips=3)), decision)


def test_parcels_to_another_buyer_hold_nothing(rich: Plan) -> None:
    """One parcel too few of one's own, and as many as one likes to the buyer after: the check names the first."""
    instance, decision = rich
    second = replace(instance.scenario.buyers[BOARDS], id="boards too")
    both = amended(instance, buyers=(*instance.scenario.buyers, second))
    at = (*instance.stops, None)
    posted = replace(decision, parcels={(BOARDS + 2, 0): 9, (BOARDS + 2, 1): 9})
    refused_or_not(replace(both, stops=at), posted, False, "5 kg to boards do not fit the parcels")
    assert parcel_sizes(both, replace(decision, parcels={(BOARDS, 0): 2, (BOARDS + 2, 1): 1}), BOARDS) == [2.0, 2.0]
    assert parcel_sizes(both, replace(decision, parcels={(BOARDS, 0): 2, (BOARDS + 2, 1): 1}), BOARDS + 2) == [10.0]


@pytest.mark.parametrize("grade", ["iron", "aluminium"])
def test_a_grade_balances_to_a_millionth_of_what_there_is(grade: str, rich: Plan) -> None:
    instance, decision = rich
    g = instance.grades.index(grade)
    least = 1e-6 * instance.supply[g]
    for more, fits in ((least - 1e-9, True), (1e-9 - least, True), (least + 1e-9, False), (-least - 1e-9, False)):
        changed = replace(decision, kept_kg=moved(decision.kept_kg, g, more))
        if min(changed.kept_kg.values()) >= 0.0:
            refused_or_not(instance, changed, fits, f"{grade} does not balance")


def test_a_lot_is_half_a_milligram_within_its_tier() -> None:
    """2 a kg below 40 kg, 1 a kg from there on, which 50 kg of iron meet from either side."""
    grade = Grade("iron", "iron", "ferrous", exact(0.5))
    quotes = (quote("iron", 2.0), Quote("iron", exact(1.0), DAY, from_kg=40.0))
    alone = replace(rich_scenario(), grades={"iron": grade}, finds=(), stock={"iron": 50.0}, anatomies={}, roads=())
    hours, yard = Hours(bench=0.0, away=8.0, wage=0.0), Buyer("yard", "yard", km=1.0, quotes=quotes)
    instance, found = best(replace(alone, hours=hours, buyers=(yard,), vehicle=Vehicle(payload_kg=100.0)))
    ((lot, _, trip),) = found.decision.lots
    for tier, less, fits in ((0, 0.6e-6, True), (0, 0.4e-6, False), (1, 0.4e-6, True), (1, 0.6e-6, False)):
        changed = replace(found.decision, lots={(lot, tier, trip): 40.0 - less}, kept_kg={0: 10.0 + less})
        refused_or_not(instance, changed, fits, "below the lot|next tier")


def test_parcels_hold_what_is_posted_to_a_millionth(rich: Plan) -> None:
    """5 kg of boards in one parcel."""
    instance, decision = rich
    key = lot_of(instance, decision, BOARDS, "board")
    assert decision.lots[key] == pytest.approx(5.0)
    for room, fits in ((5.0, True), (5.0 - 4.999e-6, True), (5.0 - 5.001e-6, False), (4.0, False)):
        steps = (Postage(2.0, 5.0), Postage(room, 12.0))
        smaller = amended(instance, buyers=with_buyer(instance.scenario, BOARDS, shipping=steps).buyers)
        posted = replace(decision, lots={**decision.lots, key: 5.0}, parcels={(BOARDS, 1): 1})
        refused_or_not(smaller, posted, fits, "do not fit the parcels")


@pytest.mark.parametrize("counts", ["opened", "sold", "parts", "kept"])
def test_a_decision_about_more_than_there_is_does_not_pass(counts: str, rich: Plan) -> None:
    """A count for something that the instance has not: as with one too few, nobody knows what it stands for."""
    instance, decision = rich
    changes: dict[str, Any] = {counts: (*getattr(decision, counts), 0)}
    with pytest.raises((PlanUnsound, ValueError), match="longer than"):
        verify(instance, replace(decision, **changes))


@pytest.mark.parametrize("name", ["left lamp", ""])
def test_what_a_part_brings_is_said_by_its_name_or_by_the_piece(name: str, rich: Plan) -> None:
    instance, decision = rich
    sale = instance.part_sales[0]
    part, node = replace(sale.part, name=name), instance.nodes[sale.node]
    piece = replace(node.piece, parts=tuple(part if one == sale.part else one for one in node.piece.parts))
    nodes = tuple(replace(node, piece=piece) if one is node else one for one in instance.nodes)
    sales = (replace(sale, income=2.0 * sale.income + 1.0, part=part), *instance.part_sales[1:])
    with pytest.raises(PlanUnsound, match=f"what {name or piece.id} brings"):
        verify(replace(instance, nodes=nodes, part_sales=sales), decision)


def test_finds_on_offer_are_counted_by_their_own_kind() -> None:
    """One amp and two fans on offer: each kind waits for its own, whatever comes after it in the alphabet."""
    finds = [SimpleNamespace(kind=kind, count=n, listed=n, mass_kg=None) for kind, n in (("amp", 1), ("fan", 2))]
    instance: Any = SimpleNamespace(
        scenario=SimpleNamespace(finds=finds),
        groups=[SimpleNamespace(find=find, offer=1, scale=1.0) for find in finds],
        nodes=[SimpleNamespace(group=g, found=find.count) for g, find in enumerate(finds)],
    )
    _finds(instance)
    finds[1].listed = 1
    with pytest.raises(PlanUnsound, match="the number of finds of fan on offer is 2, by its formula 1"):
        _finds(instance)


def test_a_fee_that_is_left_out_or_taken_where_nothing_is_sold_does_not_pass(rich: tuple[Instance, Decision]) -> None:
    """The check counts a fee by the scenario itself: a flat sum each trip that sells, and its share of what is paid."""
    plain, decision = rich
    before = verify(plain, decision).money
    fees = {b: {"ticket_fee": 2.0 + b, "ticket_share": 0.1 * b} for b in range(len(plain.buyers))}
    it = plain.scenario
    for b, of in fees.items():
        it = with_buyer(it, b, **of)
    with_fees = replace(plain, scenario=it)
    money = recount(with_fees, decision).money
    paid: dict[tuple[int, int], float] = {}
    for (i, t, k), kg in decision.lots.items():
        lot = plain.lots[i]
        amount = kg * lot.tiers[t].quote.price.mean
        paid[lot.buyer, k] = paid.get((lot.buyer, k), 0.0) + max(amount, 0.0)
    due = sum(fees[b]["ticket_fee"] + fees[b]["ticket_share"] * pays for (b, _), pays in paid.items() if pays > 0)
    assert due > 10.0
    assert money.sales == pytest.approx(before.sales) and money.fees == pytest.approx(before.fees - due)
    with pytest.raises(PlanUnsound, match="keep price"):  # figures that were worked out without the fees
        verify(with_fees, decision)


def test_a_ticket_that_sells_nothing_has_no_fee(rich: tuple[Instance, Decision]) -> None:
    plain, decision = rich
    it = plain.scenario
    free = tuple(
        replace(b, ticket_fee=50.0, ticket_share=0.5, quotes=tuple(replace(q, price=exact(-0.1)) for q in b.quotes))
        for b in it.buyers
    )
    lots = tuple(
        replace(lot, tiers=tuple(replace(t, quote=replace(t.quote, price=exact(-0.1)), price=-0.1) for t in lot.tiers))
        for lot in plain.lots
    )
    money = recount(replace(plain, scenario=replace(it, buyers=free), lots=lots), decision).money
    costs = sum(o.cost * n for o, n in zip(plain.openings, decision.opened, strict=True))
    assert money.sales == 0.0 and money.fees == pytest.approx(-0.1 * sum(decision.lots.values()) - costs)
