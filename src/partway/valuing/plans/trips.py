"""What rides on each trip of a plan, how long it takes, and what each stop brings."""

from __future__ import annotations

from dataclasses import dataclass

from partway.planning.decision import Decision
from partway.planning.instance.counted import amount_of
from partway.planning.instance.fees import ticket_fees
from partway.planning.instance.frozen import Instance
from partway.planning.tours.tours import Tour


@dataclass(frozen=True, slots=True)
class Load:
    """What rides on one trip."""

    kg: float
    litres: float


def load_of(instance: Instance, decision: Decision, trip: int) -> Load:
    """All lots of a trip together, each grade by its bulk density."""
    lots = [(instance.lots[i].grade, kg) for (i, _, k), kg in decision.lots.items() if k == trip]
    return Load(sum(kg for _, kg in lots), sum(kg * instance.litres_per_kg[grade] for grade, kg in lots))


def away_hours(instance: Instance, tour: Tour) -> float:
    """Hours of one trip, on the way, waiting and on site."""
    return tour.spent + sum(instance.on_site_hours(instance.buyer_at[stop]) for stop in tour.stops)


def brought_at(instance: Instance, decision: Decision) -> dict[tuple[int, int], float]:
    """What each (buyer, trip) is expected to pay: its lots, less the fee of the ticket."""
    expected: dict[tuple[int, int], float] = {}
    for key in decision.lots:
        buyer, k = instance.lots[key[0]].buyer, key[2]
        expected[buyer, k] = expected.get((buyer, k), 0.0) + amount_of(instance, decision, key)
    for ticket, fee in ticket_fees(instance, decision).items():
        expected[ticket] -= fee
    return expected
