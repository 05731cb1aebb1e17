"""What is taken over from other prices is what would have been made from nothing.

The other side is the instance, the programme and the pooled programme made from nothing, and for bounds trying
everything (tests/brute.py, which shares no code with planning). No outside source is needed.
"""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import fields, replace
from typing import Any

import pytest
from brute import Search
from brute_pieces import TooLarge
from repriced import SORTS, one_price
from tiny import scenario
from tiny_elsewhere import elsewhere
from tiny_fees import with_fees
from tiny_limits import limited
from tiny_odd import scenario as odd

from partway.planning.check.figures import check_figures
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.learned.memory import LearnedSearch
from partway.planning.learned.moved import moved
from partway.planning.learned.programmes import Programmes, same_but_prices
from partway.planning.learned.rebuilt import rebuilt
from partway.planning.model.milp import formulate
from partway.planning.model.pooled import pool
from partway.planning.search.search import search
from partway.things.estimate import Estimate
from partway.things.scenario import Scenario

SORTS_OF_SCENARIO: dict[str, Callable[[int], Scenario]] = {
    "usual": scenario,
    "fees": with_fees,
    "limits": limited,
    "elsewhere": elsewhere,
    "odd": odd,
}
GAP = 5e-7  # less than 1e-6, which is asked for where nobody says otherwise
TOLERANCE = 1e-6  # of the objective, or of one currency unit where that is more
SEEDS = range(24)
TAKEN_OVER = 60  # of the 120 programmes at least; the others have other lots, or nobody drives
MOVED = 40  # of the bounds at least


def pairs() -> Iterator[tuple[str, Scenario, Scenario]]:
    """Scenarios, each with one price changed, and which change it was."""
    for sort, of in SORTS_OF_SCENARIO.items():
        for seed in SEEDS:
            change = SORTS[seed % len(SORTS)]
            yield change, of(seed), one_price(random.Random(f"{sort} {seed}"), of(seed), change)


def differ(one: Instance, other: Instance) -> list[str]:
    """Fields in which two instances differ; roads are arrays, and none of a price."""
    names = [it.name for it in fields(Instance) if it.name != "roads"]
    return [name for name in names if getattr(one, name) != getattr(other, name)]


def test_an_instance_at_other_prices_is_the_one_made_from_nothing() -> None:
    for change, it, other in pairs():
        again = rebuilt(build(it), other)
        assert differ(again, build(other)) == [], (change, it.name)
        check_figures(again)


def test_what_is_more_than_a_price_is_made_from_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    it = SORTS_OF_SCENARIO["usual"](3)
    first, made = build(it), list[Scenario]()

    def noted(scenario: Scenario) -> Instance:
        made.append(scenario)
        return build(scenario)

    monkeypatch.setattr("partway.planning.learned.rebuilt.build", noted)
    wage = replace(it, hours=replace(it.hours, wage=it.hours.wage + 1.0))
    more = replace(it, stock={**it.stock, "iron": 77.0})
    for other in (wage, more, replace(it, notes=("another",))):
        assert differ(rebuilt(first, other), build(other)) == []
        assert made.pop() is other
    assert differ(rebuilt(first, replace(it)), first) == [] and not made


def learned_of(it: Scenario) -> LearnedSearch | None:
    """None where nothing was learned, or the root is not known."""
    learned = search(build(it), seconds=30.0, gap=GAP).learned
    return learned if learned is not None and learned.root is not None else None


def test_programmes_taken_over_are_those_made_from_nothing() -> None:
    """To the last figure and name, in the same order: the same plans follow."""
    taken: Counter[str] = Counter()
    for change, it, other in pairs():
        learned, instance = learned_of(it), build(other)
        if learned is None or not learned.fits(other):
            continue
        again, model = Programmes(instance, known=learned.root), formulate(instance)
        loose = formulate(instance, loose=True) if model.columns.blocks else model
        for mine, theirs in ((again.model, model), (again.loose, loose)):
            assert (mine.linear, mine.columns) == (theirs.linear, theirs.columns), it.name
            assert mine.instance is instance and mine.rides == theirs.rides
        pooled, anew = again.pooled(), pool(loose)
        assert (pooled.linear, pooled.column) == (anew.linear, anew.column), it.name
        assert (pooled.tours, pooled.visits, pooled.idle, pooled.counts) == (
            anew.tours,
            anew.visits,
            anew.idle,
            anew.counts,
        )
        taken[change] += again.known is not None
    assert taken.total() >= TAKEN_OVER and taken["up"] and taken["down"], taken


def test_what_a_search_adds_to_a_programme_stays_with_it() -> None:
    it = SORTS_OF_SCENARIO["usual"](3)
    learned = learned_of(it)
    assert learned is not None and learned.root is not None
    again = Programmes(build(it), known=learned.root)
    assert again.known is not None
    rows = len(learned.root.pooled.linear.rows)
    pooled = again.pooled()
    pooled.linear.row("some", "", [(0, 1.0)], upper=0.0)
    assert len(again.pooled().linear.rows) == len(pooled.linear.rows) - 1
    assert len(learned.root.pooled.linear.rows) == rows and learned.root.sound


def changed(instance: Instance) -> dict[str, Instance]:
    """The instance with one thing that is no price changed."""
    node, lot, part = instance.nodes[0], instance.lots[0], instance.part_sales[0]
    opening, sale = instance.openings[0], instance.grade_sales[0]
    tier = replace(lot.tiers[0], high=lot.tiers[0].high / 2.0)

    def of(name: str, first: Any) -> Instance:
        there = getattr(instance, name)
        anew: dict[str, Any] = {name: (first, *there[1:])}
        return replace(instance, **anew)

    return {
        "a piece more": of("nodes", replace(node, found=node.found + 1)),
        "a heavier piece": of("nodes", replace(node, kg=node.kg + 1.0)),
        "more of a piece": of("nodes", replace(node, most=node.most + 1)),
        "a piece on offer": of("nodes", replace(node, offered=0.5)),
        "a smaller lot": of("lots", replace(lot, tiers=(tier, *lot.tiers[1:]))),
        "no lot": replace(instance, lots=instance.lots[1:]),
        "a slower part": of("part_sales", replace(part, hours=part.hours + 1.0)),
        "no part": replace(instance, part_sales=instance.part_sales[1:]),
        "a slower operation": of("openings", replace(opening, hours=opening.hours + 1.0)),
        "a lighter sale": of("grade_sales", replace(sale, kg=sale.kg / 2.0)),
        "other stock": of("stock", instance.stock[0] + 1.0),
        "other supply": of("supply", instance.supply[0] + 1.0),
        "another density": of("litres_per_kg", instance.litres_per_kg[0] + 1.0),
        "no downgrades": replace(instance, downgrades=()),
        "no tours": replace(instance, tours=(instance.tours or ())[1:]),
        "no stops": replace(instance, stops=(None,) * len(instance.stops)),
        "a cap": replace(instance, caps=instance.caps[1:] if instance.caps else ((1, (0,)),)),  # type: ignore[arg-type]
    }


def rich() -> Scenario:
    """The first drawn scenario that has some of everything."""
    some = (SORTS_OF_SCENARIO["usual"](seed) for seed in range(200))
    kinds = ("nodes", "lots", "part_sales", "openings", "grade_sales", "downgrades", "tours", "stock")
    return next(it for it in some if all(getattr(build(it), kind) for kind in kinds))


def test_a_programme_is_not_taken_over_where_anything_but_a_price_is_different() -> None:
    it = rich()
    instance = build(it)
    model = formulate(instance)
    assert same_but_prices(model, instance)
    for name, other in changed(instance).items():
        assert not same_but_prices(model, other), name


def test_a_moved_bound_is_above_what_trying_everything_finds() -> None:
    """Whatever the price that changed; and the proof of then with it is no weaker than rows and bounds alone."""
    seen: Counter[str] = Counter()
    for change, it, other in pairs():
        learned = learned_of(it)
        if learned is None or learned.said is None or learned.root is None or not learned.fits(other):
            continue
        bounds = moved(learned.said, learned.root, formulate(build(other)))
        if bounds is None:
            continue
        try:
            tried = Search(other).best().total
        except TooLarge:
            continue
        slack = TOLERANCE * max(1.0, abs(tried))
        assert bounds.both >= tried - slack and bounds.alone >= tried - slack, it.name
        assert bounds.both <= bounds.alone + slack, it.name
        seen[change] += 1
    assert seen.total() >= MOVED and set(seen) == set(SORTS), seen


def test_a_root_that_was_changed_since_is_not_believed() -> None:
    it = SORTS_OF_SCENARIO["usual"](3)
    learned, model = learned_of(it), formulate(build(it))
    assert learned is not None and learned.said is not None and learned.root is not None
    root, said = learned.root, learned.said
    assert moved(said, root, model) is not None
    pooled = root.pooled
    tighter = pooled.linear.first(len(pooled.linear.rows))
    tighter.upper = [upper / 2.0 for upper in tighter.upper]
    fewer = pooled.linear.first(len(pooled.linear.rows) - 1)
    dearer = pooled.linear.first(len(pooled.linear.rows))
    dearer.rows[0] = [(c, 2.0 * v) for c, v in dearer.rows[0]]
    for wrong in (tighter, fewer, dearer):
        assert moved(said, replace(root, pooled=replace(pooled, linear=wrong)), model) is None
    elsewhere = learned_of(SORTS_OF_SCENARIO["usual"](4))
    assert elsewhere is not None and elsewhere.root is not None
    assert moved(said, elsewhere.root, model) is None, "the root of another scenario"


def test_a_lot_of_another_size_moves_nothing() -> None:
    it = rich()
    learned, instance = learned_of(it), build(it)
    assert learned is not None and learned.said is not None and learned.root is not None
    assert moved(learned.said, learned.root, formulate(instance)) is not None
    for name in ("a smaller lot", "a piece more", "no tours"):
        assert moved(learned.said, learned.root, formulate(changed(instance)[name])) is None, name


def test_a_price_that_is_infinite_bounds_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the solver has no prices of rows there is no bound, rather than a wrong one."""
    it = SORTS_OF_SCENARIO["usual"](3)
    learned = learned_of(it)
    assert learned is not None and learned.said is not None and learned.root is not None
    monkeypatch.setattr("partway.planning.learned.moved.Solver.prices", lambda _: None)
    bounds = moved(learned.said, learned.root, formulate(build(it)))
    assert bounds is not None and (bounds.alone, bounds.both) == (math.inf, math.inf)


def test_a_dearer_grade_is_worth_more_in_what_is_taken_over() -> None:
    """By hand: a lot's column is worth its price, and a charge is worth less than nothing."""
    it = rich()
    learned, instance = learned_of(it), build(it)
    assert learned is not None
    buyer, quote = it.buyers[instance.lots[0].buyer], instance.lots[0].tiers[0].quote
    price = Estimate.exact(quote.price.mean + 1.0)
    quotes = tuple(replace(q, price=price) if q is quote else q for q in buyer.quotes)
    other = replace(it, buyers=tuple(replace(b, quotes=quotes) if b is buyer else b for b in it.buyers))
    again = Programmes(build(other), known=learned.root).model
    columns = [c for (i, t, _), c in again.columns.lots.items() if (i, t) == (0, 0)]
    left = price.mean * (1.0 - buyer.ticket_share)
    assert columns and [again.linear.objective[c] for c in columns] == pytest.approx([left] * len(columns))
