"""What a proof of other prices rests on: today's programme allows no more than the old one. No source is needed."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from partway.planning.learned.statement import Statement, allows_no_more
from partway.planning.model.linear import Linear


def programme(*, there: bool = True, most: float = 3.0, whole: bool = True, hours: float = 4.0) -> Linear:
    """Two lots within hours, the second only for those who visit; `there`: whether somebody quotes it."""
    made = Linear()
    first, visit = made.column("first", 2.0, most, integer=whole), made.column("visit", -1.0, 1.0, integer=True)
    terms = [(first, 1.0)]
    if there:
        second = made.column("second", 5.0, 2.0)
        made.row("visit", "second", [(second, 1.0), (visit, -2.0)], upper=0.0)
        terms.append((second, 2.0))
    made.row("hours", "", terms, upper=hours)
    return made


OLD = programme()


def test_the_same_and_less_is_no_more() -> None:
    assert allows_no_more(OLD, OLD) and allows_no_more(programme(most=2.0), OLD)
    assert allows_no_more(programme(there=False), OLD), "a grade not quoted any more: its rows are kept by bounds"
    assert allows_no_more(OLD, programme(whole=False)), "fewer points are whole"


@pytest.mark.parametrize(
    ("new", "old"),
    [
        (programme(most=4.0), OLD),
        (OLD, programme(there=False)),
        (programme(hours=5.0), OLD),
        (programme(whole=False), OLD),
        (programme(there=False), programme(hours=2.5)),
        (replace(OLD, rows=OLD.rows[:1], row_lower=[-math.inf], row_upper=[0.0]), OLD),
        (replace(OLD, rows=[OLD.rows[0], [(0, 1.0), (2, 1.0)]]), OLD),
    ],
)
def test_whatever_allows_more_is_noticed(new: Linear, old: Linear) -> None:
    assert not allows_no_more(new, old)


def test_a_column_that_has_to_be_something_may_not_be_lacking() -> None:
    old = replace(OLD, lower=[0.0, 0.0, 1.0])
    assert not allows_no_more(programme(there=False), old)


def test_the_row_is_in_the_columns_of_today() -> None:
    """The second lot earned 5 of the bound; nobody quotes it any more."""
    said = Statement.of(OLD, OLD, np.array([0.0, 1.0, 2.0]), 9.5)
    new = programme(there=False)
    assert (said.worth, said.row(OLD, OLD)) == (9.0, ([(0, 2.0), (1, -1.0), (2, 5.0)], 9.5))
    assert said.row(new, new) == ([(0, 2.0), (1, -1.0)], 9.5)
    assert said.row(programme(hours=5.0), OLD) is None


def test_a_proof_that_its_own_plan_refutes_is_none() -> None:
    assert not Statement.of(OLD, OLD, np.array([0.0, 1.0, 2.0]), 8.9).sound


def test_a_column_of_today_that_nothing_was_proved_of_ends_it() -> None:
    said = Statement.of(OLD, programme(there=False), np.array([0.0, 1.0, 2.0]), 9.5)
    assert said.row(OLD, OLD) is None
