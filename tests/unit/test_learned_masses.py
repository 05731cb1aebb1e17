"""Masses and minutes learned from one's own scale and clock: what they become, and that masses still add up."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import numpy as np
import pytest

from partway.catalogue import check_anatomy, shipped
from partway.catalogue.checks.masses import closes, sums
from partway.planning.depth.spread import draw
from partway.things.anatomy import Anatomy
from partway.things.estimate import Estimate
from partway.valuing.learned.estimates import as_estimate, as_known, slip_in, usual_range, without_slips
from partway.valuing.learned.masses import with_masses
from partway.valuing.learned.minutes import with_minutes
from partway.valuing.learned.seen import KindSeen, PieceSeen, WorkSeen

FAN = shipped().anatomy("fan")


def seen_of(draws: random.Random, anatomy: Anatomy, apart: float) -> KindSeen:
    """Some finds and pieces weighed, around masses that are off by as much as half to twice the estimate."""
    heavier = math.exp(draws.uniform(-0.7, 0.7))
    wholes = [
        anatomy.whole.mass.likely * heavier * math.exp(draws.gauss(0.0, apart)) for _ in range(draws.randrange(6))
    ]
    pieces = []
    for piece in anatomy.pieces[1:]:
        off = math.exp(draws.uniform(-0.7, 0.7))
        for _ in range(draws.choice((0, 0, 1, 4, 30))):
            kg = piece.mass.likely * off * math.exp(draws.gauss(0.0, apart))
            pieces.append(PieceSeen(piece.id, kg, draws.choice((None, anatomy.whole.mass.likely * heavier))))
    return KindSeen(tuple(wholes), tuple(pieces))


@pytest.mark.parametrize("kind", shipped().kinds)
def test_masses_of_every_kind_add_up_after_learning(kind: str) -> None:
    anatomy, draws = shipped().anatomy(kind), random.Random(kind)
    for _ in range(4):
        learned = with_masses(anatomy, seen_of(draws, anatomy, draws.choice((0.05, 0.2, 0.4))))
        masses = {piece.id: piece.mass for piece in learned.pieces}
        for operation in learned.operations:
            likely, mean = sums(operation, masses)
            on = masses[operation.on]
            if not operation.asks:
                assert closes(on.likely, likely, operation.loss), operation.id
                assert closes(on.mean, mean, operation.loss), operation.id
        assert all(mass.low > 0.0 for mass in masses.values())
        assert all(masses[p.id] == masses[p.answer_to] for p in learned.pieces if p.answer_to is not None)
        check_anatomy(replace(learned, published=()), shipped().grades, shipped().cautions, kind)


def test_nothing_seen_changes_nothing() -> None:
    assert with_masses(FAN, KindSeen()) is FAN
    assert with_minutes(FAN, KindSeen()) is FAN


def test_seven_weighed_pieces_move_the_estimate_and_say_so() -> None:
    seen = KindSeen((), tuple(PieceSeen("motor", kg, None) for kg in (0.9, 0.95, 1.0, 0.92, 0.97, 0.94, 0.93)))
    learned = with_masses(FAN, seen)
    motor, one = learned.piece("motor").mass, learned.learned_of("mass", "motor")
    assert one is not None
    assert (one.was, one.now, one.count, one.left_out) == (FAN.piece("motor").mass, motor, 7, 0)
    assert motor.likely == pytest.approx(0.95, rel=0.06)
    assert motor.high / motor.low < FAN.piece("motor").mass.high / FAN.piece("motor").mass.low
    assert learned.learned_of("mass", "cord") is None


def test_what_came_out_of_a_heavy_find_counts_as_out_of_a_usual_one() -> None:
    """Twice the find with twice the motor: the same share, so no news."""
    heavy = 2.0 * FAN.whole.mass.likely
    seen = KindSeen((), tuple(PieceSeen("motor", 2.0 * FAN.piece("motor").mass.likely, heavy) for _ in range(9)))
    learned = with_masses(FAN, seen)
    assert learned.piece("motor").mass.likely == pytest.approx(FAN.piece("motor").mass.likely, rel=0.01)
    alone = with_masses(FAN, replace(seen, pieces=tuple(replace(one, find_kg=None) for one in seen.pieces)))
    assert alone.piece("motor").mass.likely > 1.5 * FAN.piece("motor").mass.likely


def test_a_heavier_whole_makes_pieces_heavier_that_nobody_weighed() -> None:
    learned = with_masses(FAN, KindSeen(wholes=(5.0,) * 12))
    assert learned.whole.mass.likely == pytest.approx(4.9, abs=0.15)
    assert learned.piece("motor").mass.likely == pytest.approx(
        FAN.piece("motor").mass.likely * learned.whole.mass.likely / FAN.whole.mass.likely, rel=1e-6
    )


def test_an_estimate_says_the_same_before_and_after_nothing_was_seen() -> None:
    """To there and back; its draws' 10 and 90 % points are those of what is known (numpy's beta, 200,000 draws)."""
    even = Estimate(2.0, 3.5, 3.5 * 3.5 / 2.0)
    again = as_estimate(as_known(even))
    assert (again.low, again.likely, again.high) == pytest.approx((even.low, even.likely, even.high))
    narrow = as_known(Estimate(3.5 / 1.3, 3.5, 3.5 * 1.3))
    drawn = draw(as_estimate(narrow), 200_000, np.random.default_rng(1))
    assert np.quantile(drawn, [0.1, 0.9]) == pytest.approx(usual_range(narrow), rel=0.02)


def test_a_slip_is_named_by_what_explains_it() -> None:
    known, _ = without_slips(as_known(Estimate(0.3, 0.41, 0.55)), [math.log(0.41 + 0.01 * i) for i in range(-3, 4)])
    assert slip_in(known, math.log(0.5)) is None
    assert (digit := slip_in(known, math.log(4.1))) is not None and digit.why == "a digit"
    assert (pounds := slip_in(known, math.log(0.41 * 2.2))) is not None and pounds.why == "lb and kg"
    assert (kilos := slip_in(known, math.log(0.41 / 2.2))) is not None and kilos.times == pytest.approx(0.45, abs=0.02)
    assert (grams := slip_in(known, math.log(410.0))) is not None and grams.why == "g and kg"
    assert (other := slip_in(known, math.log(0.41 * 5.0))) is not None and other.why == ""


def test_an_old_slip_is_left_out_and_a_wrong_estimate_is_not_kept() -> None:
    prior = as_known(Estimate(0.3, 0.41, 0.55))
    values = [math.log(one) for one in (0.40, 0.42, 4.1, 0.39, 0.43, 0.41 * 2.2046)]
    known, out = without_slips(prior, values)
    assert out == 2
    assert math.exp(known.mean) == pytest.approx(0.41, rel=0.02)
    shuffled, _ = without_slips(prior, values[::-1])
    assert shuffled == known
    believed, out = without_slips(prior, [math.log(one) for one in (1.9, 2.0, 2.1, 2.05)])
    assert out == 0
    assert math.exp(believed.mean) > 1.4


def test_minutes_go_to_the_operations_that_take_them() -> None:
    """Always twice the minutes of the estimate: what was done alone learns most, what takes a moment nearly nothing."""
    known = {op.id: op.minutes.mean for op in FAN.operations}
    work = tuple(WorkSeen((("motor-out", 1),), round(2.0 * known["motor-out"])) for _ in range(8))
    both = tuple(
        WorkSeen((("cord.cut-plugs", 1), ("cord.strip", 1)), 2.0 * (known["cord.cut-plugs"] + known["cord.strip"]))
        for _ in range(4)
    )
    learned = with_minutes(FAN, KindSeen(work=work + both))
    now = {op.id: op.minutes.likely / FAN.operations[i].minutes.likely for i, op in enumerate(learned.operations)}
    assert now["motor-out"] == pytest.approx(1.9, abs=0.2)
    assert 1.5 < now["cord.strip"] < 2.1
    assert now["cord.cut-plugs"] == 1.0
    assert now["sort"] == 1.0
    one = learned.learned_of("minutes", "motor-out")
    assert one is not None and one.count == 8 and one.was == FAN.operations[1].minutes
