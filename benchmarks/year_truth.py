"""The hidden truth of a year: what things really weigh, take, fetch, and whether they work.

The catalogue is one guess of it. Every kind differs from its ranges by factors that stay the same all year, and every
thing differs from its kind. All draws hang on the seed and on what they are of, never on what a policy does, so that
every policy meets the same year.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import exp, log
from zlib import crc32

import numpy as np

from partway.catalogue import shipped
from partway.things.anatomy import Anatomy, Operation, Part, Piece
from partway.things.estimate import Estimate
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
KIND_SHARE = 0.7  # of the spread that the catalogue's range stands for, how much is the kind's ...
ONE_SHARE = 0.7  # ... and how much is that of one thing
RANGE_SDS = 2.0 * 1.645  # low to high taken as 9 of 10
# What lies at the curb works less often, and fetches less and later, than one would like to think: invented.
ODDS_SD, ODDS_BIAS = 0.7, -0.3  # of the logit of the chance that it works
CHANCE_SD, CHANCE_BIAS = 0.6, -0.4  # of the logit of the chance that it sells within its days
PRICE_SD, PRICE_BIAS = 0.35, -0.25  # of the logarithm of what it fetches
GOT_SD = 0.15  # one sale around what its part fetches
MG = 1_000_000

Asked = tuple[str, Works, float | None]  # a kind, whether one of it works, and how likely that is


def drawn(seed: int, *what: object) -> np.random.Generator:
    """Draws that hang on what they are of alone."""
    return np.random.default_rng([seed, crc32("/".join(map(str, what)).encode())])


def sd_of(estimate: Estimate) -> float:
    """Standard deviation of the logarithm that a range stands for."""
    return log(estimate.high / estimate.low) / RANGE_SDS if estimate.low > 0.0 else 0.3


def shifted(chance: float, by: float) -> float:
    """A chance with its logit moved."""
    return 1.0 / (1.0 + (1.0 / chance - 1.0) * exp(-by))


@dataclass(frozen=True)
class Sale:
    """What one part of a kind really fetches: `rate` of buyers a day, each pays `price` on average."""

    price: float
    rate: float
    days: float
    fee: float
    postage: float


@dataclass(frozen=True)
class Kind:
    """One kind as it is, beside `guess`, the catalogue's."""

    guess: Anatomy
    masses: dict[str, float]
    minutes: dict[str, float]
    works: float | None
    test_minutes: float
    sales: dict[tuple[str, int], Sale]

    def told(self) -> Anatomy:
        """The same as somebody would write it down who knows the means."""
        pieces = tuple(self._piece(piece) for piece in self.guess.pieces)
        operations = tuple(self._operation(op) for op in self.guess.operations)
        test = None if self.guess.test_minutes is None else Estimate.exact(self.test_minutes)
        return replace(self.guess, pieces=pieces, operations=operations, works=self.works, test_minutes=test)

    def _piece(self, piece: Piece) -> Piece:
        parts = tuple(self._part(piece.id, i, part) for i, part in enumerate(piece.parts))
        return replace(piece, mass=Estimate.exact(self.masses[piece.id]), parts=parts)

    def _part(self, piece: str, i: int, part: Part) -> Part:
        sale = self.sales[piece, i]
        chance = 1.0 - exp(-sale.rate * sale.days)
        return replace(part, price=Estimate.exact(sale.price), chance=chance, postage=sale.postage, in_copper=False)

    def _operation(self, op: Operation) -> Operation:
        return replace(op, minutes=Estimate.exact(self.minutes[op.id]))


def kind_as_it_is(seed: int, guess: Anatomy, copper: float) -> Kind:
    """Draw the truth of one kind; `copper` is what a part's price counts in."""
    rng = drawn(seed, "kind", guess.kind)
    masses = {p.id: p.mass.mean * exp(KIND_SHARE * sd_of(p.mass) * rng.standard_normal()) for p in guess.pieces}
    minutes = {op.id: _minutes(op.minutes, rng) for op in guess.operations}
    works = None if guess.works is None else shifted(guess.works, ODDS_BIAS + ODDS_SD * rng.standard_normal())
    test = 0.0 if guess.test_minutes is None else _minutes(guess.test_minutes, rng)
    sales = {(p.id, i): _sale(part, copper, rng) for p in guess.pieces for i, part in enumerate(p.parts)}
    for answer in guess.pieces:  # an answer is the piece that was asked about
        masses[answer.id] = masses[guess.in_hand(answer.id).id]
    return Kind(guess, masses, minutes, works, test, sales)


def _minutes(minutes: Estimate, rng: np.random.Generator) -> float:
    return minutes.mean * exp(KIND_SHARE * sd_of(minutes) * rng.standard_normal())


def _sale(part: Part, copper: float, rng: np.random.Generator) -> Sale:
    unit = copper if part.in_copper else 1.0
    price = part.price.mean * unit * exp(PRICE_BIAS + PRICE_SD * rng.standard_normal())
    chance = shifted(part.chance, CHANCE_BIAS + CHANCE_SD * rng.standard_normal())
    return Sale(price, -log(1.0 - chance) / part.days, part.days, part.fee, part.postage * unit)


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
