"""What is it? One piece by the answers given so far, or a board or a wire by what is seen on it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from partway.catalogue import shipped
from partway.catalogue.reading.messages import unknown
from partway.errors import Refused
from partway.identify import ASIDE, Case, Rates, bins_of, matches, rates_of, read_answers, shares
from partway.identify.bins import KEPT_ASIDE, MOST_OTHERS, OTHERS
from partway.identify.evidence import NOT_SURE, Measured
from partway.quantities import format_mass_in
from partway.reports.what.guided import report_guide
from partway.reports.what.identified import Known, report_identify
from partway.reports.what.identify import GuideReport, Identify
from partway.things.material import Grade
from partway.things.scenario import Scenario
from partway.things.testkey import KeyContext

DEFAULT_CONTEXT = "loose"
DEFAULT_KG = 0.5  # a fitting, a casting, a coil of wire


def identify(
    scenario: Scenario | None,
    context: str = DEFAULT_CONTEXT,
    answers: Mapping[str, str] | None = None,
    mass_kg: float | None = None,
    confirmed: Mapping[str, int] | None = None,
) -> Identify:
    """What a piece may be and which bin that leads to, at the scenario's prices; what to test next, if anything.

    Without a scenario, or without a quote in it, money is in kg of No. 2 copper by the catalogue's ratios. `confirmed`
    counts the pieces of this context known for sure by now, by material. Raises Refused.
    """
    key, where = shipped().key, context_named(context)
    given = read_answers(key, where, answers or {})
    if mass_kg is not None and mass_kg <= 0.0:
        raise Refused("no mass", "a mass above 0", "mass")
    grades, mass = grades_in(scenario), DEFAULT_KG if mass_kg is None else mass_kg
    case, rates = case_of(scenario, where, mass, confirmed or {})
    bins, stock, wage = case.bins, {} if scenario is None else scenario.stock, case.wage
    notes = [*_mass_notes(mass_kg, stock, scenario), *_price_notes(rates, bins.grades), *_wage_notes(wage, rates)]
    notes += [
        f"{key.tests[test].name} without a range: taken to be off by {key.tests[test].spread:.0%}."
        for test, answer in given.items()
        if isinstance(answer, Measured) and answer.off == key.tests[test].spread * answer.density
    ]
    if NOT_SURE in given.values():
        notes.append("not sure counts as no information, and is not asked again.")
    notes.append(
        "Chances come from the catalogue's tables, estimates from memory; 1 % of each row is left to surprise."
    )
    count = sum((confirmed or {}).values())
    on = None if scenario is None or rates.currency is None else scenario.on.isoformat()
    return report_identify(
        Known(case, given, grades, shipped().cautions, rates, mass, count, on, (*notes, *_prior_notes(where, count)))
    )


def case_of(
    scenario: Scenario | None, where: KeyContext, mass_kg: float, confirmed: Mapping[str, int]
) -> tuple[Case, Rates]:
    """A piece of so much from somewhere before any answer, and the prices that its bins are judged by."""
    key, grades = shipped().key, grades_in(scenario)
    rates, prior = rates_of(grades, scenario), shares(key, where, confirmed)
    stock = {} if scenario is None else scenario.stock
    bins = bins_of([key.materials[name] for name in prior], where, grades, rates, mass_kg, stock)
    wage = scenario.hours.wage if scenario is not None and rates.currency else 0.0
    return Case(key, where, prior, bins, rates.copper, wage), rates


def guide(scenario: Scenario | None, name: str, features: Sequence[str]) -> GuideReport:
    """The grades that agree with what is seen on a board or a wire. Raises Refused."""
    key, grades = shipped().key, grades_in(scenario)
    plain = name.strip().casefold()
    if plain not in key.guides:
        raise unknown(Refused, name, "guide", key.guides, "guide")
    rates = rates_of(grades, scenario)
    found = matches(key.guides[plain], features)
    notes = _price_notes(rates, tuple(match.row.grade for match in found))
    return report_guide(key.guides[plain], features, found, grades, shipped().cautions, rates, key.never, tuple(notes))


def context_named(name: str) -> KeyContext:
    """A context of the key. Raises Refused."""
    contexts = shipped().key.contexts
    plain = name.strip().casefold()
    if plain not in contexts:
        raise unknown(Refused, name, f"context ({', '.join(contexts)})", contexts, "context")
    return contexts[plain]


def grades_in(scenario: Scenario | None) -> Mapping[str, Grade]:
    """The scenario's grades over ours."""
    return shipped().grades if scenario is None else {**shipped().grades, **scenario.grades}


def _mass_notes(given: float | None, stock: Mapping[str, float], scenario: Scenario | None) -> list[str]:
    unit = "kg" if scenario is None else scenario.unit
    notes = [f"mass not given, taken as {format_mass_in(DEFAULT_KG, unit)}."] if given is None else []
    held = "what is in them" if stock else f"{OTHERS:g} times the piece's mass"
    notes.append(
        f"Bins count with {held}: at least {OTHERS:g} times the piece's mass, since more will come, and never "
        f"more than {MOST_OTHERS:g} times, since of a fuller one a yard picks the wrong piece out."
    )
    notes.append(f"Set aside, a piece counts for {KEPT_ASIDE:.0%} of its worth, less the room it takes.")
    return notes


def _price_notes(rates: Rates, grades: Sequence[str]) -> list[str]:
    if rates.currency is None:
        return ["Nothing is quoted: money is in kg of No. 2 copper, by the catalogue's ratios, a prior and no prices."]
    named = {how: [g for g in grades if g != ASIDE and rates.by_grade[g].how == how] for how in ("ratio", "unquoted")}
    notes = []
    if named["ratio"]:
        names = ", ".join(named["ratio"])
        notes.append(f"Unquoted, taken by the catalogue's ratio to what is quoted of the same metal: {names}.")
    if named["unquoted"]:
        notes.append(f"Unquoted and without a ratio, counted as bringing nothing: {', '.join(named['unquoted'])}.")
    return notes


def _wage_notes(wage: float, rates: Rates) -> list[str]:
    if rates.currency is None:
        return ["Without prices an hour has no worth in copper: tests stop only where none can change the bin."]
    return [] if wage else ["No wage set: your minutes count as free."]


def _prior_notes(context: KeyContext, confirmed: int) -> list[str]:
    if not confirmed:
        return [f"How common each material is, is the catalogue's guess: it weighs as {context.weight:g} pieces do."]
    return [f"Learned from {confirmed} confirmed pieces; the catalogue's guess weighs as {context.weight:g} more."]
