"""A harbour town for acceptance scenarios: small TOML files over the catalogue we ship. All invented."""

from __future__ import annotations

from collections.abc import Mapping

from partway.actions.plans.plan import Limits, plan
from partway.catalogue import shipped
from partway.reports.haul.plan import Plan
from partway.storage.scenario.scenario import read_scenario_text
from partway.things.scenario import Scenario

COPPER = 9.0  # a kg of No. 2 copper, invented
GRADES = shipped().grades


def ratio(grade: str) -> float:
    """The catalogue's likely price of a kg, No. 2 copper being 1."""
    estimate = GRADES[grade].ratio
    assert estimate is not None
    return estimate.likely


def usual(*grades: str) -> dict[str, float]:
    """Usual prices per kg of some grades."""
    return {grade: COPPER * ratio(grade) for grade in grades}


def rows(prices: Mapping[str, float]) -> str:
    """A yard's price list, as a scenario file has it."""
    return ", ".join(f'{{ grade = "{g}", price = "{p:.6f} /kg", on = 2026-03-12 }}' for g, p in prices.items())


def yard(name: str, prices: Mapping[str, float], kind: str = "yard", km: float = 0.2) -> str:
    """One buyer's table; around the corner, unless told otherwise, so that no drive decides anything."""
    return f"""
[[buyer]]
id = "{name}"
kind = "{kind}"
km = {km}
minutes = 0
price = [ {rows(prices)} ]
"""


def finds(*kinds: str, works: str = "no", count: int = 1) -> str:
    """Finds of some kinds, all in one condition."""
    return "".join(f'[[find]]\nkind = "{kind}"\ncount = {count}\nworks = "{works}"\n' for kind in kinds)


def town(tables: str, wage: float, keep_factor: float = 0.5, bench: float = 20.0) -> Scenario:
    """A day in the harbour town: time and payload enough, driving as good as free."""
    text = f"""
[scenario]
name = "demo: harbour town"
currency = "CAD"
on = 2026-03-14
keep_factor = {keep_factor}
[hours]
bench = {bench}
away = 12.0
wage = {wage}
trips = 1
[vehicle]
payload = "2000 kg"
cost_per_km = 0.01
kmh = 60
{tables}
"""
    return read_scenario_text(text, "town.toml")


def planned(it: Scenario) -> Plan:
    """The plan, which has to be the best there is."""
    report = plan(it, Limits(seconds=30.0))
    assert report.status == "optimal"
    return report


def opened(report: Plan) -> dict[str, int]:
    """How often each operation runs."""
    return {line.operation: line.times for line in report.open}


def sold(report: Plan) -> dict[str, float]:
    """Kilograms sold by grade."""
    found: dict[str, float] = {}
    for line in report.sales:
        found[line.grade] = found.get(line.grade, 0.0) + line.mass_kg
    return found


def binned(report: Plan) -> dict[str, set[str]]:
    """The grades each piece was put in."""
    found: dict[str, set[str]] = {}
    for line in report.bins:
        for _, piece, _ in line.pieces:
            found.setdefault(piece, set()).add(line.grade)
    return found
