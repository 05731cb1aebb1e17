"""The one file that imports the solver: HiGHS by its own Python package.

HiGHS keeps one thread count per process; changing it later gives an error and objective 0. So it is the same
everywhere, and every status is checked.
"""

from __future__ import annotations

import contextlib
import math
import os
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import highspy
import numpy as np
from numpy.typing import NDArray

from partway.errors import SolverFailed
from partway.planning.model.linear import Linear

SEED = 20260314
THREADS = 1
# The programmes here are close to their relaxations; HiGHS's own searches for a first answer cost most of its time.
LEAN: Mapping[str, Any] = {
    "mip_heuristic_effort": 0.0,
    "mip_heuristic_run_rins": False,
    "mip_heuristic_run_rens": False,
    "mip_heuristic_run_feasibility_jump": False,
    "mip_allow_restart": False,
    "mip_detect_symmetry": False,
}
EXACT: Mapping[str, Any] = {"mip_feasibility_tolerance": 1e-9}  # a yes of 1e-6 would carry grams of a lot
Values = NDArray[np.float64]
Basis = highspy.HighsBasis  # where the simplex method stands: which columns and rows are at a bound
OnBetter = Callable[[Values, float, float], None]  # solution, objective, bound


@dataclass(frozen=True, slots=True)
class SolverAnswer:
    """What the solver said. `x` is None where it found nothing; `bound` is never below the optimum."""

    status: str  # optimal | limit | infeasible
    x: Values | None
    objective: float
    bound: float
    duals: Values | None = None


class Solver:
    """One programme held by HiGHS; bounds and costs may be changed between runs."""

    def __init__(
        self,
        linear: Linear,
        relaxed: bool = False,
        options: Mapping[str, Any] | None = None,
        whole: Sequence[bool] | None = None,
    ) -> None:
        """`relaxed` lets every column be a fraction; `whole` says which are integer in place of the programme."""
        self.linear = linear
        self.highs = _quiet_highs()
        self._option("output_flag", False)
        self._option("threads", THREADS)
        self._option("random_seed", SEED)
        for name, value in (options or {}).items():
            self._option(name, value)
        self._check(
            self.highs.passModel(_as_highs(linear, [] if relaxed else linear.integer if whole is None else whole)),
            "passModel",
        )

    def _option(self, name: str, value: Any) -> None:
        self._check(self.highs.setOptionValue(name, value), f"option {name}")

    def _check(self, status: highspy.HighsStatus, what: str) -> None:
        if status == highspy.HighsStatus.kError:
            raise SolverFailed(f"the solver reported an error in {what}")

    def bounds(self, changes: Mapping[int, tuple[float, float]]) -> None:
        """Set new bounds on columns."""
        if changes:
            columns = np.fromiter(changes, dtype=np.int32)
            low = np.array([b[0] for b in changes.values()], dtype=float)
            high = np.array([b[1] for b in changes.values()], dtype=float)
            self._check(self.highs.changeColsBounds(len(columns), columns, low, high), "changeColsBounds")

    def costs(self, changes: Mapping[int, float]) -> None:
        """Set new objective coefficients on columns."""
        columns = np.fromiter(changes, dtype=np.int32)
        values = np.fromiter(changes.values(), dtype=float)
        self._check(self.highs.changeColsCost(len(columns), columns, values), "changeColsCost")

    def add_row(self, terms: Sequence[tuple[int, float]], low: float, high: float) -> None:
        """Add one row to the model held by the solver."""
        columns = np.array([c for c, _ in terms], dtype=np.int32)
        values = np.array([v for _, v in terms], dtype=float)
        self._check(self.highs.addRow(low, high, len(columns), columns, values), "addRow")

    def free_row(self, row: int) -> None:
        """Let a row be anything."""
        self._check(self.highs.changeRowBounds(row, -highspy.kHighsInf, highspy.kHighsInf), "changeRowBounds")

    def drop_rows(self, rows: Sequence[int]) -> None:
        """Take rows out of the model held by the solver; those after them move up."""
        self._check(self.highs.deleteRows(len(rows), np.array(rows, dtype=np.int32)), "deleteRows")

    def start(self, x: Values) -> None:
        """Offer a feasible point to begin with."""
        solution = highspy.HighsSolution()
        solution.col_value = list(x)
        self._check(self.highs.setSolution(solution), "setSolution")

    def run(
        self,
        seconds: float = math.inf,
        gap: float = 0.0,
        on_better: OnBetter | None = None,
        cutoff: float = -math.inf,
    ) -> SolverAnswer:
        """Solve; raises SolverFailed where HiGHS neither solves nor stops at a limit.

        Answers at or below `cutoff` are not looked for; the bound is then at least the cutoff.
        """
        # The clock of one object runs on from run to run.
        until = self.highs.getRunTime() + max(0.0, seconds)
        self._option("time_limit", until if math.isfinite(until) else highspy.kHighsInf)
        self._option("mip_rel_gap", gap)
        self._option("mip_abs_gap", 1e-9 if gap == 0.0 else 1e-6)
        if self.linear.constant == 0.0:  # HiGHS compares without the constant, and minimises inside
            self._option("objective_bound", -cutoff if math.isfinite(cutoff) else highspy.kHighsInf)
        with self._watching(on_better):
            status = self.highs.run()
        self._check(status, "run")
        answer = self._answer()
        return replace(answer, bound=max(answer.bound, cutoff))

    @property
    def simplex_steps(self) -> int:
        """How many steps of the simplex method the last run took."""
        return int(self.highs.getInfo().simplex_iteration_count)

    def again(self, seconds: float = math.inf, most: int | None = None) -> tuple[float, Values] | None:
        """Solve a relaxation again from where the last run ended; its objective and point.

        None if it is infeasible, time is up, or it takes more than `most` steps of the simplex method. For programmes
        that change a little and are solved many times: no presolve, no duals.
        """
        self._option("presolve", "off")
        until = self.highs.getRunTime() + max(0.0, seconds)
        self._option("time_limit", until if math.isfinite(until) else highspy.kHighsInf)
        self._option("simplex_iteration_limit", highspy.kHighsIInf if most is None else most)
        self._check(self.highs.run(), "run")
        late, many = highspy.HighsModelStatus.kTimeLimit, highspy.HighsModelStatus.kIterationLimit
        empty = highspy.HighsModelStatus.kModelEmpty
        settled = (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kOptimal, late, many, empty)
        if self.highs.getModelStatus() not in settled:
            self.highs.clearSolver()  # numbers went wrong on the way here: once more from nothing
            self._check(self.highs.run(), "run")
        status = self.highs.getModelStatus()
        if status in (highspy.HighsModelStatus.kInfeasible, late, many):
            return None
        if status == empty:  # nothing is left to decide
            return self.linear.constant, np.zeros(0)
        if status != highspy.HighsModelStatus.kOptimal:
            raise SolverFailed(f"the solver stopped with status {self.highs.modelStatusToString(status)}")
        return self.highs.getInfo().objective_function_value, np.array(self.highs.getSolution().col_value)

    def prices(self) -> Values | None:
        """What the last run says one unit more of each row's side is worth; None if it says nothing."""
        solution = self.highs.getSolution()
        return np.array(solution.row_dual) if solution.dual_valid else None

    def basis(self) -> Basis:
        """Where the last run of a relaxation ended, kept apart from what the solver does next."""
        here, kept = self.highs.getBasis(), highspy.HighsBasis()
        kept.col_status, kept.row_status, kept.valid = list(here.col_status), list(here.row_status), here.valid
        return kept

    def begin(self, basis: Basis) -> None:
        """Begin the next run there; the answer is the same from anywhere, only sooner."""
        self._check(self.highs.setBasis(basis), "setBasis")

    def with_rows(self, first: int) -> SolverAnswer:
        """Add the rows that the programme has got since, from the first of them on, and solve a relaxation again."""
        linear = self.linear
        for r in range(first, len(linear.rows)):
            self.add_row(linear.rows[r], linear.row_lower[r], linear.row_upper[r])
        if self.again() is None:
            return SolverAnswer("infeasible", None, -math.inf, -math.inf)
        return self._answer()

    @contextlib.contextmanager
    def _watching(self, on_better: OnBetter | None) -> Any:
        if on_better is None:
            yield
            return

        def heard(event: Any) -> None:
            data = event.data_out
            on_better(np.array(data.mip_solution), data.objective_function_value, data.mip_dual_bound)

        self.highs.cbMipImprovingSolution.subscribe(heard)
        try:
            yield
        finally:
            self.highs.cbMipImprovingSolution.unsubscribe(heard)

    def _answer(self) -> SolverAnswer:
        model_status, states = self.highs.getModelStatus(), highspy.HighsModelStatus
        if model_status == states.kModelEmpty:
            constant = self.linear.constant
            return SolverAnswer("optimal", np.zeros(0), constant, constant)
        if model_status in (states.kInfeasible, states.kUnboundedOrInfeasible, states.kObjectiveBound):
            return SolverAnswer("infeasible", None, -math.inf, -math.inf)
        stopped = (states.kTimeLimit, states.kSolutionLimit, states.kInterrupt, states.kObjectiveTarget)
        if model_status not in (states.kOptimal, *stopped):
            raise SolverFailed(f"the solver stopped with status {self.highs.modelStatusToString(model_status)}")
        info = self.highs.getInfo()
        optimal = model_status == states.kOptimal
        found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
        solution = self.highs.getSolution()
        x = np.array(solution.col_value) if found else None
        objective = info.objective_function_value if found else -math.inf
        is_mip = info.mip_node_count >= 0
        bound = info.mip_dual_bound if is_mip else (objective if optimal else math.inf)
        return SolverAnswer("optimal" if optimal else "limit", x, objective, bound, self.prices())


def _quiet_highs() -> highspy.Highs:
    """A solver object. HiGHS 1.16 greets on standard output when made, before any option can forbid it."""
    sys.stdout.flush()
    kept = os.dup(1)
    with open(os.devnull, "w") as nowhere:
        os.dup2(nowhere.fileno(), 1)
        try:
            return highspy.Highs()
        finally:
            os.dup2(kept, 1)
            os.close(kept)


def _as_highs(linear: Linear, whole: Sequence[bool]) -> highspy.HighsLp:
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = len(linear.names), len(linear.rows)
    lp.sense_ = highspy.ObjSense.kMaximize
    lp.offset_ = linear.constant
    lp.col_cost_ = np.array(linear.objective, dtype=float)
    lp.col_lower_ = np.array(linear.lower, dtype=float)
    lp.col_upper_ = np.array(linear.upper, dtype=float)
    lp.row_lower_ = np.array(linear.row_lower, dtype=float)
    lp.row_upper_ = np.array(linear.row_upper, dtype=float)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    rows = linear.matrix
    lp.a_matrix_.start_, lp.a_matrix_.index_, lp.a_matrix_.value_ = rows.starts, rows.columns, rows.values
    if any(whole):
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        lp.integrality_ = [kinds[integer] for integer in whole]
    return lp
