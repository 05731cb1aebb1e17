"""What to find out first, by its worth, against a fixed order: how often the first question is the better one.

.venv/bin/python benchmarks/find_out.py [--size day] [--count 10]

On each drawn day (benchmarks/generate.py, each price a quarter off either way) plans are made again in fifty worlds.
Then in other worlds, not used for that, one question is answered and the plan best by the answer carried out. The fixed
order asks the yard of the largest lot first, for the price of that lot, as people do. `better`, `same`, `worse` count
days.
"""

from __future__ import annotations

import argparse
from dataclasses import replace

import numpy as np
from generate import scenario as drawn

from partway.planning.check.verify import verify
from partway.planning.depth.dynamic import Draws
from partway.planning.instance.build import build
from partway.planning.search.search import search
from partway.planning.worlds.again import Again, plan_again
from partway.planning.worlds.draws import Unknown, draw_worlds
from partway.planning.worlds.news import LOTS, news_of
from partway.planning.worlds.outcome import Worlds
from partway.things.estimate import Estimate
from partway.things.scenario import Buyer, Scenario

OFF = 0.25
SEED = 7


def ranged(scenario: Scenario) -> Scenario:
    """Every price a quarter off either way."""
    return replace(scenario, buyers=tuple(_ranged(buyer) for buyer in scenario.buyers))


def _ranged(buyer: Buyer) -> Buyer:
    quotes = (
        replace(q, price=Estimate(*sorted(q.price.mean * f for f in (1 - OFF, 1.0, 1 + OFF)))) for q in buyer.quotes
    )
    return replace(buyer, quotes=tuple(quotes))


def gained(again: Again, name: Unknown, n: int) -> float:
    """What the answer to one question brings in fresh worlds: chosen by the old ones, paid by the new."""
    fresh = Worlds(again.worlds.instance, draw_worlds(again.worlds.instance, n, SEED))
    wage = again.worlds.instance.scenario.hours.wage
    paid: Draws = np.array([fresh.outcome(plan, lucky=False).total(wage) for plan in again.plans])
    blind = int(np.argmax(again.totals.mean(axis=1)))
    old, new = again.worlds.drawn.unknowns[name], fresh.drawn.unknowns[name]
    edges = np.quantile(old, np.linspace(0.0, 1.0, LOTS + 1)[1:-1])
    lots, known = np.searchsorted(edges, old), 0.0
    for lot in range(LOTS):
        choice = int(np.argmax(again.totals[:, lots == lot].mean(axis=1)))
        known += float((paid[choice] - paid[blind])[np.searchsorted(edges, new) == lot].sum())
    return known / n


def usual(again: Again) -> Unknown:
    """The price of the largest lot of the plan."""
    worlds, plan = again.worlds, again.plans[0]
    lots = [lot for lot in plan.lots if ("price", *lot.quote[:2]) in worlds.drawn.unknowns]
    there = worlds.there(plan)
    largest = max(lots, key=lambda lot: float((lot.share * there[lot.grade] * worlds.drawn.prices[lot.quote]).mean()))
    return ("price", *largest.quote[:2])


def main() -> None:
    """Print what each way of asking brings, week by week and on average."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--size", default="day")
    parser.add_argument("--count", type=int, default=10)
    parser.add_argument("--worlds", type=int, default=4000)
    options = parser.parse_args()
    gains = []
    for seed in range(options.count):
        day = build(ranged(drawn(options.size, seed)))
        again = plan_again(day, verify(day, search(day).decision), 300.0)
        news = news_of(again)
        first = gained(again, news[0].unknown, options.worlds) if news else 0.0
        fixed = gained(again, usual(again), options.worlds)
        gains.append((first, fixed))
        asked = news[0].unknown if news else "nothing to ask"
        print(f"{options.size} {seed}: by worth {first:.2f} ({asked}), fixed {fixed:.2f}", flush=True)
    better = sum(a > b + 0.005 for a, b in gains)
    same = sum(abs(a - b) <= 0.005 for a, b in gains)
    means = [sum(g) / len(gains) for g in zip(*gains, strict=True)]
    print(
        f"better {better}, same {same}, worse {len(gains) - better - same}; mean {means[0]:.2f} against {means[1]:.2f}"
    )


if __name__ == "__main__":
    main()
