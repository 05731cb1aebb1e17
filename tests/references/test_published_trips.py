"""Trips that others published: the search finds what is the best there is, and proves it.

- E-n22-k4: Christofides and Eilon, Operational Research Quarterly 20, 1969; 375 as the comment of its file in public
  collections says, and from memory in CVRPLIB.
- eil51-gen2-50: Fischetti, Salazar-Gonzalez and Toth, INFORMS Journal on Computing 10, 1998, by its formula; 1668 is
  in OPLib, found by an evolutionary algorithm (Kobeaga, Merino and Lozano, Computers and Operations Research 90, 2018);
  the optimum 1674 is from memory, and what is proven here.
Points, demands and the formula are facts; more instances: benchmarks/published.py.
"""

from __future__ import annotations

import importlib
import sys
from pathlib import Path
from types import ModuleType

import pytest

from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.model.milp import formulate
from partway.planning.model.pooled import pool
from partway.planning.search.edge_search import EdgeSearch
from partway.planning.search.search import search
from partway.planning.search.tour_bounds import TourCuts

HERE = Path(__file__).parent
LONG = 600.0


BENCHMARKS = HERE.parents[1] / "benchmarks"


def _benchmark(name: str) -> ModuleType:
    sys.path.insert(0, str(BENCHMARKS))
    try:
        return importlib.import_module(name)
    finally:
        sys.path.remove(str(BENCHMARKS))


SETS = _benchmark("published_sets")


@pytest.mark.parametrize(("name", "best"), [("E-n22-k4.vrp", 375.0), ("eil51-gen2-50.oplib", 1674.0)])
def test_the_best_is_found_and_proven(name: str, best: float) -> None:
    one = SETS.read(HERE / "trips" / name)
    instance = build(one.scenario)
    found = search(instance, LONG, 1e-6)
    worth = verify(instance, found.decision).money.total
    assert one.figure(worth) == pytest.approx(best, abs=0.01)
    assert found.optimal and one.figure(found.bound) == pytest.approx(best, abs=0.2)


def test_what_loads_say_of_whole_trips_closes_most_of_the_gap() -> None:
    """Without those rows the relaxation of E-n22-k4 lies at 332 and proves nothing: found once, rounded."""
    one = SETS.read(HERE / "trips" / "E-n22-k4.vrp")
    model = formulate(build(one.scenario))
    tours = TourCuts(model)
    tours.add_legs()
    edges = EdgeSearch(pool(model), tours)
    edges.relax(LONG)
    assert 370.0 <= one.figure(edges.bound) <= 375.0 + 1e-6


PURCHASER = """NAME : four markets
TYPE : TPP
DIMENSION : 4
EDGE_WEIGHT_TYPE : EUC_2D
NODE_COORD_SECTION
1 0 0
2 3 4
3 6 8
4 0 9
DEMAND_SECTION
2
1 2
2 1
OFFER_SECTION
1 0
2 1 1 7 5
3 2 1 3 1 2 4 1
4 1 2 9 3
EOF
"""


def test_a_purchaser_buys_where_price_and_way_are_least(tmp_path: Path) -> None:
    """By hand: 3 sells one of each for 3 and 4, and 2, on the way there, another for 7. They cost 14, the way 20.

    Without 3 it is 14 at 2 and 9 at 4, and 5 + 5 (of 5.8) + 9 of driving: 42. The rest cannot be bought at 3 alone.
    """
    file = tmp_path / "four.tpp"
    file.write_text(PURCHASER, encoding="utf-8")
    one = SETS.read(file)
    instance = build(one.scenario)
    found = search(instance, LONG, 1e-9)
    assert one.figure(verify(instance, found.decision).money.total) == pytest.approx(34.0, abs=1e-3)


def test_a_file_of_another_form_is_not_read(tmp_path: Path) -> None:
    file = tmp_path / "odd.tpp"
    file.write_text("NAME : odd\nDIMENSION : 3\nEDGE_WEIGHT_TYPE : MAN_3D\nNODE_COORD_SECTION\nEOF\n", encoding="utf-8")
    with pytest.raises(SETS.Unread, match="MAN_3D"):
        SETS.read(file)
    file.write_text("4 1\n1 2\n", encoding="utf-8")
    with pytest.raises(SETS.Unread, match="score of each point"):
        SETS.read(file)
