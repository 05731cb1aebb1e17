"""A year of scrap alone under rules for what a kilogram is worth kept: what is hauled when, and what it earns.

.venv/bin/python benchmarks/room.py [seeds]

Each week some of every grade comes in, as far as the shed has room; prices wander; then one plan is made for up to two
trips in six hours. Opening is left out, so that only hauling and keeping differ. What is left at the end of the year is
driven where that pays. The truth is drawn by a seed and the same for all rules; differences are paired by seed.
"""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from partway.catalogue import shipped
from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.instance.room import litres_in_use, round_trips
from partway.planning.search.search import search
from partway.things.estimate import Estimate
from partway.things.scenario import Buyer, Hours, Postage, Quote, Scenario, Vehicle

WEEKS, STORAGE_L, VOLUME_L = 52, 5000.0, 1800.0
VEHICLE = Vehicle(408.0, VOLUME_L, cost_per_km=0.35)
# kg a week and the price of a kg: invented, of the size that a round of sixteen things a week brings
COMES = {
    "light-iron": (55.0, 0.22),
    "appliance-shell": (30.0, 0.17),
    "motors": (9.0, 0.75),
    "copper-2": (1.6, 9.0),
    "wire-appliance-cord": (4.0, 2.4),
    "board-low": (3.0, 0.8),
    "appliance-refrigerant": (12.0, 0.0),
    "residue": (18.0, -0.11),
}
SOLD = {
    "near-yard": ("light-iron", "appliance-shell", "motors", "copper-2", "wire-appliance-cord"),
    "far-yard": ("light-iron", "motors", "copper-2", "wire-appliance-cord", "board-low"),
    "depot": ("appliance-refrigerant",),
    "tip": ("residue",),
    "boards-by-post": ("board-low",),
}
KM = {"near-yard": 13.0, "far-yard": 38.0, "depot": 10.0, "tip": 6.0}
PAYS = {"near-yard": 1.0, "far-yard": 1.12, "boards-by-post": 1.5}

Rule = Callable[[Scenario], Scenario]
RULES: dict[str, Rule] = {
    "flat .8": lambda it: replace(it, keep_factor=0.8),
    "flat .5": lambda it: replace(it, keep_factor=0.5),
    "room, shed not known": lambda it: replace(it, storage_l=None),
    "room": lambda it: it,
}


@dataclass
class Year:
    """What a year came to."""

    net: float = 0.0
    trips: int = 0
    turned_away_kg: float = 0.0
    fullest: float = 0.0


def weeks(seed: int) -> Iterator[tuple[dict[str, float], tuple[Buyer, ...]]]:
    """What comes in and what buyers quote, week by week."""
    rng = np.random.default_rng(seed)
    level = dict.fromkeys(COMES, 0.0)
    for week in range(WEEKS):
        came = {g: kg * float(rng.lognormal(-0.18, 0.6)) for g, (kg, _) in COMES.items()}
        level = {g: 0.95 * x + float(rng.normal(0.0, 0.05)) for g, x in level.items()}
        day = dt.date(2026, 1, 5) + dt.timedelta(weeks=week)
        yield came, tuple(_buyer(name, level, day) for name in SOLD)


def _buyer(name: str, level: dict[str, float], day: dt.date) -> Buyer:
    post = (Postage(5.0, 9.0), Postage(20.0, 19.0)) if name == "boards-by-post" else ()
    quotes = tuple(
        Quote(g, Estimate.exact(COMES[g][1] * (PAYS.get(name, 1.0) * float(np.exp(level[g])))), day) for g in SOLD[name]
    )
    kind = "mail-in" if post else "tip" if name == "tip" else "yard"
    return Buyer(name, kind, km=KM.get(name), minutes=20.0, shipping=post, quotes=quotes)


def year(seed: int, rule: Rule) -> Year:
    """One year under one rule."""
    stock, found = dict.fromkeys(COMES, 0.0), Year()
    for came, buyers in weeks(seed):
        scenario = _scenario(buyers, stock)
        _bring_in(scenario, stock, came, found)
        scenario = _scenario(buyers, stock)
        found.fullest = max(found.fullest, litres_in_use(scenario) / STORAGE_L)
        instance = build(rule(scenario))
        checked = verify(instance, search(instance, 20.0, 1e-4).decision)
        money = checked.money
        found.net += money.cash + money.wage
        found.trips += sum(tour is not None for tour in checked.decision.tours)
        left = {instance.grades[g]: kg for g, kg in checked.decision.kept_kg.items()}
        sold = sum(checked.decision.lots.values())
        if abs(sum(stock.values()) - sold - sum(left.values())) > 1e-3:
            raise ArithmeticError("mass went missing")
        stock = {g: left.get(g, 0.0) for g in COMES}
    found.net += _cleared(scenario, stock)
    return found


def _scenario(buyers: tuple[Buyer, ...], stock: dict[str, float]) -> Scenario:
    return Scenario(
        name="a year of scrap",
        currency="CAD",
        on=buyers[0].quotes[0].on,
        hours=Hours(bench=0.0, away=6.0, wage=15.0, trips=2),
        vehicle=VEHICLE,
        buyers=buyers,
        finds=(),
        stock={g: kg for g, kg in stock.items() if kg > 0.0},
        grades=shipped().grades,
        anatomies={},
        storage_l=STORAGE_L,
    )


def _bring_in(scenario: Scenario, stock: dict[str, float], came: dict[str, float], found: Year) -> None:
    """What has room, the best paid by the litre first; the rest stays at the curb."""
    free = STORAGE_L - litres_in_use(scenario)
    density = {g: scenario.grades[g].density.mean for g in came}
    for g in sorted(came, key=lambda g: -COMES[g][1] * density[g]):
        kg = min(came[g], max(0.0, free) * density[g])
        stock[g] += kg
        free -= kg / density[g]
        found.turned_away_kg += came[g] - kg


def _cleared(scenario: Scenario, stock: dict[str, float]) -> float:
    """What is left at the end of the year: what pays its trip is driven, charges are paid, the rest is given up."""
    hours = Hours(bench=0.0, away=60.0, wage=15.0, trips=4)
    instance = build(replace(scenario, stock=stock, hours=hours, keep_factor=0.0))
    money = verify(instance, search(instance, 20.0, 1e-3).decision).money
    trips = dict(round_trips(scenario, VEHICLE))
    charged = [
        (g, q.price.mean, b.id) for b in scenario.buyers for q in b.quotes for g in [q.grade] if q.price.mean <= 0
    ]
    loads = {g: min(VEHICLE.payload_kg, VOLUME_L * scenario.grades[g].density.mean) for g in COMES}
    return money.cash + money.wage + sum(stock.get(g, 0.0) * (p - trips[b] / loads[g]) for g, p, b in charged)


def main(seeds: int) -> None:
    """Every rule over so many seeds, and what each earns beyond the first, paired, with its standard error."""
    years = {name: [year(seed, rule) for seed in range(seeds)] for name, rule in RULES.items()}
    first = np.array([one.net for one in next(iter(years.values()))])
    print("rule                    net  beyond the first     trips  turned away kg  fullest")
    for name, rows in years.items():
        net = np.array([one.net for one in rows])
        gap = net - first
        error = float(gap.std(ddof=1) / np.sqrt(seeds)) if seeds > 1 else 0.0
        trips, away = np.mean([r.trips for r in rows]), np.mean([r.turned_away_kg for r in rows])
        fullest = max(r.fullest for r in rows)
        said = f"{net.mean():6.0f}  {gap.mean():6.0f} +- {error:4.0f}"
        print(f"{name:20} {said}  {trips:10.1f}  {away:14.0f}  {fullest:7.2f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 6)
