"""The verdict on one kind, and what it hangs on."""

from __future__ import annotations

from partway.catalogue.cards import CautionCard, cards_by_hazard
from partway.catalogue.named import hazards_of
from partway.reports.curb.curb import CENT, Curb, Hinge, Verdict, World
from partway.reports.curb.worth import Worth, handling, quoted, shut, size_of, taker, tested, unquoted, way_of
from partway.things.anatomy import Anatomy
from partway.things.scenario import Scenario, Works

FAR = 3.0  # times today: a price that far away is no hinge
PAST = 0.01  # share of a price by which to step over where it turns


def verdict(works: Works, if_works: float | None, if_not: float | None, *, whole: bool) -> Verdict:
    """What to do, by the worth of each state with all hours paid (None: nothing in it is quoted).

    `whole` marks what has to stay shut: it is never lifted on the hope that it works, and never just left for want of
    a quote.
    """
    sure = if_works if works == "yes" else if_not
    if sure is not None and sure > CENT:
        return "take"
    if whole:
        return "depot"
    if works == "unknown" and if_works is not None and if_works > CENT:
        return "if-works"
    return "unknown" if sure is None else "leave"


def judged(works: Works, if_works: Worth, if_not: Worth) -> tuple[Verdict, World | None]:
    """The verdict, and the figures of the state it speaks of; None where nothing in it is quoted.

    An unknown find that is taken anyway is tested first where that pays.
    """
    whole = shut(if_not.group.anatomy) is not None
    if not quoted(if_not) and not quoted(if_works):
        return verdict(works, None, None, whole=whole), None
    said = verdict(works, if_works.net, if_not.net, whole=whole)
    if works == "yes" or said == "if-works":
        return said, if_works.world()
    first = tested(if_works, if_not) if works == "unknown" and said == "take" else None
    return said, first or if_not.world()


def cautions_at_curb(scenario: Scenario, anatomy: Anatomy) -> tuple[CautionCard, ...]:
    """All cards of a kind; what keeps it shut comes first."""
    piece = shut(anatomy)
    first = [piece.stop] if piece and piece.stop else []
    hazards = dict.fromkeys([*first, *hazards_of(anatomy, scenario.grades)])
    return cards_by_hazard(scenario.cautions, [(anatomy.kind, hazards)])


def report_curb(works: Works, if_works: Worth, if_not: Worth) -> Curb:
    """The report on one find, solved alone as working and as not working."""
    instance, anatomy = if_not.find.instance, if_not.group.anatomy
    scenario = instance.scenario
    said, shown = judged(works, if_works, if_not)
    piece, size = shut(anatomy), size_of(scenario, anatomy)
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
        way_if_works=way_of(if_works.find) if shown else None,
        way_if_not=way_of(if_not.find) if shown else None,
        chance_works=anatomy.works,
        test_minutes=anatomy.test_minutes.mean if anatomy.test_minutes else None,
        size=size,
        handling_minutes=handling(anatomy),
        per_kg=shown.money.expected / size.kg if shown else None,
        per_litre=shown.money.expected / size.litres if shown and size.litres else None,
        shut=piece.name if piece else "",
        place=taker(if_not.find, size.grade) if piece else "",
        hinges=_hinges(said, works, if_works, if_not) if shown else (),
        unquoted=unquoted(if_not.find),
        notes=tuple(dict.fromkeys([*instance.notes, *if_works.find.instance.notes])),
    )


def _hinges(said: Verdict, works: Works, if_works: Worth, if_not: Worth) -> tuple[Hinge, ...]:
    found = []
    if works == "unknown":
        other = verdict("yes", if_works.net, if_not.net, whole=shut(if_not.group.anatomy) is not None)
        if other != said:
            found.append(Hinge("works", becomes=other))
    here = if_works if works == "yes" or said == "if-works" else if_not
    return (*found, *_sale(here), *_price(said, works, here, (if_works, if_not)))


def _sale(here: Worth) -> list[Hinge]:
    """A find that is sold whole by the unit hangs on somebody wanting it."""
    option = here.find.values.best(here.root)
    if option.sort != "part":
        return []
    part = here.find.instance.part_sales[option.number].part
    return [Hinge("sale", name=part.name or here.group.anatomy.name, chance=part.chance)]


def _price(said: Verdict, works: Works, here: Worth, both: tuple[Worth, Worth]) -> list[Hinge]:
    """The best quote of the grade that brings most, where it turns the verdict over and is not far off."""
    find = here.find
    flip = find.breakevens.worth(here.root, here.carrying)
    if flip is None or flip.flip is None or flip.flip > FAR * flip.today:
        return []
    past = flip.flip * (1.0 + PAST if flip.flip > flip.today else 1.0 - PAST)
    nets = [world.net_at(flip.grade, past) for world in both]
    becomes = verdict(works, *nets, whole=shut(here.group.anatomy) is not None)
    if becomes == said:
        return []
    name = find.instance.scenario.grades[flip.grade].name
    today, turned, by_mail = flip.quoted_today, flip.quoted_flip, flip.postage > 0.0
    return [Hinge("price", becomes, flip.grade, name, today, turned, by_mail)]
