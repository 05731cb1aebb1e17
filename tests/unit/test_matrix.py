"""Rows as arrays say what the rows say. The other side is numpy's own product of a matrix written out in full."""

from __future__ import annotations

import numpy as np

from partway.planning.model.linear import Linear
from partway.planning.model.matrix import Rowwise

ROWS = [[(0, 2.0), (3, -1.0)], [], [(1, 0.5)], [(3, 4.0), (0, 1.0), (2, -2.5)]]
FULL = np.array([[2.0, 0.0, 0.0, -1.0], [0.0] * 4, [0.0, 0.5, 0.0, 0.0], [1.0, 0.0, -2.5, 4.0]])
WEIGHTS = np.array([3.0, 7.0, -2.0, 0.25])


def full(rows: Rowwise) -> list[list[float]]:
    """Row by row, a number for each of four columns."""
    return [rows.times(np.eye(rows.rows)[r], 4).tolist() for r in range(rows.rows)]


def programme() -> Linear:
    linear = Linear()
    for name in "abcd":
        linear.column(name, objective=1.0)
    for r, terms in enumerate(ROWS):
        linear.row("some", str(r), terms, lower=float(-r), upper=float(r))
    return linear


def test_weighted_rows_are_the_product_with_the_whole_matrix() -> None:
    rows = Rowwise.of(ROWS)
    assert rows.starts.tolist() == [0, 2, 2, 3, 6] and rows.rows == 4
    assert full(rows) == FULL.tolist()
    assert rows.times(WEIGHTS, 4).tolist() == (WEIGHTS @ FULL).tolist()


def test_the_first_rows_and_then_the_others_are_all_of_them() -> None:
    for first in range(5):
        some = Rowwise.of(ROWS).first(first)
        assert full(some) == FULL[:first].tolist()
        assert full(some.and_then(Rowwise.of(ROWS[first:]))) == FULL.tolist()


def test_no_rows_are_nothing() -> None:
    assert Rowwise.of([]).rows == 0 and Rowwise.of([]).times(np.zeros(0), 4).tolist() == [0.0] * 4


def test_a_programme_has_the_arrays_of_the_rows_it_has_now() -> None:
    linear = programme()
    assert full(linear.matrix) == FULL.tolist() and linear.matrix is linear.matrix
    linear.row("some", "new", [(2, 9.0)])
    assert full(linear.matrix) == [*FULL.tolist(), [0.0, 0.0, 9.0, 0.0]]
    linear.drop_rows([0, 3])
    assert full(linear.matrix) == [[0.0] * 4, FULL[2].tolist(), [0.0, 0.0, 9.0, 0.0]]
    linear.row("some", "again", ROWS[0])
    assert full(linear.matrix)[-1] == FULL[0].tolist()


def test_what_is_added_to_the_first_rows_stays_with_them() -> None:
    linear = programme()
    some = linear.first(2)
    some.row("some", "new", [(2, 9.0)])
    some.column("e")
    some.upper[0] = 5.0
    assert (len(linear.rows), len(linear.names), linear.upper[0]) == (4, 4, np.inf)
    assert full(some.matrix) == [*FULL[:2].tolist(), [0.0, 0.0, 9.0, 0.0]]
    assert (some.row_lower, some.row_upper) == ([0.0, -1.0, -np.inf], [0.0, 1.0, np.inf])
    assert some.row_names[:2] == linear.row_names[:2]


def test_other_costs_change_nothing_else() -> None:
    linear = programme()
    dearer = linear.at_costs([5.0, 6.0, 7.0, 8.0])
    assert linear.objective == [1.0] * 4 and dearer.objective == [5.0, 6.0, 7.0, 8.0]
    assert dearer.rows_text() == linear.rows_text()
