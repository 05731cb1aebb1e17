"""Buyers of the simulated year and their prices, which move from week to week: all invented, source `demo`."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from math import exp

import numpy as np
from year_truth import drawn

from partway.catalogue import shipped
from partway.things.buyers import takes
from partway.things.estimate import Estimate
from partway.things.scenario import Buyer, Postage, Quote

COPPER = 9.26  # a kilogram of No. 2 copper in week 0
START = dt.date(2026, 3, 14)
COMMON_SD, OWN_SD = 0.03, 0.02  # of log price a week: all metals together, and each price on its own
FIRST_SD = 0.12  # of a price in week 0 around the catalogue's ratio
HEARD = 0.25  # of the prices that are heard in a week without going there
TIER = 1.12
TIP = -0.12  # a kilogram at the tip

METAL = [
    "copper-1",
    "copper-2",
    "copper-light",
    "copper-dirty",
    "radiator-cu-brass",
    "coil-al-cu-clean",
    "brass-yellow",
    "brass-taps",
    "al-cast",
    "al-sheet",
    "al-extrusion",
    "al-dirty",
    "stainless-304",
    "motors",
    "transformer-cu",
    "transformer-al",
    "wire-appliance-cord",
    "wire-cord-plugs",
    "wire-hookup",
]
IRON = ["light-iron", "cast-iron", "appliance-shell", "appliances-whole", "heavy-melt-2", "heavy-melt-1"]
HARBOUR = [
    *METAL,
    "light-iron",
    "appliance-shell",
    "appliances-whole",
    "desktop-whole",
    "cast-iron",
    "sealed-unit",
    "boards-yard",
    "e-scrap-mixed",
]
RIDGE = [*METAL, "copper-bare-bright", "motors-al", "zinc-diecast", "al-heatsink", "heater-tubular", "lead-acid"]
BOARDS = [
    "board-low",
    "board-mid",
    "board-pc",
    "board-finger-card",
    "board-laptop-server",
    "memory-gold",
    "cpu-pinned",
    "cpu-pinless",
    "hard-drive",
    "optical-drive",
    "pc-supply",
    "adapter-switching",
    "connectors-gold",
    "laptop-whole",
    "wire-ribbon",
    "wire-data",
]
TO_THE_TIP = [
    "residue",
    "glass",
    "foam",
    "rubber",
    "wood-board",
    "plastics-mixed",
    "plastics-abs-hips",
    "plastics-pp-pe",
    "concrete",
]


@dataclass(frozen=True)
class Terms:
    """One buyer's word on one grade: its price in week 0, the least it takes, and from when on it pays more."""

    price: float
    minimum: float = 0.0
    tier_from: float = 0.0


def _terms(seed: int) -> dict[tuple[str, str], Terms]:
    rng, grades = drawn(seed, "terms"), shipped().grades

    def price(grade: str, factor: float) -> float:
        ratio = grades[grade].ratio
        return COPPER * (ratio.mean if ratio else 0.0) * factor * exp(FIRST_SD * rng.standard_normal())

    found = {("harbour", g): Terms(price(g, 1.0)) for g in HARBOUR}
    found |= {("ridge", g): Terms(price(g, 1.08), 22.7 if g.startswith("motors") else 0.0) for g in RIDGE}
    found |= {("quarry", g): Terms(price(g, 1.2), 0.0, 227.0 if g == "light-iron" else 0.0) for g in IRON}
    found |= {("boards", g): Terms(price(g, 1.1)) for g in BOARDS}
    found |= {("depot", g): Terms(0.0) for g, grade in grades.items() if _careful(g) and grade}
    return found | {("tip", g): Terms(TIP) for g in TO_THE_TIP}


def _careful(grade: str) -> bool:
    family = shipped().grades[grade].family
    return family in ("careful", "batteries") and grade != "lead-acid"


BUYERS = (
    Buyer("harbour", "yard", "harbour yard", km=9.0, minutes=20, refuses=("li-ion", "refrigerant")),
    Buyer("ridge", "yard", "ridge yard", km=21.0, minutes=25, refuses=("li-ion",)),
    Buyer("quarry", "yard", "quarry road yard", km=16.0, minutes=20, refuses=("li-ion", "appliance-refrigerant")),
    Buyer("boards", "mail-in", "board mail-in", minutes=10, refuses=("li-ion",), shipping=(Postage(20.0, 17.0),)),
    Buyer("depot", "drop-off", "town depot", km=5.0, minutes=10),
    Buyer("tip", "tip", "town tip", km=7.0, minutes=15),
)


class Market:
    """True prices of every week, and which of them are heard."""

    def __init__(self, seed: int, weeks: int) -> None:
        self.terms = {
            key: terms
            for key, terms in _terms(seed).items()
            if takes(next(b for b in BUYERS if b.id == key[0]), shipped().grades[key[1]])
        }
        self.keys = list(self.terms)
        rng, n = drawn(seed, "prices"), len(self.keys)
        steps = COMMON_SD * rng.standard_normal((weeks + 4, 1)) + OWN_SD * rng.standard_normal((weeks + 4, n))
        moving = np.array([self.terms[key].price > 0.0 for key in self.keys])
        self.level = np.exp(np.cumsum(np.where(moving, steps, 0.0), axis=0))
        self.level /= self.level[0]
        self.heard = drawn(seed, "heard").random((weeks + 4, n)) < HEARD
        self.index = {key: i for i, key in enumerate(self.keys)}

    def price(self, buyer: str, grade: str, week: int, kg: float = 0.0) -> float | None:
        """What a lot is paid per kg; None where it is not taken. A `kg` of 0 asks for the plain price."""
        terms = self.terms.get((buyer, grade))
        if terms is None or 0.0 < kg < terms.minimum:
            return None
        better = TIER if terms.tier_from and kg >= terms.tier_from else 1.0
        return terms.price * float(self.level[week, self.index[buyer, grade]]) * better

    def buyers(self, weeks_heard: dict[tuple[str, str], int]) -> tuple[Buyer, ...]:
        """Buyers with the prices that were heard last, each in its week."""
        quotes: dict[str, list[Quote]] = {}
        for (buyer, grade), week in weeks_heard.items():
            terms = self.terms[buyer, grade]
            price, on = self.price(buyer, grade, week) or 0.0, START + dt.timedelta(weeks=week)
            quotes.setdefault(buyer, []).append(Quote(grade, Estimate.exact(price), on, terms.minimum))
            if terms.tier_from:
                quotes[buyer].append(Quote(grade, Estimate.exact(price * TIER), on, terms.minimum, terms.tier_from))
        return tuple(replace(b, quotes=tuple(quotes.get(b.id, ()))) for b in BUYERS)

    def best(self, grade: str, week: int) -> float:
        """The best true price of a grade or of what it may be sold as; 0 where nobody takes it."""
        prices = [p for buyer in BUYERS if (p := self.price(buyer.id, grade, week)) is not None]
        prices += [self.best(lower, week) for lower in shipped().grades[grade].downgrades]
        return max(prices, default=0.0)
