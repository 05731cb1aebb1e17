"""How much there could be of each piece and grade, against opening finds in every way there is; by hand for tiers."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator

import pytest
from planned import DAY, exact, quote

from partway.planning.instance.supply import most_of_each, price_steps, with_downgrades
from partway.things.anatomy import Anatomy, Gives, Operation, Piece
from partway.things.scenario import Buyer, Quote


def drawn(rng: random.Random) -> Anatomy:
    """Five pieces; each may be opened in up to two ways into later ones, some of them several times."""
    names = "vwxyz"
    operations = []
    for i, name in enumerate(names[:-1]):
        for n in range(rng.randint(0 if i else 1, 2)):
            given = rng.sample(names[i + 1 :], rng.randint(1, min(2, len(names) - i - 1)))
            gives = tuple(Gives(piece, rng.randint(1, 3)) for piece in given)
            operations.append(Operation(f"{name}{n}", "open", name, exact(1.0), gives))
    return Anatomy("kind", "kind", tuple(Piece(name, name, exact(1.0)) for name in names), tuple(operations))


def opened(anatomy: Anatomy, held: Counter[str]) -> Iterator[Counter[str]]:
    """All that can be held at some time, one piece opened after another."""
    yield held
    for piece in sorted(held):
        if held[piece]:
            for operation in anatomy.operations_on(piece):
                after = held.copy()
                after[piece] -= 1
                for give in operation.gives:
                    after[give.piece] += give.count
                yield from opened(anatomy, after)


@pytest.mark.parametrize("seed", range(40))
def test_the_most_of_a_piece_is_what_some_way_of_opening_yields(seed: int) -> None:
    rng = random.Random(seed)
    anatomy = drawn(rng)
    most: Counter[str] = Counter()
    for held in opened(anatomy, Counter({"v": 1})):
        most |= held
    count = rng.randint(1, 4)
    assert most_of_each(anatomy, count) == {piece.id: count * most[piece.id] for piece in anatomy.pieces}


def test_a_grade_may_be_all_that_flows_down_to_it() -> None:
    """0 and 1 may be sold as 2, 2 as 3, 0 also as 3: what lies above is counted once."""
    arcs = ((0, 2), (1, 2), (2, 3), (0, 3))
    assert with_downgrades([1.0, 10.0, 100.0, 1000.0, 5.0], arcs) == [1.0, 10.0, 111.0, 1111.0, 5.0]


def tier(price: float, start: float, minimum: float = 0.0) -> Quote:
    return Quote("iron", exact(price), DAY, minimum_kg=minimum, from_kg=start)


def test_a_tier_ends_a_milligram_before_the_next_begins() -> None:
    buyer = Buyer("yard", "yard", quotes=(tier(3.0, 50.0), quote("brass", 9.0), tier(1.0, 0.0), tier(2.0, 20.0, 30.0)))
    steps = price_steps(buyer, "iron", 80.0)
    assert [(step.low, step.high, step.price) for step in steps] == [
        (0.0, 20.0 - 1e-6, 1.0),
        (30.0, 50.0 - 1e-6, 2.0),
        (50.0, 80.0, 3.0),
    ]
    assert [step.quote.from_kg for step in steps] == [0.0, 20.0, 50.0]


def test_tiers_that_no_lot_reaches_are_left_out() -> None:
    buyer = Buyer("yard", "yard", quotes=(tier(1.0, 0.0), tier(2.0, 20.0), tier(3.0, 50.0)))
    assert [(step.low, step.high) for step in price_steps(buyer, "iron", 20.0)] == [(0.0, 20.0 - 1e-6), (20.0, 20.0)]
    assert [(step.low, step.high) for step in price_steps(buyer, "iron", 19.0)] == [(0.0, 19.0)]
    assert price_steps(buyer, "iron", 0.0) == () and price_steps(buyer, "brass", 9.0) == ()
    never = Buyer("yard", "yard", quotes=(tier(1.0, 0.0, 40.0), tier(2.0, 30.0)))
    assert [(step.low, step.high) for step in price_steps(never, "iron", 60.0)] == [(30.0, 60.0)]
