"""Random tiny scenarios with roads that lead one way, and trips that end elsewhere than at home.

The scenarios are those of `tiny` and `tiny_ways`; here their roads get a direction. A way that is left out in one
direction is driven by other roads. All of it is invented. A seed gives the same scenario every time.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace

import tiny
from brute_selling import END, HOME
from tiny_limits import hours
from tiny_ways import detours

from partway.things.scenario import Road, Scenario, TripEnd


def one_way(seed: int) -> Scenario:
    """Errands or detours whose roads are not as long both ways, or lead one way only."""
    rng = random.Random(f"one way {seed}")
    it = (tiny.errands, detours)[seed % 2](seed)
    return _joined(rng, it, lambda: tuple(way for road in it.roads for way in _directed(rng, road)))


def elsewhere(seed: int) -> Scenario:
    """One trip that ends elsewhere: on a map, by kilometres from home, or by roads, some of them one way."""
    rng = random.Random(f"elsewhere {seed}")
    it = (tiny.scenario, tiny.errands, detours, one_way)[seed % 4](seed)
    point = (tiny.HERE[0] + rng.uniform(-0.06, 0.06), tiny.HERE[1] + rng.uniform(-0.06, 0.06))
    on_map = it.home is not None and rng.random() < 0.6
    it = replace(it, hours=replace(it.hours, trips=1), end=TripEnd("the workshop", point if on_map else None))
    near = [HOME, *(b.id for b in it.buyers if b.is_visited)]

    def roads() -> tuple[Road, ...]:
        some = rng.sample(near, rng.randint(0 if on_map else 1, min(2, len(near))))
        more = [Road(place, END, rng.uniform(1.0, 9.0), rng.choice([None, rng.uniform(2.0, 20.0)])) for place in some]
        return (*it.roads, *(way for road in more for way in _directed(rng, road)))

    return _joined(rng, it, roads)


def by_the_clock(seed: int) -> Scenario:
    """The same where buyers have opening hours."""
    rng, it = random.Random(f"clock {seed}"), (elsewhere if seed % 3 else one_way)(seed)
    return replace(it, buyers=tuple(replace(b, open=hours(rng, 8.0)) if rng.random() < 0.6 else b for b in it.buyers))


def _directed(rng: random.Random, road: Road) -> tuple[Road, ...]:
    """A road as it is, with another length the other way, or one way alone, either way round."""
    start, end = rng.sample([road.start, road.end], 2)
    there = replace(road, start=start, end=end, one_way=True)
    minutes = None if road.minutes is None else rng.uniform(3.0, 30.0)
    back = Road(end, start, rng.uniform(2.0, 12.0), minutes, one_way=True)
    return rng.choice([(road,), (there, back), (there, back), (there,)])


def _joined(rng: random.Random, it: Scenario, roads: Callable[[], tuple[Road, ...]]) -> Scenario:
    """The scenario with the first roads drawn that lead from everywhere to everywhere."""
    while True:
        found = replace(it, roads=roads())
        if _everywhere(found):
            return found


def _everywhere(it: Scenario) -> bool:
    """Whether every place can be reached from home and leads back there, by roads, kilometres or points."""
    at = {HOME: it.home} | {b.id: b.at for b in it.buyers if b.is_visited}
    if it.end is not None:
        at[END] = it.end.at
    links = {(r.start, r.end) for r in it.roads} | {(r.end, r.start) for r in it.roads if not r.one_way}
    links |= {pair for b in it.buyers if b.km is not None for pair in ((HOME, b.id), (b.id, HOME))}
    links |= {(a, b) for a in at for b in at if at[a] is not None and at[b] is not None}
    for ways in (links, {(b, a) for a, b in links}):
        reached = {HOME}
        for _ in at:
            reached |= {b for a, b in ways if a in reached}
        if not set(at) <= reached:
            return False
    return True
