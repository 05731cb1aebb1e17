"""Nothing at all is a figure like any other: a part given away, a fee that eats all, no minutes, no wage, no chance.

Expected amounts are worked out here from the scenario: a part brings chance x (price x (1 - fee) - postage), as the
design says (section 6).
"""

from __future__ import annotations

import datetime as dt
import functools
import itertools
import math
import random

import pytest

from partway.actions.bench.depths import depth
from partway.actions.curb.curb import curb
from partway.actions.plans.plan import Limits, plan
from partway.planning.worlds.again import plan_again
from partway.things.anatomy import Anatomy, Gives, Operation, Part, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Quote, Scenario, Vehicle
from partway.valuing.plans import again

DAY = dt.date(2026, 3, 14)
exact = Estimate.exact


def stool(part: Part, minutes: float, wage: float, copper: float, kept: float) -> Scenario:
    """One stool that a tip charges for, sold by the unit or opened for its copper screw."""
    pieces = (
        Piece("whole", "stool", exact(5.0), (SaleAs("residue"),), (part,)),
        Piece("screw", "screw", exact(0.5), (SaleAs("copper-2"),)),
        Piece("rest", "rest", exact(4.5), (SaleAs("residue"),)),
    )
    opened = Operation("open", "open", "whole", exact(minutes), (Gives("screw"), Gives("rest")))
    quotes = (Quote("copper-2", exact(copper), DAY), Quote("residue", exact(-0.11), DAY))
    return Scenario(
        name="zeros",
        currency="EUR",
        on=DAY,
        hours=Hours(bench=1.0, away=1.0, wage=wage),
        vehicle=Vehicle(payload_kg=100.0),
        buyers=(Buyer("tip", "tip", km=5.0, quotes=quotes),),
        finds=(Find("stool", 1, "yes"),),
        stock={},
        grades={g: Grade(g, g, g, exact(1.0)) for g in ("copper-2", "residue")},
        anatomies={"stool": Anatomy("stool", "stool", pieces, (opened,), works=0.5, test_minutes=exact(minutes))},
        keep_factor=kept,
    )


def zeros() -> list[Scenario]:
    """Each figure nothing or something, every way round; ranges and postage that just eats the price drawn."""
    found, rng = [], random.Random(3)
    for price, chance, fee, minutes, wage, copper in itertools.product((0, 8), (0, 1), (0, 1), (0, 6), (0, 10), (0, 5)):
        postage = rng.choice([0.0, price * (1.0 - fee)])
        asked = rng.choice([exact(float(price)), Estimate(0.0, price / 2, price)])
        part = Part(
            asked, chance=chance, minutes=exact(minutes), fee=fee, postage=postage, in_copper=rng.random() < 0.3
        )
        found.append(stool(part, minutes, wage, copper, rng.choice([0.0, 0.8, 1.0])))
    return found


def net(it: Scenario, part: Part) -> float:
    """What one unit brings on average."""
    unit = it.buyers[0].quotes[0].price.mean if part.in_copper else 1.0
    return part.chance * unit * (part.price.mean * (1.0 - part.fee) - part.postage)


def test_zeros_are_drawn_where_a_figure_is_divided_by() -> None:
    parts = [(it, it.anatomies["stool"].whole.parts[0]) for it in zeros()]
    likely = [(it, part) for it, part in parts if part.chance > 0 and part.fee < 1]
    assert sum(net(it, part) == 0.0 for it, part in likely) >= 5
    assert sum(net(it, part) > 0.0 for it, part in likely) >= 3
    assert sum(part.price.mean == 0.0 for _, part in parts) >= 20


@pytest.mark.parametrize("number", range(len(zeros())))
def test_a_plan_a_depth_and_a_curb_are_made_whatever_is_nothing(number: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Made again in as many worlds as ever for one in eight, in five for the others."""
    if number % 8:
        monkeypatch.setattr(again, "plan_again", functools.partial(plan_again, times=5))
    it = zeros()[number]
    part = it.anatomies["stool"].whole.parts[0]
    report = plan(it, Limits(seconds=5.0), why=True)
    assert report.status == "optimal"
    for line in report.parts:
        unit = it.buyers[0].quotes[0].price.mean if part.in_copper else 1.0
        assert line.price == pytest.approx(part.price.mean * unit, abs=1e-12)
        assert line.expected == pytest.approx(net(it, part), abs=1e-12)
    one = depth(it, "stool")
    assert all(math.isfinite(x) for x in (one.value, one.chances.low, one.chances.high))
    assert curb(it, "stool", "yes").kind == "stool"


def test_a_part_that_brings_nothing_is_sold_rather_than_paid_for() -> None:
    """Kept, the stool counts as 5 kg that the tip charges 0.11 for; given away it counts as nothing."""
    given_away = Part(exact(0.0), chance=1.0, minutes=exact(0.0))
    report = plan(stool(given_away, 6.0, 10.0, 0.0, 0.8))
    (line,) = report.parts
    assert (line.price, line.expected, report.objective) == (0.0, 0.0, 0.0)
