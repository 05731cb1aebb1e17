"""A test as an operation, against sums that know nothing of it: each answer solved on its own and mixed by its chance.

The other side is tests/graphs.py and tests/brute.py, which share no code with planning.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from graphs import KIND, Worths
from graphs import scenario as graph
from tiny import with_tests
from tried_and_planned import compare

from partway.catalogue import shipped
from partway.errors import PlanUnsound
from partway.planning.check.verify import verify
from partway.planning.depth.dynamic import DepthTerms, Programme
from partway.planning.depth.spread import drawn_terms
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.instance.tested import TEST, with_test
from partway.planning.search.search import search
from partway.things.anatomy import Piece
from partway.things.scenario import Scenario

GRAPHS = 300
PLANS = range(160)


def unknown(seed: int) -> Scenario:
    """A graph whose find nobody tested."""
    it = graph(seed, tests=True)
    return replace(it, finds=(replace(it.finds[0], works="unknown"),))


def test_a_find_is_worth_the_better_of_testing_it_and_not() -> None:
    tested = 0
    for seed in range(GRAPHS):
        it = unknown(seed)
        instance = build(it)
        programme = Programme(instance)
        values = programme.values(DepthTerms.expected(instance))
        expected = Worths(it, it.hours.wage).with_test(lambda one: float(one.best()))
        assert values.worth[0, 0] == pytest.approx(expected, abs=1e-9 * max(1.0, abs(expected))), seed
        best = values.best(0)
        tested += best.sort == "open" and instance.openings[best.number].operation.tests
    assert 20 <= tested <= GRAPHS - 20


def test_a_chance_said_of_a_find_counts_in_place_of_its_kind_s() -> None:
    changed = 0
    for seed in range(60):
        it = unknown(seed)
        anatomy = replace(it.anatomies[KIND], works=0.35)
        said = build(replace(it, finds=(replace(it.finds[0], chance=0.35),)))
        usual = build(replace(it, anatomies={KIND: anatomy}))
        assert said.nodes == usual.nodes and said.openings == usual.openings
        changed += said.nodes != build(it).nodes
    assert changed > 10


def test_what_is_known_and_what_needs_nothing_to_work_is_not_tested() -> None:
    for seed in range(80):
        it = graph(seed, tests=True)
        needs = any(part.needs for piece in it.anatomies[KIND].pieces for part in piece.parts)
        tests = [o for o in build(it).openings if o.operation.tests]
        assert len(tests) == (needs and it.finds[0].works == "unknown")


def test_each_draw_has_one_answer_and_the_answers_come_as_often_as_they_are_likely() -> None:
    """A share p of N draws lies within four standard errors of p; N and p are those of the case."""
    it = unknown(next(s for s in range(GRAPHS) if any(o.operation.tests for o in build(unknown(s)).openings)))
    instance, n = build(it), 4000
    opening = next(o for o in instance.openings if o.operation.tests)
    yes, no = (node for node, _ in opening.gives)
    size = drawn_terms(instance, n).size
    there = size[[yes, no]] > 0.0
    assert np.all(there.sum(axis=0) == 1)
    p = it.anatomies[KIND].works or 0.0
    assert abs(there[0].mean() - p) <= 4 * np.sqrt(p * (1 - p) / n)


def test_every_shipped_kind_that_needs_work_can_be_tested_and_its_mass_still_balances() -> None:
    """Behind a test lie the kind's own pieces, each as heavy and each as shut as before."""
    for anatomy in shipped().all_anatomies():
        needs = any(part.needs == "works" for piece in anatomy.pieces for part in piece.parts)
        if not needs:
            continue
        assert anatomy.works is not None and anatomy.test_minutes is not None, anatomy.kind
        found = with_test(anatomy, anatomy.works, anatomy.test_minutes)
        assert [op.id for op in found.operations_on(anatomy.whole.id) if op.tests] == [TEST]
        for piece in found.pieces[len(anatomy.pieces) :]:
            own = anatomy.piece(piece.of_kind)
            assert (piece.mass, piece.sells, piece.parts, piece.stop) == (own.mass, own.sells, own.parts, own.stop)
            answer = found.answer_of(piece.id)
            assert answer is not None and answer.answer
        broken = [op for op in found.operations if op.on.startswith("whole.broken")]
        assert Counter(op.id for op in broken) == Counter(op.id for op in anatomy.operations)


# --- plans -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("first", PLANS[::40])
def test_a_plan_with_tests_is_worth_what_trying_everything_is_worth(first: int) -> None:
    wrong, compared, tested = {}, 0, 0
    for seed in range(first, first + 40):
        it = with_tests(seed)
        both = compare(it)
        if both is None:
            continue
        compared += 1
        if not both.agree or both.plan is None:
            wrong[seed] = both
            continue
        instance, decision = both.plan
        tested += any(n and o.operation.tests for n, o in zip(decision.opened, instance.openings, strict=True))
    assert not wrong
    assert compared >= 20 and tested >= 2, (compared, tested)


def test_a_plan_that_counts_on_what_nobody_tested_fails_its_check() -> None:
    """The check reads the chance from the scenario: shares that say otherwise are found."""
    for seed in PLANS:
        it = with_tests(seed)
        instance = build(it)
        if not any(o.operation.tests for o in instance.openings):
            continue
        decision = search(instance, seconds=10.0, gap=1e-9).decision
        verify(instance, decision)
        for changed in (replace(_works(instance), share=0.999), replace(_works(instance), works=None)):
            with pytest.raises(PlanUnsound):
                verify(_with(instance, changed), decision)
        return
    raise AssertionError("no plan with a test")


def _works(instance: Instance) -> Piece:
    """The first piece of a find that works."""
    return next(node.piece for node in instance.nodes if node.piece.works == "yes")


def _with(instance: Instance, changed: Piece) -> Instance:
    """The instance with one piece changed, by its id."""

    def mended(piece: Piece) -> Piece:
        return changed if piece.id == changed.id else piece

    groups = tuple(
        replace(g, anatomy=replace(g.anatomy, pieces=tuple(map(mended, g.anatomy.pieces)))) for g in instance.groups
    )
    nodes = tuple(replace(node, piece=mended(node.piece)) for node in instance.nodes)
    return replace(instance, groups=groups, nodes=nodes)
