"""Rows about loads hold for every way to sell that trying everything lists, and cut off points of the relaxation.

Outside check: the trips, and which lots go on which of them, are those of tests/brute_selling.py, which shares no code
with planning; kilograms are drawn up to what a vehicle carries.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import islice

import numpy as np
import pytest
import tiny
from brute_pieces import TooLarge
from brute_selling import Choice, Selling
from drawn_loads import load
from tiny_elsewhere import elsewhere, one_way
from tiny_fees import with_fees
from tiny_limits import limited, timed

from partway.planning.instance.build import build
from partway.planning.model.fit_cuts import FitCuts
from partway.planning.model.highs import Solver, Values
from partway.planning.model.milp import formulate
from partway.planning.model.pooled import Pooled, pool
from partway.things.scenario import Buyer, Scenario, Vehicle

FAMILIES: dict[str, Callable[[int], Scenario]] = {
    "plain": tiny.scenario, "errands": tiny.errands, "fees": with_fees, "whole pieces": load, "limits": limited,
    "opening hours": timed, "one way": one_way, "ends elsewhere": elsewhere,
}  # fmt: skip
SEEDS = range(8)
ROUNDS, OBJECTIVES, FAVOURED, CHOICES = 6, 12, 3, 100
YARDS = 4
SLACK = 1e-6


def scenario(family: str, seed: int) -> Scenario:
    """One of these with more to sell than a vehicle holds, to four yards at least, on one trip to three."""
    it = FAMILIES[family](seed)
    rng = random.Random(seed)
    for b in [b for b in it.buyers if b.is_visited] * 3:
        if sum(b.is_visited for b in it.buyers) < YARDS:
            it = beside(it, b)
    trips = 1 if it.end is not None else rng.choice([2, 2, 3])
    stock = {q.grade: rng.uniform(5.0, 40.0) for b in it.buyers for q in b.quotes}
    vehicle = Vehicle(rng.uniform(8.0, 20.0), rng.uniform(10.0, 60.0), 0.2)
    hours = replace(it.hours, trips=trips, away=max(it.hours.away, 6.0))
    return replace(it, stock=stock or {"iron": 20.0}, vehicle=vehicle, hours=hours)


def beside(it: Scenario, buyer: Buyer) -> Scenario:
    """The same with a yard more that is where a buyer is, and takes and pays the same."""
    other = replace(buyer, id=f"{buyer.id} and {len(it.buyers)}")
    ends = [(road, {buyer.id: other.id}) for road in it.roads if buyer.id in (road.start, road.end)]
    more = [replace(r, start=to.get(r.start, r.start), end=to.get(r.end, r.end)) for r, to in ends]
    return replace(it, buyers=(*it.buyers, other), roads=(*it.roads, *more))


def with_rows(it: Scenario, seed: int) -> tuple[Pooled, int]:
    """The pooled programme with rows that answers to a few drawn objectives break, and how many: each cuts one off."""
    pooled, rng = pool(formulate(build(it))), random.Random(seed)
    linear, cuts = pooled.linear, FitCuts(pooled)
    lots = [c for loads in pooled.loads.values() for c, _ in loads]
    kept, first = list(linear.objective), len(linear.rows)
    for _ in range(OBJECTIVES):
        linear.objective = list(kept)
        for c in lots:
            linear.objective[c] += rng.choice([0.0, 5.0])
        for c in rng.sample(list(pooled.tours.values()), min(FAVOURED, len(pooled.tours))):
            linear.objective[c] += 500.0
        for _ in range(ROUNDS):
            x, before = Solver(linear, relaxed=True).run().x, len(linear.rows)
            if x is None or not cuts.add(x):
                break
            for r in range(before, len(linear.rows)):
                assert sum(a * x[c] for c, a in linear.rows[r]) > linear.row_upper[r], "a row that cuts nothing off"
    return pooled, len(linear.rows) - first


def ways_to_sell(it: Scenario) -> Iterator[Choice]:
    """Some of all of them, those of many trips among them."""
    grades = {q.grade for b in it.buyers for q in b.quotes}
    every = list(islice(Selling(it, grades, 200.0).choices(), 6000))
    return iter(random.Random(len(every)).sample(every, min(CHOICES, len(every))))


def loaded(pooled: Pooled, choice: Choice, rng: random.Random) -> Values | None:
    """A point with the tours and loads of a choice, each trip as full as it goes or less; None where none drives."""
    here, x = pooled.model.instance, np.zeros(len(pooled.linear.names))
    vehicle, columns = here.scenario.vehicle, pooled.model.columns
    assert vehicle is not None and vehicle.volume_l is not None
    number = {b.id: i for i, b in enumerate(here.buyers)}
    sold = {(here.lots[i].buyer, here.grades[here.lots[i].grade]): i for i, _, _ in columns.lots}
    for k in range(choice.trips):
        lots = [lot for lot in choice.lots if lot.trip == k]
        stops = {here.stops[number[lot.step.buyer]] for lot in lots}
        tour = next((r for r in pooled.tours if set((here.tours or ())[r].stops) == stops), None)
        if tour is None:
            return None
        x[pooled.tours[tour]] += 1.0
        x[[pooled.visits[b] for b in {number[lot.step.buyer] for lot in lots}]] += 1.0
        kg, litres = vehicle.payload_kg, vehicle.volume_l
        for lot in rng.sample(lots, len(lots)):
            i = sold.get((number[lot.step.buyer], lot.step.grade))
            if i is None:
                continue  # nothing of the grade can come about, so the programme has no such lot
            size = here.litres_per_kg[here.lots[i].grade]
            brought = min(kg, litres / size, lot.step.high) * rng.choice([0.3, 1.0, 1.0])
            x[pooled.column[columns.lots[i, 0, 0]]] += brought
            kg, litres = kg - brought, litres - brought * size
    return x if choice.trips else None


@pytest.mark.parametrize("family", FAMILIES)
def test_no_way_to_sell_brings_a_set_of_buyers_more_than_its_trips_carry(family: str) -> None:
    count: Counter[str] = Counter()
    for seed in SEEDS:
        it = scenario(family, seed)
        try:
            choices = list(ways_to_sell(it))
        except TooLarge:
            continue
        pooled, added = with_rows(it, seed)
        linear, rng = pooled.linear, random.Random(seed)
        rows = [r for r, of in enumerate(linear.row_families) if of in ("fit_kg", "fit_litres")]
        count["scenarios"] += 1
        count["added"] += added
        for choice in choices:
            x = loaded(pooled, choice, rng)
            if x is not None:
                values = [sum(a * x[c] for c, a in linear.rows[r]) for r in rows]
                assert all(value <= SLACK for value in values), (family, seed, choice)
                count["tight"] += any(abs(value) < SLACK for value in values)
                count["plans"] += 1
                count["of several trips"] += choice.trips > 1
    assert count["scenarios"] >= 7 and count["plans"] >= 100 and count["tight"] >= 50, count
    assert count["added"] >= 3 and (family == "ends elsewhere" or count["of several trips"] >= 100), count
