"""Pieces into parcels, against trying every assignment and every number of each: the definition, no outside source."""

from __future__ import annotations

import itertools
import random
from collections.abc import Sequence

import pytest

from partway.planning.instance.packing import MOST_PATTERNS, packs, patterns


def assigned(pieces: Sequence[int], parcels: Sequence[int]) -> bool:
    """Whether some assignment of pieces to parcels fits, all in whole grams."""
    return any(
        all(
            sum(kg for kg, at in zip(pieces, choice, strict=True) if at == p) <= parcels[p] for p in range(len(parcels))
        )
        for choice in itertools.product(range(len(parcels)), repeat=len(pieces))
    )


@pytest.mark.parametrize("seed", range(150))
def test_pieces_fit_where_some_assignment_does(seed: int) -> None:
    rng = random.Random(seed)
    pieces = [rng.randint(1, 9) for _ in range(rng.randint(0, 6))]
    parcels = [rng.randint(3, 14) for _ in range(rng.randint(1, 3))]
    assert packs([kg / 10 for kg in pieces], [kg / 10 for kg in parcels]) is assigned(pieces, parcels)


def test_a_full_parcel_holds_what_the_last_digit_of_a_float_makes_too_much() -> None:
    assert 0.1 + 0.1 + 0.1 > 0.3
    assert packs([0.1, 0.1, 0.1], [0.3])
    assert not packs([0.1, 0.1, 0.1001], [0.3])
    assert not packs([0.3 + 1e-8], [0.3])


def test_nothing_fits_anywhere_and_something_nowhere() -> None:
    assert packs([], []) and packs([], [1.0])
    assert not packs([0.5], [])


def test_parcels_alike_are_tried_once() -> None:
    """15 pieces of 0.6 kg into 14 parcels of 1 kg: told at once, where every order of parcels would take for ever."""
    assert not packs([0.6] * 15, [1.0] * 14)
    assert packs([0.6] * 15, [1.0] * 15)


@pytest.mark.parametrize("seed", range(60))
def test_patterns_are_all_the_ways_that_leave_no_room(seed: int) -> None:
    rng = random.Random(seed)
    masses = rng.sample(range(2, 12), rng.randint(1, 3))
    size = rng.randint(5, 30)
    found, every = patterns([kg / 10 for kg in masses], size / 10)
    ways = itertools.product(*(range(size // kg + 1) for kg in masses))
    held = [(way, sum(n * kg for n, kg in zip(way, masses, strict=True))) for way in ways]
    assert every
    assert sorted(found) == sorted(way for way, kg in held if kg <= size < kg + min(masses))
    assert len(set(found)) == len(found)


def test_where_there_are_too_many_ways_only_those_of_one_mass_are_named() -> None:
    masses = [0.11, 0.13, 0.17, 0.19, 0.23, 3.0]
    found, every = patterns(masses, 2.0)
    assert not every
    assert found == [
        (18, 0, 0, 0, 0, 0),
        (0, 15, 0, 0, 0, 0),
        (0, 0, 11, 0, 0, 0),
        (0, 0, 0, 10, 0, 0),
        (0, 0, 0, 0, 8, 0),
    ]


def test_as_many_ways_as_are_kept_are_every_way() -> None:
    """Two masses of which one goes n times into the other leave n + 1 ways at most."""
    found, every = patterns([1.0, 0.5], (MOST_PATTERNS - 1) * 1.0)
    assert every and len(found) == MOST_PATTERNS
    found, every = patterns([1.0, 0.5], MOST_PATTERNS * 1.0)
    assert not every and found == [(MOST_PATTERNS, 0), (0, MOST_PATTERNS * 2)]
