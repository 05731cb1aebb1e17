"""What lies at the curb in the simulated year: things, each a little unlike its kind."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import exp

import numpy as np
from year_truth import MG, ONE_SHARE, Kind, drawn, kind_as_it_is, sd_of

from partway.catalogue import shipped
from partway.things.anatomy import Anatomy
from partway.things.scenario import Works

# Kinds and how often each lies at the curb, over the others: invented, with an eye to what a town puts out.
KINDS = {
    "microwave": 3.0, "bread-machine": 1.0, "fan": 3.0, "stand-mixer": 0.5, "window-ac": 0.7, "washer-top": 1.0,
    "dryer": 1.0, "dishwasher": 1.0, "flat-tv": 2.0, "flat-monitor": 2.0, "desktop-pc": 1.5, "laptop": 0.7,
    "inkjet-printer": 3.0, "laser-printer": 1.0, "stereo-receiver": 1.0, "vcr": 1.5, "speaker": 2.0,
    "upright-vacuum": 2.5, "shop-vacuum": 0.7, "treadmill": 0.7, "exercise-bike": 0.7, "bicycle": 2.0,
    "push-mower": 1.0, "cordless-drill": 1.0, "circular-saw": 0.7, "toaster-oven": 2.0, "coffee-maker": 2.5,
    "kettle": 2.0, "table-lamp": 2.5, "box-of-cables": 1.0, "gas-barbecue": 1.5, "patio-set-al": 0.5,
    "office-chair": 2.0, "water-heater": 0.7, "game-console": 0.7, "sewing-machine": 0.7,
}  # fmt: skip
A_WEEK = 16.0  # things met on a week's rounds, Poisson

Asked = tuple[str, Works, float | None]  # a kind, whether one of it works, and how likely that is


@dataclass
class Thing:
    """One thing at the curb. `works` is hidden until it is tested; `known` is what one knows.

    `odds` is how likely it is to work by what was `seen` of it, None: as its kind usually is.
    """

    seed: int
    number: int
    week: int
    kind: str
    mg: int
    works: bool
    known: Works = "unknown"
    odds: float | None = None
    seen: dict[str, bool] = field(default_factory=dict)

    @property
    def asked(self) -> Asked:
        """As one knows it."""
        return self.kind, self.known, self.odds

    def z(self, *what: object) -> float:
        """How far this one is from its kind, in standard deviations."""
        return float(drawn(self.seed, self.number, *what).standard_normal())

    def chance(self, *what: object) -> float:
        """A draw between 0 and 1."""
        return float(drawn(self.seed, self.number, *what).random())


@dataclass(frozen=True)
class Truth:
    """Kinds as they are, and what lies at the curb each week."""

    seed: int
    kinds: dict[str, Kind]
    weeks: tuple[tuple[Thing, ...], ...]

    @classmethod
    def of(cls, seed: int, weeks: int, copper: float, *, resale: bool) -> Truth:
        """Draw a year."""
        guesses = {kind: shipped().anatomy(kind) for kind in KINDS}
        if not resale:
            guesses = {kind: without_parts(guess) for kind, guess in guesses.items()}
        kinds = {kind: kind_as_it_is(seed, guess, copper) for kind, guess in guesses.items()}
        return cls(seed, kinds, tuple(_arrivals(seed, weeks, kinds)))


def without_parts(anatomy: Anatomy) -> Anatomy:
    """The same where nothing sells by the unit."""
    return replace(anatomy, pieces=tuple(replace(piece, parts=()) for piece in anatomy.pieces))


def _arrivals(seed: int, weeks: int, kinds: dict[str, Kind]) -> list[tuple[Thing, ...]]:
    rng, shares = drawn(seed, "arrivals"), np.array(list(KINDS.values())) / sum(KINDS.values())
    number, met = 0, []
    for week in range(weeks):
        things = []
        for name in rng.choice(list(KINDS), size=rng.poisson(A_WEEK), p=shares):
            kind = kinds[str(name)]
            whole = kind.guess.whole
            kg = kind.masses[whole.id] * exp(ONE_SHARE * sd_of(whole.mass) * rng.standard_normal())
            works = bool(rng.random() < (kind.works or 0.0))
            things.append(Thing(seed, number, week, str(name), int(kg * MG), works))
            number += 1
        met.append(tuple(things))
    return met
