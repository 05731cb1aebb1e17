"""What the search for a plan looks at first, and what it need not look at: the answer is the same, sooner.

The answers themselves are held by tests/properties; these hold what only shows in how much is tried on the way. The
rules are ours (docs/model.md): no outside source.
"""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from partway.planning.depth.breakeven import best_grades
from partway.planning.instance.blocks import _beats
from partway.planning.instance.build import InstanceBuilder
from partway.planning.search import first_stops
from partway.planning.search.branching import LEAST_LOSS, Losses
from partway.planning.search.first_stops import FirstStops
from partway.planning.search.stages import _whole_ties
from partway.planning.search.tour_search import TourSearch
from partway.planning.search.tree import Bounds, Branch, Tree
from partway.planning.worlds.again import _drawn
from partway.things.anatomy import Anatomy, Piece
from partway.things.estimate import Estimate


def some(what: Any, **has: Any) -> Any:
    """One of a class with these attributes and no others, made without what makes it."""
    it = object.__new__(what)
    vars(it).update(has)
    return it


def test_a_round_is_cut_into_trips_in_both_directions() -> None:
    """Three stops on a line that get 2, 4 and 7 of the 10 that a trip carries: 2 + 4 + 4 and 3, or 7 + 3 and 1 + 2."""
    cost = np.abs(np.subtract.outer([0.0, 1.0, 2.0, 3.0], [0.0, 1.0, 2.0, 3.0]))
    cuts = SimpleNamespace(place=lambda b: b + 1, room=(10.0, 1.0))
    loads = {0: (2.0, 0.0), 1: (4.0, 0.0), 2: (7.0, 0.0)}
    first = some(
        FirstStops, cuts=cuts, way=cost.tolist(), trips=2, loads=loads, known=set(), fitting=lambda s: iter([s])
    )
    proposed = list(first.proposals())
    assert proposed[0] == (frozenset({0, 1, 2}), frozenset({2}))
    assert (frozenset({0, 1}), frozenset({1, 2})) in proposed


def test_who_would_get_nothing_is_no_stop_to_try(monkeypatch: pytest.MonkeyPatch) -> None:
    """Three buyers are visited in part; to the first nothing goes, to the third a few kilograms, to the second both."""
    loads = [(0.0, 0.0), (5.0, 2.0), (3.0, 0.0)]
    monkeypatch.setattr(first_stops, "load_of", lambda _pooled, _x, b: loads[b])
    monkeypatch.setattr(first_stops, "worth_of_stops", lambda *_: {})
    hours = SimpleNamespace(away=9.0, one_trip=9.0)
    instance = SimpleNamespace(scenario=SimpleNamespace(hours=hours), on_site_hours=lambda _: 0.0)
    way = np.zeros((4, 4))
    cuts: Any = SimpleNamespace(instance=instance, place=lambda b: b + 1, cost=way, hours=way)
    pooled: Any = SimpleNamespace(trips=1, visits={0: 0, 1: 1, 2: 2})
    assert FirstStops(cuts, pooled, np.array([1.0, 0.5, 1.0])).loads == {1: (5.0, 2.0), 2: (3.0, 0.0)}


@pytest.mark.parametrize(("tree", "takes"), [(9.0, "dive"), (4.0, "plan")])
def test_a_set_of_tours_is_planned_once_nothing_open_is_worth_more(tree: float, takes: str) -> None:
    taken: list[str] = []
    open_ones = SimpleNamespace(bound=tree, dive=lambda *_: taken.append("dive"))
    search = some(TourSearch, tree=open_ones, found=[], candidates=[SimpleNamespace(bound=5.0)], large=False, gap=0.0)
    search._plan = lambda *_: taken.append("plan")
    search.step(1.0, 1.0)
    assert taken == [takes]


def test_a_column_scores_by_what_each_of_its_sides_has_lost() -> None:
    """Benichou and others, Mathematical Programming 1, 1971: what a side lost for a whole step, times the step."""
    losses = Losses()
    losses.learn(0, False, 3.0)
    losses.learn(0, True, 5.0)
    expected = (3.0 * 0.25 + LEAST_LOSS) * (5.0 * 0.75 + LEAST_LOSS)
    assert losses.score(0, 2.25) == pytest.approx(expected, rel=1e-12)


def test_a_side_has_lost_what_its_bound_fell_for_a_whole_step() -> None:
    """From 10 at 2.25: 8 after a quarter down is 8 a step, 7 after three quarters up is 4."""
    bounds = {2.0: 8.0, 3.0: 7.0}  # by the end of the side that the column was cut to

    def solved(cut: Bounds) -> Branch:
        low, high = cut[0]
        return Branch(-bounds[high if low == 0.0 else low], int(low), cut, np.array([]))

    tree = some(Tree, losses=Losses(), lower=[0.0], upper=[9.0], solve=solved)
    sides = tree._sides(Branch(-10.0, 0, {}, np.array([2.25])), 0)
    assert [tree.losses.of(0, up) for up in (False, True)] == pytest.approx([8.0, 4.0])
    assert [one.bounds for one in sides] == [{0: (0.0, 2.0)}, {0: (3.0, 9.0)}]


def test_the_side_that_loses_least_is_gone_on_with_and_the_other_left_open() -> None:
    bounds = {2.0: 7.0, 3.0: 8.0}

    def solved(cut: Bounds) -> Branch:
        low, high = cut[0]
        return Branch(-bounds[high if low == 0.0 else low], int(low), cut, np.array([]))

    tree = some(Tree, losses=Losses(), lower=[0.0], upper=[9.0], solve=solved, open=[])
    node = Branch(-10.0, 0, {}, np.array([2.25]))
    assert [one.bound for one in tree._sides(node, 0)] == [8.0, 7.0]
    on = tree._branch(node, [0], 1.0)
    assert on is not None and on.bounds == {0: (3.0, 9.0)} and [one.bound for one in tree.open] == [7.0]


def test_columns_are_looked_at_until_two_after_the_best_are_no_better() -> None:
    """The third is better than the first and the fifth better still; of the sixth and seventh neither is."""
    scores, asked = [1.0, 0.5, 2.0, 1.0, 3.0, 3.0, 1.0, 9.0], list[int]()

    def tried(_: Branch, column: int, __: float) -> tuple[float, list[Branch]]:
        asked.append(column)
        return scores[column], [Branch(0.0, column, {}, np.array([]))]

    tree = some(Tree, _tried=tried)
    on = tree._branch(Branch(-10.0, 0, {}, np.array([])), [*range(8)], 1.0)
    assert on is not None and on.number == 4 and asked == [*range(7)]


@pytest.mark.parametrize(("kept", "tied"), [(8.0, True), (6.0, False)])
def test_a_whole_piece_is_a_tie_where_its_lot_and_what_else_comes_of_it_bring_what_keeping_does(
    kept: float, tied: bool
) -> None:
    """3 kg at 2 and 4 kg of another grade kept at 0.5 come to 8."""
    instance = SimpleNamespace(
        grade_sales=[SimpleNamespace(node=0, kg=3.0)],
        nodes=[SimpleNamespace(kept_value=kept)],
        lots=[SimpleNamespace(tiers=[SimpleNamespace(price=2.0, quote=SimpleNamespace(counted=False))])],
        kept_price=[2.0, 0.5],
        flows=lambda _: [(0, 3.0), (1, 4.0)],
    )
    model: Any = SimpleNamespace(instance=instance, columns=SimpleNamespace(blocks={(0, 0, 0): 7}))
    assert _whole_ties(model) == ({7: 3.0} if tied else {})


@pytest.mark.parametrize(
    ("prices", "litres", "fee", "most", "beats"),
    [
        ((3.0, 2.0), (1.0, 1.0), 0.0, math.inf, True),
        ((3.0, 2.0), (2.0, 1.0), 0.0, math.inf, False),
        ((2.0, 3.0), (1.0, 1.0), 0.0, math.inf, False),
        ((3.0, 2.0), (1.0, 1.0), 0.0, 50.0, False),  # once it has all that it takes, the other lot is of use
        ((3.0, 2.0), (1.0, 1.0), 5.0, math.inf, True),
        ((3.0, 0.0), (1.0, 1.0), 5.0, math.inf, False),  # what pays may call for the fee of a ticket
        ((3.0, 0.0), (1.0, 1.0), 0.0, math.inf, True),
        ((0.0, -1.0), (1.0, 1.0), 5.0, math.inf, True),
    ],
)
def test_a_lot_is_left_out_where_another_pays_more_and_takes_no_more_room(
    prices: tuple[float, float], litres: tuple[float, float], fee: float, most: float, beats: bool
) -> None:
    weighed = SimpleNamespace(counted=False)
    instance: Any = SimpleNamespace(
        lots=[
            SimpleNamespace(buyer=0, grade=g, has_steps=False, tiers=[SimpleNamespace(price=price, quote=weighed)])
            for g, price in enumerate(prices)
        ],
        buyers=[SimpleNamespace(most_of=lambda _: most, ticket_fee=fee)],
        grades=["copper-2", "motors"],
        litres_per_kg=litres,
    )
    assert _beats(instance, 0, 1) == beats


def test_kilograms_of_a_grade_are_added_up_over_the_pieces_of_an_opening() -> None:
    """Two of 1.5 kg and one of 2 kg."""
    sales = [SimpleNamespace(grade=4, kg=1.5), SimpleNamespace(grade=4, kg=2.0)]
    instance: Any = SimpleNamespace(grade_sales=sales, openings=[SimpleNamespace(gives=((1, 2), (2, 1)))])
    best = [SimpleNamespace(sort="open", number=0), *(SimpleNamespace(sort="grade", number=n) for n in range(2))]
    values: Any = SimpleNamespace(best=lambda node: best[node])
    assert best_grades(instance, values, 0) == {4: 5.0}


def test_a_piece_that_no_world_draws_a_size_for_keeps_its_mass() -> None:
    pieces = tuple(Piece(one, one, Estimate(1.0, 2.0, 6.0)) for one in ("shell", "cord"))
    drawn = _drawn(Anatomy("fan", "Fan", pieces), {("fan", "cord"): 2.0})
    assert [piece.mass.mean for piece in drawn.pieces] == [2.5, 5.0]  # (1 + 4 * 2 + 6) / 6, and twice that


def test_only_finds_of_a_kind_wait_in_the_row_of_its_pieces() -> None:
    counts = {"amp": 2, "fan": 3, "kettle": 4}
    finds = [SimpleNamespace(kind=kind, count=count) for kind, count in counts.items()]
    builder = some(InstanceBuilder, scenario=SimpleNamespace(finds=finds))
    for kind, count in counts.items():
        anatomy: Any = SimpleNamespace(kind=kind, most_of_one={"motor": 2}, pieces=[SimpleNamespace(id="motor")])
        assert builder._most(anatomy, "motor") == 2 * count
