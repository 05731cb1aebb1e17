"""What a proof of other prices rests on: today's programme allows no more than the old one.

By hand on two lots, and on drawn programmes against looking at every point of a lattice. No source is needed.
"""

from __future__ import annotations

import copy
import math
import random
from collections import Counter
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from partway.planning.learned.statement import Statement, allows_no_more
from partway.planning.model.linear import Linear


def programme(*, there: bool = True, most: float = 3.0, whole: bool = True, hours: float = 4.0) -> Linear:
    """Two lots within hours, the second only for those who visit; `there`: whether somebody quotes it."""
    made = Linear()
    first, visit = made.column("first", 2.0, most, integer=whole), made.column("visit", -1.0, 1.0, integer=True)
    terms = [(first, 1.0)]
    if there:
        second = made.column("second", 5.0, 2.0)
        made.row("visit", "second", [(second, 1.0), (visit, -2.0)], upper=0.0)
        terms.append((second, 2.0))
    made.row("hours", "", terms, upper=hours)
    return made


OLD = programme()


def test_the_same_and_less_is_no_more() -> None:
    assert allows_no_more(OLD, OLD) and allows_no_more(programme(most=2.0), OLD)
    assert allows_no_more(programme(there=False), OLD), "a grade not quoted any more: its rows are kept by bounds"
    assert allows_no_more(OLD, programme(whole=False)), "fewer points are whole"


@pytest.mark.parametrize(
    ("new", "old"),
    [
        (programme(most=4.0), OLD),
        (OLD, programme(there=False)),
        (programme(hours=5.0), OLD),
        (programme(whole=False), OLD),
        (programme(there=False), programme(hours=2.5)),
        (replace(OLD, rows=OLD.rows[:1], row_lower=[-math.inf], row_upper=[0.0]), OLD),
        (replace(OLD, rows=[OLD.rows[0], [(0, 1.0), (2, 1.0)]]), OLD),
    ],
)
def test_whatever_allows_more_is_noticed(new: Linear, old: Linear) -> None:
    assert not allows_no_more(new, old)


def test_a_column_that_has_to_be_something_may_not_be_lacking() -> None:
    old = replace(OLD, lower=[0.0, 0.0, 1.0])
    assert not allows_no_more(programme(there=False), old)


def test_the_row_is_in_the_columns_of_today() -> None:
    """The second lot earned 5 of the bound; nobody quotes it any more."""
    said = Statement.of(OLD, OLD, np.array([0.0, 1.0, 2.0]), 9.5)
    new = programme(there=False)
    assert (said.worth, said.row(OLD, OLD)) == (9.0, ([(0, 2.0), (1, -1.0), (2, 5.0)], 9.5))
    assert said.row(new, new) == ([(0, 2.0), (1, -1.0)], 9.5)
    assert said.row(programme(hours=5.0), OLD) is None


def test_a_proof_that_its_own_plan_refutes_is_none() -> None:
    assert not Statement.of(OLD, OLD, np.array([0.0, 1.0, 2.0]), 8.9).sound


def test_a_proof_is_believed_up_to_the_rounding_of_its_worth() -> None:
    plan = np.array([0.0, 1.0, 2.0])
    assert Statement.of(OLD, OLD, plan, 9.0).row(OLD, OLD) == ([(0, 2.0), (1, -1.0), (2, 5.0)], 9.0)
    assert Statement.of(OLD, OLD, plan, 9.0 - 5e-9).sound and not Statement.of(OLD, OLD, plan, 9.0 - 2e-8).sound


def test_a_figure_changed_since_is_not_believed_though_the_plan_is_worth_the_same() -> None:
    """The plan has nothing of the first lot: what that earns could be anything by the plan alone."""
    said = Statement.of(OLD, OLD, np.array([0.0, 1.0, 2.0]), 9.5)
    dearer = replace(OLD, objective=[3.0, *OLD.objective[1:]])
    assert dearer.value(said.plan.tolist()) == said.worth
    assert said.sound and not replace(said, linear=dearer).sound
    assert not replace(said, bound=9.2).sound and not replace(said, costs=(1.0, -1.0, 5.0)).sound
    assert not replace(said, plan=np.array([1.0, 1.0, 2.0])).sound, "a plan of another worth"


def test_a_price_of_minus_one_is_no_price_of_minus_two() -> None:
    """Python's own hash takes them for the same (its documentation: -1 is kept for errors); the seal does not."""
    said = Statement.of(OLD, OLD, np.array([0.0, 1.0, 2.0]), 9.5)
    assert hash((2.0, -1.0, 5.0)) == hash((2.0, -2.0, 5.0))
    assert not replace(said, costs=(2.0, -2.0, 5.0)).sound


def test_a_column_of_today_that_nothing_was_proved_of_ends_it() -> None:
    said = Statement.of(OLD, programme(there=False), np.array([0.0, 1.0, 2.0]), 9.5)
    assert said.row(OLD, OLD) is None


# --- drawn programmes ------------------------------------------------------------------------------------

LATTICE = np.array(np.meshgrid(*[np.arange(-1.0, 2.5, 0.5)] * 3)).reshape(3, -1).T  # 343 points of columns a, b, c
Change = Callable[[random.Random, Linear], None]


def drawn(rng: random.Random) -> Linear:
    """Three columns and two rows of small numbers, some without a side."""
    it = Linear(constant=rng.choice([-7.0, 3.0]))
    for name in "abc":
        upper, lower = rng.choice([-0.5, 0.0, 1.0, 2.0, 2.0]), rng.choice([-1.0, -0.5, 0.0])
        it.column(name, float(rng.randint(-3, 3)), upper, rng.random() < 0.5, min(lower, upper))
    for _ in range(2):
        terms = [(c, float(rng.choice([-1, 0, 1, 2]))) for c in range(3)]
        it.row("r", "", terms, rng.choice([-math.inf, -1.0, 0.0]), rng.choice([math.inf, 0.5, 1.0, 2.0]))
    return it


def points(it: Linear) -> set[tuple[float, ...]]:
    """The points of the lattice that a programme allows, as a, b and c; a column that it lacks is 0."""
    x = LATTICE[:, ["abc".index(name) for name in it.names]]
    ok = (np.delete(LATTICE, ["abc".index(name) for name in it.names], axis=1) == 0.0).all(axis=1)
    ok &= ((x >= it.lower) & (x <= it.upper) & ((x == np.round(x)) | ~np.array(it.integer))).all(axis=1)
    for terms, low, high in zip(it.rows, it.row_lower, it.row_upper, strict=True):
        sums = sum((v * x[:, c] for c, v in terms), np.zeros(len(x)))
        ok &= (low <= sums) & (sums <= high)
    return set(map(tuple, LATTICE[ok].tolist()))


def in_order(it: Linear, order: list[int]) -> None:
    """Its columns in another order; those that are not in it are taken out."""
    for of in ("names", "objective", "lower", "upper", "integer"):
        setattr(it, of, [getattr(it, of)[c] for c in order])
    it.rows = [[(order.index(c), v) for c, v in terms if c in order] for terms in it.rows]


def side(rng: random.Random, it: Linear) -> None:
    of = rng.choice(["lower", "upper", "row_lower", "row_upper"])
    sides = getattr(it, of)
    sides[rng.randrange(len(sides))] += rng.choice([-0.5, 0.5])


def whole(rng: random.Random, it: Linear) -> None:
    c = rng.randrange(len(it.integer))
    it.integer[c] = not it.integer[c]


def another(rng: random.Random, it: Linear) -> None:
    it.row("r", "", [(0, 1.0)], upper=rng.choice([0.0, 1.0]))


CHANGES: dict[str, Change] = {
    "a side": side,
    "whole or not": whole,
    "a row less": lambda rng, it: it.drop_rows([rng.randrange(len(it.rows))]),
    "a row more": another,
    "sides of other rows": lambda _, it: it.rows.reverse(),
    "other names": lambda rng, it: rng.shuffle(it.names),
    "another order": lambda rng, it: in_order(it, rng.sample(range(len(it.names)), len(it.names))),
    "a column less": lambda rng, it: in_order(it, sorted(rng.sample(range(len(it.names)), len(it.names) - 1))),
    "other prices": lambda rng, it: rng.shuffle(it.objective),
}


@pytest.mark.parametrize("change", CHANGES)
def test_whatever_is_changed_no_point_is_lost_and_the_row_holds_at_all_of_them(change: str) -> None:
    """What is taken for no more allows no point that the old programme did not.

    What was proved by the best of its points is kept by all of today's, and reached by that one if it is still there.
    """
    seen: Counter[str] = Counter()
    for seed in range(150):
        rng = random.Random(f"{change} {seed}")
        old = drawn(rng)
        new = copy.deepcopy(old)
        CHANGES[change](rng, new)
        had, has = points(old), points(new)
        more = bool(has - had)
        no_more = allows_no_more(new, old)
        assert not (no_more and more)
        seen["no more" if no_more else "more" if more else "not sure"] += 1
        if had:
            best = max(had, key=old.value)
            row = Statement.of(old, old, np.array(best), old.value(best)).row(new, new)
            assert (row is not None) == no_more
            sums = {p: sum(v * p["abc".index(new.names[c])] for c, v in row[0]) for p in has} if row else {}
            assert row is None or all(one <= row[1] for one in sums.values())
            assert row is None or best not in sums or sums[best] == row[1]
    assert seen["no more"] >= 10 or change == "other names", seen
