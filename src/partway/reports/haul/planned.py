"""A decided plan to the plan that is shown: lines in the order the work is done."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import count

from partway.catalogue.cards import cards_by_hazard
from partway.planning.check.outcome import PlanRanges
from partway.quantities import format_money
from partway.reports.haul.bench_lines import bin_lines, open_lines
from partway.reports.haul.doubts import in_full
from partway.reports.haul.finds import find_lines
from partway.reports.haul.haul_lines import HaulLines
from partway.reports.haul.plan import Plan, PlanHours, PlanMoney
from partway.reports.haul.plan_lines import KeptLine, OpinionLine, SecondOpinion
from partway.reports.haul.reason_words import ReasonWords, day_said, say_go
from partway.reports.names import ScenarioNames
from partway.things.scenario import Scenario
from partway.valuing.plans.decided import DecidedPlan
from partway.valuing.plans.decision import Worth
from partway.valuing.plans.facts import GoOrWait
from partway.valuing.plans.find_out import find_out
from partway.valuing.plans.go import go_or_wait
from partway.valuing.plans.hazards import hazards_of_plan
from partway.valuing.plans.kept import why_grade_kept, why_piece_kept


def report_plan(decided: DecidedPlan) -> Plan:
    """The whole report; lines are numbered through openings, parts, sales and what is kept."""
    instance, checked = decided.instance, decided.checked
    worth, number = Worth(instance, checked.decision), count(1).__next__
    haul = HaulLines(instance, checked, number)
    opened, parts, sales = open_lines(worth, number), haul.parts(), haul.sales()
    kept = tuple(replace(line, line=number()) for line in _kept(worth))
    scenario, money, ranges = instance.scenario, checked.money, PlanRanges(instance, checked)
    go = go_or_wait(instance, checked)
    return Plan(
        status="optimal" if decided.optimal else "gap",
        objective=decided.objective,
        bound=finite(decided.bound),
        gap=finite(decided.gap),
        name=scenario.name,
        currency=scenario.currency,
        on=scenario.on.isoformat(),
        money=PlanMoney(**{name: getattr(money, name) + 0.0 for name in PlanMoney.__slots__}),
        cash=ranges.cash(),
        cash_per_hour=decided.cash_per_hour,
        hours=PlanHours(checked.bench_hours, checked.away_hours),
        cautions=cards_by_hazard(scenario.cautions, hazards_of_plan(instance, checked.decision)),
        finds=find_lines(instance, worth, opened),
        open=opened,
        bins=bin_lines(worth),
        sales=sales,
        parts=parts,
        kept=kept,
        routes=haul.routes(),
        trips=haul.trips(),
        parcels=haul.parcels(),
        next_hour=decided.next_hour,
        next_away_hour=decided.next_away_hour,
        notes=(*instance.notes, *decided.notes, *in_full(decided.doubts)),
        stops=haul.stops(ranges.stops()),
        doubts=decided.doubts,
        second_opinion=_second_opinion(decided) if decided.compared else None,
        conflict=scenario.conflict,
        go_or_wait=_say_go(scenario, go),
        go_because=go,
        find_out=find_out(worth),
    )


def _say_go(scenario: Scenario, go: GoOrWait | None) -> str:
    names, currency = ScenarioNames(scenario), scenario.currency
    return "" if go is None else say_go(go, names, lambda amount: format_money(amount, currency), day_said)


def _second_opinion(decided: DecidedPlan) -> SecondOpinion:
    lines = (OpinionLine(it.method, finite(it.worth), finite(it.bound)) for it in decided.opinions)
    return SecondOpinion(tuple(lines), decided.opinion_seconds)


def finite(value: float) -> float | None:
    """A worth or a bound; None where there is none yet, as infinity is no number of JSON."""
    return value if math.isfinite(value) else None


def _kept(worth: Worth) -> list[KeptLine]:
    """Finds and pieces as they are, and grades in their bins; most valuable first."""
    words, decision = ReasonWords.of(worth.instance.scenario), worth.decision
    lines = [_kept_piece(worth, words, n, many) for n, many in enumerate(decision.kept) if many]
    lines += [_kept_grade(worth, words, g, kg) for g, kg in decision.kept_kg.items()]
    return sorted(lines, key=lambda line: -line.value)


def _kept_piece(worth: Worth, words: ReasonWords, n: int, many: int) -> KeptLine:
    instance = worth.instance
    node = instance.nodes[n]
    kind, kg, value = instance.groups[node.group].anatomy.kind, node.kg * many, node.kept_value * many
    because = why_piece_kept(instance, worth.decision, n, many)
    return KeptLine(kind, node.piece.id, None, many, kg, value, words.say(because), line=0, because=because)


def _kept_grade(worth: Worth, words: ReasonWords, g: int, kg: float) -> KeptLine:
    instance = worth.instance
    because, value = why_grade_kept(instance, worth.decision, g, kg), kg * instance.kept_price[g]
    return KeptLine(None, None, instance.grades[g], None, kg, value, words.say(because), line=0, because=because)
