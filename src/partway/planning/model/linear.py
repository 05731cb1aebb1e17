"""A mixed-integer programme as plain data: named columns and rows, no solver.

Every row belongs to a named family, so that the text of a model can be read and held against golden
files one family at a time.
"""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field, fields

from partway.planning.model.matrix import Rowwise

INFINITY = math.inf
Terms = list[tuple[int, float]]


@dataclass
class Linear:
    """max objective . x + constant, subject to lower <= rows <= upper and bounds; some columns integer."""

    names: list[str] = field(default_factory=list)
    objective: list[float] = field(default_factory=list)
    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    integer: list[bool] = field(default_factory=list)
    rows: list[Terms] = field(default_factory=list)
    row_names: list[str] = field(default_factory=list)
    row_families: list[str] = field(default_factory=list)
    row_lower: list[float] = field(default_factory=list)
    row_upper: list[float] = field(default_factory=list)
    constant: float = 0.0
    _matrix: Rowwise | None = field(default=None, init=False, repr=False, compare=False)

    def column(
        self, name: str, objective: float = 0.0, upper: float = INFINITY, integer: bool = False, lower: float = 0.0
    ) -> int:
        """Add a column; its number."""
        self.names.append(name)
        self.objective.append(objective)
        self.lower.append(lower)
        self.upper.append(upper)
        self.integer.append(integer)
        return len(self.names) - 1

    def row(
        self,
        family: str,
        name: str,
        terms: Iterable[tuple[int, float]],
        lower: float = -INFINITY,
        upper: float = INFINITY,
    ) -> int:
        """Add a row, terms on one column joined; its number."""
        said = list(terms)
        joined = dict(said)
        if len(joined) < len(said):
            joined = {}
            for column, value in said:
                joined[column] = joined.get(column, 0.0) + value
        self.rows.append([(c, v) for c, v in joined.items() if v != 0.0])
        self.row_names.append(f"{family}({name})" if name else family)
        self.row_families.append(family)
        self.row_lower.append(lower)
        self.row_upper.append(upper)
        return len(self.rows) - 1

    def value(self, x: Sequence[float]) -> float:
        """The objective at x, the constant included."""
        return self.constant + math.fsum(c * v for c, v in zip(self.objective, x, strict=True))

    def text(self) -> str:
        """The whole model in the LP file format that solvers read."""
        head = ["\\ money in currency units, masses in kg, times in hours", "maximize"]
        objective = " obj: " + self._sum(list(enumerate(self.objective))) + _constant(self.constant)
        whole = [_legal(n) for n, integer in zip(self.names, self.integer, strict=True) if integer]
        parts = [*head, objective, "subject to", self.rows_text().rstrip("\n"), "bounds"]
        parts += [self._bound_text(c) for c in range(len(self.names))]
        if whole:
            parts += ["general", *(f" {name}" for name in whole)]
        return "\n".join([*parts, "end", ""])

    @property
    def matrix(self) -> Rowwise:
        """The rows as arrays. Made once, and then of the rows added since: a row is never changed."""
        made, rows = self._matrix, self.rows
        if made is None or made.rows > len(rows):
            made = Rowwise.of(rows)
        elif made.rows < len(rows):
            made = made.and_then(Rowwise.of(rows[made.rows :]))
        self._matrix = made
        return made

    def first(self, rows: int) -> Linear:
        """The programme with its first rows only; what is added to either stays with it."""
        lists = {of.name: list(getattr(self, of.name)) for of in fields(self) if of.init and of.name != "constant"}
        some = {of: there[:rows] if of.startswith("row") else there for of, there in lists.items()}
        new = Linear(**some, constant=self.constant)
        new._matrix = self.matrix.first(rows)
        return new

    def at_costs(self, objective: list[float]) -> Linear:
        """The same with another objective."""
        new = self.first(len(self.rows))
        new.objective = objective
        return new

    def drop_rows(self, rows: Collection[int]) -> None:
        """Take rows out; those after them move up."""
        out, self._matrix = frozenset(rows), None
        for of in ("rows", "row_names", "row_families", "row_lower", "row_upper"):
            kept = getattr(self, of)
            kept[:] = [value for r, value in enumerate(kept) if r not in out]

    def rows_text(self, family: str | None = None) -> str:
        """The rows of one family as the LP format has them, or all rows."""
        rows = [i for i, name in enumerate(self.row_families) if family in (None, name)]
        return "".join(f"{line}\n" for i in rows for line in self._row_text(i))

    def _sum(self, terms: Terms) -> str:
        parts = [f"{v:+.12g} {_legal(self.names[c])}" for c, v in terms if v != 0.0]
        return " ".join(parts) or "0 " + _legal(self.names[0])

    def _row_text(self, i: int) -> list[str]:
        name, terms = _legal(self.row_names[i]), self._sum(self.rows[i])
        low, high = self.row_lower[i], self.row_upper[i]
        if low == high:
            return [f" {name}: {terms} = {low:.12g}"]
        lines = []
        if low > -INFINITY:
            lines.append(f" {name}{'.low' if high < INFINITY else ''}: {terms} >= {low:.12g}")
        if high < INFINITY:
            lines.append(f" {name}{'.high' if low > -INFINITY else ''}: {terms} <= {high:.12g}")
        return lines

    def _bound_text(self, c: int) -> str:
        high = self.upper[c]
        return f" {self.lower[c]:.12g} <= {_legal(self.names[c])} <= {'+inf' if high == INFINITY else f'{high:.12g}'}"


def _constant(value: float) -> str:
    return f" {value:+.12g}" if value else ""


def _legal(name: str) -> str:
    """The characters the LP format lets a name have."""
    return re.sub(r"[^A-Za-z0-9_.,()~]", "_", name)
