"""How far to open one find of a kind, at a scenario's prices."""

from __future__ import annotations

from dataclasses import replace
from difflib import get_close_matches

from partway.catalogue import kinds_in
from partway.errors import Hint, Refused
from partway.reports.bench.depth import Depth
from partway.reports.bench.report_depth import report_depth
from partway.things.scenario import Find, Scenario, Works
from partway.valuing.finds.opened import Solved


def depth(scenario: Scenario, kind: str, works: Works | None = None, mass_kg: float | None = None) -> Depth:
    """Depth of one find; condition and mass are the scenario's own first find of that kind unless given.

    A kind that is not among the finds is looked up in the shipped catalogue; Refused where it is not there either.
    """
    scenario = _with_kind(scenario, kind)
    known = next((f for f in scenario.finds if f.kind == kind), Find(kind))
    find = Find(kind, 1, works or known.works, mass_kg or known.mass_kg, known.chance)
    return report_depth(Solved.of_finds(scenario, [find]))


def _with_kind(scenario: Scenario, kind: str) -> Scenario:
    if kind in scenario.anatomies:
        return scenario
    catalogue = kinds_in(scenario)
    if not catalogue.knows(kind):
        closest = get_close_matches(kind, catalogue.kinds, n=1)
        near = f', such as "{closest[0]}"' if closest else ""
        raise Refused(f'"{kind}"', f"one of the kinds there are{near}", "kind", hint=Hint("kinds"))
    return replace(scenario, anatomies={**scenario.anatomies, kind: catalogue.anatomy(kind)})
