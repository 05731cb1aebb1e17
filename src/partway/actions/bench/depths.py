"""How far to open one find of a kind, at a scenario's prices."""

from __future__ import annotations

from dataclasses import replace
from difflib import get_close_matches

from partway.catalogue import kinds_in
from partway.errors import Hint, Refused
from partway.quantities import format_money
from partway.reports.bench.depth import Depth
from partway.reports.bench.report_depth import report_depth
from partway.things.scenario import Find, Scenario, Works
from partway.valuing.finds.facts import TestFirst
from partway.valuing.finds.opened import Solved
from partway.valuing.finds.tested import worth_of_testing


def depth(scenario: Scenario, kind: str, works: Works | None = None, mass_kg: float | None = None) -> Depth:
    """Depth of one find; condition and mass are the scenario's own first find of that kind unless given.

    A kind that is not among the finds is looked up in the shipped catalogue; Refused where it is not there either.
    """
    scenario = _with_kind(scenario, kind)
    known = next((f for f in scenario.finds if f.kind == kind), Find(kind))
    find = Find(kind, 1, works or known.works, mass_kg or known.mass_kg)
    here = Solved.of_finds(scenario, [find])
    return report_depth(here, _testing(scenario, find, here) if find.works == "unknown" else None)


def worth_testing(scenario: Scenario) -> tuple[str, ...]:
    """A note for each sort of find of unknown condition that is better tested before it is planned for."""
    notes = []
    for find in dict.fromkeys(f for f in scenario.finds if f.works == "unknown"):
        one = replace(find, count=1)
        test = _testing(scenario, one, Solved.of_finds(scenario, [one]))
        if test is not None and test.worth_it:
            name = scenario.anatomies[find.kind].name
            gain = format_money(test.gain, scenario.currency)
            notes.append(
                f"{name}, condition unknown: a test of {test.minutes:.0f} min would gain {gain} each on average."
            )
    return tuple(notes)


def _with_kind(scenario: Scenario, kind: str) -> Scenario:
    if kind in scenario.anatomies:
        return scenario
    catalogue = kinds_in(scenario)
    if not catalogue.knows(kind):
        closest = get_close_matches(kind, catalogue.kinds, n=1)
        near = f', such as "{closest[0]}"' if closest else ""
        raise Refused(f'"{kind}"', f"one of the kinds there are{near}", "kind", hint=Hint("kinds"))
    return replace(scenario, anatomies={**scenario.anatomies, kind: catalogue.anatomy(kind)})


def _testing(scenario: Scenario, find: Find, untested: Solved) -> TestFirst | None:
    """What testing a find of unknown condition first would gain."""
    works, fails = (Solved.of_finds(scenario, [replace(find, works=works)]).value for works in ("yes", "no"))
    return worth_of_testing(untested.anatomy(0), untested.wage, untested.value, works, fails)
