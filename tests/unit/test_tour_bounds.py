"""Rows that bound driving, where tours are not listed: their numbers by hand on one road, their truth by trying orders.

Thirteen yards stand a kilometre apart on one road that starts at home. The rows are those of the module's own page;
that a tour of some stops is no shorter than the row says is tried for all of them.
"""

from __future__ import annotations

import datetime as dt
import itertools
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from partway.planning.instance.build import build
from partway.planning.model.milp import Model, formulate
from partway.planning.search import cut_search
from partway.planning.search.cut_search import CutSearch
from partway.planning.search.tour_bounds import TourCuts, half_legs
from partway.planning.tours.tours import Tour
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Hours, Quote, Scenario, Vehicle

DAY = dt.date(2026, 3, 14)
DEGREE = 180.0 / (np.pi * 6371.0088)  # of latitude to a kilometre
KM = 0.1 + 6.0 / 60.0  # what one costs: fuel, and a minute at 6 an hour


def on_one_road(trips: int = 2, **hours: Any) -> Scenario:
    """Yards 1 to 13 km out, six minutes each, that all take the one grade there is. Invented, on open sea."""
    quotes = (Quote("iron", Estimate.exact(1.0), DAY),)
    buyers = (
        Buyer(f"y{i}", "yard", at=(30.0 + DEGREE * (i + 1), -40.5), minutes=6.0, quotes=quotes) for i in range(13)
    )
    return Scenario(
        name="one road",
        currency="EUR",
        on=DAY,
        hours=Hours(1.0, 9.0, 6.0, trips, **hours),
        vehicle=Vehicle(500.0, cost_per_km=0.1, kmh=60.0, road_factor=1.0),
        buyers=tuple(buyers),
        finds=(),
        stock={"iron": 100.0},
        grades={"iron": Grade("iron", "iron", "ferrous", Estimate.exact(0.5))},
        anatomies={},
        home=(30.0, -40.5),
        keep_factor=0.0,
    )


def made(trips: int = 2, **hours: Any) -> tuple[Model, TourCuts]:
    """The programme and its rows, none added yet."""
    model = formulate(build(on_one_road(trips, **hours)))
    return model, TourCuts(model)


def rows(model: Model, family: str) -> list[tuple[dict[str, float], float, float]]:
    """Each row of a family by the names of its columns, with its sides."""
    linear = model.linear
    return [
        ({linear.names[c]: v for c, v in linear.rows[r]}, linear.row_lower[r], linear.row_upper[r])
        for r, name in enumerate(linear.row_families)
        if name == family
    ]


def money(k: int) -> dict[str, float]:
    """What a trip's driving costs: its kilometres and its hours at the wage."""
    return {f"tour_money({k})": 1.0, f"tour_hours({k})": 6.0}


def visits(k: int, each: dict[int, float]) -> dict[str, float]:
    """Yards that a trip stops at, with a figure each."""
    return {f"visit(y{b}.{k})": value for b, value in each.items()}


def test_half_of_what_it_takes_to_enter_and_leave_each_place() -> None:
    near, far, two = [0.0, 1.0, 5.0], [0.0, 4.0, 4.0], [[0.0, 3.0], [3.0, 0.0]]
    assert half_legs(np.array([near, [1.0, 0.0, 6.0], [5.0, 6.0, 0.0]])).tolist() == [0.0, 1.0, 5.0]  # out and back
    assert half_legs(np.array([far, [4.0, 0.0, 1.0], [4.0, 1.0, 0.0]])).tolist() == [0.0, 2.5, 2.5]  # 4 and 1
    assert half_legs(np.array(two)).tolist() == [0.0, 3.0]


def test_a_trip_is_no_shorter_than_half_the_ways_of_its_stops_nor_than_out_and_back() -> None:
    """A kilometre in and one out for all but the last yard, which has one and two."""
    model, cuts = made()
    cuts.add_legs()
    half = {b: 1.0 if b < 12 else 1.5 for b in range(13)}
    expected = []
    for k in (1, 2):
        for driving, unit in ((money(k), KM), ({f"tour_hours({k})": 1.0}, 1.0 / 60.0)):
            expected.append({**driving, **visits(k, {b: -unit * km for b, km in half.items()})})
            expected += [{**driving, **visits(k, {b: -unit * 2.0 * (b + 1)})} for b in range(13)]
    found = rows(model, "legs")
    assert len(found) == len(expected) == 56
    for (terms, low, high), wanted in zip(found, expected, strict=True):
        assert terms == pytest.approx(wanted) and (low, high) == (0.0, np.inf)
    assert rows(model, "trip_hours") == []


def test_the_hours_of_each_trip_are_driving_and_a_tenth_at_each_stop() -> None:
    model, cuts = made(trip=2.5)
    cuts.add_legs()
    found = rows(model, "trip_hours")
    assert [terms for terms, _, _ in found] == [
        pytest.approx({f"tour_hours({k})": 1.0, **visits(k, dict.fromkeys(range(13), 0.1))}) for k in (1, 2)
    ]
    assert [sides for _, *sides in found] == [[-np.inf, 2.5]] * 2


def test_a_row_of_a_set_of_stops_is_new_once_and_the_same_for_every_trip() -> None:
    """Yards 1 and 4: eight kilometres for both, two back for want of the first and eight of the second."""
    model, cuts = made()
    stops = frozenset({0, 3})
    assert cuts.add_tours((stops, frozenset())) == 1
    assert cuts.add_tours((stops, stops)) == 0
    found = rows(model, "tours")
    assert len(found) == 4
    cases = [(k, money(k), KM) for k in (1, 2)] + [(k, {f"tour_hours({k})": 1.0}, 1.0 / 60.0) for k in (1, 2)]
    for k, driving, unit in cases:
        expected = {**driving, **visits(k, {0: -2.0 * unit, 3: -8.0 * unit})}
        ((low, high),) = [sides for terms, *sides in found if terms == pytest.approx(expected)]
        assert low == pytest.approx(unit * (8.0 - 10.0)) and high == np.inf


def test_a_set_of_any_number_of_stops_has_its_rows() -> None:
    """All thirteen: 26 kilometres, and out and back to each of them that is missing."""
    model, cuts = made()
    assert cuts.add_tours((frozenset(range(13)), frozenset({1}))) == 2
    lows = [low for terms, low, _ in rows(model, "tours") if len(terms) == 15]
    assert lows == pytest.approx([KM * (26.0 - sum(2.0 * (b + 1) for b in range(13)))] * 2)


def test_no_tour_is_shorter_than_its_rows_say_and_that_of_the_set_itself_is_as_long() -> None:
    rng = np.random.default_rng(7)
    at = np.vstack([[0.0, 0.0], rng.uniform(-9.0, 9.0, (13, 2))])
    model, cuts = made(1)
    cuts.cost = np.linalg.norm(at[:, None] - at[None, :], axis=2)
    cuts.hours = cuts.cost / 40.0
    cuts.add_legs()
    chosen = frozenset({1, 4, 7, 9})
    cuts.add_tours((chosen,))
    some = [1, 4, 7, 9, 11]
    for stops in (s for n in range(1, 6) for s in itertools.combinations(some, n)):
        orders = ([0, *(b + 1 for b in order), 0] for order in itertools.permutations(stops))
        least = min(sum(cuts.cost[a, b] for a, b in itertools.pairwise(order)) for order in orders)
        x = {f"visit(y{b}.1)": 1.0 for b in stops}
        for hours, unit in ((0.0, 1.0), (least / 40.0, 40.0)):
            x |= {"tour_money(1)": least - 6.0 * hours, "tour_hours(1)": hours}
            for family in ("legs", "tours"):
                for terms, low, _ in rows(model, family):
                    is_hours = "tour_money(1)" not in terms
                    if is_hours == (unit == 40.0):
                        over = sum(v * x.get(name, 0.0) for name, v in terms.items()) - low
                        assert over >= -1e-9
                        if family == "tours" and frozenset(stops) == chosen:
                            assert over == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(
    ("trips", "stops", "count"),
    [(1, ("0",), 1), (2, ("01", "2"), 2), (2, ("01", "01"), 1), (3, ("0", "1", "2"), 6), (4, ("0", "1", "2", "3"), 1)],
)
def test_what_was_planned_is_excluded_in_every_order_of_up_to_three_trips(
    trips: int, stops: tuple[str, ...], count: int
) -> None:
    model, cuts = made(trips)
    cuts.exclude(tuple(frozenset(map(int, trip)) for trip in stops))
    found = rows(model, "excluded")
    assert len(found) == count
    orders = {tuple(order) for order in (itertools.permutations(stops) if trips < 4 else [stops])}
    for order in orders:
        signs: dict[str, float] = {}
        for k, trip in enumerate(order, start=1):
            signs |= visits(k, {b: 1.0 if str(b) in trip else -1.0 for b in range(13)})
        assert (signs, -np.inf, sum(map(len, stops)) - 1.0) in found


def test_fixed_tours_visit_their_stops_and_cost_what_they_cost() -> None:
    model, cuts = made()
    stops = frozenset({0, 3}), frozenset[int]()
    tour = cuts.tour(stops[0])
    fixed = cuts.fixed(stops, {0: tour, 1: None})
    named = {model.linear.names[c]: bounds for c, bounds in fixed.items()}
    assert all(low == high for low, high in named.values())
    expected = {f"visit(y{b}.{k})": float(k == 1 and b in (0, 3)) for b in range(13) for k in (1, 2)}
    expected |= {"tour_money(1)": 0.8, "tour_hours(1)": 8.0 / 60.0, "tour_money(2)": 0.0, "tour_hours(2)": 0.0}
    assert {name: low for name, (low, _) in named.items()} == pytest.approx(expected)


def test_the_tours_of_some_buyers() -> None:
    _, cuts = made()
    tour = cuts.tour({2, 0, 5})
    assert tour.km == pytest.approx(12.0) and tour.hours == pytest.approx(0.2)
    assert cuts.quickest({2, 0, 5}).km == pytest.approx(12.0)
    assert cuts.buyers(tour) == {0, 2, 5} and cuts.buyers(None) == frozenset()
    assert (cuts.place(4), cuts.room, cuts.wage) == (5, (500.0, np.inf), 6.0)
    assert cuts.front(frozenset()) == [None]
    assert cuts.front(frozenset({0, 2, 5})) == [tour]
    assert cuts.every_tour(frozenset(range(12)))
    volume = replace(on_one_road(), vehicle=Vehicle(500.0, 70.0, cost_per_km=0.1, kmh=60.0))
    assert TourCuts(formulate(build(volume))).room == (500.0, 70.0)


def test_where_hours_do_not_follow_kilometres_up_to_eight_stops_have_every_tour() -> None:
    _, cuts = made()
    cuts.roads = replace(cuts.roads, uniform=False)
    eight, nine = frozenset(range(8)), frozenset(range(9))
    assert cuts.every_tour(eight) and not cuts.every_tour(nine)
    assert [tour.km for tour in cuts.front(eight) if tour] == [pytest.approx(16.0)]
    cuts.roads = replace(cuts.roads, complete=False)
    assert not cuts.every_tour(eight)


def test_beyond_eight_stops_the_cheapest_tour_and_a_quicker_one(monkeypatch: pytest.MonkeyPatch) -> None:
    _, cuts = made()
    cuts.roads = replace(cuts.roads, uniform=False)
    cheap, quick = Tour((1,), 1.0, 2.0, (0, 1, 0)), Tour((1,), 3.0, 1.0, (0, 1, 0))
    monkeypatch.setattr(cuts, "tour", lambda _: cheap)
    monkeypatch.setattr(cuts, "quickest", lambda _: quick)
    assert cuts.front(frozenset(range(9))) == [cheap, quick]
    assert cuts.front(frozenset(range(9))) is cuts.front(frozenset(range(9))), "worked out once"
    monkeypatch.setattr(cuts, "quickest", lambda _: replace(quick, hours=2.0))
    assert cuts.front(frozenset(range(10))) == [cheap]


def test_without_a_vehicle_there_is_nothing_to_bound() -> None:
    with pytest.raises(ValueError, match="without a vehicle"):
        TourCuts(formulate(build(replace(on_one_road(), vehicle=None))))


# --- the search that uses them -----------------------------------------------------------------------

CHEAP, QUICK = Tour((1,), 1.0, 4.0, (0, 1, 0)), Tour((1,), 3.0, 2.0, (0, 1, 0))
A, B, NOBODY = frozenset({0}), frozenset({1}), frozenset[int]()


def searching(**has: Any) -> Any:
    """A search whose tours of one buyer are a cheap one of 4 hours and a quick one of 2, an hour on site each."""
    hours = SimpleNamespace(away=has.pop("away", 99.0), one_trip=has.pop("one_trip", 99.0))
    instance = SimpleNamespace(scenario=SimpleNamespace(hours=hours), on_site_hours=lambda _: 1.0)
    cuts = SimpleNamespace(front=lambda s: [CHEAP, QUICK] if s else [None])
    it = object.__new__(CutSearch)
    vars(it).update({"model": SimpleNamespace(instance=instance), "cuts": cuts, **has})
    return it


@pytest.mark.parametrize(
    ("limits", "tour"),
    [
        ({}, CHEAP),
        ({"away": 10.0}, CHEAP),  # two trips of 4 hours and an hour on site
        ({"away": 9.9}, QUICK),
        ({"one_trip": 5.0}, CHEAP),
        ({"one_trip": 4.9}, QUICK),
    ],
)
def test_the_cheapest_tours_are_driven_unless_they_are_too_long(limits: dict[str, float], tour: Tour) -> None:
    assert searching(**limits)._toured((A, B)) == {0: tour, 1: tour}


def test_who_stays_home_drives_no_tour() -> None:
    assert searching()._toured((A, NOBODY)) == {0: CHEAP, 1: None}
    assert searching(one_trip=3.0)._toured((A, NOBODY)) == {0: QUICK, 1: None}
    assert searching()._fronts((A, B)) == 4 and searching()._fronts((A, NOBODY)) == 2


def test_a_bound_only_falls() -> None:
    it = searching(bound=np.inf)
    it._bounded(9.0)
    it._bounded(10.0)
    assert it.bound == 9.0


@pytest.mark.parametrize(
    ("large", "settled", "ranked", "exhausted"),
    [(True, True, [], True), (False, True, [], False), (True, False, [], False), (True, True, [1], False)],
)
def test_a_large_search_ends_when_all_that_was_ranked_is_planned(
    large: bool, settled: bool, ranked: list[int], exhausted: bool
) -> None:
    assert searching(large=large, settled=settled, ranked=ranked).exhausted == exhausted


@pytest.mark.parametrize("large", [True, False])
def test_stops_are_tried_quickly_then_the_best_of_them_is_planned_then_the_whole(large: bool) -> None:
    """A small programme tries eight ways to share out and plans the best one; a large one tries and plans all."""
    done: list[str] = []
    ways = [(frozenset({n}),) for n in range(10)]
    it = searching(proposals=None, tried={ways[3]}, ranked=[], settled=False, large=large, bound=np.inf)
    vars(it).update({"edges_over": False, "climbed": False, "planned": None, "tight": False, "gap": 1e-3})
    it.edges = SimpleNamespace(relax=lambda _: done.append("relax"), bound=7.0)
    it.climb = SimpleNamespace(new=False)

    def quick(stops: tuple[frozenset[int], ...], *_: float) -> None:
        (b,) = stops[0]
        it.tried.add(stops)
        it.ranked.append((b, b, stops))
        done.append(f"quick {b}")

    it._shares = lambda _: iter(ways)
    it._quick = quick
    it._best = lambda stops, *_: done.append(f"best {min(stops[0])}")
    it._by_edges = lambda *_: done.append("edges")
    it._whole = lambda *_: done.append("whole")

    def tighter(*_: float) -> None:
        it.tight = True
        done.append("tighter")

    it._tighter = tighter
    for n in range(20):
        it.edges_over = n >= 17
        it.step(0.0, 1.0)
    quickly = [f"quick {b}" for b in range(10 if large else 8) if b != 3]
    best = [f"best {b}" for b in range(10) if b != 3]
    whole = [*best[:1], "tighter", *["edges"] * 9, *["whole"] * 3]
    assert done == ["relax", *quickly, *(best if large else whole)] and it.bound == 7.0


def test_stops_worked_out_from_home_go_ahead_where_there_are_some() -> None:
    done: list[Any] = []
    it = searching(proposals=None, bound=np.inf, gap=1e-3)
    it.edges = SimpleNamespace(relax=lambda _: done.append("relax"), bound=7.0)
    it._shares, it._first = lambda _: iter([]), lambda *_: None
    it._quick = lambda stops, *_: done.append(stops)
    for stops in ((frozenset({2}),), None):
        it.proposals, it.climb = None, SimpleNamespace(new=True, from_home=lambda s=stops: s)
        it.step(0.0, 1.0)
    assert done == [(frozenset({2}),), "relax"]


@pytest.mark.parametrize(("objective", "tried"), [(-np.inf, 1), (5.0, 1), (6.9, 0)])
def test_stops_are_not_tried_where_a_plan_is_known_that_is_near_enough(objective: float, tried: int) -> None:
    """The bound is 7.0, and a tenth is near enough."""
    done: list[str] = []
    it = searching(proposals=None, large=True, bound=np.inf, gap=0.1)
    it.climb = SimpleNamespace(new=False)
    it.edges = SimpleNamespace(relax=lambda _: done.append("relax"), bound=7.0)
    it._shares = lambda _: iter(())
    it._first = lambda *_: done.append("first")
    it.step(objective, 1.0)
    assert done == ["relax", *["first"] * tried]


def empty_stops(kg: dict[int, float], toured: dict[int, Any]) -> Any:
    """Two lots to two buyers on one trip, the first with a yes or no; and one by mail, with one too."""
    columns = SimpleNamespace(
        lots={(0, 0, 0): 0, (1, 0, 0): 1, (2, 0, -1): 2}, lot_taken={(0, 0, 0): 3, (2, 0, -1): 4, (1, 0, 0): 5}
    )
    lots = [SimpleNamespace(buyer=b) for b in (0, 1, 2)]
    cuts = SimpleNamespace(
        front=lambda s: {A: [CHEAP, QUICK], B: [QUICK], NOBODY: [None]}.get(s, [CHEAP]),
        buyers=lambda tour: NOBODY if tour is None else A,
        fixed=lambda stops, tours: {"stops": stops, "tours": tours},
    )
    it = searching(cuts=cuts, trips=1)
    it.model = SimpleNamespace(columns=columns, instance=SimpleNamespace(lots=lots))
    x = np.ones(6)
    for c, value in kg.items():
        x[c] = value
    found, fixed, tours = it.without_empty_stops(x, toured)
    return found.tolist(), fixed["stops"], tours


def test_stops_without_a_sale_are_dropped_unless_the_shorter_list_takes_longer() -> None:
    long = replace(CHEAP, hours=9.0)
    assert empty_stops({}, {0: long})[2] == {0: CHEAP}  # both sell: the cheapest of both
    assert empty_stops({1: 0.0}, {0: long})[2] == {0: CHEAP}
    assert empty_stops({1: 0.0}, {0: replace(CHEAP, hours=3.0)})[2] == {0: QUICK}
    short = replace(CHEAP, hours=1.0)
    assert empty_stops({1: 0.0}, {0: short})[2] == {0: short}
    assert empty_stops({1: 0.0}, {0: replace(CHEAP, hours=2.0)})[2] == {0: QUICK}
    assert empty_stops({0: 0.0, 1: 0.0}, {0: long})[1:] == ((NOBODY,), {0: None})


def test_what_is_sold_nowhere_has_no_tier_and_what_is_posted_stays() -> None:
    x, stops, _ = empty_stops({0: 0.0}, {0: CHEAP})
    assert (x[3], x[5]) == (0.0, 1.0) and stops == (A,)
    x, _, _ = empty_stops({1: 1e-7, 2: 0.0}, {0: CHEAP})
    assert (x[3], x[4], x[5]) == (1.0, 0.0, 0.0)


class Planned:
    """Fixed tours that answer as told, by the tours they fix."""

    def __init__(self, answers: dict[Any, tuple[float | None, float]]) -> None:
        self.answers, self.asked = answers, list[tuple[Any, ...]]()

    def __call__(self, _: Any, fixed: Any) -> Any:
        objective, bound = self.answers[fixed]
        x = None if objective is None else np.array([objective])
        answer = SimpleNamespace(x=x, objective=-np.inf if objective is None else objective, bound=bound)

        def step(*limits: float) -> Any:
            self.asked.append((fixed, *limits))
            return answer

        return SimpleNamespace(best=step, nearest=step, guess=step, tours=fixed)


def planning(monkeypatch: pytest.MonkeyPatch, answers: dict[Any, tuple[float | None, float]]) -> tuple[Any, Planned]:
    """A search whose fixed tours are named by the tours of each trip: c for the cheap one, q for the quick one."""
    planned = Planned(answers)
    clock = itertools.count(100.0)
    monkeypatch.setattr(cut_search, "FixedTours", planned)
    monkeypatch.setattr(cut_search, "time", SimpleNamespace(monotonic=lambda: next(clock)))
    names = {None: "-", CHEAP: "c", QUICK: "q"}
    it = searching(tried=set(), ranked=[], done=-np.inf, gap=0.01)
    it.cuts.fixed = lambda _, toured: "".join(names[tour] for tour in toured.values())
    return it, planned


def test_the_best_of_some_stops_is_looked_for_over_all_their_tours(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each set of tours has what is left of ten seconds, a half of the gap, and has to beat the best before it."""
    it, planned = planning(monkeypatch, {"cc": (5.0, 8.0), "cq": (7.0, 9.0), "qc": (None, 6.0), "qq": (6.5, 7.0)})
    x, fixed, toured = it._best((A, B), 4.0, 10.0)
    assert (x.tolist(), fixed, toured) == ([7.0], "cq", {0: CHEAP, 1: QUICK})
    assert it.done == 9.0 and it.tried == {(A, B)}
    assert planned.asked == [("cc", 9.0, 0.005, 4.0), ("cq", 8.0, 0.005, 5.0), ("qc", 7.0, 0.005, 7.0),
                             ("qq", 6.0, 0.005, 7.0)]  # fmt: skip
    assert it._best((A, B), 7.0, 1.0) is None and it.done == 9.0
    assert [seconds for _, seconds, *_ in planned.asked[4:]] == [0.0] * 4


def test_no_more_than_sixty_four_ways_to_choose_tours_are_planned(monkeypatch: pytest.MonkeyPatch) -> None:
    it, planned = planning(monkeypatch, {"".join(ways): (1.0, 1.0) for ways in itertools.product("cq", repeat=7)})
    it._best((A,) * 7, 0.0, 10.0)
    assert len(planned.asked) == 64


@pytest.mark.parametrize(
    ("objective", "steps", "better"),
    [(4.0, 2, True), (5.0, 2, False), (8.0, 1, False), (9.0, 1, False)],
)
def test_stops_are_planned_quickly_where_their_relaxation_is_worth_more(
    objective: float, steps: int, better: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Their relaxation is worth 8 and their plan 5."""
    it, planned = planning(monkeypatch, {"c-": (5.0, 8.0)})
    found = it._quick((A, NOBODY), objective, 3.0)
    assert (found is not None) == better and (not better or found[1:] == ("c-", {0: CHEAP, 1: None}))
    assert planned.asked == [("c-", 3.0), ("c-", 3.0, 1e-4, objective)][:steps]
    assert it.ranked == [(-8.0, 1, (A, NOBODY))] and it.tried == {(A, NOBODY)}


def wholly(monkeypatch: pytest.MonkeyPatch, x: list[float] | None, new: int, **has: Any) -> tuple[Any, list[Any]]:
    """The whole programme of two buyers and two trips, what it answers, and what is done with the stops it chooses."""
    it, _ = planning(monkeypatch, {})
    done: list[Any] = []
    answer = SimpleNamespace(x=None if x is None else np.array(x), objective=20.0, bound=30.0)

    def run(seconds: float, gap: float, cutoff: float) -> Any:
        done.append((seconds, round(gap, 9), cutoff))
        return answer

    monkeypatch.setattr(cut_search, "Solver", lambda *_, **__: SimpleNamespace(run=run))
    facts = {"settled_stops": [], "trips": 2, "first": None, "bound": np.inf, **has}
    vars(it).update(facts)
    it.model.linear = None
    it.model.columns = SimpleNamespace(visits={(0, 0): 0, (1, 0): 1, (0, 1): 2, (1, 1): 3})
    it.cuts.add_tours = lambda _: new
    it.cuts.exclude = lambda stops: done.append(("excluded", stops))
    it.cuts.every_tour = lambda stops: stops != B

    def best(*what: Any) -> str:
        done.append(what)
        return "best"

    it._best = best
    return it, done


def test_the_whole_programme_has_half_the_time_where_there_is_much(monkeypatch: pytest.MonkeyPatch) -> None:
    for seconds, some in ((1.9, 1.9), (2.0, 1.0), (10.0, 5.0)):
        it, done = wholly(monkeypatch, None, 0)
        assert it._whole(10.0, seconds) is None
        assert done == [(some, 0.004, pytest.approx(10.05))]
        assert it.bound == 30.0
    it, done = wholly(monkeypatch, None, 0, done=40.0)
    assert it._whole(0.5, 10.0) is None and it.bound == 40.0
    assert done == [(5.0, 0.004, pytest.approx(0.505))]
    it, done = wholly(monkeypatch, None, 0)
    it._whole(-np.inf, 10.0)
    assert done[0][2] == -np.inf


def test_stops_that_are_new_are_planned_and_those_that_come_again_settled(monkeypatch: pytest.MonkeyPatch) -> None:
    it, done = wholly(monkeypatch, [1.0, 0.0, 0.0, 0.0], 1)
    assert it._whole(10.0, 10.0) == "best"
    assert done[1:] == [((A, NOBODY), 10.0, 9.0)] and not it.settled_stops
    it, done = wholly(monkeypatch, [1.0, 0.4, 0.0, 0.0], 0)
    assert it._whole(10.0, 10.0) == "best"
    assert it.settled_stops == [(A, NOBODY)] and it.done == -np.inf
    it._whole(10.0, 10.0)
    assert done[2] == ("excluded", (A, NOBODY)) and it.settled_stops == [(A, NOBODY)]


def test_where_not_every_tour_was_planned_the_bound_stays_what_it_was(monkeypatch: pytest.MonkeyPatch) -> None:
    it, _ = wholly(monkeypatch, [1.0, 0.0, 0.0, 1.0], 0)
    it._whole(10.0, 10.0)
    assert it.settled_stops == [(A, B)] and it.done == 30.0
    it, _ = wholly(monkeypatch, [1.0, 0.0, 1.0, 0.0], 0)
    it._fronts = lambda _: 64
    it._whole(10.0, 10.0)
    assert it.done == -np.inf
    it._fronts = lambda _: 65
    it._whole(10.0, 10.0)
    assert it.done == 30.0


def test_new_stops_are_made_to_fit_and_not_planned_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    first = SimpleNamespace(fitting=lambda _: iter([(NOBODY, NOBODY)]))
    it, done = wholly(monkeypatch, [1.0, 0.0, 0.0, 0.0], 1, first=first)
    assert it._whole(10.0, 10.0) == "best" and done[1][0] == (NOBODY, NOBODY)
    it.tried = {(NOBODY, NOBODY)}
    assert it._whole(10.0, 10.0) is None


def test_any_number_of_stops_is_planned(monkeypatch: pytest.MonkeyPatch) -> None:
    it, done = wholly(monkeypatch, [1.0] * 13, 1)
    it.model.columns.visits = {(b, 0): b for b in range(13)}
    assert it._whole(10.0, 10.0) == "best"
    assert done[1] == ((frozenset(range(13)), NOBODY), 10.0, 9.0)


def test_what_is_no_better_is_not_looked_into(monkeypatch: pytest.MonkeyPatch) -> None:
    it, done = wholly(monkeypatch, [1.0, 0.0, 0.0, 0.0], 1)
    assert it._whole(20.0, 10.0) is None and len(done) == 1
    assert it._whole(19.95, 10.0) is None and it._whole(19.89, 10.0) == "best"


def test_without_a_relaxation_or_trips_there_are_no_stops_to_try() -> None:
    assert list(searching(edges=SimpleNamespace(x=None), trips=2)._shares(1.0)) == []
    assert list(searching(edges=SimpleNamespace(x=np.array([1.0])), trips=0)._shares(1.0)) == []


def test_rows_of_the_legs_are_added_once_to_a_programme_and_once_to_its_relaxation() -> None:
    model, other = (formulate(build(on_one_road(1))) for _ in range(2))
    CutSearch(model, model, 0.01)
    assert len(rows(model, "legs")) == 28
    it = CutSearch(model, other, 0.01)
    assert len(rows(other, "legs")) == 28 and len(rows(model, "legs")) == 56
    assert (it.trips, it.large, it.bound, it.done) == (1, False, np.inf, -np.inf)
    assert (it.first, it.proposals, it.edges.x, it.settled, it.planned) == (None, None, None, False, None)
