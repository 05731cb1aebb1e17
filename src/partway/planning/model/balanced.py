"""The same programme with rows in units of their own, and a row that asks for at least so much.

A row with weights to 100,000 kg is kept by a solver to the same absolute tolerance as one of a yes and a no. Of 107
programmes without presolve (published knapsacks, drawn scenarios) HiGHS 1.15.1 called two infeasible that have a
solution, as soon as it was told by its option `objective_bound` to look for better ones only. Rows that are divided
mended those; another one ended below its optimum until a row asked for the objective in place of the option. Both
together take half the time. Each row is divided by the power of two next to its largest number (scaling by rows, as
in Curtis and Reid, "On the automatic scaling of matrices for Gaussian elimination", IMA Journal of Applied Mathematics
10, 1972). A power of two changes no digit, so every solution stays one.
"""

from __future__ import annotations

import math
from dataclasses import replace

from partway.planning.model.linear import Linear


def balanced(linear: Linear, least: float = -math.inf) -> Linear:
    """The programme with its rows divided, and an objective of at least `least`; the one given stays as it is."""
    wanted = [(c, v) for c, v in enumerate(linear.objective) if v]
    floor = [] if least == -math.inf else [("least", wanted, least - linear.constant, math.inf)]
    given = zip(linear.row_families, linear.rows, linear.row_lower, linear.row_upper, strict=True)
    names = [*linear.row_names, *(family for family, *_ in floor)]
    made = replace(linear, rows=[], row_names=names, row_families=[], row_lower=[], row_upper=[])
    for family, terms, low, high in (*given, *floor):
        size = _power(max((abs(v) for _, v in terms), default=1.0))
        made.row_families.append(family)
        made.rows.append([(c, v / size) for c, v in terms])
        made.row_lower.append(low / size)
        made.row_upper.append(high / size)
    return made


def _power(size: float) -> float:
    """The power of two next to a number above 0, and 1 for 0."""
    return 2.0 ** round(math.log2(size)) if size > 0.0 else 1.0
