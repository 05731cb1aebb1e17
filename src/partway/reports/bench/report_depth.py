"""From a solved find to its depth report."""

from __future__ import annotations

from partway.catalogue.cards import cards_by_hazard
from partway.catalogue.named import hazards_of
from partway.reports.bench.depth import Depth, DepthStep, End
from partway.reports.bench.words import by_id, note_in_hand
from partway.valuing.finds.chances import chances
from partway.valuing.finds.hand import ValuedHolding
from partway.valuing.finds.opened import Solved
from partway.valuing.finds.questions import only_if, question
from partway.valuing.finds.steps import Steps
from partway.valuing.finds.tested import tests_first, worth_of_testing

AS_WHAT = {"grade": "sell", "part": "part", "keep": "keep"}


def report_depth(find: Solved) -> Depth:
    """The report of one find."""
    instance, group = find.instance, find.instance.groups[0]
    scenario, anatomy = instance.scenario, group.anatomy
    whole = ValuedHolding(find, ((0, 1),))
    as_is_option, as_is = find.best_of(0, as_is=True)
    opens = find.values.best(0).sort == "open"
    return Depth(
        kind=anatomy.kind,
        name=anatomy.name,
        works=group.find.works,
        mass_kg=instance.nodes[0].kg,
        currency=scenario.currency,
        on=scenario.on.isoformat(),
        wage=scenario.hours.wage,
        cautions=cards_by_hazard(scenario.cautions, [(anatomy.kind, hazards_of(anatomy, scenario.grades))]),
        verdict=by_id(find.use(find.values.best(0), 0)),
        value=find.value,
        as_is=as_is,
        as_is_how=by_id(find.use(as_is_option, 0)),
        minutes=whole.hours * 60.0,
        per_hour=whole.per_hour if opens else None,
        steps=_steps(whole),
        ends=_ends(whole),
        chances=chances(find),
        test_first=worth_of_testing(find),
        notes=instance.notes,
        note=anatomy.note,
    )


def _steps(whole: ValuedHolding) -> tuple[DepthStep, ...]:
    """Behind a test only where it is run, else as if there were none."""
    find, steps = whole.find, Steps(whole)
    first = tests_first(find, 0)
    nodes = find.instance.nodes
    shown = [n for n in reversed(find.programme.order) if n == 0 or (nodes[n].piece.works is not None) == first]
    return tuple(_step(steps, o, node) for node in shown for o in find.instance.openings_of[node])


def _step(steps: Steps, o: int, node: int) -> DepthStep:
    find, opening, turns = steps.find, steps.find.instance.openings[o], steps.turns(o)
    return DepthStep(
        piece=find.instance.nodes[node].piece.id,
        operation=opening.operation.id,
        name=opening.operation.name,
        chosen=o in dict(steps.hand.runs()),
        reached=node in steps.hand.counts,
        gain=find.gain(o),
        minutes=find.opening_hours(o) * 60.0,
        per_hour=find.rate(o) or 0.0,
        otherwise=by_id(steps.otherwise(o)),
        flip_wage=turns.wage,
        flip_price=turns.price,
        cautions=opening.operation.cautions,
        tools=opening.operation.tools,
        required=opening.operation.required,
        note=opening.operation.note,
        question=question(find, node) if opening.operation.asks and not opening.operation.tests else None,
        only_if=only_if(steps.hand, node),
    )


def _ends(whole: ValuedHolding) -> tuple[End, ...]:
    ends = [_end(whole, node, count) for node, count in whole.ends()]
    return tuple(sorted(ends, key=lambda end: -end.value))


def _end(whole: ValuedHolding, node: int, count: int) -> End:
    find = whole.find
    piece, use = find.instance.nodes[node].piece, find.use(find.values.best(node), node)
    return End(
        piece=piece.id,
        name=find.name(node),
        count=count,
        mass_kg=find.instance.nodes[node].kg * count,
        as_what="stop" if piece.stop else AS_WHAT[use.way],
        to=use.grade,
        value=float(find.values.worth[node, 0]) * count,
        why=_why_it_ends(find, node, use.way),
        note=note_in_hand(piece, find.instance.scenario.grades.get(use.grade)),
        only_if=only_if(whole, node),
    )


def _why_it_ends(find: Solved, node: int, way: str) -> str:
    piece = find.instance.nodes[node].piece
    if piece.stop:
        card = find.instance.scenario.cautions.get(piece.stop)
        return f"stays shut: {(card.name if card else piece.stop).lower()}"
    if way == "keep" and (reason := _why_not_sold(find, node)):
        return reason
    best = find.best_opening(node)
    return "" if best is None else f"opening it would bring {find.rate(best) or 0.0:.2f} an hour"


def _why_not_sold(find: Solved, node: int) -> str:
    """Barred by what has to come out first, or unquoted: two things that look alike and are not."""
    if find.instance.nodes[node].piece.sells and not find.grades_of(node):
        return "not sold as it is before what has to come out first is out"
    return "" if find.is_quoted(node) else "nobody here quotes it"
