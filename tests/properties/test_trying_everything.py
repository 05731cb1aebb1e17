"""What lets tests/brute.py leave most programmes out: each bound against the programme itself, as scipy solves it.

A combination is an end of the pieces, a choice of selling and a loading of what rides whole, drawn at random.
"""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

import tiny
from brute import Search
from brute_bounds import unlike
from brute_pieces import TooLarge
from brute_selling import Choice, Lot
from brute_split import Split
from drawn_loads import load

from partway.things.scenario import Scenario

SEEDS = range(60)
CHOICES, ENDS = 6, 4  # of each scenario, and of each of its choices
SAME = 1e-6  # kg and currency units: what a programme of scipy leaves open


def scenarios() -> Iterator[tuple[int, Scenario]]:
    for seed in SEEDS:
        yield seed, tiny.scenario(seed) if seed % 2 else load(seed)


def test_no_programme_is_worth_more_than_its_bounds_and_none_ruled_out_can_be_solved() -> None:
    count: Counter[str] = Counter()
    for seed, it in scenarios():
        draw = random.Random(seed)
        try:
            search = Search(it)
            choices = search.choices()
        except TooLarge:
            continue
        for choice in draw.sample(choices, min(CHOICES, len(choices))):
            split = Split(search.bounds, search.prices, choice, search.most_kg)
            bounds = search.bounds.of([choice])[0]
            for e in draw.sample(range(len(search.ends)), min(ENDS, len(search.ends))):
                for taken in search.loadings(choice, search.ends[e].whole):
                    known = split.above(search.loose[e], taken)
                    worth = split.best(search.loose[e], taken)
                    assert (worth > -math.inf) == split.possible(search.loose[e], taken), (seed, choice)
                    assert worth <= known + SAME, (seed, choice)
                    assert search.money[e] - choice.cost + worth <= bounds[e] + SAME, (seed, choice)
                    count["impossible" if worth == -math.inf else "bounded" if known < math.inf else "first"] += 1
                    count["tight"] += worth > -math.inf and known - worth < SAME
    assert min(count[name] for name in ("impossible", "bounded", "first", "tight")) >= 50, count


def test_of_choices_alike_the_cheapest_stays_and_alike_are_those_that_sell_the_same() -> None:
    """Two trips changed about sell the same; another lot or another parcel does not."""
    left_out = 0
    for seed, it in scenarios():
        try:
            found = Search(it).choices()
        except TooLarge:
            continue
        dearer = [replace(choice, cost=choice.cost + 1.0) for choice in found]
        about = [replace(choice, lots=tuple(_other_trip(choice))) for choice in found]
        for more in (dearer, about):
            assert {id(choice) for choice in unlike([*found, *more])} == {id(choice) for choice in found}, seed
        assert len({_sells(choice) for choice in found}) == len(found), seed
        left_out += any(choice.trips == 2 for choice in found)
    assert left_out >= 5


def _other_trip(choice: Choice) -> Iterator[Lot]:
    """The lots with the first and the last trip changed about."""
    for lot in choice.lots:
        yield lot if lot.trip is None else replace(lot, trip=choice.trips - 1 - lot.trip)


def _sells(choice: Choice) -> object:
    """What a choice sells, by other means than `unlike`."""
    trips = Counter(frozenset(lot.step for lot in choice.lots if lot.trip == k) for k in range(choice.trips))
    posted = frozenset(lot.step for lot in choice.lots if lot.trip is None)
    return frozenset(trips.items()), posted, frozenset(choice.room.items()), frozenset(choice.sizes.items())
