"""Solving for fixed tours, step by step: what each step fixes, by hand; and the tree and search that ask for it.

Small programmes whose best point is worked out beside them. The rules are ours (docs/model.md).
"""

from __future__ import annotations

import math
import random
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from partway.errors import SolverFailed
from partway.planning.model.columns import Columns
from partway.planning.model.fit_cuts import BROKEN
from partway.planning.model.highs import SolverAnswer
from partway.planning.model.linear import Linear
from partway.planning.model.milp import MAIL
from partway.planning.search import stages, tour_search
from partway.planning.search.branching import Losses
from partway.planning.search.stages import (
    FEW,
    FixedTours,
    _by_mass,
    _in_pieces,
    _ties,
    fix_tours,
    is_count,
    polish,
)
from partway.planning.search.tour_search import ENOUGH, Candidate, TourSearch
from partway.planning.search.tree import WORTH_A_ROW, Branch, Tree


def linear(objective: list[float], upper: list[float], whole: str = "") -> Linear:
    """A programme of columns from 0 up, without rows; `whole` marks those that are whole by a w."""
    it = Linear()
    for c, (price, most) in enumerate(zip(objective, upper, strict=True)):
        it.column(f"c{c}", price, most, integer=whole[c : c + 1] == "w")
    return it


def model(of: Linear, instance: dict[str, Any] | None = None, **columns: Any) -> Any:
    """A programme with these columns and an instance of these facts."""
    facts: dict[str, Any] = {"lots": [], "grade_sales": [], "nodes": [], "kept_price": [], **(instance or {})}
    return SimpleNamespace(linear=of, columns=Columns(**columns), instance=SimpleNamespace(**facts))


def tiers(*steps: tuple[float, float]) -> Any:
    """A lot by its steps."""
    return SimpleNamespace(buyer=0, grade=0, tiers=[SimpleNamespace(low=low, high=high) for low, high in steps])


CHOICES = {0: (1.0, 1.0)}
LONG = 600.0  # seconds, many times what any of these takes


# --- what is fixed -----------------------------------------------------------------------------------


def test_counts_are_of_pieces() -> None:
    it = model(
        linear([0.0] * 12, [1.0] * 12),
        opened={0: 0}, sold={0: 1}, parts={0: 2}, kept={0: 3}, blocks={(0, 0, 0): 4}, loose_pieces={(0, 0): 5},
        patterns={0: 6}, lots={(0, 0, 0): 7}, lot_taken={(0, 0, 0): 8}, visits={(0, 0): 9}, parcels={(0, 0): 10},
        tours={(0, 0): 11},
    )  # fmt: skip
    assert is_count(it) == [True] * 7 + [False] * 5


@pytest.mark.parametrize(
    ("masses", "yes"),
    [
        ((5.0, 0.0), (1.0, 0.0)),
        ((0.0, 10.0), (0.0, 1.0)),
        ((4.0, 8.0), (0.0, 1.0)),  # 12 in all
        ((0.0, 0.0), (0.0, 0.0)),
        ((9.5, 0.0), (0.0, 0.0)),  # between the two
        ((9.0, 0.0), (1.0, 0.0)),
        ((2.0, 18.0), (0.0, 1.0)),
        ((2.0, 18.5), (0.0, 0.0)),
    ],
)
def test_a_lot_is_put_into_the_tier_that_its_mass_falls_into(
    masses: tuple[float, float], yes: tuple[float, float]
) -> None:
    """Up to 9 kg, and from 10 to 20."""
    it = model(
        linear([0.0] * 4, [1.0] * 4),
        {"lots": [tiers((0.0, 9.0), (10.0, 20.0))]},
        lots={(0, 0, 0): 0, (0, 1, 0): 1},
        lot_taken={(0, 0, 0): 2, (0, 1, 0): 3},
    )
    assert _by_mass(it, np.array([*masses, 0.0, 0.0])) == {2: (yes[0], yes[0]), 3: (yes[1], yes[1])}


def test_of_two_tiers_that_meet_the_first_is_taken_and_each_trip_has_its_own() -> None:
    it = model(
        linear([0.0] * 8, [1.0] * 8),
        {"lots": [tiers((0.0, 9.0), (9.0, 20.0))]},
        lots={(0, 0, 0): 0, (0, 1, 0): 1, (0, 0, 1): 2, (0, 1, 1): 3},
        lot_taken={(0, 0, 0): 4, (0, 1, 0): 5, (0, 0, 1): 6, (0, 1, 1): 7},
    )
    fixed = _by_mass(it, np.array([9.0, 0.0, 4.0, 8.0, 0.0, 0.0, 0.0, 0.0]))
    assert {c: low for c, (low, _) in fixed.items()} == {4: 1.0, 5: 0.0, 6: 0.0, 7: 1.0}


def test_parcels_mailings_and_tickets_are_rounded_up_and_other_visits_left_alone() -> None:
    it = model(
        linear([0.0] * 6, [9.0] * 6),
        parcels={(0, 0): 0, (0, 1): 1}, visits={(0, MAIL): 2, (1, 0): 3, (2, 1): 4}, tickets={(0, 0): 5},
    )  # fmt: skip
    fixed = _by_mass(it, np.array([1.2, 2.0000001, 0.3, 0.3, 0.3, 0.1]))
    assert fixed == {0: (2.0, 2.0), 1: (2.0, 2.0), 2: (1.0, 1.0), 5: (1.0, 1.0)}


def test_fixed_tours_are_driven_in_turn_those_of_the_first_trip_alone_first() -> None:
    """Tour 1 goes where somebody is open for a part of the time, so only the first trip may drive it."""
    hours = SimpleNamespace(hours=SimpleNamespace(trips=3))
    tours = [SimpleNamespace(stops=(1,)), SimpleNamespace(stops=(2, 1)), SimpleNamespace(stops=(2,))]
    keys = [(0, 0), (0, 1), (0, 2), (1, 0), (2, 0), (2, 1), (2, 2)]
    it = model(
        linear([0.0] * 13, [1.0] * 13),
        {"scenario": hours, "tours": tours, "buyer_at": {1: 10, 2: 20}},
        tours={key: c for c, key in enumerate(keys)},
        visits={(10, 0): 7, (20, 0): 8, (10, 1): 9, (20, 1): 10, (10, 2): 11, (10, MAIL): 12},
    )
    fixed = fix_tours(it, {0: 1, 1: 1})
    assert all(low == high for low, high in fixed.values())
    assert {c for c, (low, _) in fixed.items() if low} == {keys.index((1, 0)), keys.index((0, 1)), 7, 8, 9}
    assert set(fixed) == set(range(12)), "what is posted is not driven"
    twice = fix_tours(it, {2: 2})
    assert {c for c, (low, _) in twice.items() if low} == {keys.index((2, 0)), keys.index((2, 1)), 8, 10}


# --- the four steps ----------------------------------------------------------------------------------


def fixed_tours(of: Any, worth: SolverAnswer | None = None, tours: Any = None) -> tuple[Any, list[tuple[Any, ...]]]:
    """Steps that note what is solved instead of solving it."""
    it: Any = FixedTours(of, {} if tours is None else tours)
    if worth is not None:
        it.worth = worth
    asked: list[tuple[Any, ...]] = []

    def run(
        fixed: Any,
        seconds: float,
        gap: float = 0.0,
        cutoff: float = -math.inf,
        whole: Any = None,
        enough: float = math.inf,
    ) -> SolverAnswer:
        asked.append((fixed, seconds, gap, cutoff, whole))
        return SolverAnswer("optimal", np.array([9.0]), 50.0, 60.0)

    it._run = run
    return it, asked


def answered(x: list[float] | None, bound: float = 80.0) -> SolverAnswer:
    """What a step before this one said."""
    return SolverAnswer("optimal", None if x is None else np.array(x), 70.0, bound)


def test_step_one_lets_counts_be_fractions_and_nothing_else() -> None:
    it, asked = fixed_tours(
        model(linear([0.0] * 4, [9.0] * 4, "wwf"), opened={0: 0}, visits={(0, 0): 1}, lots={(0, 0, 0): 2})
    )
    assert it.bound(3.0, 0.1, 7.0).bound == it.worth.bound == 60.0
    assert asked == [({}, 3.0, 0.1, 7.0, [False, True, False, False])]


def test_the_faster_step_one_settles_each_yes_or_no_by_mass_and_keeps_the_bound(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Half a yes at 3 and two at 1 are worth 3.5. Without the yes they are worth 2; with a whole one nothing fits."""
    it = linear([3.0, 1.0], [1.0, 2.0], "ww")
    it.row("half", "", [(0, 1.0)], upper=0.5)
    fixed = FixedTours(model(it), {1: (2.0, 2.0)})
    monkeypatch.setattr(stages, "_by_mass", lambda *_: {0: (0.0, 0.0), 1: (1.0, 1.0)})
    found = fixed.guess(LONG)
    assert found.x is not None and found.x.tolist() == [0.0, 2.0]
    assert (found.objective, found.bound, fixed.worth) == (2.0, 3.5, found)
    monkeypatch.setattr(stages, "_by_mass", lambda *_: {0: (1.0, 1.0)})
    relaxed = fixed.guess(LONG)
    assert relaxed.x is not None and relaxed.x.tolist() == [0.5, 2.0], "where nothing fits the relaxation's is taken"
    assert relaxed.bound == 3.5
    assert FixedTours(model(it), {0: (1.0, 1.0)}).guess(LONG).x is None


def test_a_guess_without_time_for_a_second_answer_is_the_relaxation(monkeypatch: pytest.MonkeyPatch) -> None:
    now = iter([0.0, 9.0])
    monkeypatch.setattr(stages, "time", SimpleNamespace(monotonic=lambda: next(now)))
    monkeypatch.setattr(stages, "_by_mass", lambda *_: {0: (0.0, 0.0)})
    found = FixedTours(model(linear([3.0], [1.0], "w")), {}).guess(5.0)
    assert found.x is not None and found.x.tolist() == [1.0]


def test_choices_that_are_known_leave_the_bound_open() -> None:
    it, asked = fixed_tours(
        model(linear([0.0] * 3, [9.0] * 3, "www"), opened={0: 0}, visits={(0, 0): 1}), tours={1: (5.0, 5.0)}
    )
    found = it.chosen({1: (4.0, 4.0), 2: (3.0, 3.0)}, 2.0)
    assert (found.objective, found.bound, it.worth) == (50.0, math.inf, found)
    ((fixed, seconds, _, _, whole),) = asked
    assert fixed == {1: (5.0, 5.0), 2: (3.0, 3.0)} and seconds == 2.0 and whole == [False, True, True]


def test_step_two_rounds_counts_up_or_down_and_step_three_leaves_them() -> None:
    """2.4 lies between 2 and 3; what is off by a rounding error is whole."""
    it, asked = fixed_tours(
        model(linear([0.0] * 6, [9.0] * 6, "wwwwf"), opened={0: 0, 1: 1, 2: 2}, visits={(0, 0): 3}),
        answered([2.4, 3.0000001, 2.9999999, 0.9999, 0.5, 0.5]),
        {0: (1.0, 1.0)},
    )
    assert it.nearest(3.0, 0.1, 7.0).bound == 80.0
    assert it.plan(3.0, 0.1, 7.0).bound == 80.0
    (two, *limits), (three, *_) = asked
    assert two == {0: (1.0, 1.0), 1: (3.0, 3.0), 2: (3.0, 3.0), 3: (1.0, 1.0)}
    assert three == {0: (1.0, 1.0), 3: (1.0, 1.0)}
    assert limits == [3.0, 0.1, 7.0, None]
    it.tours = {}
    it.nearest(3.0, 0.1, 7.0)
    assert asked[-1][0][0] == (2.0, 3.0)


def test_without_a_point_there_is_nothing_to_round() -> None:
    it, asked = fixed_tours(model(linear([0.0], [9.0], "w")), answered(None, 75.0))
    assert it.nearest(3.0, 0.1, 7.0) is it.worth and asked == []


@pytest.mark.parametrize(("whole", "by_core"), [(FEW, False), (FEW + 1, True)])
def test_many_counts_are_solved_in_two_steps_and_the_bound_is_the_lower(whole: int, by_core: bool) -> None:
    for known, bound in ((55.0, 55.0), (70.0, 60.0)):
        it, asked = fixed_tours(model(linear([0.0] * whole, [9.0] * whole, "w" * whole)), answered([0.0], known))
        done: list[Any] = []
        it._by_prices = lambda *limits: done.append(limits)  # noqa: B023
        assert it.best(3.0, 0.1, 7.0).bound == bound
        assert done == [(3.0, 0.1, 7.0, {}, math.inf)] * by_core
        assert asked == [({}, 3.0, 0.1, 7.0, None)], "also where the relaxation has no prices to go by"
        it._by_prices = lambda *_: SolverAnswer("optimal", np.array([1.0]), 51.0, 52.0)
        assert it.best(3.0, 0.1, 7.0).bound == (52.0 if by_core else bound)


def test_where_nothing_can_be_rounded_a_yes_may_become_a_no_for_a_first_plan() -> None:
    """Two pieces make 2.5 kg; the lot asks for 2.6 of the 1.04 that may be opened, so both yes and lot are given up."""
    it = linear([1.0, -0.1], [9.0, 1.0], "ww")
    it.row("low", "", [(0, 2.5), (1, -2.6)], lower=0.0)
    it.row("room", "", [(0, 2.5)], upper=2.6)
    of = model(it, opened={0: 0}, parcels={(0, 0): 1})
    fixed = FixedTours(of, {})
    fixed.worth = answered([1.04, 1.0])
    near = fixed.nearest(LONG, 0.0, -math.inf)
    assert near.x is not None and near.x.tolist() == [1.0, 0.0] and near.bound == 80.0
    assert fixed.nearest(LONG, 0.0, 0.5).x is None, "with a plan known that is not worth a second programme"


def test_a_search_ends_where_a_plan_is_worth_enough() -> None:
    """Of a knapsack of sixty; the plan found is worth as much and the bound is no lower than the best."""
    rng = random.Random(1)
    it = linear([rng.randint(10, 60) + 0.1 * c for c in range(60)], [1.0] * 60, "w" * 60)
    for _ in range(3):
        weights = [float(rng.randint(5, 100)) for _ in range(60)]
        it.row("room", "", list(enumerate(weights)), upper=sum(weights) / 3)
    best = FixedTours(model(it), {})._run({}, LONG)
    early = FixedTours(model(it), {})._run({}, LONG, enough=0.9 * best.objective)
    assert early.status == "limit" and 0.9 * best.objective <= early.objective < best.objective <= early.bound
    assert FixedTours(model(it), {})._run({}, LONG, enough=2.0 * best.objective).objective == best.objective


# --- tidying up --------------------------------------------------------------------------------------


def tidy(room: float, whole: float = 0.0, blocks: dict[tuple[int, int, int], int] | None = None) -> Any:
    """Ten kilograms of what is worth nothing: in one lot as far as there is room, none in another, the rest kept."""
    it = linear([0.0, 0.0, 0.0, 0.0], [room, 10.0, 9.0, 0.0])
    it.row("grades", "", [(0, 1.0), (1, 1.0), (3, 1.0)], 10.0, 10.0)
    facts = {
        "lots": [SimpleNamespace(grade=0, tiers=[SimpleNamespace(price=0.0, quote=SimpleNamespace(counted=False))])]
        * 2,
        "kept_price": [0.0],
        "grade_sales": [SimpleNamespace(node=0, kg=whole)],
        "nodes": [SimpleNamespace(kept_value=5.0)],
        "flows": lambda sale: [(0, sale.kg)],
    }
    return model(it, facts, lots={(0, 0, 0): 0, (1, 0, 0): 3}, kept_kg={0: 1}, blocks=blocks or {})


@pytest.mark.parametrize(("room", "sold"), [(10.0, 10.0), (12.0, 10.0), (4.0, 0.0)])
def test_what_is_worth_nothing_is_handed_over_whole_or_not_at_all(room: float, sold: float) -> None:
    """Also so that no part of an appliance is cut off where the vehicle is full."""
    x = polish(tidy(room), np.array([2.0, 8.0, 0.0, 0.0]), 5.0)
    assert x.tolist() == pytest.approx([sold, 10.0 - sold, 0.0, 0.0])


def test_so_is_what_has_one_lot_alone() -> None:
    """Four of ten kilograms fit: none goes. That takes a second look, however few lots there are."""
    it = tidy(4.0)
    del it.columns.lots[1, 0, 0]
    assert polish(it, np.array([2.0, 8.0, 0.0, 0.0]), 5.0).tolist() == pytest.approx([0.0, 10.0, 0.0, 0.0])


def test_what_is_loaded_whole_stays_loaded() -> None:
    """One piece of three kilograms in a lot of four at most."""
    it = tidy(4.0, 3.0, {(0, 0, 0): 2})
    it.linear.row("whole_in_lot", "", [(0, 1.0), (2, -3.0)], lower=0.0)
    it.linear.lower[2] = 1.0
    it.linear.upper[2] = 1.0
    assert polish(it, np.array([3.5, 6.5, 1.0, 0.0]), 5.0).tolist() == pytest.approx([3.0, 7.0, 1.0, 0.0])


def test_ties_are_lots_that_pay_what_keeping_is_worth() -> None:
    lots = [SimpleNamespace(grade=g, tiers=[SimpleNamespace(price=p) for p in prices]) for g, prices in
            ((1, (2.0, 3.0)), (0, (2.0,)))]  # fmt: skip
    it = model(
        linear([0.0] * 3, [1.0] * 3),
        {"lots": lots, "kept_price": [1.0, 2.0]},
        lots={(0, 0, 0): 0, (0, 1, 0): 1, (1, 0, 0): 2},
    )
    assert _ties(it) == {0: 1}
    it.instance.kept_price = [2.0 + 5e-10, 3.0 - 5e-9]
    assert _ties(it) == {2: 0}


def test_kilograms_loaded_whole_are_those_of_the_pieces_in_a_lot_on_a_trip() -> None:
    """Two of 1.5 and one of 4 kg on the first trip, one of 4 on the second; the tier that is not taken has none."""
    it = model(
        linear([0.0] * 8, [9.0] * 8),
        {"grade_sales": [SimpleNamespace(kg=1.5), SimpleNamespace(kg=4.0)]},
        blocks={(0, 0, 0): 0, (1, 0, 0): 1, (1, 0, 1): 2, (0, 1, 0): 3},
        lots={(0, 0, 0): 4, (0, 1, 0): 5, (0, 0, 1): 6, (1, 0, 0): 7},
    )
    assert _in_pieces(it, np.array([1.9999, 1.0, 1.0, 0.0, 8.0, 0.0, 5.0, 3.0])) == {4: 7.0, 6: 4.0}


def ties_along(room: float, tie: float = 6.0) -> Any:
    """Two stoves of 3 kg, kept for 6 each or sold for as much: the lot takes some, the others stay."""
    it = linear([0.0, 6.0, 2.0], [2.0, 2.0, room], "wff")
    it.row("pieces", "", [(0, 1.0), (1, 1.0)], 2.0, 2.0)
    it.row("whole_in_lot", "", [(2, 1.0), (0, -3.0)], 0.0, 0.0)
    quote = SimpleNamespace(counted=False)
    facts = {
        "lots": [SimpleNamespace(grade=0, tiers=[SimpleNamespace(price=2.0, quote=quote)])],
        "grade_sales": [SimpleNamespace(node=0, kg=3.0)],
        "nodes": [SimpleNamespace(kept_value=tie)],
        "kept_price": [0.0],
        "flows": lambda sale: [(0, sale.kg)],
    }
    return model(it, facts, blocks={(0, 0, 0): 0}, lots={(0, 0, 0): 2})


@pytest.mark.parametrize(("room", "loaded"), [(2.9, 0.0), (3.0, 1.0), (5.9, 1.0), (6.0, 2.0)])
def test_whole_pieces_worth_the_same_sold_or_kept_are_taken_along_as_far_as_there_is_room(
    room: float, loaded: float
) -> None:
    x = polish(ties_along(room), np.array([0.0, 2.0, 0.0]), 5.0)
    assert x.tolist() == pytest.approx([loaded, 2.0 - loaded, 3.0 * loaded])


def test_what_is_no_tie_stays_where_it_was_decided() -> None:
    x = polish(ties_along(6.0, 7.0), np.array([1.0001, 0.9999, 3.0]), 5.0)
    assert x.tolist() == pytest.approx([1.0, 1.0, 3.0])


def test_a_rounded_plan_that_is_not_feasible_is_refused() -> None:
    with pytest.raises(SolverFailed, match="rounded plan"):
        polish(ties_along(2.0, 7.0), np.array([0.9, 1.1, 2.0]), 5.0)
    it = ties_along(6.0, 7.0)
    assert polish(it, np.array([1.0, 1.0, 3.0]), 5.0, {1: (1.0, 1.0)}).tolist() == pytest.approx([1.0, 1.0, 3.0])
    with pytest.raises(SolverFailed):
        polish(it, np.array([1.0, 1.0, 3.0]), 5.0, {1: (2.0, 2.0)})


# --- which tours -------------------------------------------------------------------------------------


class Steps:
    """Fixed tours that answer each step as told, and note what they were asked."""

    def __init__(self, **answers: tuple[float | None, float]) -> None:
        self.answers, self.asked = answers, list[tuple[str, float, float]]()
        self.choices, self.enough = list[object](), list[float]()
        self.tours: dict[int, tuple[float, float]] = {}
        self.worth = SolverAnswer("limit", None, -math.inf, math.inf)

    def __getattr__(self, name: str) -> Any:
        def step(
            seconds: float, gap: float = 0.0, target: float = 0.0, choices: object = None, enough: float = math.inf
        ) -> SolverAnswer:
            self.asked.append((name, gap, target))
            self.enough.append(enough)
            self.choices.append(choices)
            objective, bound = self.answers.get(name, (None, math.inf))
            x = None if objective is None else np.array([objective])
            return SolverAnswer("optimal", x, -math.inf if objective is None else objective, bound)

        return step


def searching(monkeypatch: pytest.MonkeyPatch, steps: Steps | None = None, **has: Any) -> tuple[Any, list[Any]]:
    """A search whose tree has one set of tours, and what was excluded from it."""
    without: list[Any] = []
    pooled = SimpleNamespace(chosen=lambda _: {0: 1, 1: 2})
    tree = SimpleNamespace(
        pooled=pooled,
        without=lambda node, tours: without.append(tours),
        beaten=lambda *_: False,
        begin_again=lambda: without.append("again"),
        bound=-math.inf,
    )
    monkeypatch.setattr(tour_search, "FixedTours", lambda *_: steps)
    monkeypatch.setattr(tour_search, "fix_tours", lambda *_: {})
    monkeypatch.setattr(tour_search, "same_choices", lambda *_: CHOICES)
    it = object.__new__(TourSearch)
    facts: dict[str, Any] = {
        "tree": tree,
        "model": None,
        "gap": 0.01,
        "found": [],
        "candidates": [],
        "seen": set(),
        "waiting": {},
        "first": None,
    }
    vars(it).update({**facts, "done": -math.inf, "large": False, **has})
    return it, without


def branch(bound: float) -> Branch:
    """A part of the tree."""
    return Branch(-bound, 0, {}, np.array([]))


@pytest.mark.parametrize(
    ("objective", "target"), [(100.0, 100.9), (-100.0, -99.1), (0.5, 0.509), (-math.inf, -math.inf)]
)
def test_what_is_looked_for_is_better_by_nine_tenths_of_the_gap(
    objective: float, target: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert searching(monkeypatch)[0]._target(objective) == pytest.approx(target)


def test_what_is_open_is_the_best_of_the_tree_of_sets_found_and_of_sets_bounded(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    it, _ = searching(monkeypatch)
    assert it.open == -math.inf
    it.tree.bound = 3.0
    assert it.open == 3.0
    it.found = [branch(4.0)]
    assert it.open == 4.0
    it.candidates = [Candidate(-5.0, 0, None)]
    assert it.open == 5.0


def test_the_most_promising_is_taken_next(monkeypatch: pytest.MonkeyPatch) -> None:
    it, _ = searching(monkeypatch)
    done: list[str] = []
    it.tree.dive = lambda target, until: done.append(f"dive {target:g}")
    it._driven = lambda *_: done.append("driven")
    it._plan = lambda *_: done.append("plan")

    def step(tree: float, found: float | None, candidate: float | None, **has: Any) -> str:
        vars(it).update(has)
        it.tree.bound = tree
        it.found = [] if found is None else [branch(found)]
        it.candidates = [] if candidate is None else [Candidate(-candidate, 0, None)]
        it.step(10.0, 1.0)
        return done[-1]

    assert step(20.0, None, None) == "dive 10.09"
    assert step(20.0, 15.0, None) == "dive 15"
    assert step(20.0, 15.0, 16.0) == "dive 16"
    assert step(20.0, 20.0, None) == "driven"
    assert step(20.0, 20.0, 20.0) == "plan"
    assert step(20.0, 21.0, 20.0) == "driven"
    it.step = lambda *_: TourSearch.step(it, -math.inf, 1.0)
    assert step(20.0, 15.0, None, large=True) == "driven", "a first plan is shown as soon as there is any"
    assert step(20.0, 15.0, None, large=False) == "dive 15"


def test_a_dive_that_finds_tours_leaves_them_among_those_found(monkeypatch: pytest.MonkeyPatch) -> None:
    it, _ = searching(monkeypatch)
    monkeypatch.setattr(tour_search, "time", SimpleNamespace(monotonic=lambda: 100.0))
    until: list[float] = []
    it.tree.bound = 20.0

    def dive(_: float, end: float) -> Branch:
        until.append(end)
        return branch(12.0)

    it.tree.dive = dive
    assert it.step(10.0, 3.0) is None
    assert until == [103.0] and [one.bound for one in it.found] == [12.0]


def test_a_set_of_tours_is_planned_once(monkeypatch: pytest.MonkeyPatch) -> None:
    steps = Steps(best=(12.0, 13.0))
    it, without = searching(monkeypatch, steps)
    assert it._driven(branch(20.0), 10.0, 1.0).tolist() == [12.0]
    assert it.seen == {((0, 1), (1, 2))} and without == [{0: 1, 1: 2}]
    assert it.done == 13.0
    ((name, *limits),) = steps.asked
    assert name == "best" and limits == pytest.approx([0.009, 10.0])
    assert it._driven(branch(20.0), 10.0, 1.0) is None
    assert len(without) == 2 and len(steps.asked) == 1


def test_only_the_first_set_of_tours_gets_what_a_good_plan_may_choose(monkeypatch: pytest.MonkeyPatch) -> None:
    """A plan that is known may be one of other prices until a set was planned; without a plan every set gets them."""
    steps = Steps(best=(12.0, 13.0))
    it, _ = searching(monkeypatch, steps)
    for first, objective in ((1, 10.0), (2, 10.0), (3, -math.inf)):
        it.tree.pooled.chosen = lambda _, first=first: {0: first}
        it._driven(branch(20.0), objective, 1.0)
    assert steps.choices == [CHOICES, {}, CHOICES]


@pytest.mark.parametrize(("objective", "better"), [(12.0, False), (11.9, True)])
def test_the_best_of_a_set_is_told_where_it_is_better(
    objective: float, better: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    it, _ = searching(monkeypatch, Steps(best=(12.0, 13.0)), done=15.0)
    assert (it._driven(branch(20.0), objective, 1.0) is not None) == better
    assert it.done == 15.0


def test_in_a_large_programme_a_set_waits_with_its_node_until_nothing_open_is_worth_more(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    steps = Steps()
    it, without = searching(monkeypatch, steps, large=True)
    assert it._driven(branch(20.0), 10.0, 1.0) is None
    assert [one.bound for one in it.candidates] == [20.0] and len(without) == 1 and steps.asked == []


def test_a_set_that_waits_is_worth_what_the_best_of_its_nodes_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """A worse node changes nothing, and so does any once the set was planned: all of its plans were looked at then."""
    it, without = searching(monkeypatch, Steps(nearest=(19.9, 20.5)), large=True)
    it.tree.pooled.chosen = lambda _: {0: 1}
    it._driven(branch(20.0), 10.0, 1.0)
    it.tree.pooled.chosen = lambda _: {1: 1}
    it._driven(branch(20.2), 10.0, 1.0)
    for bound, top in ((19.0, 20.2), (20.5, 20.5)):
        it.tree.pooled.chosen = lambda _: {0: 1}
        it._driven(branch(bound), 10.0, 1.0)
        assert it.open == top
    assert it.candidates[0].node.bound == 20.5 and len(without) == 4
    it._plan(it.candidates.pop(0), 10.0, 1.0)
    it._driven(branch(30.0), 10.0, 1.0)
    assert [one.bound for one in it.candidates] == [20.2]


def planned(it: Any, bound: float = 20.0) -> Any:
    """Plan the set of tours of one node."""
    node = branch(bound)
    return it._plan(Candidate(-bound, 1, None, node), 10.0, 1.0)


@pytest.mark.parametrize(("bound", "kept"), [(11.0, True), (10.09, False), (9.0, False)])
def test_a_set_with_a_buyer_for_both_trips_is_bounded_first(
    bound: float, kept: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    steps = Steps(bound=(9.5, bound))
    it, _ = searching(monkeypatch, steps, large=True)
    assert planned(it) is None
    assert [(one.bound, one.fixed) for one in it.candidates] == [(bound, steps)] * kept
    assert it.done == (-math.inf if kept else bound)
    (_, (name, *limits)) = steps.asked
    assert name == "bound" and limits == pytest.approx([0.002, 10.09])


@pytest.mark.parametrize(
    ("worth", "asked"),
    [(19.99, ["chosen", "nearest", "plan", "best"]), (19.97, ["chosen", "bound"])],
)
def test_a_set_worth_what_its_node_is_needs_no_bound_of_its_own(
    worth: float, asked: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Within a tenth of the gap; the bound is then that of the node, and nothing better than near it is looked for."""
    steps = Steps(chosen=(worth, math.inf), bound=(15.0, 16.0))
    it, _ = searching(monkeypatch, steps, large=True)
    step = steps.chosen

    def chosen(*given: Any) -> None:
        steps.worth = step(*given)

    vars(steps).update(chosen=chosen)
    assert planned(it) is None
    assert [name for name, *_ in steps.asked] == asked
    if asked == ["chosen", "bound"]:
        assert [one.bound for one in it.candidates] == [16.0]
    else:
        assert steps.worth.bound == 20.0 and it.done == 20.0
        assert steps.enough[1:] == pytest.approx([20.0 - ENOUGH * 0.2] * 3)


def test_the_first_plan_of_a_large_programme_is_the_nearest_and_the_tree_begins_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    steps = Steps(nearest=(8.0, 9.0))
    it, without = searching(monkeypatch, steps, large=True)
    node, it.found = branch(20.0), [branch(15.0)]
    assert it._driven(node, -math.inf, 1.0).tolist() == [8.0]
    assert without == ["again"] and not it.found and not it.seen
    assert [name for name, *_ in steps.asked] == ["chosen", "nearest"]
    steps.answers["nearest"] = (None, 9.0)
    assert it._driven(node, -math.inf, 1.0) is None
    assert len(without) == 2 and it.seen and [one.bound for one in it.candidates] == [20.0]


def test_the_programme_of_the_first_plan_serves_again_where_its_choices_are_as_good(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    for worth, made in ((19.99, 1), (19.97, 2)):
        steps = Steps(nearest=(8.0, 9.0))
        it, _ = searching(monkeypatch, steps, large=True)
        it._driven(branch(20.0), -math.inf, 1.0)
        steps.worth = SolverAnswer("optimal", np.array([1.0]), worth, math.inf)
        planned(it)
        assert [name for name, *_ in steps.asked].count("chosen") == made


def test_with_a_plan_near_what_a_set_may_be_worth_only_better_ones_are_looked_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """2.5 gaps below its bound of 14 or nearer."""
    for known, asked in ((13.66, ["nearest", "best"]), (13.64, ["nearest", "plan", "best"])):
        steps = Steps()
        it, _ = searching(monkeypatch)
        assert it._plan(Candidate(-14.0, 0, steps), known, 1.0) is None  # type: ignore[arg-type]
        assert [name for name, *_ in steps.asked] == asked


@pytest.mark.parametrize(("bound", "asked"), [(10.096, 1), (10.0963, 0)])
def test_in_a_small_programme_relaxations_may_do_where_little_is_missing(
    bound: float, asked: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Then the set is not taken as planned: it may come up with other choices."""
    steps = Steps(best=(12.0, 13.0))
    it, without = searching(monkeypatch, steps, done=2.0)
    targets: list[float] = []

    def beaten(_node: Branch, _tours: Any, target: float) -> bool:
        targets.append(target)
        return True

    it.tree.beaten = beaten
    it._driven(branch(bound), 10.0, 1.0)
    assert targets == pytest.approx([10.09] * asked) and len(without) == 1
    assert (it.seen == set(), it.done, steps.asked == []) == (
        (True, targets[0], True) if asked else (False, 13.0, False)
    )
    it._driven(branch(bound), -math.inf, 1.0)
    assert len(targets) == asked, "without a plan there is nothing to be worse than"


@pytest.mark.parametrize(
    ("answers", "asked", "best", "done"),
    [
        ({"nearest": (11.95, 12.0)}, ["nearest"], 11.95, 12.0),  # within the gap of its bound
        ({"nearest": (11.883, 12.0)}, ["nearest"], 11.883, 12.0),  # and just within it
        ({"nearest": (11.0, 12.0), "plan": (11.8, 11.85)}, ["nearest", "plan"], 11.8, 11.85),
        (
            {"nearest": (11.0, 15.0), "plan": (10.5, 15.0), "best": (12.0, 13.0)},
            ["nearest", "plan", "best"],
            12.0,
            13.0,
        ),
        ({"nearest": (9.0, 15.0), "plan": (None, 15.0), "best": (9.5, 15.0)}, ["nearest", "plan", "best"], None, 14.0),
        ({"nearest": (None, 10.0)}, ["nearest"], None, 10.0),
    ],
)
def test_a_candidate_takes_steps_until_its_plan_is_as_good_as_its_tours_allow(
    answers: dict[str, Any], asked: list[str], best: float | None, done: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A bound of 14 is known before; a plan worth 10."""
    steps = Steps(**answers)
    it, _ = searching(monkeypatch)
    found = it._plan(Candidate(-14.0, 0, steps), 10.0, 1.0)  # type: ignore[arg-type]
    assert [name for name, *_ in steps.asked] == asked
    assert (None if found is None else found.tolist()) == (None if best is None else [best])
    assert it.done == done
    shares = {"nearest": 0.3, "plan": 0.9, "best": 0.3}
    assert all(gap == shares[name] * 0.01 for name, gap, _ in steps.asked)


# --- the tree ----------------------------------------------------------------------------------------


def test_each_other_choice_of_tours_lies_in_one_branch_and_the_excluded_one_in_none() -> None:
    """All ways in which three trips drive two tours or stay home, against the branches that leave one of them out."""
    tree: Any = object.__new__(Tree)
    tree.lower, tree.upper = np.zeros(3), np.full(3, 3.0)
    ways = [(a, b, 3 - a - b) for a in range(4) for b in range(4 - a)]
    for left_out in ways:
        times = {c: n for c, n in enumerate(left_out) if n}
        branches = [*tree._fewer({}, times)]
        for way in ways:
            inside = [all(low <= way[c] <= high for c, (low, high) in bounds.items()) for bounds in branches]
            assert sum(inside) == (way != left_out)


def test_a_branch_keeps_within_the_bounds_of_its_node() -> None:
    tree: Any = object.__new__(Tree)
    tree.lower, tree.upper = np.zeros(3), np.full(3, 3.0)
    assert [*tree._fewer({0: (2.0, 2.0), 2: (0.0, 1.0)}, {0: 2, 1: 1})] == [
        {0: (2.0, 2.0), 2: (0.0, 1.0), 1: (0.0, 0.0)}
    ]
    assert [*tree._fewer({0: (0.0, 0.0)}, {0: 2})] == [{0: (0.0, 0.0)}]


def test_trips_that_stay_home_count_as_a_tour() -> None:
    tree: Any = object.__new__(Tree)
    tree.pooled = SimpleNamespace(tours={5: 0, 6: 1}, idle=2, trips=3)
    tree.lower, tree.upper = np.zeros(3), np.full(3, 3.0)
    pushed: list[Any] = []
    tree.solve, tree.push = lambda bounds: bounds, pushed.append
    tree.without(branch(1.0), {5: 1})
    assert pushed == [{0: (0.0, 0.0)}, {0: (1.0, 3.0), 2: (0.0, 1.0)}]
    pushed.clear()
    tree.without(branch(1.0), {5: 1, 6: 2})
    assert pushed == [{0: (0.0, 0.0)}, {0: (1.0, 3.0), 1: (0.0, 1.0)}]


def diving(bounds: list[float], whole: int = 0, rows: list[int] | None = None) -> tuple[Any, list[Any]]:
    """A tree whose open nodes are worth so much and get a unit worse with each branching, whole after so many.

    `rows`: how many rows each answer breaks, in turn; none where it says no more.
    """
    tree: Any = object.__new__(Tree)
    tree.hurried = True
    tree.open = sorted(branch(bound) for bound in bounds)
    tree.pooled = SimpleNamespace(chosen=lambda _: {})
    done: list[Any] = []
    tree._split = lambda _: [0] if len(done) < whole else []
    tree.fit = SimpleNamespace(add=lambda *_: rows.pop(0) if rows else 0)

    def split(node: Branch, *_: Any) -> Branch:
        done.append(node.bound)
        return branch(node.bound - 1.0)

    tree._branch = split
    return tree, done


def test_a_dive_goes_down_from_the_best_open_node() -> None:
    tree, done = diving([20.0, 15.0], whole=3)
    assert tree.dive(10.0, math.inf).bound == 17.0
    assert done == [20.0, 19.0, 18.0] and [one.bound for one in tree.open] == [15.0]


def test_what_is_no_better_than_the_target_stays_open_and_the_next_is_tried() -> None:
    tree, done = diving([20.0, 19.5], whole=9)
    assert tree.dive(18.0, math.inf) is None
    assert done == [20.0, 19.5, 19.0, 18.5] and sorted(one.bound for one in tree.open) == [17.5, 18.0]
    empty, _ = diving([])
    assert empty.dive(-math.inf, math.inf) is None and empty.bound == -math.inf
    level, _ = diving([18.0])
    assert level.dive(18.0, math.inf) is None and level.bound == 18.0


def test_a_dive_goes_on_below_what_is_open_by_next_to_nothing_and_until_there_is_a_plan(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """It would have to come back to what is open anyway; only a first plan is worth going down for."""
    tree, done = diving([20.0, 19.0005], whole=3)
    assert tree.dive(10.0, math.inf).bound == 18.0005
    assert done == [20.0, 19.0, 19.0005]
    tree, done = diving([20.0, 19.0005], whole=3)
    monkeypatch.setattr("partway.planning.search.tree.JUMP", 1e-4)
    assert tree.dive(-math.inf, math.inf).bound == 17.0
    monkeypatch.setattr("partway.planning.search.tree.JUMP", 1.0)
    tree, done = diving([20.0, 19.0005], whole=3)
    assert tree.dive(10.0, math.inf).bound == 17.0


def test_a_dive_ends_when_time_is_up_and_leaves_its_node_open(monkeypatch: pytest.MonkeyPatch) -> None:
    now = iter([1.0, 2.0, 3.0, 4.0, 5.0])
    monkeypatch.setattr("partway.planning.search.tree.time", SimpleNamespace(monotonic=lambda: next(now)))
    tree, done = diving([20.0], whole=9)
    assert tree.dive(10.0, 2.0) is None
    assert done == [20.0, 19.0] and tree.bound == 18.0


def rounding(x: list[float], rows: int = 0) -> tuple[Any, list[Any]]:
    """A tree with three columns of yes or no and two tours, that takes what it is told; and what it was told."""
    tree: Any = object.__new__(Tree)
    tree.kinds, tree.hurried, tree.open = [np.array([0, 1, 2]), np.array([3, 4])], False, []
    told: list[Any] = []
    left = [1] * rows

    def solve(bounds: Any) -> Branch:
        told.append(dict(bounds))
        point = np.array(x)
        for c, (low, _) in bounds.items():
            point[c] = low
        return Branch(-5.0, 0, bounds, point)

    tree.solve = solve
    tree.fit = SimpleNamespace(add=lambda *_: left.pop() if left else 0)
    tree.push(solve({}))
    told.clear()
    return tree, told


def test_for_a_first_plan_all_that_is_nearly_whole_is_rounded_at_once_then_the_rest_then_tours() -> None:
    tree, told = rounding([0.9, 0.15, 0.6, 0.3, 0.7])
    found = tree.dive(-math.inf, math.inf)
    first = {0: (1.0, 1.0), 1: (0.0, 0.0)}
    second = {**first, 2: (1.0, 1.0)}
    assert told == [first, second, {**second, 4: (1.0, 1.0)}, {**second, 4: (1.0, 1.0), 3: (1.0, 1.0)}]
    assert found.x.tolist() == [1.0, 0.0, 1.0, 1.0, 1.0] and [one.bounds for one in tree.open] == [{}]
    assert tree.hurried, "once is enough"


def test_rows_of_loads_come_before_tours_are_rounded() -> None:
    tree, told = rounding([1.0, 0.0, 1.0, 0.0, 0.7], rows=1)
    assert tree.dive(-math.inf, math.inf) is not None
    assert told == [{}, {4: (1.0, 1.0)}]


def test_where_rounding_leads_nowhere_the_dive_goes_on_as_ever() -> None:
    tree, _ = diving([20.0], whole=2)
    tree.hurried, tree.kinds = False, [np.array([0]), np.array([], dtype=int)]
    tree.open = [Branch(-20.0, 0, {}, np.array([0.5]))]
    tree.solve = lambda _: None
    assert tree.dive(-math.inf, math.inf).bound == 18.0
    late, _ = diving([20.0])
    late.hurried = False
    late.kinds, late.open = tree.kinds, [Branch(-20.0, 0, {}, np.array([0.5]))]
    assert late.dive(-math.inf, -math.inf) is None and late.bound == 20.0


def test_an_answer_that_breaks_rows_is_solved_again_with_them() -> None:
    fits = [2, 1, 0]
    tree, _ = diving([20.0], rows=fits)
    tree.solve = lambda _: branch(15.0 + len(fits))
    assert tree.dive(10.0, math.inf).bound == 16.0


def test_rows_that_are_next_to_nothing_wait_until_all_is_whole() -> None:
    least: list[float] = []
    tree, _ = diving([20.0], whole=1)
    tree.fit = SimpleNamespace(add=lambda _, broken: least.append(broken))
    assert tree.dive(10.0, math.inf) is not None
    assert least == [WORTH_A_ROW, BROKEN]


def test_a_column_is_split_by_what_its_sides_lose_and_a_tour_where_all_else_is_whole() -> None:
    """Of tours the one that is driven most."""
    tree: Any = object.__new__(Tree)
    tree.kinds = [np.array(kind) for kind in ([0, 1, 2], [3, 4])]
    tree.losses = Losses()
    for up in (False, True):
        tree.losses.learn(0, up, 9.0)
        tree.losses.learn(1, up, 1.0)
        tree.losses.learn(2, up, 1.0)
    assert tree._split(np.array([0.5, 0.5, 0.6, 0.5, 0.5])) == [0, 1, 2]
    assert tree._split(np.array([0.01, 0.5, 0.6, 0.5, 0.5])) == [0, 1, 2]  # 81 x 0.0099 against 0.25
    assert tree._split(np.array([0.001, 0.5, 0.6, 0.5, 0.5])) == [1, 2, 0]
    assert tree._split(np.array([1.0, 2.0, 3.0, 0.6, 0.9])) == [4]
    assert tree._split(np.array([1.0 + 5e-7, 2.0, 3.0, 0.0, 1.0])) == []


# --- which column ------------------------------------------------------------------------------------


def test_what_a_side_loses_is_the_mean_of_what_it_lost_and_of_all_where_it_was_never_seen() -> None:
    losses = Losses()
    assert losses.of(3, up=True) == 1.0
    losses.learn(3, True, 8.0)
    losses.learn(3, True, 2.0)
    assert losses.of(3, up=True) == 5.0 and losses.of(3, up=False) == 5.0 and losses.of(4, up=True) == 5.0
    losses.learn(3, False, 2.0)
    assert losses.of(3, up=False) == 2.0 and losses.of(4, up=True) == 4.0


def tried(bounds: dict[int, list[float]], known: Losses | None = None, target: float = 0.0) -> tuple[Any, list[int]]:
    """A node worth 20 whose columns split into sides worth so much: the better side, and the columns solved."""
    tree: Any = object.__new__(Tree)
    tree.losses, tree.open, solved = known or Losses(), [], list[int]()

    def sides(_: Branch, column: int) -> list[Branch]:
        solved.append(column)
        return [branch(bound) for bound in bounds[column]]

    tree._sides = sides
    x = np.full(max(bounds) + 1, 0.5)
    return tree._branch(Branch(-20.0, 0, {}, x), list(bounds), target), solved


def test_before_there_is_any_plan_no_column_is_tried() -> None:
    assert tried({0: [19.0, 18.0], 1: [17.0, 16.0]}, target=-math.inf)[1] == [0]


def test_a_tree_that_begins_again_has_its_root_alone() -> None:
    tree: Any = object.__new__(Tree)
    tree.open = [branch(3.0), branch(2.0)]
    tree.solve = lambda bounds: branch(9.0) if not bounds else None
    tree.begin_again()
    assert [one.bound for one in tree.open] == [9.0] and tree.bound == 9.0


def test_columns_that_are_not_known_are_tried_until_some_in_turn_are_no_better() -> None:
    better, solved = tried({0: [19.0, 18.0], 1: [17.0, 16.0], 2: [19.0, 19.0], 3: [19.5, 19.0], 4: [1.0, 1.0]})
    assert better.bound == 17.0 and solved == [0, 1, 2, 3]


def test_a_column_whose_sides_lose_next_to_nothing_is_chosen_all_the_same() -> None:
    """0.3 x 0.3 is more than 0.1 x 0.2, and the sides that were solved are the branches."""
    better, solved = tried({0: [19.9, 19.8], 1: [19.7, 19.7], 2: [19.9, 19.9], 3: [20.0, 20.0]})
    assert better.bound == 19.7 and solved == [0, 1, 2, 3]
    better, solved = tried({0: [20.0, 20.0], 1: [20.0, 20.0], 2: [20.0, 20.0]})
    assert better.bound == 20.0 and solved == [0, 1, 2], "none is solved a second time"


def test_a_column_with_a_side_that_is_settled_is_taken_at_once() -> None:
    for settled in ([15.0], [18.0, 10.0]):
        better, solved = tried({0: [19.0, 18.0], 1: settled, 2: [1.0, 1.0]}, target=10.0)
        assert better.bound == settled[0] and solved == [0, 1]
    assert tried({0: []})[0] is None


def test_a_column_that_is_known_is_not_tried() -> None:
    losses = Losses()
    for up in (False, True):
        losses.learn(0, up, 30.0)
    better, solved = tried({0: [9.0, 8.0], 1: [19.0, 18.0], 2: [19.0, 18.0]}, losses)
    assert better.bound == 9.0 and solved == [1, 2, 0]
