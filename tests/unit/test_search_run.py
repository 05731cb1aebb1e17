"""What a search says of itself: its slack, its doubts, when it tells of a plan, and what time it gives to whom.

Clocks are set by hand, so nothing here hangs on how fast the machine is. The rules are ours (docs/model.md).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from partway.errors import SolverFailed
from partway.planning.learned.moved import MovedBound
from partway.planning.model.milp import MAIL
from partway.planning.search import run as running
from partway.planning.search import search as searching
from partway.planning.search.found import SearchFound
from partway.planning.search.run import SearchRun
from partway.planning.search.search import _Known, search

X = np.array([1.0])
NOW = 1000.0  # seconds on the clock


@pytest.fixture(autouse=True)
def clock(monkeypatch: pytest.MonkeyPatch) -> SimpleNamespace:
    """A clock that stands still until it is set."""
    it = SimpleNamespace(now=NOW)
    it.monotonic = lambda: it.now
    monkeypatch.setattr(running, "time", it)
    monkeypatch.setattr(searching, "time", it)
    return it


def model(**columns: Any) -> Any:
    """A programme with these columns and no others, worth what its one column says."""
    empty: dict[str, Any] = {"tours": {}, "tour_money": {}, "tour_hours": {}, "visits": {}, "blocks": {}}
    linear = SimpleNamespace(value=lambda x: float(sum(x)))
    return SimpleNamespace(columns=SimpleNamespace(**{**empty, **columns}), linear=linear, instance=None)


def a_run(objective: float = 100.0, bound: float = math.inf, **has: Any) -> Any:
    """A run with a plan worth so much, a gap of a hundredth, and ten seconds."""
    programmes: Any = SimpleNamespace(model=has.pop("model", model()), loose=None, pooled=lambda: None)
    it = SearchRun(programmes, 10.0, 0.01, None, None)
    vars(it).update({"best": X, "objective": objective, "bound": bound, **has})
    return it


def decision(*tours: Any) -> Any:
    """One that drives these tours."""
    return SimpleNamespace(tours=tours)


# --- slack and doubts --------------------------------------------------------------------------------


@pytest.mark.parametrize(("objective", "slack"), [(100.0, 1.0), (-100.0, 1.0), (0.5, 0.01), (0.0, 0.01)])
def test_the_slack_is_the_gap_of_the_plan_or_of_one(objective: float, slack: float) -> None:
    assert a_run(objective).slack == pytest.approx(slack)


@pytest.mark.parametrize(("bound", "closed"), [(101.0, True), (101.1, False), (90.0, True), (math.inf, False)])
def test_a_search_is_closed_when_its_bound_is_within_the_slack(bound: float, closed: bool) -> None:
    assert a_run(100.0, bound).closed == closed
    assert not a_run(100.0, bound, best=None).closed


def test_a_plan_that_is_closed_has_no_doubt() -> None:
    away = model(tour_money={0: 0})
    assert a_run(100.0, 101.0, model=away).doubts(decision()) == ()
    assert a_run(100.0, 101.1, model=away).doubts(decision()) == ("no-time-to-drive",)


@pytest.mark.parametrize("columns", [{"tours": {(0, 0): 0}}, {"tour_money": {0: 0}}])
def test_a_plan_that_stays_home_while_something_may_drive_is_doubted(columns: dict[str, Any]) -> None:
    open_run = a_run(model=model(**columns))
    assert open_run.doubts(decision(None, None)) == ("no-time-to-drive",)
    assert open_run.doubts(decision(None, "tour")) == ()
    open_run.exhausted = True
    assert open_run.doubts(decision(None)) == ()
    assert a_run().doubts(decision(None)) == ()


def test_time_left_is_up_to_the_end_and_none_where_parcels_have_to_be_packed(clock: SimpleNamespace) -> None:
    it = a_run()
    clock.now = NOW + 4.0
    assert it.left == 6.0
    it.not_packed = frozenset({1})
    assert it.left == 0.0
    clock.now = NOW + 40.0
    assert a_run(until=NOW + 10.0).left == 0.0


# --- telling -----------------------------------------------------------------------------------------


def test_a_plan_is_told_when_it_is_new_or_its_gap_has_become_a_tenth_smaller(monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[float] = []
    it = a_run(100.0, 110.0)
    monkeypatch.setattr(it, "_found", lambda best: it.bound)
    it.tell()
    it.tell(new=True)
    assert told == [], "nobody listens"
    it.on_found = told.append
    it.tell()
    for bound in (109.5, 109.0, 108.9, 108.1, 108.0):
        it.bound = bound
        it.tell()
    assert told == [110.0, 108.9, 108.0]
    it.tell(new=True)
    it.best = None
    it.tell(new=True)
    assert told == [110.0, 108.9, 108.0, 108.0]


@pytest.mark.parametrize(("value", "packs", "kept"), [(101.0, True, True), (100.0, True, False), (101.0, False, False)])
def test_a_plan_is_kept_where_it_is_better_and_packs(
    value: float, packs: bool, kept: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[tuple[float, float]] = []
    asked: list[float] = []

    def polish(_: Any, x: Any, seconds: float, fixed: Any) -> Any:
        asked.append(seconds)
        return x

    monkeypatch.setattr(running, "polish", polish)
    it = a_run(100.0, 100.5, on_progress=lambda *figures: told.append(figures))
    monkeypatch.setattr(it, "_packs", lambda *_: packs)
    it.take(np.array([value]), None, {0: None})
    assert (it.objective, it.toured) == ((101.0, {0: None}) if kept else (100.0, None))
    assert told == [(101.0, 101.0)] * kept
    assert asked == [20.0]


def test_a_plan_is_cleaned_up_for_twenty_seconds_however_late_it_is(
    monkeypatch: pytest.MonkeyPatch, clock: SimpleNamespace
) -> None:
    asked: list[float] = []

    def polish(_: Any, x: Any, seconds: float, fixed: Any) -> Any:
        asked.append(seconds)
        return x

    monkeypatch.setattr(running, "polish", polish)
    it = a_run()
    clock.now = NOW + 9.5
    it.take(X)
    assert asked == [20.0]


def test_pieces_by_mail_are_packed_and_what_was_not_ends_the_search(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(running, "extract", lambda *_: None)
    monkeypatch.setattr(running, "not_packed", lambda *_: {3})
    driven = a_run(model=model(blocks={(0, 0, 0): 1}))
    assert driven._packs(X, None) and driven.not_packed == frozenset()
    mailed = a_run(model=model(blocks={(0, 0, 0): 1, (0, 1, MAIL): 2}), not_packed=frozenset({1}))
    assert not mailed._packs(X, None) and mailed.not_packed == {1, 3}


def test_what_was_found_is_bounded_by_its_own_worth_at_least(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(running, "extract", lambda *_: decision())
    assert a_run(100.0, 99.0).found().bound == 100.0
    assert a_run(100.0, 120.0).found().bound == 120.0
    assert not a_run(100.0, 100.0).found().optimal
    with pytest.raises(SolverFailed, match="no plan found"):
        a_run(best=None).found()


# --- one run -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("columns", "way"),
    [({"tours": {(0, 0): 0}}, "by_tours"), ({"tour_money": {0: 0}}, "by_cuts"), ({}, "at_once")],
)
@pytest.mark.parametrize(("best", "packed"), [(None, True), (X, True), (None, False)])
def test_a_run_goes_the_way_that_suits_and_stays_home_where_that_finds_nothing(
    columns: dict[str, Any], way: str, best: Any, packed: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    it = a_run(model=model(**columns), best=best, not_packed=frozenset() if packed else frozenset({1}))
    done: list[str] = []
    for name in ("by_tours", "by_cuts", "at_once", "_stay_home"):
        monkeypatch.setattr(it, name, lambda name=name: done.append(name))
    it.solve()
    assert done == [way, *(["_stay_home"] if best is None and packed else [])]


class Tours:
    """A search of tours that gives a plan each step, with ever lower bounds."""

    tree = SimpleNamespace(pooled=SimpleNamespace(linear=None))

    def __init__(self, opens: list[float], seen: int = 0) -> None:
        self.opens, self.seen, self.done, self.asked = opens, [0] * seen, -math.inf, list[tuple[float, float]]()

    @property
    def open(self) -> float:
        return self.opens[0]

    def step(self, objective: float, seconds: float) -> Any:
        self.asked.append((objective, seconds))
        self.opens.pop(0)
        return np.array([objective + 1.0])


def by_tours(monkeypatch: pytest.MonkeyPatch, tours: Tours, **has: Any) -> tuple[Any, list[str]]:
    """A run through sets of tours, and what it did besides."""
    it = a_run(model=model(tours={(0, 0): 0}), **has)
    done: list[str] = []

    def take(x: Any) -> None:
        it.objective = float(x[0])
        done.append("take")

    monkeypatch.setattr(running, "TourSearch", lambda *_: tours)
    monkeypatch.setattr(it, "take", take)
    monkeypatch.setattr(it, "at_once", lambda: done.append("at once"))
    monkeypatch.setattr(it, "tell", lambda: done.append(f"tell {it.bound:g}"))
    it.by_tours()
    return it, done


def test_sets_of_tours_are_looked_at_until_none_left_could_be_better(monkeypatch: pytest.MonkeyPatch) -> None:
    tours = Tours([300.0, 200.0, 150.0, 102.5, 90.0])
    it, done = by_tours(monkeypatch, tours)
    assert done == ["tell 200", "take", "tell 150", "take", "tell 102.5", "take"]
    assert (it.bound, it.objective) == (102.5, 103.0)
    assert tours.asked == [(100.0, 10.0), (101.0, 10.0), (102.0, 10.0)]


def test_the_bound_is_that_of_what_is_open_or_was_planned_or_the_plan_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    tours = Tours([300.0, 50.0])
    tours.done = 100.5
    assert by_tours(monkeypatch, tours)[0].bound == 100.5
    assert by_tours(monkeypatch, Tours([300.0, 50.0]))[0].bound == 100.0


@pytest.mark.parametrize(("steps", "taken"), [(0, 0), (1, 1), (2, 2), (math.inf, 4)])
def test_no_more_steps_are_taken_than_allowed(steps: float, taken: int, monkeypatch: pytest.MonkeyPatch) -> None:
    tours = Tours([300.0, 300.0, 300.0, 300.0, 0.0])
    assert by_tours(monkeypatch, tours, steps=steps)[1].count("take") == taken


def test_after_ten_sets_that_all_look_good_the_rest_is_solved_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    assert by_tours(monkeypatch, Tours([300.0, 0.0], seen=9))[1] == ["tell 100", "take"]
    assert by_tours(monkeypatch, Tours([300.0, 0.0], seen=10))[1] == ["at once"]


def test_without_time_or_with_a_closed_bound_nothing_is_looked_at(
    monkeypatch: pytest.MonkeyPatch, clock: SimpleNamespace
) -> None:
    assert by_tours(monkeypatch, Tours([300.0, 0.0]), until=NOW)[1] == []
    assert by_tours(monkeypatch, Tours([300.0, 0.0]), bound=100.5)[1] == []


@pytest.mark.parametrize(
    ("status", "x", "best", "bound"),
    [
        ("optimal", X, None, 120.0),
        ("limit", X, None, 120.0),
        ("limit", None, X, 120.0),
        ("limit", None, None, 130.0),  # nothing at all is known then
        ("optimal", None, None, 120.0),
    ],
)
def test_a_whole_programme_bounds_plans_where_there_is_one(
    status: str, x: Any, best: Any, bound: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[Any] = []
    answer = SimpleNamespace(status=status, x=x, bound=120.0, objective=-math.inf if x is None else 110.0)

    def solve(*limits: float, cutoff: float) -> Any:
        asked.append((*limits, cutoff))
        return answer

    monkeypatch.setattr(running, "Solver", lambda *_, **__: SimpleNamespace(run=solve))
    it = a_run(100.0, 130.0, best=best)
    taken: list[Any] = []
    monkeypatch.setattr(it, "take", taken.append)
    it.at_once()
    assert it.bound == bound
    assert asked == [(10.0, pytest.approx(0.009), 100.0)]
    assert len(taken) == (x is not None)
    answer.objective = 100.0
    it.at_once()
    assert len(taken) == (x is not None)


# --- beyond twelve places ----------------------------------------------------------------------------


def by_cuts(monkeypatch: pytest.MonkeyPatch, clock: SimpleNamespace, **has: Any) -> tuple[Any, list[str]]:
    """A run through sets of stops, each of which takes a second."""
    stops = SimpleNamespace(
        bound=has.pop("of_stops", 130.0), exhausted=False, trips=2, large=False, edges=SimpleNamespace(proved=131.0)
    )
    vars(stops).update({key: has.pop(key) for key in list(has) if hasattr(stops, key) and key != "bound"})
    ends = has.pop("ends", math.inf)
    it = a_run(model=model(tour_money={0: 0}), **has)
    done: list[str] = []

    def take(_: Any, seconds: float, __: Any) -> None:
        clock.now += 1.0
        done.append(f"stops {seconds:g}")
        stops.exhausted = len(done) >= ends

    monkeypatch.setattr(running, "CutSearch", lambda *_: stops)
    monkeypatch.setattr(it, "_take_stops", take)
    monkeypatch.setattr(it, "_one_trip", lambda seconds: done.append(f"one trip {seconds:g}"))
    it.by_cuts()
    return it, done


def test_after_the_first_stops_one_trip_gets_three_tenths_of_the_time_left(
    monkeypatch: pytest.MonkeyPatch, clock: SimpleNamespace
) -> None:
    it, done = by_cuts(monkeypatch, clock, steps=3)
    assert done == ["stops 10", "one trip 2.7", "stops 9", "stops 8"]
    assert (it.bound, it.exhausted, it.proved) == (130.0, False, 131.0)


@pytest.mark.parametrize("why", [{"trips": 1}, {"large": True}])
def test_one_trip_is_not_looked_for_where_there_is_no_other_or_it_takes_too_long(
    why: dict[str, Any], monkeypatch: pytest.MonkeyPatch, clock: SimpleNamespace
) -> None:
    assert by_cuts(monkeypatch, clock, steps=2, **why)[1] == ["stops 10", "stops 9"]


def test_stops_are_looked_at_until_time_is_up_or_they_run_out(
    monkeypatch: pytest.MonkeyPatch, clock: SimpleNamespace
) -> None:
    assert len(by_cuts(monkeypatch, clock, trips=1)[1]) == 10
    it, done = by_cuts(monkeypatch, clock, trips=1, ends=3)
    assert (it.exhausted, len(done)) == (True, 3)
    assert by_cuts(monkeypatch, clock, of_stops=100.5)[1] == ["stops 10"]  # proven: one trip cannot be worth more
    assert by_cuts(monkeypatch, clock, steps=0)[1] == []


def test_the_search_for_one_trip_ends_with_its_time_its_steps_or_its_bound(
    monkeypatch: pytest.MonkeyPatch, clock: SimpleNamespace
) -> None:
    """Its first stops may take all the time left, better ones what it was given."""
    stops = SimpleNamespace(settled=False, exhausted=False, bound=math.inf)
    asked: list[float] = []
    monkeypatch.setattr(running, "with_one_trip", lambda _: model())
    monkeypatch.setattr(running, "CutSearch", lambda *_: stops)

    def take(_: Any, seconds: float, __: Any) -> None:
        clock.now += 1.0
        asked.append(seconds)
        stops.settled = len(asked) >= 2

    def looked(**has: Any) -> list[float]:
        asked.clear()
        stops.settled, clock.now = False, NOW
        it = a_run(**has)
        monkeypatch.setattr(it, "_take_stops", take)
        it._one_trip(5.0)
        return [*asked]

    assert looked() == [10.0, 9.0, 3.0, 2.0, 1.0]
    assert looked(steps=2) == [10.0, 9.0]
    stops.bound = 101.0
    assert looked() == [] and looked(best=None) == [10.0, 9.0, 3.0, 2.0, 1.0]
    stops.bound = 101.1
    assert looked() == [10.0, 9.0, 3.0, 2.0, 1.0]
    stops.exhausted = True
    assert looked() == []


def test_a_step_is_taken_here_and_once_more_without_its_empty_stops(monkeypatch: pytest.MonkeyPatch) -> None:
    taken: list[Any] = []
    it = a_run(100.0)

    def take(*what: Any) -> None:
        taken.append(what)
        if len(taken) == 2:
            raise SolverFailed("planned already")

    monkeypatch.setattr(it, "take", take)
    asked: list[Any] = []

    def step(objective: float, seconds: float) -> Any:
        asked.append((objective, seconds))
        return (("x", "fixed", "toured"), None, ("y", "fixed", "same"))[len(asked) - 1]

    def without_empty_stops(x: str, toured: str) -> Any:
        return x, "fewer", "same" if toured == "same" else "shorter"

    stops: Any = SimpleNamespace(step=step, without_empty_stops=without_empty_stops)
    for seconds in (7.0, 6.0, 5.0):
        it._take_stops(stops, seconds, lambda better: (*better[:2], "here"))
    assert taken == [("x", "fixed", "here"), ("x", "fewer", "here"), ("y", "fixed", "here")]
    assert asked == [(100.0, 7.0), (100.0, 6.0), (100.0, 5.0)]


# --- all runs ----------------------------------------------------------------------------------------


def found(objective: float, bound: float = 150.0) -> SearchFound:
    """A plan worth so much."""
    return SearchFound(decision(), objective, bound, optimal=False)


def known() -> tuple[_Known, list[Any], list[Any]]:
    """What all runs know, and what was told."""
    progress: list[Any] = []
    plans: list[Any] = []
    return _Known(lambda *it: progress.append(it), lambda it: plans.append((it.objective, it.bound))), progress, plans


def test_the_first_run_tells_what_it_finds_with_its_own_bound() -> None:
    it, progress, plans = known()
    it.progress(90.0, 150.0)
    it.found(found(90.0))
    it.found(found(90.0, 140.0))
    assert (progress, plans) == ([(90.0, 150.0)], [(90.0, 150.0), (90.0, 140.0)])


def test_a_later_run_tells_only_better_plans() -> None:
    it, progress, plans = known()
    it.found(found(90.0))
    it.progress(80.0, 150.0)
    it.found(found(80.0))
    it.progress(90.0, 150.0)
    assert (progress, plans) == ([(90.0, 150.0)], [(90.0, 150.0)])
    assert it.better(found(80.0)).objective == 90.0 and it.better(found(95.0)).objective == 95.0


def test_the_bound_of_a_restricted_run_holds_for_no_other_plan() -> None:
    it, progress, plans = known()
    it.bounded(130.0)
    it.bounded(140.0)
    it.restricted = True
    it.bounded(100.0)
    it.progress(90.0, 100.0)
    it.progress(135.0, 100.0)
    it.found(found(90.0, 100.0))
    assert progress == [(90.0, 130.0), (135.0, 135.0)]
    assert plans == [(90.0, 130.0)]
    assert it.better(found(95.0, 96.0)).bound == 130.0


def test_nobody_has_to_listen() -> None:
    it = _Known(None, None)
    it.progress(1.0, 2.0)
    it.found(found(1.0))
    assert it.better(found(0.0)).objective == 1.0


class Runs:
    """Runs that each take four seconds, the first of which cannot pack what goes to buyer 3."""

    def __init__(self, clock: SimpleNamespace, packs: Iterator[frozenset[int]]) -> None:
        self.clock, self.packs, self.seconds, self.packed = clock, packs, list[float](), list[frozenset[int]]()
        self.better: float | None = None  # than a plan that is known
        self.made: list[Any] = []

    def programmes(self, _: Any, packed: frozenset[int], known: Any) -> Any:
        self.packed.append(packed)
        return SimpleNamespace(model=SimpleNamespace(restricted=False))

    def __call__(self, _: Any, seconds: float, *___: Any) -> Any:
        self.seconds.append(seconds)
        self.clock.now += 4.0
        it = SimpleNamespace(not_packed=next(self.packs), bound=130.0, best=self.better)
        it.solve, it.found, it.learned = lambda: None, lambda: found(self.better or 90.0), lambda _: None
        self.made.append(it)
        return it

    def stand_in(self, monkeypatch: pytest.MonkeyPatch, hasty: Any = None) -> None:
        """For every run of a search, after a plan made in haste where one is given."""
        monkeypatch.setattr(searching, "SearchRun", self)
        monkeypatch.setattr(searching, "Programmes", self.programmes)
        monkeypatch.setattr(searching, "in_haste", lambda *_: hasty)


def test_a_run_gets_the_time_that_is_left_and_packs_what_the_one_before_could_not(
    monkeypatch: pytest.MonkeyPatch, clock: SimpleNamespace
) -> None:
    runs = Runs(clock, iter([frozenset({3}), frozenset({5}), frozenset[int]()]))
    runs.stand_in(monkeypatch)
    monkeypatch.setattr(searching, "_compared", lambda _, found: found)
    told: list[Any] = []
    answer = search(None, 10.0, on_found=told.append)  # type: ignore[arg-type]
    assert runs.seconds == [10.0, 6.0, 2.0]
    assert runs.packed == [frozenset(), {3}, {3, 5}]
    assert told == [answer] and answer.bound == 130.0


def test_what_cannot_be_packed_twice_is_refused(monkeypatch: pytest.MonkeyPatch, clock: SimpleNamespace) -> None:
    runs = Runs(clock, iter([frozenset({3}), frozenset({3})]))
    runs.stand_in(monkeypatch)
    with pytest.raises(SolverFailed, match="parcels"):
        search(None, 10.0)  # type: ignore[arg-type]


def test_a_plan_made_in_haste_is_told_first_and_is_the_least_that_runs_look_for(
    monkeypatch: pytest.MonkeyPatch, clock: SimpleNamespace
) -> None:
    """A run that finds nothing better leaves it as it is, with the bound of the run; a better plan replaces it."""
    hasty = found(100.0, math.inf)
    for better in (None, 101.0):
        runs = Runs(clock, iter([frozenset[int]()]))
        runs.better = better
        runs.stand_in(monkeypatch, hasty)
        monkeypatch.setattr(searching, "_compared", lambda _, found: found)
        told: list[Any] = []
        answer = search(None, 10.0, on_found=told.append)  # type: ignore[arg-type]
        assert told[0] is hasty and told[-1] is answer
        assert (answer.objective, answer.bound) == (better or 100.0, 130.0)
        assert [(run.objective, run.elsewhere) for run in runs.made] == [(100.0, True)]


# --- what was proved at other prices -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("bound", "ended"), [(100.0, True), (101.0, True), (101.1, False), (99.9, False), (math.inf, False)]
)
def test_what_was_proved_ends_a_search_within_its_slack_unless_the_plan_refutes_it(bound: float, ended: bool) -> None:
    said = SimpleNamespace()
    it = a_run(100.0, known=SimpleNamespace(said=said))
    it._end_by(MovedBound(150.0, bound))
    assert (it.bound, it.proved, it.said) == ((bound, 150.0, said) if ended else (math.inf, math.inf, None))


def test_a_row_that_says_nothing_of_today_ends_nothing() -> None:
    it = a_run(100.0, known=SimpleNamespace(said=SimpleNamespace(row=lambda *_: None)))
    tree: Any = SimpleNamespace(pooled=SimpleNamespace(linear=None))
    assert it._moved_in(tree) is None
    it._end_by(None)
    assert (it.bound, it.said) == (math.inf, None)


@pytest.mark.parametrize("moved", [None, MovedBound(150.0, 101.0), MovedBound(150.0, 102.0)])
def test_a_tree_is_asked_for_its_root_where_the_one_of_then_says_nothing_of_today(
    moved: MovedBound | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """102 is beyond the slack of 1 above a plan of 100; where the bound of then ends the search no tree is made."""
    known = SimpleNamespace(said=SimpleNamespace(row=lambda *_: ((), 0.0)), root=SimpleNamespace())
    asked: list[Any] = []
    tours: Any = Tours([300.0, 50.0])

    def proved(*row: Any) -> tuple[float, float]:
        asked.append(row)
        return 150.0, 100.5

    tours.tree = SimpleNamespace(pooled=SimpleNamespace(linear=None), proved=proved)
    monkeypatch.setattr(running, "moved", lambda *_: moved)
    monkeypatch.setattr(SearchRun, "_begin_with_known", lambda _: None)
    it, done = by_tours(monkeypatch, tours, known=known)
    assert asked == ([((), 0.0)] if moved is None else [])
    assert bool(done) == (moved is not None and moved.both > 101.0)
    assert (it.tree is None) == (moved is not None and moved.both <= 101.0)
