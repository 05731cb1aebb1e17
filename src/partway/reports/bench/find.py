"""One find at the bench: what to mind, what to do, what it brings, step by step."""

from __future__ import annotations

from dataclasses import dataclass, replace

from partway.catalogue.cards import CautionCard, cards_by_hazard
from partway.reports.bench.hand import Hand, InHand
from partway.reports.bench.parts import PartLine, parts_to_sell
from partway.reports.bench.queue import Waits, hand_of
from partway.reports.bench.steps import BenchStep, Bins, Comes, Working
from partway.reports.bench.values import Ranged, Valued, Values, solved
from partway.things.scenario import Scenario, Works


@dataclass(frozen=True, slots=True)
class FindAtBench:
    """One of a find, or all that is left of one partly opened, at its best depth.

    `supposed` is the condition that was supposed instead of what is known; `wins` how many of the seeded draws have
    the verdict beat leaving it as it is, the hours paid at the wage; None where there is nothing to do. `working` is
    what its picture is drawn from.
    """

    waits: Waits
    name: str
    works: Works
    supposed: bool
    wage: float
    cautions: tuple[CautionCard, ...]
    value: Valued
    range: Ranged
    wins: float | None
    steps: tuple[BenchStep, ...]
    left: tuple[Comes, ...]
    parts: tuple[PartLine, ...]
    working: Working
    notes: tuple[str, ...]


def report_find(scenario: Scenario, waits: Waits, bins: Bins, works: Works | None = None) -> FindAtBench:
    """One find at a scenario's prices and wage, as if it were in another condition where `works` says so."""
    supposed = replace(waits, works=works) if works else waits
    hand = hand_of(scenario, (supposed,))
    at_prices = Values.at(scenario)
    value = at_prices.of([hand])[hand]
    ranged = at_prices.range_of(hand, value)
    here = solved(scenario, hand)
    working = Working(here, bins)
    return FindAtBench(
        waits=waits,
        name=scenario.anatomies[waits.kind].name,
        works=supposed.works,
        supposed=supposed.works != waits.works,
        wage=scenario.hours.wage,
        cautions=cards_by_hazard(scenario.cautions, [(waits.kind, value.cautions)]),
        value=value,
        range=ranged,
        wins=ranged.wins if value.per_hour is not None else None,
        steps=working.steps(),
        left=working.left_as_it_is(),
        parts=parts_to_sell(here, _known_to_work(scenario, hand, here)),
        working=working,
        notes=here.find.instance.notes,
    )


def _known_to_work(scenario: Scenario, hand: Hand, here: InHand) -> InHand:
    """The same hand as if it worked, where that makes a difference to some part."""
    anatomy = scenario.anatomies[hand.kind]
    if hand.works == "yes" or not any(part.needs for piece in anatomy.pieces for part in piece.parts):
        return here
    works = replace(hand, works="yes")
    return solved(scenario, works)
