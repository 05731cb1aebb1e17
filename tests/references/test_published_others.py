"""Instances that others published, read by their formats, and other solvers on the same ones.

The formats are those that `benchmarks/published_points.py` and `published_knapsacks.py` name; the instances here are
made by hand, with their best figures worked out by hand, or drawn, and then solved by all.
"""

from __future__ import annotations

import importlib
import importlib.util
import itertools
import math
import random
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.search.search import search

BENCHMARKS = Path(__file__).parents[2] / "benchmarks"
LONG = 600.0


def _benchmark(name: str) -> ModuleType:
    sys.path.insert(0, str(BENCHMARKS))
    try:
        known = importlib.util.spec_from_file_location(f"benchmark_{name}", BENCHMARKS / f"{name}.py")
        assert known is not None and known.loader is not None
        module = sys.modules[f"benchmark_{name}"] = importlib.util.module_from_spec(
            known
        )  # tests have a published.py, too
        known.loader.exec_module(module)
        return module
    finally:
        sys.path.remove(str(BENCHMARKS))


SETS, PLAIN, PUBLISHED = _benchmark("published_sets"), _benchmark("published_plain"), _benchmark("published")


def written(folder: Path, name: str, text: str) -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def best(one: Any) -> float:
    """The published figure of the best plan, which is proven."""
    instance = build(one.scenario)
    found = search(instance, LONG, 1e-9)
    assert found.optimal
    return float(one.figure(verify(instance, found.decision).money.total))


# --- orienteering ------------------------------------------------------------------------------------

POINTS = "{limit} 1\n0 0 0\n10 0 0\n5 0 5\n9 0 7\n5 6 20\n"


@pytest.mark.parametrize(("limit", "score"), [(9.9, 0), (10.0, 12), (15.0, 12), (15.7, 20), (16.1, 27), (18.9, 32)])
def test_a_trip_ends_where_the_file_says(tmp_path: Path, limit: float, score: float) -> None:
    """5 and 7 lie on the way of 10. 20 takes 2 x 7.81 = 15.62; with 7 behind it 7.81 + 7.21 + 1 = 16.02; with 5 between
    them 7.81 + 6 + 4 + 1 = 18.81. Back to the start 5 alone would take 10, and 7 take 18.
    """
    one = SETS.read(written(tmp_path, "open.txt", POINTS.format(limit=limit)))
    assert (one.kind, one.problem.end) == ("orienteering", 5)
    assert best(one) == pytest.approx(score)


def test_a_start_that_is_the_end_makes_a_round(tmp_path: Path) -> None:
    """9 away and back takes 18; 5 lies on the way."""
    one = SETS.read(written(tmp_path, "round.txt", "18 1\n0 0 0\n0 0 0\n5 0 5\n9 0 7\n5 6 20\n"))
    assert one.problem.end == 1 and one.scenario.end is None
    assert best(one) == pytest.approx(20.0)  # 2 x 7.81 = 15.62; 5 and 20 together 5 + 6 + 7.81 = 18.81


TEAM = "n 6\nm {trips}\ntmax {limit}\n0 0 0\n5 3 5\n5 -3 6\n9 0 7\n5 5 50\n10 0 0\n"


@pytest.mark.parametrize(
    ("trips", "limit", "score"), [(1, 12, 13), (2, 12, 18), (3, 12, 18), (2, 14.2, 63), (2, 9.5, 0)]
)
def test_several_trips_of_a_team_end_where_the_file_says(
    tmp_path: Path, trips: int, limit: float, score: float
) -> None:
    """5 or 6 and then 7 take 5.83 + 5 + 1 = 11.83; 5 and 6 together 17.66; 7 alone takes 10.

    50 alone takes 2 x 7.07 = 14.14, and 6 and 7 are left for another trip.
    """
    one = SETS.read(written(tmp_path, "team.txt", TEAM.format(trips=trips, limit=limit)))
    assert best(one) == pytest.approx(score)


def test_no_way_between_two_points_leads_through_what_stands_for_start_and_end(tmp_path: Path) -> None:
    one = SETS.read(written(tmp_path, "team.txt", TEAM.format(trips=2, limit=12)))
    roads = build(one.scenario).roads
    assert roads is not None
    for i, j in itertools.permutations(range(1, 5), 2):
        assert roads.km[i, j] == pytest.approx(one.problem.leg(i + 1, j + 1))


def test_what_is_no_file_of_points_is_not_read(tmp_path: Path) -> None:
    with pytest.raises(SETS.Unread, match="n points"):
        SETS.read(written(tmp_path, "team.txt", "n 4\nm 1\ntmax 5\n0 0 0\n1 1 1\n"))
    with pytest.raises(SETS.Unread, match="a number"):
        SETS.read(written(tmp_path, "words.txt", "no numbers\nat all\n"))


# --- knapsacks ---------------------------------------------------------------------------------------

COMMAS = "knapPI_1\nn 4\nc 10\nz 90\ntime 0.00\n1,10,5,0\n2,40,4,1\n3,30,6,0\n4,50,3,1\n-----\n\n"


def test_whole_things_fill_a_payload(tmp_path: Path) -> None:
    """By hand: 40 and 50 weigh 7; 30 and 50 bring 80, 10, 40 and 50 weigh 12. With a limit of 13, 40, 30 and 50."""
    more = COMMAS.replace("c 10", "c 13").replace("knapPI_1", "knapPI_2")
    first, second = SETS.every(written(tmp_path, "knapPI_1_4.csv", COMMAS + more))
    assert (first.name, second.name) == ("knapPI_1", "knapPI_2")
    assert [best(first), best(second)] == pytest.approx([90.0, 120.0])


ROWS = "1\n3 3 0\n10 9 8\n4 3 0\n0 5 5\n30 0 20\n{kg} {litres} {minutes}\n"


@pytest.mark.parametrize(
    ("limits", "worth"), [((6, 9, 45), 10), ((7, 9, 45), 19), ((6, 10, 45), 17), ((6, 9, 50), 18), ((7, 10, 50), 27)]
)
def test_kilograms_litres_and_hours_at_the_bench_are_three_limits(
    tmp_path: Path, limits: tuple[int, int, int], worth: float
) -> None:
    """Of 10, 9 and 8 any two break one limit: 10 and 9 weigh 7, 9 and 8 fill 10 litres, 10 and 8 take 50 minutes."""
    kg, litres, minutes = limits
    (one,) = SETS.every(written(tmp_path, "mknap.txt", ROWS.format(kg=kg, litres=litres, minutes=minutes)))
    assert best(one) == pytest.approx(worth)


def test_a_fourth_limit_is_refused_by_name(tmp_path: Path) -> None:
    (one,) = SETS.every(written(tmp_path, "mknap.txt", "1\n1 4 0\n5\n1\n1\n1\n1\n1 1 1 1\n"))
    assert isinstance(one, SETS.Unread) and "mknap.1: 4 limits" in str(one)
    (one,) = SETS.every(written(tmp_path, "mknap.txt", "1\n1 1 0\n5\n1.5\n1\n"))
    assert isinstance(one, SETS.Unread) and "mknap.1: a number that is not whole" in str(one)
    with pytest.raises(SETS.Unread, match="1 numbers too few"):
        list(SETS.every(written(tmp_path, "mknap.txt", "2\n1 1 0\n5\n")))


def best_sack(worth: tuple[int, ...], takes: tuple[int, ...], limit: int) -> int:
    """The most worth, by keeping what no lighter choice beats (Nemhauser and Ullmann, Management Science 15, 1969)."""
    kept = [(0, 0)]
    for pays, kg in zip(worth, takes, strict=True):
        more = sorted([*kept, *((k + kg, w + pays) for k, w in kept if k + kg <= limit)], key=lambda s: (s[0], -s[1]))
        kept, top = [], -1
        for k, w in more:
            if w > top:
                kept.append((k, w))
                top = w
    return kept[-1][1]


def test_no_method_doubts_a_load_with_weights_to_a_hundred_thousand(tmp_path: Path) -> None:
    """Drawn: with `objective_bound`, rows as they are and no presolve, HiGHS said that there is no such load."""
    rng = random.Random(41)
    worth, takes = (tuple(rng.randint(1, 10**5) for _ in range(30)) for _ in range(2))
    limit = rng.randint(150_000, 900_000)
    things = [f"{i},{pays},{kg},0" for i, (pays, kg) in enumerate(zip(worth, takes, strict=True), 1)]
    text = "\n".join(["knapPI_heavy", "n 30", f"c {limit}", "z 0", "time 0", *things, "-----", ""])
    (one,) = SETS.every(written(tmp_path, "knapPI_heavy.csv", text))
    assert best(one) == pytest.approx(best_sack(worth, takes, limit))


# --- other solvers on drawn instances ----------------------------------------------------------------


def _points(rng: random.Random, count: int) -> list[tuple[int, int, int]]:
    return [(rng.randint(0, 20), rng.randint(0, 20), rng.randint(1, 9)) for _ in range(count)]


def drawn_trip(rng: random.Random) -> str:
    (a, b, *rest), limit = _points(rng, 8), rng.randint(20, 40)
    lines = [f"{x} {y} {score}" for x, y, score in rest]
    return "\n".join([f"{limit} 1", f"{a[0]} {a[1]} 0", f"{b[0]} {b[1]} 0", *lines, ""])


def drawn_team(rng: random.Random) -> str:
    points = _points(rng, 7)
    lines = [f"{x} {y} {0 if i in (0, 6) else score}" for i, (x, y, score) in enumerate(points)]
    longest = math.ceil(math.dist(points[0][:2], points[6][:2]))
    return "\n".join(["n 7", "m 2", f"tmax {longest + rng.randint(3, 9)}", *lines, ""])


def _spread(rng: random.Random, size: int) -> list[str]:
    at = [f"{i} {x} {y}" for i, (x, y, _) in enumerate(_points(rng, size), 1)]
    return [f"DIMENSION : {size}", "EDGE_WEIGHT_TYPE : EUC_2D", "NODE_COORD_SECTION", *at]


def drawn_purchaser(rng: random.Random) -> str:
    offers = [f"{i} 2 1 {rng.randint(1, 20)} {rng.randint(1, 3)} 2 {rng.randint(1, 20)} 3" for i in range(2, 8)]
    need = ["DEMAND_SECTION", "2", "1 4", "2 3"]
    return "\n".join([*_spread(rng, 7), *need, "OFFER_SECTION", "1 0", *offers, "EOF", ""])


def drawn_vehicles(rng: random.Random) -> str:
    demand = [f"{i} {rng.randint(2, 4)}" for i in range(2, 8)]
    return "\n".join([*_spread(rng, 7), "CAPACITY : 12", "DEMAND_SECTION", "1 0", *demand, "EOF", ""])


def drawn_sack(rng: random.Random) -> str:
    things = [f"{i},{rng.randint(1, 30)},{rng.randint(1, 30)},0" for i in range(1, 9)]
    return "\n".join(["knapPI_0", "n 8", "c 60", "z 0", "time 0", *things, "-----", ""])


def drawn_round(rng: random.Random) -> str:
    """A score at the depot counts in any case."""
    scores = [f"{i} {rng.randint(1, 9)}" for i in range(1, 8)]
    return "\n".join([*_spread(rng, 7), "COST_LIMIT : 40", "NODE_SCORE_SECTION", *scores, "EOF", ""])


DRAWN: list[tuple[str, Callable[[random.Random], str]]] = [
    ("trip.txt", drawn_trip),
    ("team.txt", drawn_team),
    ("market.tpp", drawn_purchaser),
    ("round-k2.vrp", drawn_vehicles),
    ("knapPI.csv", drawn_sack),
    ("round.oplib", drawn_round),
]


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize(("name", "drawn"), DRAWN, ids=[name for name, _ in DRAWN])
def test_plain_highs_finds_the_same(
    tmp_path: Path, name: str, drawn: Callable[[random.Random], str], seed: int
) -> None:
    (one,) = SETS.every(written(tmp_path, name, drawn(random.Random(seed))))
    found, bound = PLAIN.highs(one.problem, LONG, 1e-9)
    assert found == pytest.approx(bound, abs=1e-5)
    given = 0.0 if name == "knapPI.csv" else one.problem.given
    assert (name == "round.oplib") is (given > 0.0)
    assert (found + given if one.most else -found) == pytest.approx(best(one), abs=1e-3)


@pytest.mark.parametrize("solver", ["cp-sat", "pyvrp"])
def test_the_other_solvers_find_the_same_where_they_are_there(tmp_path: Path, solver: str) -> None:
    """Each in a process of its own, as in the benchmark: two copies of HiGHS do not get on in one."""
    there = importlib.util.find_spec({"cp-sat": "ortools"}.get(solver, solver)) is not None
    for name, drawn in DRAWN[1:4]:
        path = written(tmp_path, name, drawn(random.Random(1)))
        (one,) = SETS.every(path)
        report = PUBLISHED.run(solver, path, 0, LONG)
        if not there:
            assert report == {"not": "not installed"} or "not for it" in report.values()
        elif solver == "pyvrp" and name == "market.tpp":
            assert report == {"not": "not for it"}
        else:
            assert report["found"] == pytest.approx(best(one), abs=1e-3)
            assert report["proven"] is (solver == "cp-sat")


def test_a_line_of_the_table_says_what_is_proven_and_what_is_missing(tmp_path: Path) -> None:
    (one,) = SETS.every(written(tmp_path, "knapPI_1_4.csv", COMMAS))
    report = {"found": 80.0, "bound": 90.0, "proven": False, "seconds": 1.25}
    assert PUBLISHED.line(one, 90.0, "highs", report).split()[1:] == [
        "90",
        "highs",
        "80.00",
        "90.00",
        "1.2e-01",
        "1.25",
        "off",
        "by",
        "1.1e-01",
    ]
    assert PUBLISHED.line(one, None, "pyvrp", {"not": "not installed"}).split()[1:] == [
        "-",
        "pyvrp",
        "not",
        "installed",
    ]
    ran = [{**report, "proven": True}, {}]
    assert PUBLISHED.summary("highs", ran, [{**ran[0], "seconds": 0.5}, {}]) == (
        "highs   proved 1 of 1, 1.2 s in all; to ours where both did: median 2.50, most 2.5"
    )
