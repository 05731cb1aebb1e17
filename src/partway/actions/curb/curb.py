"""Worth lifting? One kind looked at closely, or all of them at a glance, at a scenario's prices."""

from __future__ import annotations

from dataclasses import replace

from partway.catalogue import shipped
from partway.catalogue.reading.messages import unknown
from partway.errors import Refused
from partway.planning.instance.room import with_room
from partway.reports.curb.curb import Curb, Ranking
from partway.reports.curb.ranking import report_ranking
from partway.reports.curb.report import report_curb
from partway.things.anatomy import Anatomy
from partway.things.scenario import Find, Scenario, Works
from partway.valuing.finds.curb import Lifted
from partway.valuing.finds.opened import Solved

AT_A_GLANCE = 200  # draws for each kind of the ranking; one looked at closely gets as many as any report


def curb(scenario: Scenario, kind: str, works: Works = "unknown") -> Curb:
    """The verdict on one find of a kind. Raises Refused where nobody knows the kind."""
    known = shipped().with_own(scenario.anatomies)
    if not known.knows(kind):
        raise unknown(Refused, kind, "kind", known.kinds, "kind")
    anatomy = known.anatomy(kind)
    here = replace(bare(scenario), anatomies={kind: anatomy})
    if_not = _alone(here, Find(kind, 1, "no"))
    if_works = _alone(here, Find(kind, 1, "yes")) if _depends(anatomy) else if_not
    return report_curb(works, if_works, if_not)


def kinds(scenario: Scenario) -> dict[str, Anatomy]:
    """All kinds that can be looked at: the catalogue's and the scenario's own."""
    return {anatomy.kind: anatomy for anatomy in shipped().with_own(scenario.anatomies).all_anatomies()}


def ranking(scenario: Scenario) -> Ranking:
    """All kinds by what stopping for them brings: one instance for all, so that the market is read once.

    None that was split: what is picked up is one of those it became.
    """
    anatomies = {kind: anatomy for kind, anatomy in kinds(scenario).items() if not anatomy.became}
    finds = [Find(kind, 1, "no") for kind in anatomies]
    finds += [Find(kind, 1, "yes") for kind, anatomy in anatomies.items() if _depends(anatomy)]
    return report_ranking(Solved.of_finds(replace(bare(scenario), anatomies=anatomies), finds, AT_A_GLANCE))


def bare(scenario: Scenario) -> Scenario:
    """Prices, wage and the price of room alone: what else is in the bins and how to drive there decide nothing here."""
    return replace(with_room(scenario), stock={}, vehicle=None, roads=(), notes=())


def _alone(scenario: Scenario, find: Find) -> Lifted:
    return Lifted(Solved.of_finds(scenario, [find]))


def _depends(anatomy: Anatomy) -> bool:
    """Whether anything of it is sold only if it works."""
    return any(part.needs == "works" for piece in anatomy.pieces for part in piece.parts)
