"""What is learned of resale: right on average over many people, also of what did not sell; whatever came first.

The people are simulated: the catalogue's guess of each part is off by a factor, people sell better or worse than it
says in all they sell, and offers that did not sell by their time are given up.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from ledgers.strategies import histories

from partway.catalogue import shipped
from partway.formulas.resale.demand import patience, rate_for
from partway.ledger.events.event import Event
from partway.ledger.fold.fold import EMPTY, fold, merge
from partway.ledger.memory import MemoryBook
from partway.things.anatomy import Anatomy, Part, Piece
from partway.things.estimate import Estimate
from partway.valuing.learned.record import PartRecord
from partway.valuing.learned.resale import FREEDOM, SHAPE, SPREAD, WEIGHT, LearnedPart, ResaleLearned

KINDS = 8
PEOPLE = 400


def kind(n: int) -> Anatomy:
    """A kind of one of two families, with one part and a price without a range."""
    exact = Estimate.exact
    part = Part(exact(20.0 + n), 0.3 + 0.05 * n, exact(10.0), days=20.0 + 3 * n)
    whole = Piece("whole", "whole", exact(5.0), parts=(part,))
    return Anatomy(f"kind-{n}", f"Kind {n}", (whole,), family=f"family-{n % 2}")


CATALOGUE = {anatomy.kind: anatomy for anatomy in map(kind, range(KINDS))}


@dataclass(frozen=True)
class Person:
    """What is true of one person's sales, by kind: buyers a day, and the mean and spread of the logarithm of a price
    over the catalogue's; and what the ledger has of them.
    """

    rates: dict[str, float]
    means: dict[str, float]
    spreads: dict[str, float]
    records: dict[tuple[str, str, str], PartRecord]
    naive: dict[str, tuple[int, float]]  # sales, and days of those that sold alone


def person(seed: int) -> Person:
    """Drawn around the catalogue as the prior says, times what the person does to all of it."""
    rng = np.random.default_rng(seed)
    luck, level = rng.lognormal(-0.06, 0.35), rng.normal(0.0, 0.15)
    it = Person({}, {}, {}, {}, {})
    for name, anatomy in CATALOGUE.items():
        part = anatomy.whole.parts[0]
        stands = patience(part.chance, part.days)
        prior = rate_for(part.chance, stands, SHAPE)
        variance = SPREAD**2 * (FREEDOM - 1.0) / rng.gamma(FREEDOM)
        it.rates[name] = luck * rng.gamma(prior.shape) / prior.days
        it.spreads[name] = variance**0.5
        it.means[name] = rng.normal(level - SPREAD**2 / 2.0, (variance / WEIGHT) ** 0.5)
        record, days_sold = PartRecord(), 0.0
        for _ in range(rng.integers(0, 9)):  # offers one after the other
            wait = rng.exponential(1.0 / it.rates[name])
            record.days += min(wait, stands)
            if wait <= stands:
                record.sold += 1
                days_sold += wait
                record.prices.append(price(it, name, rng))
        if record.days:
            it.records[name, "whole", ""] = record
        it.naive[name] = record.sold, days_sold
    return it


def price(it: Person, name: str, rng: np.random.Generator) -> float:
    expected = CATALOGUE[name].whole.parts[0].price.mean
    return float(expected * np.exp(rng.normal(it.means[name], it.spreads[name])))


@cache
def people() -> tuple[Person, ...]:
    return tuple(person(seed) for seed in range(PEOPLE))


def known_of(it: Person) -> Iterator[tuple[str, LearnedPart, Part]]:
    learned = ResaleLearned.from_records(it.records, CATALOGUE, None)
    for name, anatomy in CATALOGUE.items():
        part = anatomy.whole.parts[0]
        yield name, learned.part(anatomy, "whole", part), part


def test_eight_in_ten_next_prices_lie_in_the_range() -> None:
    rng, inside = np.random.default_rng(1), []
    for it in people():
        for name, known, _ in known_of(it):
            got = price(it, name, rng)
            inside.append((known.low or 0.0) <= got <= (known.high or 0.0))
    assert 0.77 <= float(np.mean(inside)) <= 0.83


def test_the_chance_to_sell_is_what_comes_true() -> None:
    """In tenths of the chance that is said, of more than three thousand offers to come."""
    rng, said, sold = np.random.default_rng(2), [], []
    for it in people():
        for name, known, part in known_of(it):
            said.append(known.chance)
            sold.append(rng.exponential(1.0 / it.rates[name]) <= patience(part.chance, part.days))
    chance, came = np.array(said), np.array(sold)
    assert abs(chance.mean() - came.mean()) < 0.02
    for low in np.arange(0.1, 0.9, 0.1):
        these = (chance >= low) & (chance < low + 0.1)
        if these.sum() >= 150:
            assert abs(chance[these].mean() - came[these].mean()) < 0.08
    assert sum(((chance >= low) & (chance < low + 0.1)).sum() >= 150 for low in np.arange(0.1, 0.9, 0.1)) >= 4


def test_what_did_not_sell_counts_or_everything_seems_to_sell_soon() -> None:
    """Days of sold offers alone: the rate looks half as high again at least. With all days it is right on average."""
    ratios, naive = [], []
    for it in people():
        for name, (sales, days) in it.naive.items():
            record = it.records.get((name, "whole", ""))
            if sales and record:
                naive.append((sales, days * it.rates[name]))
            if record:
                ratios.append((record.sold, record.days * it.rates[name]))
    censored = sum(s for s, _ in ratios) / sum(d for _, d in ratios)
    assert censored == pytest.approx(1.0, abs=0.05)
    assert sum(s for s, _ in naive) / sum(d for _, d in naive) > 1.5


def test_others_say_something_of_a_part_that_was_never_sold() -> None:
    """Who gets half of what the catalogue says for all else is told less for this one, too; nobody is told for none."""
    records = {(name, "whole", ""): PartRecord(prices=[10.0] * 5, sold=5, days=20.0) for name in list(CATALOGUE)[1:]}
    anatomy = CATALOGUE["kind-0"]
    part = anatomy.whole.parts[0]
    alone = ResaleLearned.from_records({}, CATALOGUE, None).part(anatomy, "whole", part)
    told = ResaleLearned.from_records(records, CATALOGUE, None).part(anatomy, "whole", part)
    assert [alone.ratio, alone.chance] == pytest.approx([1.0, part.chance])
    assert told.ratio < 0.75 and told.chance > part.chance + 0.1
    assert (told.sold, told.priced) == (0, 0)


MERGED = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@MERGED
@given(histories(most=25), st.randoms(use_true_random=False))
def test_the_order_in_which_ledgers_met_changes_nothing(events: list[Event], rng: random.Random) -> None:
    shuffled = list(events)
    rng.shuffle(shuffled)
    cut = len(shuffled) // 2
    one, other = fold(shuffled[:cut], EMPTY), fold(shuffled[cut:], EMPTY)
    states = fold(events), merge(one, other), merge(other, one)
    anatomies = [shipped().anatomy(name) for name in ("fan", "bread-machine", "desktop-pc")]
    learned = [[ResaleLearned.of(MemoryBook(state)).learned(a) for a in anatomies] for state in states]
    assert learned[0] == learned[1] == learned[2]
