"""What a hand is worth and what its hour brings, against valuations of the same graphs that share no code with it."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import numpy as np
import pytest
from graphs import DAY, KIND, Worths, scenario, small_seeds

from partway.catalogue import shipped
from partway.reports.bench.queue import report_queue
from partway.things.estimate import Estimate
from partway.things.scenario import Buyer, Quote, Scenario, Works
from partway.valuing.finds.hand import Holding
from partway.valuing.finds.hands import HoldingValues
from partway.valuing.finds.together import solved_alone, solved_together
from partway.valuing.finds.waiting import WaitingFind

SEEDS = tuple(small_seeds(160))
NEAR = 1e-9
CONDITIONS: list[tuple[Works, float]] = [("yes", 0.5), ("no", 1.0), ("no", 2.0), ("unknown", 4.0), ("yes", 4.1)]


def hand_of(it: Scenario) -> Holding:
    find = it.finds[0]
    return Holding(find.kind, find.works, find.mass_kg, ((it.anatomies[KIND].whole.id, 1),))


def test_money_less_hours_is_the_value_of_the_linear_programme() -> None:
    for seed in SEEDS:
        it = scenario(seed)
        value = HoldingValues.at(it).of([hand_of(it)])[hand_of(it)]
        if value.test is None:
            expected = Worths(it, it.hours.wage).by_linear_programme()
            net = value.brings - it.hours.wage * value.minutes / 60.0
            assert net == pytest.approx(expected, abs=NEAR * max(1.0, abs(expected))), seed


def test_left_as_it_is_brings_the_best_that_takes_no_hour() -> None:
    """The best end of the whole that is no part, straight from the scenario."""
    for seed in SEEDS:
        it = scenario(seed)
        whole = replace(it.anatomies[KIND].whole, parts=())
        expected = max(Worths(it, it.hours.wage).ends(whole))
        value = HoldingValues.at(it).of([hand_of(it)])[hand_of(it)]
        if value.test is None:
            assert value.shut == pytest.approx(expected, abs=NEAR), seed


def test_an_hour_in_the_queue_brings_at_least_the_wage() -> None:
    """What does not pay its hours is not done; what is done adds its money over leaving it."""
    busy = 0
    for seed in SEEDS:
        it = scenario(seed)
        value = HoldingValues.at(it).of([hand_of(it)])[hand_of(it)]
        if value.per_hour is not None:
            busy += 1
            assert value.per_hour >= it.hours.wage - 1e-9, seed
            assert value.per_hour == pytest.approx((value.brings - value.shut) / value.minutes * 60.0)
    assert busy > 40


def test_draws_average_to_what_is_expected() -> None:
    """Every estimate is drawn around its PERT mean, and money is a sum of products of independent ones."""
    for seed in SEEDS[:40]:
        it = scenario(seed)
        here = solved_alone(it, hand_of(it))
        money, hours = here.draws()
        assert hours.mean() == pytest.approx(here.hours, rel=0.05, abs=1e-9)
        if not any(sale.part.chance < 1 for sale in here.find.instance.part_sales):
            assert money.mean() == pytest.approx(here.brings, rel=0.15, abs=0.5)


def quoting() -> tuple[Buyer, ...]:
    """Two buyers who between them price most grades, some with lots and tiers."""
    rng = np.random.default_rng(8)
    quotes = [Quote(g, Estimate.exact(float(rng.uniform(-0.2, 9.0))), DAY) for g in shipped().grades]
    return (
        Buyer("harbour", "yard", km=4.0, quotes=tuple(quotes[::2])),
        Buyer("ridge", "yard", quotes=tuple(quotes[1::3])),
    )


def test_many_hands_at_once_are_worth_what_each_is_alone() -> None:
    kinds = ("microwave", "fan", "laptop", "kettle", "washer-top")
    it = replace(scenario(3), grades=shipped().grades, cautions=shipped().cautions, buyers=quoting())
    it = replace(it, anatomies={kind: shipped().anatomy(kind) for kind in kinds})
    masses = (None, 0.4, 1.0, 1.7, 6.0)
    hands = [
        Holding(k, w, m and m * it.anatomies[k].whole.mass.mean, ((it.anatomies[k].whole.id, 1),))
        for k in kinds
        for w in get_args(Works)
        for m in masses
    ]
    together = solved_together(it, hands)
    for hand in hands:
        alone, among = solved_alone(it, hand), together.hand(hand)
        assert (among.brings, among.shut, among.hours) == pytest.approx((alone.brings, alone.shut, alone.hours))


def test_the_order_is_that_of_the_hours_and_the_cut_leaves_no_room() -> None:
    """Finds of many graphs in one queue: falling money per hour; what fits takes no more than the hours."""
    rng = np.random.default_rng(5)
    for seed in SEEDS[:60]:
        it = scenario(seed)
        whole = it.anatomies[KIND].whole
        finds = [
            WaitingFind(f"f{n}", KIND, w, int(rng.integers(1, 4)), whole.mass.likely * f, 3, ((whole.id, 1),))
            for n, (w, f) in enumerate(CONDITIONS)
        ]
        hours = float(rng.uniform(0.0, 2.0))
        queue = report_queue(replace(it, hours=replace(it.hours, bench=hours)), finds)
        rates = [line.per_hour for line in queue.lines if line.per_hour is not None]
        assert rates == sorted(rates, reverse=True)
        assert queue.used <= hours * 60.0 + 1e-6
        assert queue.count == sum(f.count for f in finds)
        assert [line.fits for line in queue.lines[: queue.now]] == [
            line.fits if n == queue.now - 1 else line.count for n, line in enumerate(queue.lines[: queue.now])
        ]
        assert not any(line.fits for line in queue.lines[queue.now :])
