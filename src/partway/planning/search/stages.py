"""Solving for one set of tours: an upper bound, the best plan, and tidying up a plan."""

from __future__ import annotations

import math
import time
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from typing import Any

from partway.errors import SolverFailed
from partway.planning.instance.counted import more_for_one
from partway.planning.instance.frozen import Instance
from partway.planning.model.core import PricedRows
from partway.planning.model.highs import EXACT, LEAN, Solver, SolverAnswer, Values
from partway.planning.model.milp import MAIL, Model
from partway.planning.model.pooled import is_first
from partway.planning.model.routing_cuts import reach_of_part
from partway.planning.model.shrunk import Shrunk, idle_columns

TIE_REWARD = 1e-6  # currency units per kg, far below a price and above the solver's tolerance
TIE_LOSS = 1e-7  # of the objective: more than this is not a tie
ROUNDING = 1e-6
KG_DUST = 1e-6
CHOSEN_GAP = 1e-6
NO_TRIES = {"mip_heuristic_run_root_reduced_cost": False}  # where a plan is known, trying for one costs more
ROUNDS = 4  # of rows that the relaxation of fixed tours breaks
FAR = 1e-3  # of the bound: a plan so far below it, such as one of other prices, is a poor start
GUESS = 7e-4  # of the relaxation with known choices: how much less the best plan with them is taken to be worth
FEW = 250  # whole columns that are solved at once as quickly as in two steps
Fixed = dict[int, tuple[float, float]]


def is_count(model: Model) -> list[bool]:
    """Columns that count pieces, as against a yes or no, parcels and masses."""
    columns = model.columns
    counted = (columns.opened, columns.sold, columns.parts, columns.kept, columns.blocks, columns.loose_pieces)
    counts = {c for kind in counted for c in kind.values()}
    counts |= set(columns.patterns.values())
    return [c in counts for c in range(len(model.linear.names))]


class FixedTours:
    """The programme with its tours fixed, solved in four steps, each slower and closer than the one before."""

    def __init__(self, model: Model, tours: Fixed) -> None:
        """`tours` are the bounds that fix them."""
        self.model, self.tours = model, tours
        self.counts = is_count(model)
        self.worth = SolverAnswer("limit", None, -math.inf, math.inf)

    def bound(self, seconds: float, gap: float, cutoff: float) -> SolverAnswer:
        """Step one: counts may be fractions. No plan with these tours is worth more than the answer's bound."""
        self.worth = self._run(self.tours, seconds, gap, cutoff, self._yes_or_no())
        return self.worth

    def chosen(self, choices: Fixed, seconds: float) -> SolverAnswer:
        """Step one with some yes or no known beforehand: it bounds nothing but those."""
        answer = self._run({**choices, **self.tours}, seconds, CHOSEN_GAP, whole=self._yes_or_no())
        self.worth = replace(answer, bound=math.inf)
        return self.worth

    def _yes_or_no(self) -> list[bool]:
        return [w and not c for w, c in zip(self.model.linear.integer, self.counts, strict=True)]

    def guess(self, seconds: float) -> SolverAnswer:
        """Step one, faster: solve the relaxation, set each yes or no by the masses in it, and solve again."""
        small, until = self._shrunk, time.monotonic() + seconds
        solver = Solver(small.linear, relaxed=True, options=EXACT)
        solver.bounds(small.bounds(self.tours))
        self.worth = loose = small.answer(solver.run(seconds))
        if loose.status == "optimal" and loose.x is not None and time.monotonic() < until:
            solver.bounds(small.bounds({**_by_mass(self.model, loose.x), **self.tours}))
            again = solver.again()  # from where it stands: a tenth of a second in place of some
            if again is not None:
                rounded = SolverAnswer("optimal", again[1], again[0], loose.bound)
                self.worth = small.answer(rounded)
        return self.worth

    def nearest(self, seconds: float, gap: float, cutoff: float, enough: float = math.inf) -> SolverAnswer:
        """Step two: each count is rounded up or down. Quick, and mostly a good plan.

        Where that cannot be done with each yes and no as in step one, a yes may become a no. Looked for is no plan
        better than one worth `enough`.

        Relaxation-enforced neighbourhood: Berthold, "RENS, the optimal rounding", Math. Prog. Computation 6, 2014.
        """
        near = self._near(seconds, gap, cutoff, self.counts, enough)
        if near.x is not None or near.status != "infeasible" or cutoff > -math.inf:
            return near
        return self._near(seconds, gap, cutoff, self.counts, enough, fewer=True)

    def plan(self, seconds: float, gap: float, cutoff: float, enough: float = math.inf) -> SolverAnswer:
        """Step three: any whole counts, but every yes and no as in step one."""
        return self._near(seconds, gap, cutoff, [False] * len(self.counts), enough)

    def _near(
        self,
        seconds: float,
        gap: float,
        cutoff: float,
        next_to: list[bool],
        enough: float,
        fewer: bool = False,
    ) -> SolverAnswer:
        """Near step one: counts marked `next_to` it rounded, each yes or no as it is, or a no where `fewer` will do."""
        x = self.worth.x
        if x is None:
            return self.worth
        kept = {}
        for c, whole in enumerate(self.model.linear.integer):
            if whole and next_to[c]:
                kept[c] = (float(math.floor(x[c] + ROUNDING)), float(math.ceil(x[c] - ROUNDING)))
            elif whole and not self.counts[c]:
                kept[c] = (0.0 if fewer else float(round(x[c])), float(round(x[c])))
        answer = self._run({**kept, **self.tours}, seconds, gap, cutoff, enough=enough)
        return replace(answer, bound=self.worth.bound)

    def best(
        self,
        seconds: float,
        gap: float,
        cutoff: float,
        choices: Fixed | None = None,
        enough: float = math.inf,
    ) -> SolverAnswer:
        """Step four: everything free but the tours. The best plan for them, or one worth `enough`.

        `choices` are a yes or no for some columns that a good plan is expected to have, where no plan of this search is
        known.
        """
        small = self._shrunk.linear
        answer = self._by_prices(seconds, gap, cutoff, choices or {}, enough) if sum(small.integer) > FEW else None
        if answer is None:
            answer = self._run(self.tours, seconds, gap, cutoff, enough=enough)
        return replace(answer, bound=min(answer.bound, self.worth.bound))

    def _by_prices(
        self, seconds: float, gap: float, cutoff: float, choices: Fixed, target: float = math.inf
    ) -> SolverAnswer | None:
        """The best plan in two steps; None where the relaxation has no prices to go by.

        First a good plan, near the choices or out of what costs nothing to move in the relaxation, then the best of
        what may be better than it. Balas and Zemel, "An algorithm for large zero-one knapsack problems", Operations
        Research 28, 1980.
        """
        until, tours = time.monotonic() + seconds, self._shrunk.bounds(self.tours)
        solver = self._relaxed(tours, seconds)
        priced = _prices(solver, tours) if solver is not None else None
        if solver is None or priced is None or not math.isfinite(priced.bound):
            return None
        first = SolverAnswer("optimal", None, cutoff, priced.bound)
        far = bool(choices) and priced.bound - cutoff > FAR * max(1.0, abs(priced.bound))
        if cutoff == -math.inf or far:  # else a quick plan is seldom a better one
            near = (
                self._near_choices(solver, {**self._shrunk.bounds(choices), **tours}, until, gap) if choices else None
            )
            tried = near or self._within({**tours, **priced.core()}, until, gap, cutoff)
            first = tried if tried.x is not None or cutoff == -math.inf else first
        enough = first.objective + gap * max(1.0, abs(first.objective)) if math.isfinite(first.objective) else -math.inf
        if priced.bound <= enough:
            return replace(first, bound=enough)
        rest = self._within({**tours, **priced.settled(enough)}, until, gap, enough, {**NO_TRIES, **_stop_at(target)})
        bound = max(enough, min(priced.bound, rest.bound))
        return replace(rest if rest.objective > first.objective else first, status=rest.status, bound=bound)

    def _near_choices(self, solver: Solver, fixed: Fixed, until: float, gap: float) -> SolverAnswer | None:
        """The best plan with these choices, if it is worth nearly what their relaxation is; None where it is not.

        What a plan is worth is guessed before there is one, so that prices settle most columns; it bounds nothing.
        """
        solver.bounds(fixed)
        priced = _prices(solver, fixed) if solver.again() is not None else None
        if priced is None or not math.isfinite(priced.bound):
            return None
        least = priced.bound - GUESS * max(1.0, abs(priced.bound))
        answer = self._within({**fixed, **priced.settled(least)}, until, gap, least)
        return answer if answer.x is not None and answer.objective >= least else None

    def _relaxed(self, tours: Fixed, seconds: float) -> Solver | None:
        """The relaxation, solved, with the rows that its answers break; None where it has no optimum."""
        small = self._shrunk.linear
        solver = Solver(small, relaxed=True, options=EXACT)
        solver.bounds(tours)
        relaxed, reach = solver.run(seconds), reach_of_part(self.model, small, self._shrunk.number)
        for _ in range(ROUNDS):
            rows = len(small.rows)
            if relaxed.status != "optimal" or relaxed.x is None or not reach.add(relaxed.x):
                break
            relaxed = solver.with_rows(rows)
        return solver if relaxed.status == "optimal" else None

    def _within(
        self, fixed: Fixed, until: float, gap: float, cutoff: float, options: Mapping[str, Any] | None = None
    ) -> SolverAnswer:
        solver = Solver(self._shrunk.linear, options={**LEAN, **EXACT, **(options or {})})
        solver.bounds(fixed)
        return self._shrunk.answer(solver.run(max(0.0, until - time.monotonic()), gap, cutoff=cutoff))

    @cached_property
    def _shrunk(self) -> Shrunk:
        return Shrunk(self.model.linear, idle_columns(self.model, self.tours))

    def _run(
        self,
        fixed: Fixed,
        seconds: float,
        gap: float = 0.0,
        cutoff: float = -math.inf,
        whole: Sequence[bool] | None = None,
        enough: float = math.inf,
    ) -> SolverAnswer:
        small = self._shrunk
        some = None if whole is None else [whole[c] for c in small.kept]
        solver = Solver(small.linear, options={**LEAN, **EXACT, **_stop_at(enough)}, whole=some)
        solver.bounds(small.bounds(fixed))
        return small.answer(solver.run(seconds, gap, cutoff=cutoff))


def _stop_at(worth: float) -> dict[str, float]:
    """The option by which a search ends as soon as a plan is worth so much."""
    return {"objective_target": worth} if math.isfinite(worth) else {}


def _prices(solver: Solver, fixed: Fixed) -> PricedRows | None:
    """What the rows of a relaxation say of its columns; None if they say nothing."""
    prices = solver.prices()
    return None if prices is None else PricedRows.by(solver.linear, fixed, prices)


def _by_mass(model: Model, x: Values) -> Fixed:
    """Bounds that put each lot into the tier its mass falls into, and round parcels and mailings up."""
    columns = model.columns
    masses: dict[tuple[int, int], float] = defaultdict(float)
    for (i, _, k), c in columns.lots.items():
        masses[i, k] += float(x[c])
    fixed: Fixed = {}
    chosen: set[tuple[int, int]] = set()
    for (i, t, k), c in columns.lot_taken.items():
        tier, kg = model.instance.lots[i].tiers[t], masses[i, k]
        yes = (i, k) not in chosen and kg > 0.0 and tier.low <= kg <= tier.high
        fixed[c] = (float(yes), float(yes))
        if yes:
            chosen.add((i, k))
    up = [
        *columns.parcels.values(),
        *columns.tickets.values(),
        *(c for (_, k), c in columns.visits.items() if k == MAIL),
    ]
    return fixed | {c: (n, n) for c in up for n in [float(math.ceil(x[c] - ROUNDING))]}


def fix_tours(model: Model, tours: Mapping[int, int]) -> Fixed:
    """Bounds that fix how often each tour is driven, by its number."""
    in_order = sorted(tours, key=lambda r: (not is_first(model, r), r))
    driven = dict(enumerate(r for r in in_order for _ in range(tours[r])))
    stops = {k: _buyers(model.instance, r) for k, r in driven.items()}
    fixed = {c: float(driven.get(k) == r) for (r, k), c in model.columns.tours.items()}
    fixed |= {c: float(b in stops.get(k, ())) for (b, k), c in model.columns.visits.items() if k >= 0}
    return {c: (v, v) for c, v in fixed.items()}


def _buyers(instance: Instance, tour: int) -> set[int]:
    return {instance.buyer_at[stop] for stop in (instance.tours or ())[tour].stops}


def polish(model: Model, x: Values, seconds: float, tours: Fixed | None = None) -> Values:
    """Round every whole number, fix it, and solve for the kilograms again, so that no rounding error is left.

    Of equally good plans the one that hands over more to buyers visited anyway is taken: what stays behind has to be
    stored, and some of it is hazardous. `tours` fixes driving that the model only bounds. Raises SolverFailed if the
    rounded plan is not feasible.
    """
    linear = model.linear
    whole = {c: float(round(float(x[c]))) for c, integer in enumerate(linear.integer) if integer}
    fixed = Solver(linear, relaxed=True)
    whole_bounds = {c: (v, v) for c, v in whole.items()}
    fixed.bounds(whole_bounds | (tours or {}))
    answer = fixed.run(seconds)
    if answer.x is None:
        raise SolverFailed("the rounded plan is not feasible")
    taken = _taken_along(model, answer.x, seconds, {**whole_bounds, **(tours or {})})
    fixed.bounds({c: (v, v) for c, v in ((c, round(float(taken[c]))) for c in model.columns.blocks.values())})
    return _tidied(model, fixed, taken, seconds)


def _taken_along(model: Model, x: Values, seconds: float, fixed: Fixed) -> Values:
    """Also hand over whole pieces that are worth the same sold or kept, as far as there is room."""
    ties = _whole_ties(model)
    linear = model.linear
    if not ties:
        return x
    free = {c: (0.0, linear.upper[c]) for c in ties}
    solver = Solver(linear, options=EXACT, whole=[c in ties for c in range(len(linear.names))])
    solver.bounds(fixed | free)
    solver.costs({c: linear.objective[c] + TIE_REWARD * kg for c, kg in ties.items()})
    answer = solver.run(seconds)
    value = linear.value(x.tolist())
    if answer.x is None or linear.value(answer.x.tolist()) < value - TIE_LOSS * max(1.0, abs(value)):
        return x
    return answer.x


def _whole_ties(model: Model) -> dict[int, float]:
    """Pieces loaded whole that are worth the same sold in a lot or kept, with their kilograms."""
    instance = model.instance
    found = {}
    for (s, i, _), c in model.columns.blocks.items():
        sale = instance.grade_sales[s]
        rest = sum(kg * instance.kept_price[g] for g, kg in instance.flows(sale)[1:])
        kept = instance.nodes[sale.node].kept_value
        more = more_for_one(instance, s, i)
        if any(
            abs(sale.kg * tier.price + more + rest - kept) <= 1e-9 * max(1.0, abs(kept))
            for tier in instance.lots[i].tiers
        ):
            found[c] = sale.kg
    return found


def _tidied(model: Model, fixed: Solver, x: Values, seconds: float) -> Values:
    """Hand over what is worth nothing either whole or not at all.

    Otherwise part of an appliance could be planned, cut off where the vehicle is full.
    """
    ties, pieces = _ties(model), _in_pieces(model, x)
    linear, best = model.linear, x
    fixed.costs({c: linear.objective[c] + TIE_REWARD for c in ties})
    for _ in range(len(ties) + 1):  # once more than lots can be given up
        tidy = fixed.run(seconds)
        value = linear.value(x.tolist())
        if tidy.x is None or linear.value(tidy.x.tolist()) < value - TIE_LOSS * max(1.0, abs(value)):
            return best
        best = tidy.x
        parts = [
            c
            for c, grade in ties.items()
            if best[c] > pieces.get(c, 0.0) + KG_DUST and best[model.columns.kept_kg[grade]] > KG_DUST
        ]
        if not parts:
            return best
        fixed.bounds({c: (0.0, pieces.get(c, 0.0)) for c in parts})
    return best


def _in_pieces(model: Model, x: Values) -> dict[int, float]:
    """Kilograms of each lot that are loaded whole, by the column of the lot's tier."""
    loaded: dict[tuple[int, int], float] = defaultdict(float)
    for (s, i, k), c in model.columns.blocks.items():
        loaded[i, k] += model.instance.grade_sales[s].kg * round(float(x[c]))
    return {
        c: kg for (i, t, k), c in model.columns.lots.items() if (kg := loaded.get((i, k), 0.0)) > 0.0 and x[c] > 0.0
    }


def _ties(model: Model) -> dict[int, int]:
    """Lots that pay just what their grade is worth kept, with that grade."""
    lots, kept = model.instance.lots, model.instance.kept_price
    return {
        c: lots[i].grade
        for (i, t, _), c in model.columns.lots.items()
        if abs(lots[i].tiers[t].price - kept[lots[i].grade]) <= 1e-9
    }
