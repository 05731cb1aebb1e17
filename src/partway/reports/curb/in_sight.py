"""Several things in sight: which to lift first, and why the others are left standing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from partway.catalogue.cards import CautionCard, cards_by_hazard
from partway.catalogue.named import hazards_of
from partway.reports.curb.report import cautions_at_curb
from partway.things.anatomy import Anatomy
from partway.things.scenario import Scenario, Works
from partway.valuing.finds.curb import handling, size_of
from partway.valuing.finds.verdict import Outlook, Verdict, judged
from partway.valuing.trips.lifting import Resource, RoomLeft, ThingInSight, what_to_lift

Why = Literal["lift", "no-room", "does-not-pay", "if-works", "depot", "unknown"]
LEFT: dict[Verdict, Why] = {
    "leave": "does-not-pay",
    "if-works": "if-works",
    "depot": "depot",
    "unknown": "unknown",
    "take": "does-not-pay",  # what rounds to nothing
}


@dataclass(frozen=True, slots=True)
class SightLine:
    """One thing: what it brings with bench and loading paid (`net`; None where nothing in it is quoted), and why it is
    lifted or left. `per_scarce` is its net by the unit of what runs out first. `caution` names what can hurt.
    `estimated`: some price in it is estimated from one.
    """

    kind: str
    name: str
    works: Works
    why: Why
    net: float | None
    kg: float
    litres: float | None
    minutes: float
    per_scarce: float | None
    caution: str
    estimated: bool = False


@dataclass(frozen=True, slots=True)
class InSight:
    """What to lift, in that order, then what is left standing. `scarce` is what runs out first, None where all fit.

    `used` and `room` are kilograms, litres and minutes; `no_space` names kinds whose space is not known.
    """

    currency: str
    lift: tuple[SightLine, ...]
    left: tuple[SightLine, ...]
    net: float
    scarce: Resource | None
    room: RoomLeft
    used: RoomLeft
    no_space: tuple[str, ...]
    cautions: tuple[CautionCard, ...]


def report_in_sight(scenario: Scenario, things: Sequence[Outlook], room: RoomLeft) -> InSight:
    """Each thing as it is known to be, in the order they were named."""
    lines = [_line(scenario, thing) for thing in things]
    found = what_to_lift([_weighed(line) for line in lines], room)
    lift = tuple(_by(lines[n], found.scarce) for n in found.chosen)
    left = [_by(line, found.scarce) for n, line in enumerate(lines) if n not in found.chosen]
    return InSight(
        currency=scenario.currency,
        lift=lift,
        left=tuple(_no_room(line) for line in left),
        net=found.net,
        scarce=found.scarce,
        room=room,
        used=RoomLeft(
            sum(line.kg for line in lift), sum(line.litres or 0.0 for line in lift), sum(line.minutes for line in lift)
        ),
        no_space=tuple(dict.fromkeys(line.name for line in lift if line.litres is None)),
        cautions=_cautions(scenario, [it.if_not.anatomy for it in things]),
    )


def _line(scenario: Scenario, it: Outlook) -> SightLine:
    said, world = judged(it)
    anatomy, size = it.if_not.anatomy, size_of(scenario, it.if_not.anatomy)
    cards = cautions_at_curb(scenario, anatomy)
    pays = said == "take" and world is not None and world.net > 0.0
    return SightLine(
        kind=anatomy.kind,
        name=anatomy.name,
        works=it.works,
        why="lift" if pays else LEFT[said],
        net=world.net if world else None,
        kg=size.kg,
        litres=size.litres,
        minutes=handling(anatomy),
        per_scarce=None,
        caution=cards[0].name if cards else "",
        estimated=bool(it.here.estimated),
    )


def _cautions(scenario: Scenario, anatomies: Sequence[Anatomy]) -> tuple[CautionCard, ...]:
    """What can hurt of all of them, each hazard once."""
    kinds = {anatomy.kind: hazards_of(anatomy, scenario.grades) for anatomy in anatomies}
    return cards_by_hazard(scenario.cautions, kinds.items())


def _weighed(line: SightLine) -> ThingInSight:
    """A thing as it is weighed up; what is not to be lifted brings nothing."""
    net = line.net if line.why == "lift" and line.net is not None else 0.0
    return ThingInSight(line.name, net, line.kg, line.litres, line.minutes)


def _by(line: SightLine, scarce: Resource | None) -> SightLine:
    needs: float | None = getattr(line, scarce) if scarce else None
    return replace(line, per_scarce=line.net / needs) if needs and line.net is not None else line


def _no_room(line: SightLine) -> SightLine:
    return replace(line, why="no-room") if line.why == "lift" else line
