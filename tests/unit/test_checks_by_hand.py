"""Figures that the check of a plan works out again, by hand: keep prices, offers, names, pieces and what has no time.

Kinds, yards and prices are invented; the rules are docs/model.md's.
"""

from __future__ import annotations

import datetime as dt
import itertools
import math
from collections import Counter
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from scipy import stats

from partway.errors import PlanUnsound, SolverFailed
from partway.planning.check import second_opinion
from partway.planning.check.figures import check_figures, offered_or_kept, row_chance
from partway.planning.check.keeping import Keeping, _as_it_rides
from partway.planning.depth.spread import _reach
from partway.planning.instance import packing
from partway.planning.instance.blocks import downgraded_kg
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.instance.market import Market
from partway.planning.instance.parcels import net_per_kg
from partway.planning.instance.room import crowding, full_load, kept_for, litres_of, rides_as, room_of
from partway.planning.instance.tested import piece_name
from partway.planning.model.fit_cuts import FitCuts
from partway.planning.worlds import again
from partway.things.anatomy import Anatomy, Gives, Operation, Part, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.limits.room import Room
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Postage, Quote, Scenario, Vehicle

DAY = dt.date(2026, 3, 14)
exact = Estimate.exact
METAL, LIGHT, BRASS = "metal", "light", "brass"


def quote(grade: str, price: float) -> Quote:
    """What is paid per kg."""
    return Quote(grade, exact(price), DAY)


def nested(*sells: str) -> Anatomy:
    """A box that opens into a lid and a body, which is heavier and opens into a core; what sells is named."""

    def piece(id_: str, kg: float) -> Piece:
        return Piece(id_, id_, exact(kg), (SaleAs(METAL if id_ != "lid" else LIGHT),) if id_ in sells else ())

    pieces = (piece("whole", 20.0), piece("lid", 5.0), piece("body", 15.0), piece("core", 15.0))
    opened = (Gives("lid"), Gives("body"))
    operations = (
        Operation("open", "open", "whole", exact(6.0), opened),
        Operation("core", "core", "body", exact(6.0), (Gives("core"),)),
    )
    return Anatomy("box", "Box", pieces, operations)


def shed(**changes: Any) -> Scenario:
    """600 kg of a metal of 1 kg/L and two boxes in a shed of 1000 L; a yard 10 km away, half an hour there."""
    grades = {METAL: 1.0, LIGHT: 0.25, BRASS: 2.0}
    ridge = Buyer("ridge", "yard", km=10.0, minutes=30.0, quotes=(quote(METAL, 1.0), quote(LIGHT, -0.5)))
    hill = Buyer("hill", "yard", km=20.0, minutes=30.0, quotes=(quote(METAL, 1.02),))
    it = Scenario(
        name="shed",
        currency="EUR",
        on=DAY,
        hours=Hours(1.0, 3.0, 10.0, 1),
        vehicle=Vehicle(1000.0, 800.0, cost_per_km=0.5, kmh=40.0),
        buyers=(ridge, hill),
        finds=(Find("box", 2, "no"),),
        stock={METAL: 600.0, BRASS: 40.0},
        grades={name: Grade(name, name, "metal", exact(density)) for name, density in grades.items()},
        anatomies={"box": nested("lid", "core")},
        storage_l=1000.0,
    )
    return replace(it, **changes)


RIDGE = 2 * 10 * 0.5 + 10.0 * (20.0 / 40.0 + 0.5)  # 20 km at 0.50; half an hour's drive and half an hour there at 10
HILL = 2 * 20 * 0.5 + 10.0 * (40.0 / 40.0 + 0.5)


def both(scenario: Scenario, grade: str) -> float:
    """What a kilogram is worth kept, as the plan has it; the check says the same."""
    found = Market.of(scenario).kept_price(grade)
    assert Keeping(scenario).price(grade) == pytest.approx(found, rel=1e-12)
    return found


# --- room --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("storage", "share"),
    [(None, None), (1000.0, 0.66), (1200.0, 0.55), (1240.0, 0.53), (1600.0, 0.41), (660.0, 1.0), (500.0, 1.32)],
)
def test_a_kilogram_kept_is_worth_its_price_less_its_trip_and_its_place(storage: float | None, share: float) -> None:
    """600 litres of metal, 20 of brass, and two boxes of 20 litres: each rides as the metal of its core, 660 in all.

    Twentieths of the shed above a half count six trips a load: 0.66 is 13 twentieths. Of the hill's 1.02, 0.9 is left,
    less its longer trip.
    """
    over = 0.0 if share is None else 6.0 * max(0.0, round(20.0 * share) / 20.0 - 0.5)
    it = shed(storage_l=storage)
    ways = (0.9 * price - trip / (0.85 * 800.0) - trip * over / 800.0 for price, trip in ((1.0, RIDGE), (1.02, HILL)))
    assert both(it, METAL) == pytest.approx(max(ways))
    light = -0.5 - RIDGE / (0.85 * 800.0 * 0.25) - RIDGE * over / (800.0 * 0.25)
    assert both(it, LIGHT) == pytest.approx(light), "a charge counts in full"
    brass = -(RIDGE / (0.85 * 1000.0) + RIDGE * over / (800.0 * 2.0))
    assert both(it, BRASS) == pytest.approx(brass), "what nobody takes waits for the nearest yard"


def test_a_vehicle_without_a_volume_is_taken_to_hold_a_mixed_load() -> None:
    """1000 kg at 0.25 kg/L."""
    it = shed(vehicle=Vehicle(1000.0, cost_per_km=0.5, kmh=40.0))
    over = 6.0 * (0.65 - 0.5)
    assert both(it, METAL) == pytest.approx(0.9 - RIDGE / 850.0 - RIDGE * over / 4000.0)


def test_a_find_of_known_mass_takes_its_own_room_and_what_sells_as_nothing_none() -> None:
    it = shed(finds=(Find("box", 3, "no", mass_kg=50.0),), stock={METAL: 500.0})
    assert litres_of(it, it.finds[0]) == 150.0
    assert both(it, METAL) == pytest.approx(0.9 - RIDGE / 680.0 - RIDGE * 6.0 * 0.15 / 800.0)
    none = replace(it, anatomies={"box": nested()})
    assert litres_of(none, it.finds[0]) == 0.0
    assert both(none, METAL) == pytest.approx(0.9 - RIDGE / 680.0)


@pytest.mark.parametrize(
    ("sells", "grade"),
    [(("whole", "lid"), METAL), (("lid", "core"), METAL), (("lid",), None), (("body", "lid"), METAL), ((), None)],
)
def test_a_find_rides_as_its_heaviest_piece_that_is_sold(sells: tuple[str, ...], grade: str | None) -> None:
    anatomy = nested(*sells)
    assert rides_as(anatomy) == _as_it_rides(anatomy, ["whole"]) == grade


def test_what_goes_by_mail_waits_for_no_trip() -> None:
    room = Room((("ridge", 20.0),), 1000.0, 800.0, 0.5)
    assert kept_for(room, "boards", 1.0) == 0.0
    assert kept_for(room, "ridge", 1.0) == pytest.approx(20.0 / 680.0 + 20.0 * 0.5 / 800.0)
    assert (full_load(room, 2.0), full_load(room, 1.0)) == (1000.0, 800.0)
    assert full_load(replace(room, volume_l=None), 0.1) == 1000.0
    assert (crowding(None), crowding(0.5), crowding(0.524)) == (0.0, 0.0, 0.0)
    assert crowding(0.53) == pytest.approx(6.0 * 0.05)


def test_there_is_no_price_of_room_without_a_drive_or_by_a_keep_factor() -> None:
    assert room_of(shed(keep_factor=0.5)) is None and room_of(shed(vehicle=None)) is None
    assert room_of(shed(buyers=())) is None
    assert both(shed(keep_factor=0.5), METAL) == pytest.approx(0.51)
    assert both(shed(keep_factor=0.5), BRASS) == 0.0
    assert both(shed(vehicle=None), METAL) == pytest.approx(0.9 * 1.02)


# --- offers ------------------------------------------------------------------------------------------


def test_what_is_sure_to_sell_sells_wherever_it_stands_in_the_row() -> None:
    assert row_chance(1, 1.0) == row_chance(7, 1.0) == 1.0


@pytest.mark.parametrize("chance", [0.2, 0.6, 0.9])
def test_one_more_sells_as_so_many_sell_less_one_fewer(chance: float) -> None:
    """Buyers come as by a Poisson distribution of mean -ln(1 - chance) times the root of how many are on offer.

    A later one is never likelier to sell than one before it. By SciPy's Poisson distribution.
    """

    def sold(n: int) -> float:
        come = np.arange(60)
        return float(np.minimum(come, n) @ stats.poisson.pmf(come, -math.log(1.0 - chance) * math.sqrt(n)))

    least = math.inf
    for place in range(1, 7):
        least = min(least, sold(place) - sold(place - 1))
        assert row_chance(place, chance) == pytest.approx(max(0.0, least), abs=1e-9)
    assert row_chance(1, chance) == pytest.approx(chance)


def on_offer(works: Any = "yes") -> Instance:
    """A find on offer whole: for parts at 30, for use at 90 if it works; alone it would be 20 kg of metal."""
    parts = (
        Part(exact(30.0), 0.6, exact(5.0), name="for parts"),
        Part(exact(90.0), 0.5, exact(5.0), fee=0.1, postage=6.0, needs="works", name="for use"),
    )
    whole, lid = (
        Piece("whole", "box", exact(20.0), (SaleAs(METAL),), parts),
        Piece("lid", "lid", exact(20.0), (), parts),
    )
    opened = Operation("open", "open", "whole", exact(6.0), (Gives("lid"),))
    it = shed(
        anatomies={"box": Anatomy("box", "Box", (whole, lid), (opened,))},
        finds=(Find("box", 1, works, listed=1),),
        stock={},
    )
    return build(replace(it, keep_factor=0.5))


@pytest.mark.parametrize(("works", "kept"), [("yes", 0.5 * 75.0 + 0.5 * 10.2), ("no", 0.6 * 30.0 + 0.4 * 10.2)])
def test_a_find_on_offer_is_worth_what_it_fetches_as_often_as_it_sells(works: str, kept: float) -> None:
    """90 less a tenth and 6 of postage are 75; kept it is 20 kg at 0.51."""
    instance = on_offer(works)
    check_figures(instance)
    node, lid = instance.nodes
    assert node.kept_value == pytest.approx(kept) and node.offered == (0.5 if works == "yes" else 0.6)
    wrong = replace(instance, nodes=(replace(node, kept_value=kept + 0.01), lid))
    with pytest.raises(PlanUnsound, match="the keep value of whole"):
        check_figures(wrong)
    with pytest.raises(PlanUnsound, match="the chance that whole on offer sells"):
        check_figures(replace(instance, nodes=(replace(node, offered=0.4), lid)))


def test_what_is_not_on_offer_sells_by_no_offer() -> None:
    instance = on_offer()
    keeping, market = Keeping(instance.scenario), Market.of(instance.scenario)
    whole, lid = instance.nodes
    assert lid.piece.parts == whole.piece.parts and offered_or_kept(instance, keeping, market, lid) == 0.0
    for node in (replace(lid, offered=0.5), replace(whole, piece=replace(whole.piece, parts=()))):
        with pytest.raises(PlanUnsound, match=f"{node.piece.id} is not on offer"):
            offered_or_kept(instance, keeping, market, node)
    with pytest.raises(PlanUnsound, match="whole is not on offer"):
        offered_or_kept(replace(instance, groups=(replace(instance.groups[0], offer=0),)), keeping, market, whole)


# --- names and pieces --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("piece", "name"),
    [
        ("whole", "Box"),
        ("lid", "lid (Box)"),
        ("whole.works", "Box, works"),
        ("whole.broken", "Box, broken"),
        ("whole.works.lid", "lid (Box, works)"),
        ("whole.broken.core", "core (Box, broken)"),
    ],
)
def test_a_piece_is_called_what_its_kind_calls_it_behind_a_test_too(piece: str, name: str) -> None:
    assert piece_name(nested(), piece) == name


def test_a_piece_of_no_kind_has_no_name() -> None:
    for piece in ("hood", "whole.works.hood", "whole.workslid", "lid.works"):
        with pytest.raises(KeyError):
            piece_name(nested(), piece)


def test_whole_pieces_sold_lower_count_on_every_downgrade_of_the_shortest_way() -> None:
    """0 to 1 to 2 and on to 3, and straight from 0 to 2: two stoves of 3 kg take the straight way, one the long one."""
    instance: Any = SimpleNamespace(
        downgrades=((0, 1), (1, 2), (0, 2), (2, 3)),
        grade_sales=[SimpleNamespace(grade=0, kg=3.0), SimpleNamespace(grade=1, kg=5.0)],
        lots=[SimpleNamespace(grade=2), SimpleNamespace(grade=3), SimpleNamespace(grade=0)],
    )
    decision: Any = SimpleNamespace(blocks={(0, 0, 0): 2, (1, 1, 0): 1, (0, 2, 0): 4}, downgraded={0: 1.5, 2: 0.5})
    assert downgraded_kg(instance, decision) == {0: 1.5, 1: 5.0, 2: 6.5, 3: 5.0}


def test_pieces_are_taken_not_to_fit_where_that_takes_too_long_to_find_out(monkeypatch: pytest.MonkeyPatch) -> None:
    pieces, parcels = [4.0, 3.0, 3.0, 2.0], [6.0, 6.0]
    assert packing.packs(pieces, parcels)
    needed = next(n for n in range(100) if _packs(monkeypatch, n, pieces, parcels))
    assert 0 < needed < 20
    assert not any(_packs(monkeypatch, n, pieces, parcels) for n in range(needed))


def _packs(monkeypatch: pytest.MonkeyPatch, tries: int, pieces: list[float], parcels: list[float]) -> bool:
    monkeypatch.setattr(packing, "MOST_TRIES", tries)
    return packing.packs(pieces, parcels)


def test_a_lot_of_no_known_mass_is_posted_in_full_parcels() -> None:
    """10 kg for 5 is 0.50 a kilogram, 20 kg for 8 is 0.40; of 5 kg one parcel takes 5 away."""
    shipping = (Postage(10.0, 5.0), Postage(20.0, 8.0))
    assert net_per_kg(3.0, shipping, 0.0) == pytest.approx(2.6)
    assert net_per_kg(3.0, shipping, 4e-7) == pytest.approx(2.6), "less than half a milligram is nothing"
    assert net_per_kg(3.0, shipping, 5.0) == pytest.approx(2.0)


# --- loads that fit ----------------------------------------------------------------------------------


def pooled(trips: int) -> tuple[Any, Any]:
    """Buyers 0 and 1 on tour 0, buyer 2 on tour 1: 6, 5 and 9 kg for a vehicle that carries 10 and 30 litres."""
    rows: list[Any] = []
    linear = SimpleNamespace(
        rows=rows, row=lambda family, name, terms, upper: rows.append((family, name, [*terms], upper))
    )
    tours = [SimpleNamespace(stops=(1, 2)), SimpleNamespace(stops=(3,))]
    instance = SimpleNamespace(
        scenario=SimpleNamespace(vehicle=Vehicle(10.0, 30.0)), tours=tours, buyer_at={1: 0, 2: 1, 3: 2}
    )
    loads = {b: [(b, 2.0)] for b in range(3)}
    return SimpleNamespace(
        model=SimpleNamespace(instance=instance),
        linear=linear,
        loads=loads,
        visits={0: 5, 1: 6, 2: 7},
        tours={0: 3, 1: 4},
        trips=trips,
    ), rows


def test_buyers_on_some_of_the_trips_alone_get_no_more_than_those_carry() -> None:
    it, rows = pooled(2)
    assert FitCuts(it).add(np.array([6.0, 5.0, 9.0, 1.0, 1.0])) == 1
    assert rows == [("fit_kg", "0.1", [(0, 1.0), (1, 1.0), (3, -10.0)], 0.0)]
    it, rows = pooled(3)
    assert FitCuts(it).add(np.array([6.0, 5.0, 9.0, 2.0, 1.0])) == 0, "two trips carry 20"
    assert FitCuts(it).add(np.array([5.0, 5.0, 9.0, 1.0, 1.0])) == 0


def test_litres_fill_a_trip_too_and_a_part_of_a_trip_carries_a_part_of_a_load() -> None:
    it, rows = pooled(2)
    it.loads = {b: [(b, 4.0)] for b in range(3)}
    assert FitCuts(it).add(np.array([4.0, 4.0, 7.0, 1.0, 1.0])) == 1
    assert rows.pop()[:2] == ("fit_litres", "0.1")
    assert FitCuts(it).add(np.array([4.0, 3.5, 7.0, 1.0, 1.0])) == 0
    assert FitCuts(it).add(np.array([2.0, 2.0, 0.0, 0.4, 0.6])) == 1, "16 litres on 0.4 of a trip of 30"
    assert rows.pop()[:2] == ("fit_litres", "0.1")


# --- shares that are guesses -------------------------------------------------------------------------


def test_a_share_that_is_a_guess_is_drawn_over_its_mean_and_a_known_one_stays() -> None:
    guess = SaleAs(METAL, 0.5, spread=Estimate(0.3, 0.5, 0.7))
    pieces = (Piece("whole", "box", exact(20.0), (guess, SaleAs(LIGHT))),)
    it = shed(anatomies={"box": Anatomy("box", "Box", pieces)})
    drawn = _reach(build(it), 4000, 7)
    assert drawn is not None
    assert drawn[0].mean() == pytest.approx(1.0, abs=0.01) and (drawn[1] == 1.0).all()
    assert 0.6 <= drawn[0].min() < 0.8 and 1.2 < drawn[0].max() <= 1.4
    known = replace(it, anatomies={"box": nested("whole")})
    assert _reach(build(known), 10, 7) is None


# --- clocks and solvers ------------------------------------------------------------------------------


def test_a_plan_is_made_again_as_often_as_time_allows(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each takes three of ten seconds: four begin, the last with one second left."""
    clock, told, asked = itertools.count(100.0, 3.0), list[tuple[int, int]](), list[tuple[int, float]]()
    plans = [SimpleNamespace(does=f"plan {n}", stops=(("ridge",),) if n else (("hill",),)) for n in range(2)]
    now = [next(clock)]
    monkeypatch.setattr(again, "time", SimpleNamespace(monotonic=lambda: now[0]))
    monkeypatch.setattr(again, "FixedPlan", SimpleNamespace(of=lambda *_: plans[0]))

    def planned(_: Any, __: Any, i: int, seconds: float) -> Any:
        asked.append((i, seconds))
        now[0] = next(clock)
        return plans[i % 2]

    monkeypatch.setattr(again, "_planned", planned)
    monkeypatch.setattr(again, "draw_worlds", lambda _: None)
    total = SimpleNamespace(total=lambda wage: np.array([wage]))
    carries = Counter[str]()

    class Worlds:
        def __init__(self, *_: Any) -> None:
            self.drawn = None

        def carries(self, plan: Any) -> bool:
            carries[plan.does] += 1
            return True

        def outcome(self, _: Any, lucky: bool) -> Any:
            assert not lucky
            return total

    monkeypatch.setattr(again, "Worlds", Worlds)
    instance: Any = SimpleNamespace(scenario=SimpleNamespace(hours=SimpleNamespace(wage=6.0)))
    checked: Any = None
    it = again.plan_again(instance, checked, 10.0, 9, lambda *of: told.append(of))
    assert asked == [(0, 10.0), (1, 7.0), (2, 4.0), (3, 1.0)] and told == [(n, 9) for n in range(4)]
    assert (it.solved, it.same_trip) == (4, 2)
    different: list[Any] = list(it.plans)
    assert [plan.does for plan in different] == ["plan 0", "plan 1"] and carries == {"plan 1": 1}
    assert it.totals.tolist() == [[6.0], [6.0]]
    asked.clear()
    assert again.plan_again(instance, checked, 10.0, 2).solved == 2


@pytest.mark.parametrize("error", [PlanUnsound, SolverFailed])
def test_a_second_solve_whose_plan_is_unsound_still_has_its_bound(
    error: type[Exception], monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[Any] = []

    def solver(enough: float, **_: Any) -> Any:
        def run(seconds: float) -> Any:
            asked.append((seconds, enough))
            return SimpleNamespace(status="optimal", x=np.array([1.0]), bound=70.0)

        return SimpleNamespace(run=run)

    def polish(*_: Any) -> Any:
        raise error("not feasible")

    monkeypatch.setattr(second_opinion, "Solver", solver)
    monkeypatch.setattr(second_opinion, "balanced", lambda _, enough: enough)  # the row that asks for as much
    monkeypatch.setattr(second_opinion, "polish", polish)
    monkeypatch.setattr(second_opinion, "time", SimpleNamespace(monotonic=lambda: 100.0))
    it = second_opinion._again(SimpleNamespace(linear=None), 60.0, 103.0)  # type: ignore[arg-type]
    assert it is not None
    assert (it.bound, it.worth, it.decision) == (70.0, -math.inf, None)
    assert asked == [(3.0, pytest.approx(60.0 - 0.06))]
    second_opinion._again(SimpleNamespace(linear=None), -0.5, 90.0)  # type: ignore[arg-type]
    assert asked[1] == (0.0, pytest.approx(-0.501))
