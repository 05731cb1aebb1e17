"""Worth lifting? One kind looked at closely, or all of them at a glance, at a scenario's prices."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from partway.catalogue import kinds_in
from partway.catalogue.reading.messages import unknown
from partway.errors import Refused
from partway.planning.instance.room import with_room
from partway.planning.instance.tested import needs_work
from partway.reports.curb.curb import Curb, Ranking
from partway.reports.curb.ranking import report_ranking
from partway.reports.curb.report import report_curb
from partway.things.anatomy import Anatomy
from partway.things.scenario import Find, Scenario, Works
from partway.valuing.finds.curb import Lifted
from partway.valuing.finds.estimated import with_estimates
from partway.valuing.finds.opened import Solved
from partway.valuing.finds.verdict import Outlook
from partway.valuing.learned.odds import AtCurb

WORKS: tuple[Works, ...] = ("yes", "no", "unknown")
AT_A_GLANCE = 200  # draws for each kind of the ranking; one looked at closely gets as many as any report


def curb(scenario: Scenario, kind: str, works: Works = "unknown", known_of: AtCurb | None = None) -> Curb:
    """The verdict on one find of a kind; `known_of` is what shows of it, None: it is as its kind usually is.

    Raises Refused where nobody knows the kind.
    """
    return conditions(scenario, kind, known_of, (works,))[works]


def conditions(
    scenario: Scenario, kind: str, known_of: AtCurb | None = None, wanted: Iterable[Works] = WORKS
) -> dict[Works, Curb]:
    """The verdicts on one find of a kind, as it is in each condition: what they share is worked out once. Raises as
    `curb` does.
    """
    odds, scenario = known_of or AtCurb(), with_estimates(scenario)
    known = kinds_in(scenario)
    if not known.knows(kind):
        raise unknown(Refused, kind, "kind", known.kinds, "kind")
    anatomy = known.anatomy(kind)
    here = replace(bare(scenario), anatomies={kind: anatomy})
    if_not = _alone(here, Find(kind, 1, "no"))
    if_works = _alone(here, Find(kind, 1, "yes")) if needs_work(anatomy) else if_not
    chance = odds.chance.value if odds.chance else None
    found: dict[Works, Curb] = {}
    for works in wanted:
        as_known = {"no": if_not, "yes": if_works}.get(works) or _alone(here, Find(kind, chance=chance))
        found[works] = report_curb(Outlook(works, as_known, if_works, if_not), odds)
    return found


def kinds(scenario: Scenario) -> dict[str, Anatomy]:
    """All kinds that can be looked at: the catalogue's and the scenario's own."""
    return {anatomy.kind: anatomy for anatomy in kinds_in(scenario).all_anatomies()}


def ranking(scenario: Scenario) -> Ranking:
    """All kinds by what stopping for them brings: one instance for all, so that the market is read once.

    None that was split: what is picked up is one of those it became.
    """
    scenario = with_estimates(scenario)
    anatomies = {kind: anatomy for kind, anatomy in kinds(scenario).items() if not anatomy.became}
    finds = [Find(kind) for kind in anatomies]
    finds += [
        Find(kind, 1, "yes") for kind, anatomy in anatomies.items() if needs_work(anatomy) and not has_odds(anatomy)
    ]
    return report_ranking(Solved.of_finds(replace(bare(scenario), anatomies=anatomies), finds, AT_A_GLANCE))


def has_odds(anatomy: Anatomy) -> bool:
    """Whether it is known how likely one of a kind is to work, and how long it takes to find out."""
    return anatomy.works is not None and anatomy.test_minutes is not None


def bare(scenario: Scenario) -> Scenario:
    """Prices, wage and the price of room alone: what else is in the bins and how to drive there decide nothing here."""
    return replace(with_room(scenario), stock={}, vehicle=None, roads=(), notes=())


def _alone(scenario: Scenario, find: Find) -> Lifted:
    return Lifted(Solved.of_finds(scenario, [find]))
