"""With offers made before, the plan is still worth what trying everything is worth (tests/brute.py).

The second of two on offer sells only if two buyers come; a find that is on offer waits for its own unless it is opened.
"""

from __future__ import annotations

import itertools
from collections import Counter
from dataclasses import replace
from functools import cache

import pytest
from tiny_offers import with_offers
from tried_and_planned import Both, compare, wrong

from partway.errors import PlanUnsound
from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.search.search import search

SEEDS = range(240)
BLOCK = 40


@cache
def compared(seed: int) -> Both | None:
    """Both answers; None where nothing is on offer or there is too much to try."""
    it = with_offers(seed)
    if not (it.listed or any(find.listed for find in it.finds)):
        return None
    return compare(it)


@pytest.mark.parametrize("first", SEEDS[::BLOCK])
def test_the_plan_with_offers_is_worth_what_trying_everything_is_worth(first: int) -> None:
    assert wrong(compared, range(first, first + BLOCK)) == {}


def does(both: Both) -> list[str]:
    """What a plan does with a row of offers."""
    assert both.plan is not None
    instance, decision = both.plan
    sold = [sale.step for sale, n in zip(instance.part_sales, decision.parts, strict=True) if n]
    offered = [n for n, node in enumerate(instance.nodes) if node.offered]
    facts = {
        "adds to a row": any(step is not None for step in sold),
        "adds two to a row": any(step for step in sold),
        "leaves a find on offer": any(decision.kept[n] for n in offered),
        "takes one down to open it": any(decision.opened[o] for n in offered for o in instance.openings_of[n]),
    }
    return [name for name, holds in facts.items() if holds]


def test_enough_was_compared_and_every_way_was_best_somewhere() -> None:
    """Otherwise agreement is about nothing."""
    both = [it for seed in SEEDS if (it := compared(seed)) is not None]
    assert len(both) >= 100
    seen = Counter(fact for it in both for fact in does(it))
    assert set(seen) == {
        "adds to a row", "adds two to a row", "leaves a find on offer", "takes one down to open it",
    }  # fmt: skip
    assert min(seen.values()) >= 3


def test_two_units_that_wait_for_the_same_buyer_fail_the_check() -> None:
    """Of two that a plan adds to a row, both are said to wait for the first buyer: the pieces still add up."""
    for seed in SEEDS:
        instance = build(with_offers(seed))
        decision = search(instance, seconds=30.0, gap=1e-9).decision
        sold = [(p, sale) for p, sale in enumerate(instance.part_sales) if sale.step is not None and decision.parts[p]]
        for (p, one), (q, other) in itertools.combinations(sold, 2):
            if (one.node, one.part) != (other.node, other.part):
                continue
            verify(instance, decision)
            parts = list(decision.parts)
            parts[p], parts[q] = parts[p] + 1, parts[q] - 1
            with pytest.raises(PlanUnsound, match="two units of"):
                verify(instance, replace(decision, parts=tuple(parts)))
            return
    raise AssertionError("no plan adds two to a row")
