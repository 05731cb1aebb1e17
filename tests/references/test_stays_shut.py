"""What no price opens, what nobody quotes, what nobody tested. Common practice, no source.

docs/never.md, section 1: sealed refrigerant circuits, picture tubes, smoke detectors, magnetron ceramic, torsion
springs, swollen or damaged lithium and PCB-era capacitors are never opened. Every kind we ship is offered
absurd prices here. Absence is not zero (docs/model.md).
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from town import GRADES, finds, planned, sold, town, usual, yard

from partway.actions.bench.depths import depth
from partway.actions.plans.plan import plan
from partway.catalogue import shipped
from partway.errors import PlanUnsound
from partway.reports.haul.plan_lines import PartLine
from partway.things.anatomy import Anatomy, Gives, Operation, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.scenario import Scenario

# --- what stays shut -------------------------------------------------------------------------------

NEVER_OPENED = (
    "refrigerant", "picture-tube", "smoke-alarm", "magnetron", "torsion-spring", "li-ion", "pcb",
    "capacitor", "hv-capacitor", "lead-acid", "mercury", "cylinder",
)  # fmt: skip
RICH = 1000.0  # a kg, of every grade without a hazard


@cache
def rich_town(kinds: tuple[str, ...] = ()) -> Scenario:
    """Every grade without a hazard priced absurdly high, hazardous ones not quoted, an hour worth nothing."""
    prices = {g.id: RICH for g in GRADES.values() if not g.hazards}
    return town(yard("harbour-yard", prices) + finds(*(kinds or shipped().kinds), count=1), 0.0, 0.0, bench=2000.0)


def stopped(kind: str) -> set[str]:
    """Pieces that stay shut."""
    return {piece.id for piece in shipped().anatomy(kind).pieces if piece.stop}


def test_the_stops_that_must_be_there_are_there() -> None:
    """A torsion spring belongs to the door, not to a find: a caution is all there can be."""
    stops = {p.stop for anatomy in shipped().all_anatomies() for p in anatomy.pieces}
    assert set(NEVER_OPENED) - stops == {"torsion-spring"}
    assert "torsion-spring" in shipped().anatomy("garage-opener").cautions
    assert not [p.id for p in shipped().anatomy("garage-opener").pieces if "torsion" in p.name.lower()]


@pytest.mark.parametrize("kind", shipped().kinds)
def test_no_price_opens_what_stays_shut(kind: str) -> None:
    report = depth(rich_town(), kind, "no")
    chosen = [step for step in report.steps if step.chosen]
    assert not [step.operation for step in chosen if step.piece in stopped(kind)]
    for end in report.ends:
        if end.piece in stopped(kind):
            assert end.as_what == "stop" and "stays shut" in end.why
    hidden = {p.id for p in shipped().anatomy(kind).pieces if p.stop and shipped().cautions[p.stop].out_first}
    assert not [end.piece for end in report.ends if end.piece in hidden and end.to and not GRADES[end.to].hazards]


def test_a_plan_over_every_kind_we_ship_opens_nothing_that_stays_shut() -> None:
    report = planned(rich_town())
    assert len({line.kind for line in report.open}) >= 30  # the prices do tempt
    assert not [(line.kind, line.piece) for line in report.open if line.piece in stopped(line.kind)]


def forced(kind: str) -> Anatomy:
    """A kind of ours to which somebody adds a way to open everything that stays shut, for gold."""
    anatomy = shipped().anatomy(kind)
    gold = Piece("gold", "gold", Estimate.exact(50.0), (SaleAs("copper-2"),))
    added = [Operation(f"force {p}", "force", p, Estimate.exact(1.0), (Gives("gold"),)) for p in stopped(kind)]
    return replace(anatomy, pieces=(*anatomy.pieces, gold), operations=(*anatomy.operations, *added))


FORCED = sorted(kind for kind in shipped().kinds if stopped(kind))


@pytest.mark.parametrize("kind", FORCED)
def test_a_stop_outranks_an_operation_that_would_open_it(kind: str) -> None:
    """The file reader refuses such an anatomy; nothing behind it may trust that it did."""
    it = replace(rich_town((kind,)), anatomies={kind: forced(kind)})
    assert not [s.operation for s in depth(it, kind).steps if s.chosen and s.operation.startswith("force")]
    try:
        report = plan(it)
    except PlanUnsound:
        pytest.fail("the plan opened it, and only its own check caught that")
    assert not [line.operation for line in report.open if line.operation.startswith("force")]


# --- nobody quotes it, nobody tested it --------------------------------------------------------------


def test_a_grade_that_nobody_quotes_is_never_sold_and_its_absence_is_named() -> None:
    stock = '[stock]\nmagnesium = "2 kg"\ncopper-2 = "5 kg"\n'
    report = planned(town(yard("harbour-yard", usual("copper-2")) + stock, 15.0))
    assert set(sold(report)) == {"copper-2"}
    (kept,) = [line for line in report.kept if line.grade == "magnesium"]
    assert kept.mass_kg == pytest.approx(2.0)
    assert kept.value == 0.0
    assert "nobody" in kept.reason and "quotes" in kept.reason


def test_quoted_at_nothing_is_not_unquoted() -> None:
    """A free drop-off is an offer: it takes the packs, where nobody asked would leave them lying."""
    stock = '[stock]\nalkaline = "2 kg"\ncopper-2 = "5 kg"\n'
    yards = yard("harbour-yard", usual("copper-2"))
    unquoted = planned(town(yards + stock, 15.0))
    (kept,) = [line for line in unquoted.kept if line.grade == "alkaline"]
    free = planned(town(yards + yard("town-depot", {"alkaline": 0.0}, kind="drop-off") + stock, 15.0))
    reasons = [line.reason for line in free.kept if line.grade == "alkaline"]
    assert "nobody" in kept.reason
    assert not [reason for reason in reasons if "nobody" in reason]


PART_KIND = "bread-machine"


def part_lines(works: str) -> list[PartLine]:
    """The parts sold that need a find that works."""
    report = planned(town(yard("harbour-yard", usual("copper-2", "light-iron")) + finds(PART_KIND, works=works), 5.0))
    needy = {part.name for p in shipped().anatomy(PART_KIND).pieces for part in p.parts if part.needs == "works"}
    assert needy
    return [line for line in report.parts if line.name in needy or line.piece == "whole"]


def test_an_unknown_condition_is_not_works() -> None:
    """One of which nobody knows sells as working only if a test says so, and by the share of which it does."""
    assert [line.only_if for line in part_lines("yes")] == [None]
    (tested,) = part_lines("unknown")
    assert tested.only_if is not None and tested.only_if.answer == "it works"
    assert tested.only_if.share == shipped().anatomy(PART_KIND).works
    assert part_lines("no") == []


def test_an_unknown_condition_asks_whether_to_test() -> None:
    it = town(yard("harbour-yard", usual("copper-2", "light-iron")) + finds(PART_KIND, works="unknown"), 5.0)
    first = depth(it, PART_KIND).test_first
    assert first is not None and first.chance_works == shipped().anatomy(PART_KIND).works
    assert first.value_if_works > first.value_if_not == pytest.approx(first.value_untested)
