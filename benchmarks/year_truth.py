"""The hidden truth of a year: what things really weigh, take, fetch, and whether they work.

The catalogue is one guess of it. Every kind differs from its ranges by factors that stay the same all year, and every
thing differs from its kind. All draws hang on the seed and on what they are of, never on what a policy does, so that
every policy meets the same year.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import exp, log
from zlib import crc32

import numpy as np

from partway.things.anatomy import Anatomy, Operation, Part, Piece
from partway.things.estimate import Estimate

KIND_SHARE = 0.7  # of the spread that the catalogue's range stands for, how much is the kind's ...
ONE_SHARE = 0.7  # ... and how much is that of one thing
RANGE_SDS = 2.0 * 1.645  # low to high taken as 9 of 10
# What lies at the curb works less often, and fetches less and later, than one would like to think: invented.
ODDS_SD, ODDS_BIAS = 0.7, -0.3  # of the logit of the chance that it works
CHANCE_SD, CHANCE_BIAS = 0.6, -0.4  # of the logit of the chance that it sells within its days
PRICE_SD, PRICE_BIAS = 0.35, -0.25  # of the logarithm of what it fetches
GOT_SD = 0.15  # one sale around what its part fetches
MG = 1_000_000


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
    _closed(guess, guess.whole.id, masses)
    minutes = {op.id: _minutes(op.minutes, rng) for op in guess.operations}
    works = None if guess.works is None else shifted(guess.works, ODDS_BIAS + ODDS_SD * rng.standard_normal())
    test = 0.0 if guess.test_minutes is None else _minutes(guess.test_minutes, rng)
    sales = {(p.id, i): _sale(part, copper, rng) for p in guess.pieces for i, part in enumerate(p.parts)}
    return Kind(guess, masses, minutes, works, test, sales)


def _closed(guess: Anatomy, piece: str, masses: dict[str, float]) -> None:
    """Make what comes out of a piece weigh what the piece does, as it will on the scale: whoever is told is told so.

    An answer is the piece that was asked about.
    """
    for operation in guess.operations_on(piece):
        out = {give.piece: give.count for give in operation.gives}
        whole = sum(masses[child] * count for child, count in out.items())
        for child in out:
            masses[child] = masses[piece] if operation.asks else masses[child] * masses[piece] / whole
            _closed(guess, child, masses)


def _minutes(minutes: Estimate, rng: np.random.Generator) -> float:
    return minutes.mean * exp(KIND_SHARE * sd_of(minutes) * rng.standard_normal())


def _sale(part: Part, copper: float, rng: np.random.Generator) -> Sale:
    unit = copper if part.in_copper else 1.0
    price = part.price.mean * unit * exp(PRICE_BIAS + PRICE_SD * rng.standard_normal())
    chance = shifted(part.chance, CHANCE_BIAS + CHANCE_SD * rng.standard_normal())
    return Sale(price, -log(1.0 - chance) / part.days, part.days, part.fee, part.postage * unit)
