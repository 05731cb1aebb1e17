"""Chance, price and days of resale as one's own offers say, shared across parts where few were sold.

The catalogue's chance and days say a constant rate of buyers and how long an offer stands (formulas.demand); the rate
is learned from units sold and from days on offer, sold or not. The price is learned against the catalogue's.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Hashable, Mapping
from dataclasses import dataclass, replace

from partway.catalogue import shipped
from partway.formulas.resale.demand import BuyerRate, after_offers, chance_within, patience, rate_for, wait_within
from partway.formulas.resale.ratios import after_ratios, prior_ratio, range_of
from partway.formulas.statistics.normal_gamma import NORMAL_80
from partway.ledger.book import Book
from partway.things.anatomy import Anatomy, Part, Piece
from partway.things.estimate import Estimate
from partway.valuing.learned.pooling import Key, PartSeen, pooled, rates_seen, ratios_seen
from partway.valuing.learned.record import PartRecord, copper_price, records
from partway.valuing.own_kinds import own_kinds

SHAPE = 4.0  # the catalogue's rate counts as four sales: one rate in three is more than half off
SPREAD = 0.3  # of the logarithm of a price that the catalogue gives without a range
WEIGHT, FREEDOM = 2.0, 4.0  # the catalogue's price counts as two sales, its spread as eight
OWN = "own sales"


@dataclass(frozen=True, slots=True)
class LearnedPart:
    """One part as it is known now. `ratio` is got against the catalogue's price on average, `low` and `high` (in
    currency) the range of eight in ten next prices, None where the catalogue's price is not known in currency.

    `rate` is of buyers a day and `stands` the days an offer stands; `asked_got` is money got per money asked first.
    """

    chance: float
    days: float
    ratio: float
    low: float | None
    high: float | None
    rate: BuyerRate
    stands: float
    sold: int
    priced: int
    unsold: int
    on_offer: int
    days_on_offer: float
    asked_got: float | None


@dataclass(frozen=True)
class ResaleLearned:
    """What a ledger says of resale, worked out once."""

    records: Mapping[Key, PartRecord]
    rates: Mapping[Key, PartSeen]
    logs: Mapping[Key, PartSeen]
    copper: float | None

    @classmethod
    def of(cls, book: Book, now: dt.datetime | None = None) -> ResaleLearned:
        """From the events that count, as of a time (`ledger.offers.resale`)."""
        found = records(book, now)
        if not found:
            return cls({}, {}, {}, None)
        known = shipped().with_own(own_kinds(book))
        anatomies = {key[0]: known.anatomy(key[0]) for key in found}
        return cls.from_records(found, anatomies, copper_price(book) if found else None)

    @classmethod
    def from_records(
        cls, found: Mapping[Key, PartRecord], anatomies: Mapping[str, Anatomy], copper: float | None
    ) -> ResaleLearned:
        """From what was sold and offered of each part; `anatomies` as the catalogue has them."""
        families = {key: anatomies[key[0]].family or key[0] for key in found}
        parts = {key: part for key in found if (part := _part(anatomies[key[0]], key))}
        sold = {key: (found[key].sold, _prior(part).mean * found[key].days) for key, part in parts.items()}
        logs = {key: _logs(found[key], price) for key, part in parts.items() if (price := _price(part, copper))}
        family = families.__getitem__
        return cls(found, rates_seen(sold, SHAPE, family), ratios_seen(logs, WEIGHT, family), copper)

    def part(self, anatomy: Anatomy, piece: str, part: Part) -> LearnedPart:
        """One part of a kind as it is known now."""
        key, family = (anatomy.kind, piece, part.name), anatomy.family or anatomy.kind
        record = self.records.get(key, PartRecord())
        stands, prior = patience(part.chance, part.days), _prior(part)
        more = pooled(self.rates, key, family, 1.0)
        rate = after_offers(BuyerRate(prior.shape, prior.days / more), record.sold, record.days)
        before = wait_within(prior, stands)
        price = _price(part, self.copper)
        known = prior_ratio(math.exp(pooled(self.logs, key, family, 0.0)), _spread(part), WEIGHT, FREEDOM)
        if price is not None:
            known = after_ratios(known, [math.exp(log) for log in _logs(record, price)])
        low, high = (None, None) if price is None else (end * price for end in range_of(known, 0.8))
        return LearnedPart(
            chance_within(rate, stands), part.days * wait_within(rate, stands) / before, known.expected, low, high,
            rate, stands, record.sold, len(record.prices), record.unsold, record.on_offer, record.days,
            record.got / record.asked if record.asked else None,
        )  # fmt: skip

    def learned(self, anatomy: Anatomy) -> Anatomy:
        """An anatomy with what is known now in place of the catalogue's resale; itself where nothing was offered."""
        if not any(one.prices or one.days >= 1.0 for one in self.records.values()):
            return anatomy  # a day on offer is the least that says anything
        pieces = tuple(self._piece(anatomy, piece) for piece in anatomy.pieces)
        return replace(anatomy, pieces=pieces) if pieces != anatomy.pieces else anatomy

    def _piece(self, anatomy: Anatomy, piece: Piece) -> Piece:
        parts = [self._learned_part(anatomy, piece.id, part) for part in piece.parts]
        own = self.records.get((anatomy.kind, piece.id, ""))
        if not piece.parts and own is not None and own.prices:
            parts = [self._learned_part(anatomy, piece.id, new_part(own))]
        return replace(piece, parts=tuple(parts))

    def _learned_part(self, anatomy: Anatomy, piece: str, part: Part) -> Part:
        known, unit = self.part(anatomy, piece, part), _unit(part, self.copper)
        if not 0.0 < part.chance < 1.0 and not (known.sold or known.days_on_offer):
            return part  # said to be certain, and nothing else was seen
        price = part.price.scaled(known.ratio)
        if known.priced and unit is not None and known.low is not None and known.high is not None:
            price = _around(part.price.mean * unit * known.ratio, known.low, known.high)
            part = replace(part, in_copper=False, postage=part.postage * unit)  # in money, as it was got
        return replace(part, chance=known.chance, days=known.days, price=price)


def resale_learned(book: Book) -> ResaleLearned:
    """What the ledger says of resale as it stands, worked out once for each state of it."""
    return book.once(ResaleLearned.of)


def learn(book: Book, anatomy: Anatomy) -> Anatomy:
    """An anatomy with one's own resale in it."""
    return resale_learned(book).learned(anatomy)


def resale_seen(book: Book) -> Hashable:
    """All that it hangs on: what was sold for how much, whole days on offer, and copper, by which parts are priced."""
    learned = resale_learned(book)
    rows = sorted(
        (key, one.sold, int(one.days), tuple(one.prices), one.asked, one.fees, one.postage, one.minutes)
        for key, one in learned.records.items()
    )
    return tuple(rows), learned.copper


def new_part(record: PartRecord) -> Part:
    """A part that no catalogue has and somebody sold: by its own prices, and a chance of one in two within a month."""
    n = len(record.prices)
    middle = math.exp(math.fsum(sorted(math.log(max(price, 0.01)) for price in record.prices)) / n)
    total = math.fsum(record.prices)
    fee = min(0.9, record.fees / total) if total else 0.0
    return Part(Estimate.exact(middle), 0.5, Estimate.exact(record.minutes / n), fee=fee, postage=record.postage / n)


def _around(mean: float, low: float, high: float) -> Estimate:
    """Three points of which low and high are given and the mean is kept, as far as the likely one lies between."""
    return Estimate(low, min(max((6.0 * mean - low - high) / 4.0, low), high), high)


def _part(anatomy: Anatomy, key: Key) -> Part | None:
    parts = next((piece.parts for piece in anatomy.pieces if piece.id == key[1]), ())
    return next((part for part in parts if part.name == key[2]), None)


def _prior(part: Part) -> BuyerRate:
    return rate_for(part.chance, patience(part.chance, part.days), SHAPE)


def _unit(part: Part, copper: float | None) -> float | None:
    return copper if part.in_copper else 1.0


def _price(part: Part, copper: float | None) -> float | None:
    """The catalogue's price in currency; None where that is not known."""
    unit = _unit(part, copper)
    return part.price.mean * unit if unit and part.price.mean > 0.0 else None


def _spread(part: Part) -> float:
    """How far single prices lie around their mean: with what is not known of the mean, eight in ten are in the range
    of the catalogue.
    """
    if part.price.is_exact or part.price.low <= 0.0:
        return SPREAD
    whole = math.log(part.price.high / part.price.low) / 2.0 / NORMAL_80
    return whole / math.sqrt(1.0 + 1.0 / WEIGHT)


def _logs(record: PartRecord, price: float) -> tuple[float, ...]:
    return tuple(math.log(got / price) for got in record.prices if got > 0.0)
