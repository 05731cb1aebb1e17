"""A plan again after one price changed, against the same plan from nothing, in one run and one process.

.venv/bin/python benchmarks/what_if.py [--sizes week,month] [--first 20] [--seeds 2] [--gap 1e-4] [--seconds 60]

Of each scenario four prices are drawn, one after the other: up, down, withdrawn, better than all others. Seconds are of
the processor, from the scenario to the checked plan: the instance, the search with its second opinion, the check. Only
the two of a line are compared; what was learned is of the first plan, before any price changed.
"""

from __future__ import annotations

import argparse
import random
import statistics
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "tests"))

import generate
from repriced import SORTS, one_price

from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.learned.memory import LearnedSearch
from partway.planning.search.search import SearchFound, search
from partway.things.scenario import Scenario

HEAD = f"{'scenario':10} {'price':6} {'fresh, s':>9} {'again, s':>9} {'ratio':>6} {'gap':>10} {'gap again':>10} worth"


@dataclass(frozen=True)
class Timed:
    """A checked plan and the processor seconds it took."""

    found: SearchFound
    seconds: float

    @property
    def gap(self) -> float:
        """How far the bound lies above the plan."""
        return (self.found.bound - self.found.objective) / max(1.0, abs(self.found.objective))


def timed(scenario: Scenario, given: argparse.Namespace, known: LearnedSearch | None = None) -> Timed:
    """From the scenario to the checked plan."""
    began = time.process_time()
    instance = build(scenario) if known is None else known.instance_at(scenario)
    found = search(instance, given.seconds, given.gap, known=known)
    verify(instance, found.decision)
    return Timed(found, time.process_time() - began)


def ratios(size: str, seed: int, given: argparse.Namespace) -> Iterator[float]:
    """Each drawn price of one scenario, printed as it ends."""
    it, rng = generate.scenario(size, seed), random.Random(seed)
    first = timed(it, given)
    print(f"{it.name:10} {'first':6} {first.seconds:9.2f} {'':9} {'':6} {first.gap:10.1e}", flush=True)
    for sort in SORTS:
        other = one_price(rng, it, sort)
        fresh, again = timed(other, given), timed(other, given, first.found.learned)
        ratio = again.seconds / fresh.seconds
        moved = again.found.objective / fresh.found.objective - 1.0
        times = f"{fresh.seconds:9.2f} {again.seconds:9.2f} {ratio:6.2f}"
        print(f"{it.name:10} {sort:6} {times} {fresh.gap:10.1e} {again.gap:10.1e} {moved:+.1e}", flush=True)
        yield ratio


def main() -> None:
    """Parse the arguments and print the table."""
    parser = argparse.ArgumentParser(description="a plan again after one price changed, against one from nothing")
    parser.add_argument("--sizes", default="week,month")
    parser.add_argument("--first", type=int, default=20, help="the first seed; nobody tuned for 20 and beyond")
    parser.add_argument("--seeds", type=int, default=2)
    parser.add_argument("--gap", type=float, default=1e-4)
    parser.add_argument("--seconds", type=float, default=60.0, help="limit of each search on the wall")
    given = parser.parse_args()
    print(HEAD)
    for size in given.sizes.split(","):
        seeds = range(given.first, given.first + given.seeds)
        found = [ratio for seed in seeds for ratio in ratios(size, seed, given)]
        print(f"{size}: median {statistics.median(found):.2f}, {min(found):.2f} to {max(found):.2f}, of {len(found)}")


if __name__ == "__main__":
    main()
