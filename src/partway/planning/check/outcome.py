"""The range of cash a decided plan may bring: the decision is fixed; masses, prices and luck vary."""

from __future__ import annotations

import numpy as np

from partway.planning.cash import CashRange
from partway.planning.check.verify import Checked
from partway.planning.decision import LotKey
from partway.planning.depth.dynamic import Draws
from partway.planning.depth.spread import DRAWS, SEED, draw, sizes
from partway.planning.instance.blocks import downgraded_kg
from partway.planning.instance.counted import amount_of, counted_by
from partway.planning.instance.frozen import Instance
from partway.things.estimate import Estimate


def cash_draws(instance: Instance, checked: Checked, n: int = DRAWS, seed: int = SEED) -> Draws:
    """`n` draws of sales + parts + shipping + fees + driving, shape (n,).

    All finds of a group share one draw: the estimate of a kind is wrong for all of them alike. Lots share a grade in
    the planned proportion.
    """
    rng = np.random.default_rng(seed)
    cash = np.full(n, checked.money.shipping + checked.money.driving)
    for amounts in _lots(instance, checked, n, rng).values():
        cash += amounts
    for opening, times in zip(instance.openings, checked.decision.opened, strict=True):
        cash -= opening.cost * times
    for sale, units in zip(instance.part_sales, checked.decision.parts, strict=True):
        if units and sale.chance > 0:
            sold = rng.binomial(units, sale.chance, n)
            cash += sold * (sale.income / sale.chance) * _price_factor(sale.part.price, n, rng)
    return cash


def _lots(instance: Instance, checked: Checked, n: int, rng: np.random.Generator) -> dict[LotKey, Draws]:
    """Draws of what each lot brings."""
    share = _filled(instance, checked, sizes(instance, n, rng))
    return {
        (i, t, k): _filled_by(instance, checked, (i, t, k), share) * draw(instance.lots[i].tiers[t].quote.price, n, rng)
        for (i, t, k) in checked.decision.lots
    }


def _filled_by(instance: Instance, checked: Checked, key: LotKey, share: Draws) -> Draws | float:
    """Kilograms of a lot as its material turns out; by the piece, what its number of pieces counts for."""
    i = key[0]
    quote = counted_by(instance.lots[i])
    if quote is not None and quote.each:
        return amount_of(instance, checked.decision, key) / price if (price := quote.price.mean) else 0.0
    kg: Draws = checked.decision.lots[key] * share[instance.lots[i].grade]
    return kg


def stop_ranges(instance: Instance, checked: Checked) -> dict[tuple[int, int], tuple[float, float]]:
    """The 10 % and 90 % points of what each buyer pays, by buyer and trip (milp.MAIL for the mail)."""
    sums: dict[tuple[int, int], Draws] = {}
    for (i, _, k), amounts in _lots(instance, checked, DRAWS, np.random.default_rng(SEED)).items():
        key = instance.lots[i].buyer, k
        sums[key] = sums[key] + amounts if key in sums else amounts
    ends = {key: np.percentile(amounts, [10.0, 90.0]) for key, amounts in sums.items()}
    return {key: (float(low), float(high)) for key, (low, high) in ends.items()}


def _price_factor(price: Estimate, n: int, rng: np.random.Generator) -> Draws:
    return draw(price, n, rng) / price.mean if price.mean else np.ones(n)


def _filled(instance: Instance, checked: Checked, size: Draws) -> Draws:
    """Drawn over planned kilograms of each grade, shape (grades, n), downgrades carried down."""
    decision = checked.decision
    n = size.shape[1]
    planned = np.repeat(np.array(instance.stock, dtype=float).reshape(-1, 1), n, axis=1)
    drawn = planned.copy()
    for sale, times in zip(instance.grade_sales, decision.sold, strict=True):
        for g, kg in instance.flows(sale):
            planned[g] += kg * times
            drawn[g] += kg * times * size[sale.node]
    downgraded = downgraded_kg(instance, decision)
    below = [(d, arc) for d, arc in enumerate(instance.downgrades) if downgraded.get(d)]
    for d, (upper, lower) in _upper_first(below):
        kg = downgraded[d]
        planned[lower] += kg
        drawn[lower] += kg * drawn[upper] / planned[upper]
    share: Draws = np.divide(drawn, planned, out=np.ones_like(drawn), where=planned > 1e-9)
    return share


def _upper_first(arcs: list[tuple[int, tuple[int, int]]]) -> list[tuple[int, tuple[int, int]]]:
    """Downgrades in an order in which a grade's inflow is complete before it flows on."""
    ordered: list[tuple[int, tuple[int, int]]] = []
    left = list(arcs)
    while left:
        ready = [a for a in left if not any(b[1][1] == a[1][0] for b in left)]
        ordered += ready
        left = [a for a in left if a not in ready]
    return ordered


def cash_range(instance: Instance, checked: Checked) -> CashRange:
    """The expected cash, with its 10 % and 90 % points."""
    low, high = np.percentile(cash_draws(instance, checked), [10.0, 90.0])
    return CashRange(float(low), checked.money.cash, float(high), DRAWS, SEED)
