"""All kinds at once, the ones worth stopping for first."""

from __future__ import annotations

from partway.reports.curb.curb import Ranking, RankLine
from partway.reports.curb.report import cautions_at_curb
from partway.things.anatomy import Anatomy
from partway.things.scenario import Scenario
from partway.valuing.finds.curb import Lifted, World, size_of
from partway.valuing.finds.opened import Solved
from partway.valuing.finds.verdict import Outlook, Verdict, judged

IdAndName = tuple[str, str]


def report_ranking(solved: Solved) -> Ranking:
    """The ranking of finds solved together: one of each kind whose condition nobody knows, and one that works where
    that matters and nobody knows how likely it is.
    """
    scenario = solved.instance.scenario
    by_kind: dict[str, dict[str, Lifted]] = {}
    for lifted in Lifted.each(solved):
        by_kind.setdefault(lifted.anatomy.kind, {})[lifted.group.find.works] = lifted
    lines: list[RankLine] = []
    others: dict[Verdict, list[IdAndName]] = {"depot": [], "unknown": [], "leave": []}
    for kind, worlds in by_kind.items():
        anatomy, here = scenario.anatomies[kind], worlds["unknown"]
        if_works = here.as_tested("yes") or worlds.get("yes", here)
        said, shown = judged(Outlook("unknown", here, if_works, here.as_tested("no") or here))
        if shown is None or said in others:
            others[said].append((kind, anatomy.name))
        else:
            lines.append(_line(scenario, anatomy, said, shown, estimated=bool(here.estimated)))
    spacious = [line for line in lines if line.per_litre is not None]
    return Ranking(
        on=scenario.on.isoformat(),
        currency=scenario.currency,
        unit=scenario.unit,
        wage=scenario.hours.wage,
        lines=tuple(sorted(lines, key=lambda line: -line.per_hour)),
        by_space=tuple(sorted(spacious, key=lambda line: -(line.per_litre or 0.0))),
        depot=tuple(others["depot"]),
        unknown=tuple(others["unknown"]),
        left=tuple(others["leave"]),
    )


def _line(scenario: Scenario, anatomy: Anatomy, said: Verdict, world: World, *, estimated: bool) -> RankLine:
    size = size_of(scenario, anatomy)
    cautions = cautions_at_curb(scenario, anatomy)
    return RankLine(
        kind=anatomy.kind,
        name=anatomy.name,
        verdict=said,
        money=world.money,
        minutes=world.minutes,
        per_hour=world.per_hour,
        kg=size.kg,
        litres=size.litres,
        per_kg=world.money.expected / size.kg,
        per_litre=world.money.expected / size.litres if size.litres else None,
        caution=cautions[0].name if cautions else "",
        cautions=len(cautions),
        estimated=estimated,
    )
