"""Hours at the bench and away, and the opening hours of buyers."""

from __future__ import annotations

import math

from partway.planning.check.direct import arrivals
from partway.planning.check.rules.required import HOUR_SLACK, require
from partway.planning.decision import Decision
from partway.planning.instance.frozen import Instance
from partway.planning.model.milp import MAIL
from partway.planning.tours.tours import Tour
from partway.things.defaults import LEAVE
from partway.things.limits.opening import open_on
from partway.things.scenario import Buyer, Scenario


def mailed_to(instance: Instance, decision: Decision) -> set[int]:
    """Buyers that get something by mail."""
    return {instance.lots[i].buyer for i, _, k in decision.lots if k == MAIL}


def check_hours(instance: Instance, decision: Decision) -> tuple[float, float]:
    """Hours at the bench and away: within those there are, each trip within its own. Returns both."""
    hours = instance.scenario.hours
    bench = math.fsum(o.hours * n for o, n in zip(instance.openings, decision.opened, strict=True))
    bench += math.fsum(p.hours * n for p, n in zip(instance.part_sales, decision.parts, strict=True))
    away = math.fsum(tour.spent for tour in decision.tours if tour)
    away += math.fsum(instance.on_site_hours(instance.buyer_at[s]) for t in decision.tours if t for s in t.stops)
    away += math.fsum(instance.on_site_hours(b) for b in mailed_to(instance, decision))
    for k, tour in enumerate(decision.tours):
        long = trip_hours(instance, tour)
        most = math.inf if hours.trip is None else hours.trip
        require(long <= most + HOUR_SLACK * max(1.0, long), f"{long:g} hours on trip {k + 1}")
    require(bench <= hours.bench + HOUR_SLACK * max(1.0, bench), f"{bench:g} hours at the bench")
    require(away <= hours.away + HOUR_SLACK * max(1.0, away), f"{away:g} hours away")
    return bench, away


def trip_hours(instance: Instance, tour: Tour | None) -> float:
    """Hours of one trip: driving, waiting and on site."""
    if tour is None:
        return 0.0
    return tour.spent + math.fsum(instance.on_site_hours(instance.buyer_at[stop]) for stop in tour.stops)


def check_open(instance: Instance, decision: Decision) -> None:
    """Every stop lies within the hours of its buyer, trip after trip from the time of leaving; who is early waits."""
    scenario = instance.scenario
    clock = LEAVE if scenario.hours.leave is None else scenario.hours.leave
    timed = any(buyer.open for buyer in scenario.buyers if buyer.is_visited)
    for k, tour in enumerate(decision.tours if timed else ()):
        if tour is None:
            continue
        waited, left = 0.0, clock
        for stop, arrival in arrivals(scenario, tour):
            buyer = instance.buyers[instance.buyer_at[stop]]
            at = left + arrival + waited
            over = _over(scenario, buyer, at)
            require(over is not None, f"trip {k + 1} is at {buyer.id} when it is not open")
            waited += (over or at) - at
            left += buyer.minutes / 60.0
        require(abs(waited - tour.wait) <= HOUR_SLACK, f"trip {k + 1} waits {waited:g} hours, not {tour.wait:g}")
        clock = left + tour.hours + waited


def _over(scenario: Scenario, buyer: Buyer, at: float) -> float | None:
    """When who comes at a time can begin, so that all the time on site lies within one stretch of opening hours."""
    if not buyer.open:
        return at
    site = buyer.minutes / 60.0
    begins = [max(at, start) for start, end in open_on(buyer.open, scenario.on) if max(at, start) + site <= end + 1e-6]
    return min(begins, default=None)
