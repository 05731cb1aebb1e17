"""Best plans of scenarios for tests, one rich scenario, and small changes to plans."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace
from functools import cache

import tiny

from partway.actions.plans.plan import WHY_TIMES
from partway.actions.plans.why import explain
from partway.planning.check.verify import verify
from partway.planning.decision import Decision
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.search.search import SearchFound, search
from partway.planning.tours.tours import Tour
from partway.reports.haul.plan import Plan
from partway.reports.haul.planned import report_plan
from partway.things.anatomy import Anatomy, Gives, Operation, Part, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Caution, Grade
from partway.things.scenario import Buyer, Find, Hours, Postage, Quote, Road, Scenario, Vehicle
from partway.valuing.plans.decided import DecidedPlan

DAY = dt.date(2026, 3, 14)
exact = Estimate.exact


def best(scenario: Scenario) -> tuple[Instance, SearchFound]:
    """An instance and its optimal decision."""
    instance = build(scenario)
    found = search(instance, seconds=30.0, gap=1e-9)
    assert found.optimal
    return instance, found


@cache
def known(seed: int) -> tuple[Instance, SearchFound]:
    """The best plan of a tiny scenario."""
    return best(tiny.scenario(seed))


def defended(scenario: Scenario, seconds: float = 20.0) -> Plan:
    """The best plan with every line defended, as `plan(scenario, why=True)` has it, without what an hour more brings.

    So is making it again in fifty other worlds, which takes five times as long as all the rest: for tests that look at
    the lines alone. tests/unit/test_why.py holds that the lines are the same.
    """
    instance = build(scenario)
    found = search(instance, seconds)
    checked = verify(instance, found.decision)
    opinions = found.doubts, found.opinions, found.opinion_seconds
    report = report_plan(DecidedPlan(instance, checked, found.bound, None, None, (), *opinions))
    return explain(instance, checked, report, WHY_TIMES * seconds)


def worth(instance: Instance, found: SearchFound) -> float:
    """The objective as the check counts it."""
    return verify(instance, found.decision).money.total


def slack(amount: float) -> float:
    """How far two optima may lie apart."""
    return 1e-6 * max(1.0, abs(amount))


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
    both = (Gives("pack"), Gives("body"))
    operations = (
        Operation("out", "take the pack out", "whole", exact(2.0), both, required=True),
        Operation("break", "break it", "whole", exact(1.0), both),
        Operation("open", "open the body", "body", exact(6.0), (Gives("motor"), Gives("case")), cost=0.1),
    )
    tiers = (Quote("copper-light", exact(5.0), DAY), Quote("copper-light", exact(6.0), DAY, from_kg=10.0))
    wanted = (*tiers, quote("iron", 0.8))
    shipping = (Postage(2.0, 5.0), Postage(10.0, 12.0))
    return Scenario(
        name="all at once",
        currency="EUR",
        on=DAY,
        hours=Hours(bench=1.0, away=4.0, wage=6.0, trips=2),
        vehicle=Vehicle(payload_kg=40.0, volume_l=150.0, cost_per_km=0.2),
        buyers=(
            Buyer("yard", "yard", km=5.0, minutes=10.0, refuses=("li-ion",), quotes=wanted),
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


def with_buyer(it: Scenario, b: int, **changes: object) -> Scenario:
    """The scenario with one buyer changed."""
    changed = replace(it.buyers[b], **changes)  # type: ignore[arg-type]
    return replace(it, buyers=(*it.buyers[:b], changed, *it.buyers[b + 1 :]))


def lot_of(instance: Instance, decision: Decision, buyer: int, grade: str) -> tuple[int, int, int]:
    """The key of a lot that was decided on."""
    wanted = (buyer, instance.grades.index(grade))
    lots = instance.lots
    return next(key for key in decision.lots if (lots[key[0]].buyer, lots[key[0]].grade) == wanted)


def node_of(instance: Instance, piece: str) -> int:
    """The node of a piece of the only group."""
    return next(n for n, node in enumerate(instance.nodes) if node.piece.id == piece)


def put(counts: tuple[int, ...], i: int, change: float) -> tuple[int, ...]:
    """Counts with one of them changed by so much."""
    return (*counts[:i], counts[i] + change, *counts[i + 1 :])  # type: ignore[arg-type]


def moved(amounts: Mapping[int, float], i: int, change: float) -> dict[int, float]:
    """Amounts with one of them changed by so much."""
    return {**amounts, i: amounts.get(i, 0.0) + change}


def relot(decision: Decision, key: tuple[int, int, int], kg: float) -> dict[tuple[int, int, int], float]:
    """The lots with one of them changed by so many kg."""
    return {**decision.lots, key: decision.lots[key] + kg}


def amended(instance: Instance, **changes: object) -> Instance:
    """The instance with facts of its scenario changed under the decision's feet."""
    return replace(instance, scenario=replace(instance.scenario, **changes))  # type: ignore[arg-type]


def tour_at(d: Decision, k: int) -> Tour:
    """The tour of a trip that is made."""
    tour = d.tours[k]
    assert tour is not None
    return tour


def retour(d: Decision, k: int, tour: Tour | None) -> Decision:
    """The decision with another tour for a trip."""
    return replace(d, tours=(*d.tours[:k], tour, *d.tours[k + 1 :]))
