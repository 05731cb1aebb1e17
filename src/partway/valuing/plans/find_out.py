"""What to find out next, one list by money: who to ask about what, what to look at, to test and to weigh."""

from __future__ import annotations

from collections.abc import Iterable

from partway.planning.instance.build import COPPER
from partway.planning.instance.frozen import Instance
from partway.things.material import Grade
from partway.valuing.plans.again import CALL
from partway.valuing.plans.decision import Worth
from partway.valuing.plans.facts import FindOut

CENT = 0.005
MOST = 20
TAKEN = 0.5  # the chance that a yard takes a grade it never spoke of (common practice, no source)


def find_out(worth: Worth, heard: Iterable[FindOut] = ()) -> tuple[FindOut, ...]:
    """What is worth its minutes, the dearest first: looking and asking, and what was `heard` of prices and masses."""
    wage = worth.instance.scenario.hours.wage
    found = [*heard, *_looks(worth), *_takers(worth)]
    paying = [one for one in found if one.net(wage) >= CENT]
    return tuple(sorted(paying, key=lambda one: -one.net(wage))[:MOST])


def _looks(worth: Worth) -> Iterable[FindOut]:
    """Questions that the plan asks of pieces in hand: what each answer brings above leaving it unasked."""
    for o, times in enumerate(worth.decision.opened):
        opening = worth.instance.openings[o]
        if not times or not opening.operation.asks:
            continue
        minutes = opening.hours * 60.0 * times
        paid = minutes / 60.0 * worth.instance.scenario.hours.wage
        yield FindOut(
            "look",
            worth.gain(o) * times + paid,
            minutes,
            kind=worth.instance.groups[opening.group].anatomy.kind,
            piece=opening.operation.on,
            operation=opening.operation.id,
            count=times,
        )


def _takers(worth: Worth) -> Iterable[FindOut]:
    """Bins of a grade that nobody quotes as such, asked of the first yard on the way, at its usual share of copper."""
    instance = worth.instance
    buyer, copper = _first_yard(worth), instance.market.best(COPPER) if COPPER in instance.grades else None
    if buyer is None or copper is None:
        return
    for g, kg in worth.decision.kept_kg.items():
        grade = instance.scenario.grades[instance.grades[g]]
        gain = if_taken(grade, copper.price, instance.kept_price[g], kg)
        if grade.id not in instance.market.offers and gain is not None:
            yield FindOut("takes", gain, CALL, buyer=buyer, grade=grade.id)


def if_taken(grade: Grade, copper: float, kept: float, kg: float) -> float | None:
    """What it is worth to ask whether a grade is taken: its usual share of the price of copper over what `kg` of it are
    worth `kept`, by the chance that a yard takes it. None where its share is not known, or where it can hurt.
    """
    if grade.ratio is None or grade.hazards:
        return None
    return TAKEN * max(0.0, grade.ratio.mean * copper - kept) * kg


def _first_yard(worth: Worth) -> str | None:
    instance: Instance = worth.instance
    stops = [instance.buyers[instance.buyer_at[s]] for tour in worth.decision.tours if tour for s in tour.stops]
    return next((buyer.id for buyer in stops if buyer.kind == "yard"), None)
