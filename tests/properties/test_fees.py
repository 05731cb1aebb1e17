"""Plans where buyers keep back fees of their tickets, against trying everything and against cases by hand.

The other side is tests/brute.py, which shares no code with planning. What a fee is: common practice, no source.
"""

from __future__ import annotations

import itertools
from collections import Counter
from dataclasses import replace
from functools import cache

import pytest
from brute import Search
from planned import DAY, best, exact, worth
from tiny_fees import FEATURES, features, with_fees
from tried_and_planned import Both, compare, wrong

from partway.actions.plans.flips import quote_at
from partway.planning.check.verify import verify, worth_of
from partway.planning.depth.bends import bends
from partway.planning.instance.build import build
from partway.planning.search.search import search
from partway.things.anatomy import Anatomy, Piece, SaleAs
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Quote, Scenario, Vehicle

SEEDS = range(90)
BLOCK = 30


@cache
def both(seed: int) -> Both | None:
    """Both answers; None where there is too much to try."""
    return compare(with_fees(seed))


@pytest.mark.parametrize("first", SEEDS[::BLOCK])
def test_the_plan_is_worth_what_trying_everything_is_worth(first: int) -> None:
    assert wrong(both, range(first, first + BLOCK)) == {}


def test_every_sort_of_fee_occurs_and_decides_plans() -> None:
    seeds = [seed for seed in SEEDS if both(seed) is not None]
    assert len(seeds) >= 70
    count = Counter(name for seed in seeds for name in features(with_fees(seed)))
    assert {name: count[name] for name in FEATURES if count[name] < 5} == {}
    decided = Counter(name for seed in seeds for name in deciding(seed))
    assert set(decided) == {"flat", "share"} and min(decided.values()) >= 20, decided


def deciding(seed: int) -> list[str]:
    """The fees without which the best plan would be worth more."""
    it, here = with_fees(seed), both(seed)
    assert here is not None
    free = {
        "flat": replace(it, buyers=tuple(replace(b, ticket_fee=0.0) for b in it.buyers)),
        "share": replace(it, buyers=tuple(replace(b, ticket_share=0.0) for b in it.buyers)),
    }
    return [name for name, other in free.items() if other != it and worth(*best(other)) > here.tried + 1e-4]


def test_what_is_taken_free_is_not_sold_for_less_than_the_fee_of_a_ticket() -> None:
    """A full load of a find that a drop-off takes free as a shell, and as iron for a cent a kilogram on a ticket that
    costs 5: 20 kg of iron are 0.20. Free, the drive of 10 is paid by the room there is, 20 x 15 / (0.85 x 20).
    """
    grades = (
        Grade("shell", "shell", "ferrous", exact(1.0), ("iron",)),
        Grade("iron", "iron", "ferrous", exact(1.0)),
    )
    quotes = (Quote("shell", exact(0.0), DAY), Quote("iron", exact(0.01), DAY))
    whole = Piece("whole", "fridge", exact(20.0), (SaleAs("shell"),))
    it = Scenario(
        name="free",
        currency="EUR",
        on=DAY,
        hours=Hours(bench=1.0, away=4.0, wage=0.0),
        vehicle=Vehicle(payload_kg=20.0, cost_per_km=0.5),
        buyers=(Buyer("depot", "drop-off", km=10.0, quotes=quotes, ticket_fee=5.0),),
        finds=(Find("fridge", 1, "no"),),
        stock={},
        grades={grade.id: grade for grade in grades},
        anatomies={"fridge": Anatomy("fridge", "fridge", (whole,))},
    )
    instance, found = best(it)
    (key,) = found.decision.lots
    assert instance.grades[instance.lots[key[0]].grade] == "shell"
    assert worth(instance, found) == pytest.approx(-10.0)
    assert Search(it).best().total == pytest.approx(-10.0)


def test_between_two_bends_a_plan_is_worth_a_straight_line_in_the_price() -> None:
    """A quote moves from a charge to a price: at nothing the share begins to bend, and the flat fee falls due."""
    looked = crossed = 0
    for seed in range(60):
        it = with_fees(seed)
        buyer = next((b for b in it.buyers if b.ticket_share and b.quotes), None)
        if buyer is None:
            continue
        quote = buyer.quotes[0]
        today, reach = quote.price.mean, 2.0 * max(1.0, abs(quote.price.mean))
        at = quote_at(it, buyer.id, quote.grade, today)
        found = search(build(at(reach)), seconds=30.0, gap=1e-6)
        checked = verify(build(at(reach)), found.decision)
        corners = bends(build(it), at, -reach, reach)
        crossed += any(abs(x) < 1e-6 for x in corners)
        for a, b in itertools.pairwise(corners):
            if b - a > 1e-6:
                ends = [worth_of(build(at(x)), checked) for x in (a, 0.5 * (a + b), b)]
                assert ends[1] == pytest.approx(0.5 * (ends[0] + ends[2]), abs=1e-6), (seed, a, b)
                looked += 1
    assert looked >= 50 and crossed >= 15, (looked, crossed)
