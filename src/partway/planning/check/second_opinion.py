"""What other methods say about a plan, before it is called the best there is.

A solver can be wrong and sure of itself: HiGHS 1.16.0 and 1.14.0 lost the optimum in presolve (docs/decisions/0010).
So a plan and its bound are held against plans that need no solver (`simple_plans`), against the relaxation, and in a
programme of up to MOST_COLUMNS columns against a second solve without presolve. Where the search has worked out a bound
from the prices of its relaxation (`model/core`), that stands in for the relaxation: it is our own arithmetic.
"""

from __future__ import annotations

import contextlib
import itertools
import math
import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from partway.errors import PlanUnsound, SolverFailed
from partway.planning.check.simple_plans import keep_everything, sold_as_it_is
from partway.planning.check.verify import recount
from partway.planning.decision import Decision
from partway.planning.model.balanced import balanced
from partway.planning.model.extract import extract
from partway.planning.model.highs import EXACT, LEAN, Solver
from partway.planning.model.linear import Linear
from partway.planning.model.milp import Model, formulate
from partway.planning.search.stages import polish
from partway.planning.search.tour_bounds import TourCuts

MOST_COLUMNS = 600  # about a day's programme; beyond it a solve without presolve takes too long
LEAST_SECONDS = 1.0  # for the second opinion, however late it is
TOLERANCE = 1e-6  # of the objective, or of one currency unit: less is rounding
FAR_BELOW = 1e-3  # of the worth of a plan: what is worth less than that cannot be as good
PLAIN = {"presolve": "off"}
RELAXED, PRICED, AGAIN = "relaxation", "prices of the rows", "without presolve"


@dataclass(frozen=True, slots=True)
class Claim:
    """What other methods are to confirm: a plan, what it is worth, and a bound on all plans.

    `ended`: the search finished, rather than running out of time.
    """

    decision: Decision
    worth: float
    bound: float
    ended: bool


@dataclass(frozen=True, slots=True)
class Opinion:
    """What one other method found: the worth of its plan and its bound on all plans, infinite if it has none."""

    method: str
    worth: float = -math.inf
    bound: float = math.inf
    decision: Decision | None = None


@dataclass(frozen=True, slots=True)
class Second:
    """What all methods say together: the best plan, a bound on all plans, and whether no two contradict each other.

    `seconds`: processor time spent on the other methods.
    """

    decision: Decision
    worth: float
    bound: float
    agree: bool
    opinions: tuple[Opinion, ...]
    seconds: float


def second_opinion(model: Model, claim: Claim, gap: float, seconds: float, proved: float = math.inf) -> Second:
    """Ask every other method within about `seconds` (at least LEAST_SECONDS).

    `proved`: a bound that was worked out without the solver, infinite where there is none. It and the relaxation may
    tighten the bound; the second solve only confirms it, so that a proof never rests on it alone.
    """
    began = time.thread_time()
    opinions = tuple(_opinions(model, claim, time.monotonic() + max(LEAST_SECONDS, seconds), proved))
    slack = max(gap, TOLERANCE) * max(1.0, abs(claim.worth))
    decision, worth = claim.decision, claim.worth
    for it in opinions:
        if it.decision is not None and it.worth > max(worth, claim.worth + slack):
            decision, worth = it.decision, it.worth
    agree = not _refuted(claim, opinions, slack)
    relaxed = min((it.bound for it in opinions if it.method in (RELAXED, PRICED)), default=math.inf)
    again = max((it.bound for it in opinions if it.method == AGAIN), default=-math.inf)
    bound = min(relaxed, claim.bound if agree else max(claim.bound, again))
    return Second(decision, worth, max(bound, worth), agree, opinions, time.thread_time() - began)


def _refuted(claim: Claim, opinions: tuple[Opinion, ...], slack: float) -> bool:
    """Whether two methods contradict each other: a plan is worth more than a bound, or two finished searches differ.

    A higher bound of a search that did not finish is no contradiction, only weaker.
    """
    worths = [claim.worth, *(it.worth for it in opinions)]
    bounds = [claim.bound, *(it.bound for it in opinions)]
    loose = claim.ended and any(claim.bound > it.bound + slack for it in opinions if it.method == AGAIN)
    return max(worths) > min(bounds) + slack or loose


def _opinions(model: Model, claim: Claim, until: float, proved: float) -> Iterator[Opinion]:
    """Other methods in turn, the fastest first; the last ones are skipped when time is up."""
    at_home = [*_checked(model, [keep_everything(model.instance)])]  # which is always feasible
    yield from at_home
    small = len(model.linear.names) <= MOST_COLUMNS
    if math.isfinite(proved):
        yield Opinion(PRICED, bound=proved)
    if small or not math.isfinite(proved):
        relaxed = Solver(_whole(model), relaxed=True, options=PLAIN if small else {}).run(_left(until))
        if relaxed.status == "optimal":
            yield Opinion(RELAXED, bound=relaxed.objective)
    if small and claim.ended and not (model.columns.tour_money or model.restricted):
        again = _again(model, claim.worth, until)
        if again is not None:
            yield again
    more = max((claim.worth - it.worth for it in at_home), default=0.0)  # less can neither refute nor better the plan
    simple = _checked(model, sold_as_it_is(model.instance, more - TOLERANCE * max(1.0, abs(claim.worth))))
    yield from itertools.takewhile(lambda _: _left(until) > 0.0, simple)


def _whole(model: Model) -> Linear:
    """A fresh programme that allows every plan: the search has excluded the plans it tried and some ways to pack."""
    if not (model.columns.tour_money or model.restricted):
        return model.linear
    fresh = formulate(model.instance, loose=True)
    if fresh.columns.tour_money:
        TourCuts(fresh).add_legs()
    return fresh.linear


def _checked(model: Model, plans: Iterable[tuple[str, Decision]]) -> Iterator[Opinion]:
    for name, decision in plans:
        with contextlib.suppress(PlanUnsound):  # it does not fit the hours or the lots: nothing to compare with
            yield Opinion(name, recount(model.instance, decision).money.total, decision=decision)


def _left(until: float) -> float:
    return max(0.0, until - time.monotonic())


def _again(model: Model, worth: float, until: float) -> Opinion | None:
    """Solve the whole programme again without presolve; None if there is no time.

    Plans worth clearly less are cut off, which halves the time; the plan itself has to be found again.
    """
    enough = worth - FAR_BELOW * max(1.0, abs(worth))
    answer = Solver(balanced(model.linear, enough), options={**LEAN, **EXACT, **PLAIN}).run(_left(until))
    if answer.status == "infeasible":
        return Opinion(AGAIN, bound=enough)
    if answer.status != "optimal" or answer.x is None:
        return None
    try:
        decision = extract(model, polish(model, answer.x, max(LEAST_SECONDS, _left(until))))
        worth = recount(model.instance, decision).money.total
    except (PlanUnsound, SolverFailed):
        return Opinion(AGAIN, bound=answer.bound)
    return Opinion(AGAIN, worth, answer.bound, decision)
