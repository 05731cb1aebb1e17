"""How far to open one find of a kind, at a scenario's prices."""

from __future__ import annotations

from dataclasses import replace

from partway.planning.build import build
from partway.reports.depth import Depth
from partway.reports.depths import Opened, report_depth
from partway.things.scenario import Find, Scenario, Works


def depth(scenario: Scenario, kind: str, works: Works | None = None, mass_kg: float | None = None) -> Depth:
    """Depth of one find; condition and mass are the scenario's own first find of that kind unless given.

    KeyError where the scenario knows no such kind.
    """
    known = next((f for f in scenario.finds if f.kind == kind), Find(kind))
    find = Find(kind, 1, works or known.works, mass_kg or known.mass_kg)
    if kind not in scenario.anatomies:
        raise KeyError(kind)
    here = _opened(scenario, find)
    if find.works != "unknown":
        return report_depth(here)
    return report_depth(here, _opened(scenario, replace(find, works="yes")), _opened(scenario, replace(find, works="no")))


def _opened(scenario: Scenario, find: Find) -> Opened:
    return Opened.of(build(replace(scenario, finds=(find,))))
