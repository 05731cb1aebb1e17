"""The two solves around a set of tours: the best plan that drives them, and the last clean-up of a plan."""

from __future__ import annotations

from collections.abc import Mapping

from partway.errors import SolverFailed
from partway.planning.highs import EXACT, LEAN, Answer, Solver, Values
from partway.planning.instance import Instance
from partway.planning.milp import Model

TIE_REWARD = 1e-6  # currency units per kg, far below a price and above the solver's tolerance
TIE_LOSS = 1e-7  # of the objective: more than this is not a tie


def best_with(model: Model, tours: Mapping[int, int], seconds: float, gap: float, cutoff: float) -> Answer:
    """The best plan among those that drive exactly these tours (number of the tour: how often)."""
    driven = [r for r in sorted(tours) for _ in range(tours[r])]
    stops = {k: _buyers(model.instance, r) for k, r in enumerate(driven)}
    bounds = {c: (1.0, 1.0) if k < len(driven) and driven[k] == r else (0.0, 0.0)
              for (r, k), c in model.columns.tours.items()}
    for (b, k), c in model.columns.visits.items():
        if k >= 0:
            yes = float(b in stops.get(k, ()))
            bounds[c] = (yes, yes)
    solver = Solver(model.linear, options={**LEAN, **EXACT})
    solver.bounds(bounds)
    return solver.run(seconds, gap, cutoff=cutoff)


def _buyers(instance: Instance, tour: int) -> set[int]:
    return {instance.buyer_at[stop] for stop in (instance.tours or ())[tour].stops}


def polish(model: Model, x: Values, seconds: float) -> Values:
    """Fix every whole number and solve for the kilograms again, so that rounding leaves no dust.

    Between equal plans the one that hands over more to buyers visited anyway is better: what stays behind has
    to be stored, and some of it is hazardous. Raises SolverFailed where the rounded plan is not feasible.
    """
    linear = model.linear
    whole = {c: float(round(float(x[c]))) for c, integer in enumerate(linear.integer) if integer}
    fixed = Solver(linear, relaxed=True)
    fixed.bounds({c: (v, v) for c, v in whole.items()})
    answer = fixed.run(seconds)
    if answer.x is None:
        raise SolverFailed("the rounded plan is not feasible")
    rewarded = _ties(model)
    if not rewarded:
        return answer.x
    fixed.costs({c: linear.objective[c] + TIE_REWARD for c in rewarded})
    tidy = fixed.run(seconds)
    before, after = linear.value(answer.x.tolist()), -1.0
    if tidy.x is not None:
        after = linear.value(tidy.x.tolist())
        if after >= before - TIE_LOSS * max(1.0, abs(before)):
            return tidy.x
    return answer.x


def _ties(model: Model) -> list[int]:
    """Lots whose price is the keep value of their grade."""
    lots, kept = model.instance.lots, model.instance.kept_price
    return [
        c for (i, t, _), c in model.columns.lots.items()
        if abs(lots[i].tiers[t].price - kept[lots[i].grade]) <= 1e-9
    ]
