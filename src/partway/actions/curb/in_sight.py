"""Several things in sight on a round: what to lift first with what is left on the vehicle."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from partway.actions.curb.curb import AT_A_GLANCE, bare
from partway.actions.recording import reading
from partway.actions.recording.describe import Say
from partway.actions.recording.heard import hearing
from partway.actions.recording.kinds import kind_meant
from partway.actions.recording.said_amounts import kg_said
from partway.catalogue import kinds_in, shipped
from partway.display import length_of_time
from partway.errors import Refused
from partway.ledger.book import Book
from partway.quantities import shown
from partway.reports.curb.in_sight import InSight, SightLine, Why, report_in_sight
from partway.things.scenario import Find, Scenario, Works
from partway.valuing.finds.curb import Lifted
from partway.valuing.finds.estimated import with_estimates
from partway.valuing.finds.opened import Solved
from partway.valuing.finds.verdict import Outlook
from partway.valuing.learned.odds import Odds
from partway.valuing.trips.lifting import MOST, RoomLeft

THING = re.compile(r"(?:(?P<count>[1-9][0-9]?)\s*(?:x\s*|×\s*)?(?=\D))?(?P<name>[^=]+?)(?:\s*=\s*(?P<works>[a-z]+))?")
WORKS: dict[str, Works] = {"yes": "yes", "works": "yes", "no": "no", "dead": "no", "unknown": "unknown"}
SCARCE = {"kg": "mass", "litres": "room", "minutes": "time"}


@dataclass(frozen=True, slots=True)
class ThingSeen:
    """A thing in sight: its kind, and whether it works."""

    kind: str
    works: Works


def things_seen(scenario: Scenario, text: str) -> tuple[ThingSeen, ...]:
    """What a text names: "dryer, 2 window fan, microwave=no". Raises Refused, Asked for the name of several kinds."""
    known = shipped().with_own(scenario.anatomies)  # for names alone
    found: list[ThingSeen] = []
    for part in filter(None, (one.strip() for one in text.split(","))):
        match = THING.fullmatch(part.lower())
        if match is None or (match["works"] or "unknown") not in WORKS:
            raise Refused(
                shown(part), 'a thing, such as "dryer", "2 window fan" or "microwave=no" (yes, no, unknown)', "in_sight"
            )
        kind = kind_meant(match["name"].strip(), "in_sight", known)
        found += [ThingSeen(kind, WORKS[match["works"] or "unknown"])] * int(match["count"] or 1)
    if not 1 <= len(found) <= MOST:
        raise Refused(f"{len(found)} things", f"1 to {MOST} things, with commas between them", "in_sight")
    return tuple(found)


def room_left(book: Book, kg: str, litres: str, minutes: str) -> RoomLeft:
    """What is left on the vehicle and of the day, as typed; empty where it limits nothing. Raises Refused."""
    in_kg = replace(hearing(book), unit="kg")
    return RoomLeft(
        kg=float(kg_said(_with(book, kg, "kg"), "left_kg", hearing=in_kg)) if kg.strip() else None,
        litres=float(reading.litres(book, _with(book, litres, "L"), "left_l")) if litres.strip() else None,
        minutes=float(reading.minutes(minutes, "minutes")) if minutes.strip() else None,
    )


def _with(book: Book, text: str, unit: str) -> str:
    """A bare number in the unit that the field names."""
    plain = reading.pointed(book, text, "left").strip()
    return f"{plain} {unit}" if reading.BARE.fullmatch(plain) else plain


def in_sight(scenario: Scenario, seen: Sequence[ThingSeen], room: RoomLeft, odds: Odds | None = None) -> InSight:
    """Which of the things to lift first, by the curb's own figures; `odds` as one's own tests have them."""
    known, scenario = kinds_in(scenario), with_estimates(scenario)
    kinds = {one.kind: known.anatomy(one.kind) for one in seen}
    here = replace(bare(scenario), anatomies=kinds)
    chances = {kind: None if odds is None else odds.at_curb(anatomy, "").chance for kind, anatomy in kinds.items()}
    finds = [Find(kind, 1, works) for kind in kinds for works in ("no", "yes")]
    finds += [Find(kind, chance=None if chance is None else chance.value) for kind, chance in chances.items()]
    lifted = {
        (one.anatomy.kind, one.group.find.works): one for one in Lifted.each(Solved.of_finds(here, finds, AT_A_GLANCE))
    }
    things = [
        Outlook(one.works, lifted[one.kind, one.works], if_works=lifted[one.kind, "yes"], if_not=lifted[one.kind, "no"])
        for one in seen
    ]
    return report_in_sight(here, things, room)


REASONS: dict[Why, str] = {
    "lift": "lift",
    "no-room": "does not fit any more",
    "does-not-pay": "does not pay",
    "if-works": "only if it works: try it first",
    "depot": "whole to the depot, if at all",
    "unknown": "nobody quotes what is in it",
}


def sight_lines(report: InSight, say: Say) -> Iterator[str]:
    """The report in lines; what can hurt stands before the money."""
    for n, line in enumerate(report.lift, start=1):
        yield f"{n}. {line.name}: {_money(line, report, say)}"
    if not report.lift:
        yield "Lift nothing of this."
    elif report.scarce:
        yield f"{say.money(report.net)} in all; {SCARCE[report.scarce]} runs out first."
    else:
        yield f"{say.money(report.net)} in all; everything that pays fits."
    for line in report.left:
        yield f"Leave {line.name}: {REASONS[line.why]}"
    if report.no_space:
        yield f"Space not known and not counted: {', '.join(report.no_space)}."


def _money(line: SightLine, report: InSight, say: Say) -> str:
    careful = f"careful, {line.caution.lower()}; " if line.caution else ""
    litres = f", {line.litres:.0f} L" if line.litres is not None else ""
    guess = ", estimated from one price" if line.estimated else ""
    return (
        f"{careful}{say.money(line.net or 0.0)} with its hours paid"
        f" ({say.kg(line.kg)}{litres}, {length_of_time(line.minutes)}{guess})"
    )
