"""What the simulated year asks of the app: verdicts at the curb, tests, a week's plan. Nothing is worked out here.

Where a checkout of the app does not have the odds of working or the price of room, it goes without.
"""

from __future__ import annotations

import datetime as dt
import importlib
from collections.abc import Iterable, Mapping
from dataclasses import fields
from typing import Any

from year_market import START

from partway.actions.curb.curb import bare
from partway.catalogue import shipped
from partway.planning.check.verify import Checked, verify
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.search.search import search
from partway.things.anatomy import Anatomy
from partway.things.scenario import Buyer, Find, Hours, Scenario, Vehicle, Works
from partway.valuing.finds import verdict as verdicts
from partway.valuing.finds.curb import Lifted
from partway.valuing.finds.opened import Solved

SHED_L, PAYLOAD_KG, VOLUME_L, COST_PER_KM = 5000.0, 400.0, 1800.0, 0.35
BENCH, AWAY, WAGE = 8.0, 6.0, 15.0
SECONDS, GAP, STEPS = 60.0, 1e-2, 6  # of a week's plan: steps and gap end it, not the clock, so that a year repeats
DRAWS = 8  # of ranges, which decide nothing here
BY_ODDS = hasattr(verdicts, "Outlook")  # a test is an operation of the plan, and the verdict counts the odds
STATES: tuple[Works, ...] = ("unknown", "yes", "no") if BY_ODDS else ("yes", "no")


def scenario(anatomies: Mapping[str, Anatomy], buyers: tuple[Buyer, ...], week: int, room: float = SHED_L) -> Scenario:
    """What one knows in a week, without finds and stock; `room` is that of the shed but for what is on offer."""
    known: dict[str, Any] = {"storage_l": max(room, 1.0)} if "storage_l" in {f.name for f in fields(Scenario)} else {}
    return Scenario(
        name=f"week {week}",
        currency="CAD",
        on=START + dt.timedelta(weeks=week),
        hours=Hours(BENCH, AWAY, WAGE, 1),
        vehicle=Vehicle(PAYLOAD_KG, VOLUME_L, COST_PER_KM),
        buyers=buyers,
        finds=(),
        stock={},
        grades=shipped().grades,
        anatomies=anatomies,
        cautions=shipped().cautions,
        **known,
    )


def verdicts_on(here: Scenario, kinds: Iterable[str]) -> dict[tuple[str, Works], str]:
    """The curb's verdict on each kind and condition, solved together as the app's ranking does."""
    wanted = sorted(set(kinds))
    if not wanted:
        return {}
    each = Lifted.each(
        Solved.of_finds(bare(here), [Find(kind, 1, works) for kind in wanted for works in STATES], DRAWS)
    )
    lifted = {(one.group.find.kind, one.group.find.works): one for one in each}
    asked: tuple[Works, ...] = ("unknown", "yes", "no")
    return {(kind, works): _judged(works, kind, lifted) for kind in wanted for works in asked}


def _judged(works: Works, kind: str, lifted: Mapping[tuple[str, Works], Lifted]) -> str:
    said: Any = verdicts
    yes, no = lifted[kind, "yes"], lifted[kind, "no"]
    if BY_ODDS:
        return str(said.judged(said.Outlook(works, lifted[kind, works], yes, no))[0])
    return str(said.judged(works, yes, no)[0])


def worth_testing(here: Scenario, kinds: Iterable[str]) -> dict[str, float]:
    """Kinds to be tested before the week is planned, by what a test gains an hour; none where the plan tests itself."""
    if BY_ODDS:
        return {}
    hands, hand = (importlib.import_module(f"partway.valuing.finds.{name}") for name in ("hands", "hand"))
    holdings = {kind: hand.Holding(kind, "unknown", None, ((here.anatomies[kind].whole.id, 1),)) for kind in kinds}
    values = hands.HoldingValues.at(here).of(holdings.values()) if holdings else {}
    tests = {kind: values[holding].test for kind, holding in holdings.items()}
    return {kind: test.first.gain / test.first.hours for kind, test in tests.items() if test is not None}


def planned(here: Scenario) -> tuple[Instance, Checked]:
    """The plan of a week, checked as every plan is."""
    instance = build(here)
    return instance, verify(instance, search(instance, SECONDS, GAP, steps=STEPS).decision)
