"""The rows of a programme as three arrays, as solvers and sums want them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain

import numpy as np
from numpy.typing import NDArray

TERM = np.dtype([("column", np.int32), ("value", np.float64)])


@dataclass(frozen=True)
class Rowwise:
    """Of each term its column and value, row after row; row r has those from `starts[r]` to `starts[r + 1]`."""

    starts: NDArray[np.int32]
    columns: NDArray[np.int32]
    values: NDArray[np.float64]

    @classmethod
    def of(cls, rows: Sequence[Sequence[tuple[int, float]]]) -> Rowwise:
        """All of these rows."""
        terms = np.fromiter(chain.from_iterable(rows), dtype=TERM)
        starts = np.concatenate([[0], np.cumsum([len(terms) for terms in rows])]).astype(np.int32)
        return cls(starts, np.ascontiguousarray(terms["column"]), np.ascontiguousarray(terms["value"]))

    @property
    def rows(self) -> int:
        """How many rows there are."""
        return len(self.starts) - 1

    def first(self, rows: int) -> Rowwise:
        """The first of them."""
        end = self.starts[rows]
        return Rowwise(self.starts[: rows + 1], self.columns[:end], self.values[:end])

    def and_then(self, other: Rowwise) -> Rowwise:
        """These rows and then others."""
        starts = np.concatenate([self.starts, other.starts[1:] + self.starts[-1]])
        columns, values = (self.columns, other.columns), (self.values, other.values)
        return Rowwise(starts, np.concatenate(columns), np.concatenate(values))

    def times(self, weights: NDArray[np.float64], columns: int) -> NDArray[np.float64]:
        """The sum of the rows, each times its weight: a number for each of so many columns."""
        each = np.repeat(weights, np.diff(self.starts)) * self.values
        found: NDArray[np.float64] = np.bincount(self.columns, weights=each, minlength=columns).astype(np.float64)
        return found
