"""What a depth report says, held against tests/graphs.py, which shares no code with planning."""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench_day import DAY, DAYS
from graphs import KIND, Worths, mean
from graphs import scenario as graph

from partway.actions.bench.depths import depth
from partway.things.anatomy import Anatomy, Gives, Operation, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.scenario import Find, Quote, Scenario
from partway.valuing.finds.hand import Holding
from partway.valuing.finds.hands import HoldingValues


@pytest.mark.parametrize("first", range(0, 200, 50))
def test_a_step_gains_what_it_is_worth_above_the_best_other_thing(first: int) -> None:
    for seed in range(first, first + 50):
        it = graph(seed)
        plain, report = Worths(it, it.hours.wage), depth(it, KIND)
        operations = {op.id: op for op in it.anatomies[KIND].operations}
        assert report.value == pytest.approx(plain.best(), abs=1e-9)
        assert report.as_is == pytest.approx(max(plain.ends(it.anatomies[KIND].whole)), abs=1e-9)
        for step in report.steps:
            op = operations[step.operation]
            assert step.gain == pytest.approx(plain.margin(op), abs=1e-9)
            assert step.piece == op.on and step.required is op.required
            if step.minutes > 0:
                assert step.per_hour == pytest.approx(step.gain / step.minutes * 60 + it.hours.wage, abs=1e-6)


def left_shut(it: Scenario) -> float:
    """The best of the whole that takes no hour at the bench, straight from the scenario."""
    whole = replace(it.anatomies[KIND].whole, parts=())
    return max(Worths(it, it.hours.wage).ends(whole))


def test_chosen_steps_lead_from_the_whole_to_the_ends_and_add_up() -> None:
    opened = 0
    for seed in range(200):
        it = graph(seed)
        anatomy, report = it.anatomies[KIND], depth(it, KIND)
        operations = {op.id: op for op in anatomy.operations}
        counts = {anatomy.whole.id: 1}
        spent = 0.0
        for step in report.steps:  # from the whole downwards
            if step.chosen:
                op, times = operations[step.operation], counts.pop(step.piece)
                assert step.reached
                spent += times * (it.hours.wage * mean(op.minutes) / 60.0 + op.cost)
                for given in op.gives:
                    counts[given.piece] = counts.get(given.piece, 0) + times * given.count
        assert {end.piece: end.count for end in report.ends} == counts
        assert report.value == pytest.approx(sum(end.value for end in report.ends) - spent, abs=1e-9)
        values = [end.value for end in report.ends]
        assert values == sorted(values, reverse=True)
        opened += any(step.chosen for step in report.steps)
        if report.per_hour is not None:
            hour = (report.value - left_shut(it)) / report.minutes * 60 + it.hours.wage
            assert report.per_hour == pytest.approx(hour, rel=1e-9)
    assert opened >= 60


def test_an_end_names_what_it_is_sold_as() -> None:
    for seed in range(200):
        it = graph(seed)
        anatomy, plain = it.anatomies[KIND], Worths(it, it.hours.wage)
        for end in depth(it, KIND).ends:
            piece = anatomy.piece(end.piece)
            if piece.stop:
                assert end.as_what == "stop" and "stays shut" in end.why
            elif end.as_what == "sell":
                assert end.to in [sale.grade for sale in plain.sales(piece)]
            elif end.as_what == "part":
                assert piece.parts


def one_piece(grade: str, *more: Operation) -> Scenario:
    """A find of one piece, perhaps with something in it, and a yard that quotes copper alone."""
    it = DAYS["one yard"]
    pieces = (
        Piece("whole", "whole", Estimate.exact(1.0), (SaleAs(grade),)),
        *(Piece("inside", "inside", Estimate.exact(1.0), (SaleAs("brass"),)) for _ in more),
    )
    copper = replace(it.buyers[0], quotes=(Quote("copper", Estimate.exact(7.0), DAY),))
    return replace(
        it,
        buyers=(copper,),
        finds=(Find("box", 1, "no"),),
        anatomies={"box": Anatomy("box", "box", pieces, more)},
    )


def test_a_depth_names_the_absence_of_a_quote() -> None:
    """Unquoted is not zero: the end of an unquoted piece says that nobody quotes it."""
    (end,) = depth(one_piece("brass"), "box").ends
    assert (end.as_what, end.value) == ("keep", 0.0)
    assert "nobody here quotes it" in end.why


def test_a_depth_does_not_say_that_of_what_is_quoted_but_may_not_be_sold_yet() -> None:
    """Nobody would wait for a quote that is there: a required operation stands in the way."""
    first = Operation("take out", "take out", "whole", Estimate.exact(600.0), (Gives("inside"),), required=True)
    (end,) = depth(one_piece("copper", first), "box").ends
    assert end.as_what == "keep"
    assert "nobody" not in end.why


def test_an_hour_brings_what_the_queue_says_it_brings() -> None:
    """The command once compared with a sale as a part, which takes hours of its own; the queue and the plan never did.

    An hour is held against leaving the find as it is.
    """
    compared = apart = 0
    for seed in range(200):
        it = graph(seed)
        find, report = it.finds[0], depth(it, KIND)
        one = Holding(KIND, find.works, find.mass_kg, ((it.anatomies[KIND].whole.id, 1),))
        value = HoldingValues.at(it).of([one])[one]
        if value.way == "open" and value.test is None:
            compared += 1
            assert report.per_hour == pytest.approx(value.per_hour, rel=1e-9), seed
            apart += report.as_is_how.startswith("sell as a part")
    assert compared > 20 and apart > 0
