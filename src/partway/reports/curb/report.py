"""The report on one kind at the curb: the verdict with its figures, the way that takes, and what it hangs on."""

from __future__ import annotations

from collections.abc import Mapping

from partway.catalogue.cards import CautionCard, cards_by_hazard
from partway.catalogue.named import hazards_of
from partway.planning.instance.tested import chance_of
from partway.quantities import out_of
from partway.reports.curb.curb import Curb, CurbEnd, CurbWay, Outlet
from partway.reports.learned import learned_lines
from partway.reports.names import ScenarioNames
from partway.things.anatomy import Anatomy, Operation
from partway.things.scenario import Scenario
from partway.valuing.finds.curb import handling, shut_piece, size_of, taker, unquoted
from partway.valuing.finds.facts import OnlyIf, WorthALook, condition_of
from partway.valuing.finds.hand import ValuedHolding
from partway.valuing.finds.opened import Solved
from partway.valuing.finds.questions import only_if, questions_worth_it
from partway.valuing.finds.verdict import Outlook, hinges, judged
from partway.valuing.learned.looked import worth_a_look
from partway.valuing.learned.odds import AtCurb

OUTLETS: Mapping[str, Outlet] = {"grade": "grade", "part": "part", "keep": "keep"}


def cautions_at_curb(scenario: Scenario, anatomy: Anatomy) -> tuple[CautionCard, ...]:
    """All cards of a kind; what keeps it shut comes first."""
    piece = shut_piece(anatomy)
    first = [piece.stop] if piece and piece.stop else []
    hazards = dict.fromkeys([*first, *hazards_of(anatomy, scenario.grades)])
    return cards_by_hazard(scenario.cautions, [(anatomy.kind, hazards)])


def report_curb(it: Outlook, odds: AtCurb) -> Curb:
    """The report on one find, solved alone as it is known to be, as working and as not working; `odds` is what shows of
    whether it works.
    """
    works, if_works, if_not = it.works, it.if_works, it.if_not
    instance = if_not.find.instance
    scenario, anatomy = instance.scenario, instance.scenario.anatomies[it.here.group.find.kind]
    said, shown = judged(it)
    piece, size, names = shut_piece(anatomy), size_of(scenario, anatomy), ScenarioNames(scenario)
    return Curb(
        kind=anatomy.kind,
        name=anatomy.name,
        works=works,
        on=scenario.on.isoformat(),
        currency=scenario.currency,
        unit=scenario.unit,
        wage=scenario.hours.wage,
        cautions=cautions_at_curb(scenario, anatomy),
        verdict=said,
        shown=shown,
        if_works=if_works.world() if shown else None,
        if_not=if_not.world() if shown else None,
        way_if_works=_way(if_works.find) if shown else None,
        way_if_not=_way(if_not.find) if shown else None,
        chance_works=chance_of(anatomy, it.here.group.find),
        test_minutes=anatomy.test_minutes.mean if anatomy.test_minutes else None,
        test=it.here.test,
        tests_of_kind=odds.chance.of_kind if odds.chance else 0,
        tests_of_all=odds.chance.of_all if odds.chance else 0,
        seen=odds.seen,
        signs=tuple((sign.id, sign.name) for sign in odds.signs),
        look=_look(it, odds) if shown else None,
        size=size,
        handling_minutes=handling(anatomy),
        room=if_not.room,
        per_kg=shown.money.expected / size.kg if shown else None,
        per_litre=shown.money.expected / size.litres if shown and size.litres else None,
        shut=piece.name if piece else "",
        place=names.buyer(taker(if_not.find, size.grade)) if piece else "",
        hinges=hinges(said, it) if shown else (),
        unquoted=tuple(map(names.grade, unquoted(if_not.find))),
        estimated=tuple(map(names.grade, dict.fromkeys([*if_works.estimated, *if_not.estimated]))),
        copper=scenario.copper,
        notes=tuple(dict.fromkeys([*instance.notes, *if_works.find.instance.notes])),
        note=anatomy.note,
        questions=questions_worth_it((if_works if shown and shown.works == "yes" else if_not).hand) if shown else (),
        learned=learned_lines(anatomy),
    )


def _look(it: Outlook, odds: AtCurb) -> WorthALook | None:
    """What to look for first."""
    here = it.here
    whole = shut_piece(here.anatomy) is not None
    test = here.test
    return None if test is None else worth_a_look(test, odds.unseen, here.find.wage, here.carrying, whole=whole)


def _way(find: Solved) -> CurbWay:
    """What is opened, in order, and where every piece ends, the most money first."""
    reached = find.reached()
    chosen = [(node, find.values.best(node)) for node in reversed(find.programme.order) if node in reached]
    openings = [(node, find.instance.openings[o.number].operation) for node, o in chosen if o.sort == "open"]
    operations = [operation for _, operation in openings]
    ends = [_end(find, node, reached[node]) for node, option in chosen if option.sort != "open"]
    tools = dict.fromkeys(tool for operation in operations for tool in operation.tools)
    return CurbWay(
        tuple(_said(condition_of(find.anatomy(node), operation.on), operation) for node, operation in openings),
        tuple(tools),
        tuple(sorted(ends, key=lambda end: -end.value)),
    )


def _said(condition: OnlyIf | None, operation: Operation) -> str:
    """An operation in words, with the answer it is run for where it is for some finds only."""
    return f"if {condition.answer} ({out_of(condition.share)}): {operation.name}" if condition else operation.name


def _end(find: Solved, node: int, count: int) -> CurbEnd:
    names, piece = ScenarioNames(find.instance.scenario), find.instance.nodes[node].piece
    use = find.use(find.values.best(node), node)
    offer = find.instance.market.best(use.grade) if use.way == "grade" else None
    sold_as = names.grade(offer.grade if offer else use.grade) if use.way == "grade" else ""
    return CurbEnd(
        piece=piece.id,
        name=find.name(node),
        count=count,
        mass_kg=find.instance.nodes[node].kg * count,
        only_if=only_if(ValuedHolding(find, ((0, 1),)), node),
        outlet="stop" if piece.stop and use.way == "keep" else OUTLETS[use.way],
        to=sold_as or use.name,
        buyer=names.buyer(offer.buyer) if offer else "",
        value=ValuedHolding(find, ((node, count),)).brings * find.share(node),
    )
