"""What a kilogram is worth kept by the room it takes, in plain arithmetic (docs/model.md, "What is kept").

Shares no code with the programme or its check: every chain of roads is tried for the trip, every buyer for the price.
"""

from __future__ import annotations

import itertools
import math

from partway.things.anatomy import Anatomy
from partway.things.estimate import Estimate
from partway.things.scenario import Buyer, Find, Scenario

# docs/model.md: what of a price counts another day, what of a full load is ordinary, kg/L of a mixed load
S, ORDINARY, LOOSE = 0.9, 0.85, 0.25


def mean(it: Estimate) -> float:
    """PERT mean."""
    return (it.low + 4 * it.likely + it.high) / 6


def kept(scenario: Scenario) -> dict[str, float]:
    """By grade, downgrades left out."""
    return {grade: _kept(scenario, grade) for grade in scenario.grades}


def _kept(scenario: Scenario, grade: str) -> float:
    found = []
    for buyer in scenario.buyers:
        it = scenario.grades[grade]
        if any(name in buyer.refuses for name in (it.id, it.family, *it.hazards)):
            continue
        postage = min((p.cost / p.up_to_kg for p in buyer.shipping), default=0.0)
        for quote in buyer.quotes:
            if quote.grade == grade:
                said = mean(quote.price)
                price = said - buyer.ticket_share * max(0.0, said) - postage
                found.append((S * price if price > 0 else price) - place(scenario, buyer, grade))
    if found:
        return max(found)
    return -min((place(scenario, b, grade) for b in scenario.buyers if b.kind != "mail-in"), default=0.0)


def place(scenario: Scenario, buyer: Buyer, grade: str) -> float:
    """What one kilogram costs in room until it goes to a buyer."""
    vehicle, density = scenario.vehicle, mean(scenario.grades[grade].density)
    if buyer.kind == "mail-in" or vehicle is None:
        return 0.0
    full = vehicle.payload_kg if vehicle.volume_l is None else min(vehicle.payload_kg, vehicle.volume_l * density)
    litres = vehicle.volume_l or vehicle.payload_kg / LOOSE
    cost = trip(scenario, buyer)
    return cost / ORDINARY / full + cost * crowd(scenario) / litres / density


def trip(scenario: Scenario, buyer: Buyer) -> float:
    """There and on to where trips end by the cheapest chains of roads, time on site, the flat fee of the ticket."""
    from brute_selling import HOME, Map

    ways = Map(scenario)
    places = {a for a, _ in ways.legs} | {b for _, b in ways.legs}

    def cheapest(start: str, end: str) -> float:
        costs = []
        for n in range(len(places)):
            for via in itertools.permutations(sorted(places - {start, end}), n):
                steps = list(itertools.pairwise((start, *via, end)))
                if all(step in ways.legs for step in steps):
                    costs.append(sum(ways.money(ways.legs[step]) for step in steps))
        return min(costs)

    alone = cheapest(HOME, buyer.id) + cheapest(buyer.id, ways.last)
    return alone + scenario.hours.wage * buyer.minutes / 60 + buyer.ticket_fee


def crowd(scenario: Scenario) -> float:
    """Six times what of the shed is full above half, in twentieths; nothing where its size is not known."""
    if scenario.storage_l is None:
        return 0.0
    litres = [kg / mean(scenario.grades[grade].density) for grade, kg in scenario.stock.items()]
    litres += [_litres(scenario, find) for find in scenario.finds]
    return 6 * max(0.0, round(20 * math.fsum(litres) / scenario.storage_l) / 20 - 0.5)


def _litres(scenario: Scenario, find: Find) -> float:
    anatomy = scenario.anatomies[find.kind]
    kg = mean(anatomy.pieces[0].mass) if find.mass_kg is None else find.mass_kg
    grade = _first_grade(anatomy, anatomy.pieces[0].id)
    return find.count * kg / mean(scenario.grades[grade].density) if grade else 0.0


def _first_grade(anatomy: Anatomy, piece: str) -> str | None:
    it = next(p for p in anatomy.pieces if p.id == piece)
    if it.sells:
        return it.sells[0].grade
    names = {give.piece for op in anatomy.operations if op.on == piece for give in op.gives}
    inside = [p for p in anatomy.pieces if p.id in names]
    return _first_grade(anatomy, max(inside, key=lambda p: mean(p.mass)).id) if inside else None
