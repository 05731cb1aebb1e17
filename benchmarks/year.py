"""A year of a scrapper on a hidden world, by habit, by the app, and by somebody who knows: what each rule earns.

.venv/bin/python benchmarks/year.py [--seeds 20] [--weeks 52] [--world both] [--policies whole,starter,told] [--first 0]
    [--set year_offers.ALIKE=1] [--set partway.planning.instance.room.STEEPNESS=4]

Every policy meets the same things, prices and buyers of a seed; differences are paired. What it is made of: README.md.
"""

from __future__ import annotations

import argparse
import importlib
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from math import sqrt
from typing import Protocol

from year_ahead import Ahead
from year_app import WAGE
from year_habits import Habits
from year_left import left
from year_market import COPPER, Market
from year_offers import resale_week
from year_partway import Partway
from year_shed import Shed, rules_of
from year_things import Thing, Truth

# Student's t, 95 %, two-sided, by degrees of freedom (any table; from memory, held against scipy in the test)
T95 = {1: 12.71, 2: 4.303, 3: 3.182, 4: 2.776, 5: 2.571, 7: 2.365, 9: 2.262, 11: 2.201, 15: 2.131, 19: 2.093, 29: 2.045}

HEAD = "{:10} {:>15} {:>16} {:>6} {:>6} {:>8} {:>6} {:>5}"
LINE = "{:10} {:>15} {:>16} {:6.0f} {:6.0f} {:8.1f} {:6.0f} {:5.1f}"


class Policy(Protocol):
    """What a year asks of a policy each week."""

    def round(self, things: tuple[Thing, ...]) -> None: ...
    def work(self) -> None: ...


POLICIES: dict[str, Callable[[Shed], Policy]] = {
    "whole": lambda shed: Habits(shed, "whole"),
    "opened": lambda shed: Habits(shed, "opened"),
    "habits": lambda shed: Habits(shed, "habits"),
    "tests": lambda shed: Habits(shed, "tests"),
    "starter": Partway,
    "learning": lambda shed: Partway(shed, learns=True),
    "means": lambda shed: Partway(shed, means=True, prices=True),
    "told": lambda shed: Partway(shed, means=True, prices=True, condition=True),
    "ahead": Ahead,
}
WORLDS = ("scrap", "resale")


@dataclass(frozen=True)
class Year:
    """How a year ended. `net`: money in hand less every hour at the wage; `left`: what the shed still holds."""

    net: float
    hours: float
    left: float
    processor: float
    shed: Shed

    @property
    def per_hour(self) -> float:
        """Money an hour, the wage not taken off, what is left counted."""
        return (self.net + self.left) / self.hours + WAGE if self.hours else 0.0

    @property
    def worth(self) -> float:
        """Net with what is left."""
        return self.net + self.left


def year(policy: str, world: str, seed: int, weeks: int) -> Year:
    """One policy's year; the same arguments give the same one."""
    began = time.process_time()
    market = Market(seed, weeks)
    truth = Truth.of(seed, weeks, COPPER, resale=world == "resale")
    shed = Shed(truth, market, rules_of(truth))
    ways = POLICIES[policy](shed)
    for week in range(weeks):
        a_week(shed, ways, week)
    return Year(shed.cents / 100.0 - WAGE * shed.hours, shed.hours, left(shed), time.process_time() - began, shed)


def a_week(shed: Shed, ways: Policy, week: int) -> None:
    """Round, bench, haul, resale; then every milligram and cent is counted."""
    shed.week, shed.bench = week, 0.0
    shed.drive_round()
    ways.round(tuple(replace(thing) for thing in shed.truth.weeks[week]))
    ways.work()
    resale_week(shed)
    shed.check()


def interval(values: list[float]) -> str:
    """Mean and 95 % interval of the mean."""
    if len(values) < 2:
        return f"{statistics.fmean(values):7.0f}"
    t = T95[max(k for k in T95 if k <= len(values) - 1)]
    return f"{statistics.fmean(values):7.0f} ± {t * statistics.stdev(values) / sqrt(len(values)):<5.0f}"


def table(world: str, years: dict[str, list[Year]], weeks: int, against: str) -> None:
    """Print one line a policy: per year of 52 weeks."""
    up = 52.0 / weeks
    print(f"\n{world}, {len(next(iter(years.values())))} seeds, {weeks} weeks, per year of 52 weeks")
    print(HEAD.format("policy", "net + left", f"to {against}", "left", "hours", "an hour", "least", "s"))
    for policy, rows in years.items():
        here, base = [up * y.worth for y in rows], [up * y.worth for y in years.get(against, rows)]
        paired = interval([a - b for a, b in zip(here, base, strict=True)]) if policy != against else ""
        left, hours, per_hour, seconds = (
            statistics.fmean(getattr(y, name) for y in rows) for name in ("left", "hours", "per_hour", "processor")
        )
        print(
            LINE.format(policy, interval(here), paired, up * left, up * hours, per_hour, min(here), seconds), flush=True
        )


def main() -> None:
    """Run and print."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--seeds", type=int, default=20)
    ask.add_argument("--first", type=int, default=0)
    ask.add_argument("--weeks", type=int, default=52)
    ask.add_argument("--world", choices=(*WORLDS, "both"), default="both")
    ask.add_argument("--policies", default=",".join(POLICIES))
    ask.add_argument("--against", default="starter")
    ask.add_argument("--set", action="append", default=[], help="a number of the world or of the app, by its module")
    given = ask.parse_args()
    for text in given.set:
        name, value = text.split("=")
        module, constant = name.rsplit(".", 1)
        setattr(importlib.import_module(module), constant, float(value))
    for world in WORLDS if given.world == "both" else (given.world,):
        seeds, names = range(given.first, given.first + given.seeds), given.policies.split(",")
        years = {name: [year(name, world, seed, given.weeks) for seed in seeds] for name in names}
        table(world, years, given.weeks, given.against)


if __name__ == "__main__":
    main()
