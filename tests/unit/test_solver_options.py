"""What the solver is told and what is made of what it says, on programmes solved by hand.

The names of options and what they mean: HiGHS's own list of options (its documentation, "List of options").
"""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import highspy
import numpy as np
import pytest

from partway.errors import SolverFailed
from partway.planning.model.highs import EXACT, LEAN, Solver
from partway.planning.model.linear import INFINITY, Linear


def knapsack(constant: float = 0.0) -> Linear:
    """10 for 4 kg, 6 for 3 and 5 for 2, one of each, of 6 kg: the first and the third, 15."""
    it = Linear(constant=constant)
    for price in (10.0, 6.0, 5.0):
        it.column(f"at {price:g}", price, 1.0, integer=True)
    it.row("room", "", [(0, 4.0), (1, 3.0), (2, 2.0)], upper=6.0)
    return it


def told(solver: Solver, name: str) -> Any:
    """The value of an option."""
    return solver.highs.getOptionValue(name)[1]


def test_the_solver_is_quiet_alone_and_the_same_each_time() -> None:
    solver = Solver(knapsack())
    assert [told(solver, name) for name in ("output_flag", "threads", "random_seed")] == [False, 1, 20260314]


def test_lean_leaves_out_the_solvers_own_searches_and_exact_counts_to_a_billionth() -> None:
    solver = Solver(knapsack(), options={**LEAN, **EXACT})
    off = ("run_rins", "run_rens", "run_feasibility_jump")
    assert [told(solver, f"mip_heuristic_{name}") for name in off] == [False] * 3
    assert [told(solver, name) for name in ("mip_allow_restart", "mip_detect_symmetry")] == [False] * 2
    assert told(solver, "mip_heuristic_effort") == 0.0
    assert told(solver, "mip_feasibility_tolerance") == 1e-9


def test_a_run_has_its_seconds_its_gap_and_what_it_need_not_look_for() -> None:
    solver = Solver(knapsack())
    solver.run(5.0, 0.01, cutoff=3.0)
    assert 5.0 <= told(solver, "time_limit") < 100.0  # the clock of a solver begins when it is made
    assert (told(solver, "mip_rel_gap"), told(solver, "mip_abs_gap")) == (0.01, 1e-6)
    assert told(solver, "objective_bound") == -3.0
    solver.run()
    assert told(solver, "time_limit") == highspy.kHighsInf
    assert (told(solver, "mip_rel_gap"), told(solver, "mip_abs_gap")) == (0.0, 1e-9)
    assert told(solver, "objective_bound") == highspy.kHighsInf
    solver = Solver(knapsack(2.0))
    solver.run(cutoff=3.0)
    assert told(solver, "objective_bound") == highspy.kHighsInf, "it compares without the constant"


def test_the_clock_of_a_solver_runs_on_and_no_time_is_none() -> None:
    solver = Solver(knapsack())
    solver.highs = SimpleNamespace(  # type: ignore[assignment]
        getRunTime=lambda: 7.0,
        setOptionValue=lambda name, value: seen.update({name: value}) or highspy.HighsStatus.kOk,
        run=lambda: highspy.HighsStatus.kOk,
    )
    seen: dict[str, Any] = {}
    solver._answer = lambda: solver_answer  # type: ignore[method-assign]
    solver_answer = Solver(knapsack()).run()
    for seconds, until in ((3.0, 10.0), (-5.0, 7.0), (0.0, 7.0)):
        solver.run(seconds)
        assert seen["time_limit"] == until


def test_the_best_of_a_knapsack() -> None:
    answer = Solver(knapsack()).run()
    assert answer.x is not None and answer.x.tolist() == pytest.approx([1.0, 0.0, 1.0])
    assert answer.status == "optimal" and [answer.objective, answer.bound] == pytest.approx([15.0, 15.0])
    assert Solver(knapsack(4.0)).run().objective == pytest.approx(19.0)
    some = Solver(knapsack(), whole=[False, True, True]).run()
    assert some.objective == pytest.approx(15.0)


def test_the_relaxation_has_prices_and_no_bound_but_its_own() -> None:
    """5 for 2 kg is as good as 10 for 4, and both come before 6 for 3: nothing is cut, a kilogram more is worth 2."""
    answer = Solver(knapsack(), relaxed=True).run()
    assert answer.status == "optimal" and [answer.objective, answer.bound] == pytest.approx([15.0, 15.0])
    assert answer.duals is not None and len(answer.duals) == 1 and 2.0 - 1e-9 <= answer.duals[0] <= 2.5 + 1e-9
    wide = knapsack()
    wide.row_upper[0] = 7.5
    cut = Solver(wide, relaxed=True).run()
    assert cut.objective == pytest.approx(18.0) and cut.duals is not None and cut.duals[0] == pytest.approx(2.0)


def test_what_is_not_better_than_the_cutoff_is_not_looked_for_and_bounds_at_it() -> None:
    answer = Solver(knapsack()).run(cutoff=15.5)
    assert answer.bound == 15.5
    assert answer.x is None or answer.objective <= 15.5
    assert Solver(knapsack()).run(cutoff=14.0).objective == pytest.approx(15.0)


def test_an_infeasible_programme_has_no_answer() -> None:
    it = knapsack()
    it.row("too much", "", [(0, 1.0)], lower=2.0)
    answer = Solver(it).run()
    assert (answer.status, answer.x, answer.objective, answer.bound) == ("infeasible", None, -math.inf, -math.inf)
    assert Solver(it, relaxed=True).again() is None


def test_an_empty_programme_is_worth_its_constant() -> None:
    answer = Solver(Linear(constant=3.0)).run()
    assert (answer.status, answer.objective, answer.bound) == ("optimal", 3.0, 3.0)
    assert answer.x is not None and len(answer.x) == 0
    again = Solver(Linear(constant=3.0), relaxed=True).again()
    assert again is not None and again[0] == 3.0 and len(again[1]) == 0


def test_an_unbounded_programme_fails_or_is_called_infeasible() -> None:
    it = Linear()
    it.column("all there is", 1.0, INFINITY)
    with pytest.raises(SolverFailed, match="status"):
        Solver(it, relaxed=True).again()


def test_without_time_there_is_no_point_and_no_bound_below_the_best() -> None:
    """A programme of thirty items, too many to be solved before the clock is read for the first time."""
    rng = np.random.default_rng(3)
    it = Linear()
    for price in rng.uniform(1.0, 9.0, 30):
        it.column("", float(price), 1.0, integer=True)
    for _ in range(5):
        it.row("room", "", [(c, float(kg)) for c, kg in enumerate(rng.uniform(1.0, 9.0, 30))], upper=60.0)
    best = Solver(it).run(gap=0.0)
    answer = Solver(it).run(0.0)
    assert answer.bound >= best.objective - 1e-6
    assert answer.status == "limit" and (answer.x is None) == (answer.objective == -math.inf)


def test_bounds_costs_and_rows_are_changed_between_runs() -> None:
    solver = Solver(knapsack())
    solver.bounds({0: (0.0, 0.0)})
    assert solver.run().objective == pytest.approx(11.0)
    solver.bounds({})
    solver.bounds({0: (0.0, 1.0), 2: (0.0, 0.0)})
    assert solver.run().objective == pytest.approx(10.0)
    solver.costs({1: 12.0})
    assert solver.run().objective == pytest.approx(12.0)
    solver.add_row([(1, 2.0), (0, 1.0)], -math.inf, 1.0)
    assert solver.run().objective == pytest.approx(10.0)
    solver.add_row([(0, 1.0)], 1.0, 1.0)
    assert solver.run().objective == pytest.approx(10.0)


def test_a_relaxation_is_solved_again_without_presolve() -> None:
    solver = Solver(knapsack(), relaxed=True)
    solver.run(0.5)
    answer = solver.again()
    assert answer is not None and answer[0] == pytest.approx(15.0)
    assert (told(solver, "presolve"), told(solver, "time_limit")) == ("off", highspy.kHighsInf)
    solver.bounds({0: (0.0, 0.5)})
    answer = solver.again()
    assert answer is not None and answer[0] == pytest.approx(5.0 + 5.0 + 4.0)
    assert answer[1].tolist() == pytest.approx([0.5, 2.0 / 3.0, 1.0])


def test_better_answers_are_heard_on_the_way() -> None:
    heard: list[tuple[float, float]] = []

    def better(x: Any, objective: float, bound: float) -> None:
        assert objective == pytest.approx(float(np.dot([10.0, 6.0, 5.0], x)))
        heard.append((objective, bound))

    solver = Solver(knapsack(), options={"presolve": "off"})
    solver.start(np.array([0.0, 1.0, 1.0]))
    solver.run(on_better=better)
    assert heard and heard[-1][0] == pytest.approx(15.0) and all(bound >= 15.0 - 1e-9 for _, bound in heard)
    count = len(heard)
    Solver(knapsack()).run()
    assert len(heard) == count


@pytest.mark.parametrize("what", ["run", "option threads"])
def test_an_error_of_the_solver_is_never_passed_over(what: str) -> None:
    with pytest.raises(SolverFailed, match=what):
        Solver(knapsack())._check(highspy.HighsStatus.kError, what)
    Solver(knapsack())._check(highspy.HighsStatus.kWarning, what)


def test_a_solve_that_takes_too_many_steps_of_the_simplex_method_says_nothing() -> None:
    solver = Solver(knapsack(), relaxed=True)
    assert solver.again(most=0) is None
    again = solver.again()
    assert again is not None
    assert again[0] == pytest.approx(15.0)  # the first and the third use all of the room
    assert solver.simplex_steps > 0
    assert told(solver, "simplex_iteration_limit") == highspy.kHighsIInf
