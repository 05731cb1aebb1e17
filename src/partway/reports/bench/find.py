"""One find at the bench: what to mind, what to do, what it brings, step by step."""

from __future__ import annotations

from dataclasses import dataclass, replace

from partway.catalogue.cards import CautionCard, cards_by_hazard
from partway.reports.bench.limbs import Limb, tree_of
from partway.reports.bench.steps import BenchStep, Bins, Comes, Working
from partway.reports.bench.valued import ValueLine
from partway.things.scenario import Scenario, Works
from partway.valuing.finds.facts import Span
from partway.valuing.finds.hand import Holding, ValuedHolding
from partway.valuing.finds.hands import HoldingValues
from partway.valuing.finds.parts import PartOffer, parts_to_sell
from partway.valuing.finds.together import solved_alone
from partway.valuing.finds.waiting import WaitingFind, holding_of


@dataclass(frozen=True, slots=True)
class FindAtBench:
    """One of a find, or all that is left of one partly opened, at its best depth.

    `supposed` is the condition that was supposed instead of what is known; `wins` how many of the seeded draws have
    the verdict beat leaving it as it is, the hours paid at the wage; None where there is nothing to do. `tree` is
    the find with all that comes out of it. `note` is what decides about its kind, `notes` what the figures count on.
    """

    waits: WaitingFind
    name: str
    works: Works
    supposed: bool
    wage: float
    cautions: tuple[CautionCard, ...]
    value: ValueLine
    brings: Span
    minutes: Span
    wins: float | None
    steps: tuple[BenchStep, ...]
    left: tuple[Comes, ...]
    parts: tuple[PartOffer, ...]
    tree: tuple[Limb, ...]
    notes: tuple[str, ...]
    note: str = ""


def report_find(scenario: Scenario, waits: WaitingFind, bins: Bins, works: Works | None = None) -> FindAtBench:
    """One find at a scenario's prices and wage, as if it were in another condition where `works` says so."""
    supposed = replace(waits, works=works) if works else waits
    holding = holding_of(scenario, (supposed,))
    at_prices = HoldingValues.at(scenario)
    value = at_prices.of([holding])[holding]
    ranged = at_prices.range_of(holding, value)
    here = solved_alone(scenario, _untested(holding))
    working = Working(here, bins)
    return FindAtBench(
        waits=waits,
        name=scenario.anatomies[waits.kind].name,
        works=supposed.works,
        supposed=supposed.works != waits.works,
        wage=scenario.hours.wage,
        cautions=cards_by_hazard(scenario.cautions, [(waits.kind, value.cautions)]),
        value=ValueLine.of(value, scenario),
        brings=ranged.brings,
        minutes=ranged.minutes,
        wins=ranged.wins if value.per_hour is not None else None,
        steps=working.steps(),
        left=working.left_as_it_is(),
        parts=parts_to_sell(here, _known_to_work(scenario, holding, here)),
        tree=tree_of(working),
        notes=here.find.instance.notes,
        note=here.anatomy.note,
    )


def _untested(holding: Holding) -> Holding:
    """What is done while nobody has tested it: the same as if it did not work."""
    return replace(holding, works="no") if holding.works == "unknown" else holding


def _known_to_work(scenario: Scenario, holding: Holding, here: ValuedHolding) -> ValuedHolding:
    """The same as if it worked, where that makes a difference to some part."""
    anatomy = scenario.anatomies[holding.kind]
    if holding.works == "yes" or not any(part.needs for piece in anatomy.pieces for part in piece.parts):
        return here
    return solved_alone(scenario, replace(holding, works="yes"))
