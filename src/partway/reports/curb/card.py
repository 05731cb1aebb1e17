"""The curb's ranking to carry on paper: each kind with all that can hurt about it, and the cards of those hazards."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from partway.catalogue.cards import CautionCard, cards_by_hazard, is_hard_stop
from partway.reports.curb.curb import Ranking
from partway.reports.curb.report import cautions_at_curb
from partway.things.anatomy import Anatomy
from partway.things.scenario import Scenario


@dataclass(frozen=True, slots=True)
class CurbCard:
    """The kinds worth stopping for and those that go whole to a depot.

    `hazards` are names by kind: what hurts as soon as a thing is lifted, and hard stops; `at_bench` counts the others.
    `cautions` are the cards of those named.
    """

    ranking: Ranking
    hazards: Mapping[str, tuple[str, ...]]
    at_bench: Mapping[str, int]
    cautions: tuple[CautionCard, ...]


def report_curb_card(scenario: Scenario, ranking: Ranking, kinds: Mapping[str, Anatomy]) -> CurbCard:
    """The card of a ranking; `kinds` are the anatomies of what it ranks."""
    shown = [*(line.kind for line in ranking.lines), *(kind for kind, _ in ranking.depot)]
    cards = {kind: cautions_at_curb(scenario, kinds[kind]) for kind in shown}
    here = {kind: [one for one in of if one.carry or is_hard_stop(one.id)] for kind, of in cards.items()}
    return CurbCard(
        ranking=ranking,
        hazards={kind: tuple(one.name for one in of) for kind, of in here.items()},
        at_bench={kind: len(of) - len(here[kind]) for kind, of in cards.items()},
        cautions=cards_by_hazard(scenario.cautions, ((kind, [one.id for one in of]) for kind, of in here.items())),
    )
