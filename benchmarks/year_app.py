"""What the simulated year asks of the app: verdicts at the curb, tests, a week's plan. Nothing is worked out here.

Where a checkout of the app does not have the odds of working or the price of room, it goes without.
"""

from __future__ import annotations

import datetime as dt
import importlib
from collections.abc import Iterable, Mapping
from dataclasses import fields, replace
from typing import Any

from year_market import START
from year_things import Asked

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
LISTED = "listed" in {field.name for field in fields(Scenario)}  # what is on offer is part of the plan


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


def find_of(asked: Asked, count: int = 1, listed: int = 0) -> Find:
    """Finds as the app is told of them."""
    kind, works, chance = asked
    more: dict[str, Any] = ({} if chance is None else {"chance": chance}) | ({"listed": listed} if listed else {})
    return Find(kind, count, works, **more)


def with_offers(here: Scenario, parts: Mapping[tuple[str, str, str], int]) -> Scenario:
    """With every part that is on offer; none of the others is, so that the next one is the first."""
    known = {
        (a.kind, piece.id, part.name): 0 for a in here.anatomies.values() for piece in a.pieces for part in piece.parts
    }
    more: dict[str, Any] = {"listed": known | dict(parts)}
    return replace(here, **more)


def lifted_on(here: Scenario, asked: Iterable[Asked]) -> dict[Asked, Lifted]:
    """Finds at the curb, solved together as the app's ranking does."""
    wanted = sorted(set(asked), key=str)
    if not BY_ODDS:
        known: tuple[Works, ...] = ("yes", "no")
        wanted = list(dict.fromkeys((k, _or(w, one), None) for k, w, _ in wanted for one in known))
    if not wanted:
        return {}
    each = Lifted.each(Solved.of_finds(bare(here), [find_of(one) for one in wanted], DRAWS))
    return dict(zip(wanted, each, strict=True))


def verdicts_on(here: Scenario, asked: Iterable[Asked]) -> dict[Asked, str]:
    """The curb's verdict on each kind and condition."""
    wanted = set(asked)
    lifted = lifted_on(here, wanted)
    return {one: _judged(one, lifted) for one in wanted}


def _judged(asked: Asked, lifted: Mapping[Asked, Lifted]) -> str:
    said: Any = verdicts
    kind, works, _ = asked
    if not BY_ODDS:
        return str(said.judged(works, lifted[kind, _or(works, "yes"), None], lifted[kind, _or(works, "no"), None])[0])
    one: Any = lifted[asked]
    yes, no = one.as_tested("yes") or one, one.as_tested("no") or one
    return str(said.judged(said.Outlook(works, one, yes, no))[0])


def _or(works: Works, other: Works) -> Works:
    return other if works == "unknown" else works


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
