"""Small programmes that some version of HiGHS has answered wrongly: with presolve, called optimal.

Plain data without numpy or partway, so that a bare interpreter with nothing but one version of highspy can read it
(benchmarks/highs_versions.py). What is right comes from trying every value of the whole columns, in the tests.

Ours were cut down from the scenario in docs/decisions/0010: the first is what `formulate` made of it. The others
are rebuilt from the text of the issues named, at github.com/ERGO-Code/HiGHS/issues.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

Column = tuple[float, float, float, bool]  # objective, lower, upper, whole
Row = tuple[dict[int, float], float, float]  # terms by column, lower, upper


@dataclass(frozen=True)
class Small:
    """Largest `columns` objective subject to `rows`; `source` says who met it."""

    name: str
    source: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    optimum: float


def least(*columns: Column) -> tuple[Column, ...]:
    """Columns of a programme written down as a minimum."""
    return tuple((-cost, lower, upper, whole) for cost, lower, upper, whole in columns)


OURS = Small(
    "one find, whole or opened",
    "our own scenario, as formulated: opening is worth 42.00, keeping whole 43.20",
    (
        (0.0, 0, 1, True),  # opened
        (27.0, 0, 1, True),  # sold as a part, for which there is not enough time
        (0.0, 0, 1, False),
        (0.0, 0, 1, False),
        (0.0, 0, 1, False),
        (0.0, 0, 7, False),  # kg downgraded
        (5.4, 0, 8, False),
        (6.0, 0, 7, False),
        (2.0, 0, 7, False),
    ),
    (
        ({0: -1, 2: -1}, -1, -1),
        ({0: 1, 1: -1, 3: -1}, 0, 0),
        ({0: 1, 4: -1}, 0, 0),
        ({2: 8, 6: -1}, 0, 0),
        ({3: 5, 0: 2, 5: -1, 7: -1}, 0, 0),
        ({5: 1, 8: -1}, 0, 0),
        ({0: 1 / 60, 1: 10 / 60}, -inf, 0.1),
        ({}, -inf, 0),
    ),
    43.2,
)
MINIMAL = Small(
    "the same with five columns",
    "our own, cut down by hand: at x = 1 it is worth -5 + 2 x 2 = -1, at x = 0 nothing",
    ((-5, 0, 1, True), (0, 0, 1, True), (0, 0, 1, False), (1, 0, 2, False), (2, 0, 2, False)),
    (({0: 1, 1: -1, 2: -1}, 0, 0), ({0: 1, 2: 1, 3: -1, 4: -1}, 0, 0), ({0: 1, 1: 2}, -inf, 1)),
    0.0,
)
SMALL = (
    OURS,
    MINIMAL,
    Small(
        "one row, two columns",
        "issue 2957: right in 1.13.1, 29.0 in 1.14.0",
        least((1, 0, 20, True), (2, 8, 20, False)),
        (({0: 1, 1: 1}, 20.1, inf),),
        -28.2,
    ),
    Small(
        "one row, two columns, other prices",
        "issue 3043: 15 in 1.14.0",
        least((2, 0, 10, False), (3, 0, 10, True)),
        (({0: 1, 1: 1}, 4.5, inf),),
        -9.0,
    ),
    Small(
        "a distance and a penalty",
        "issue 3073: 200.01 in 1.14.0",
        least((100, 0, inf, False), (0.01, -inf, inf, False), (0, 0, inf, True)),
        (
            ({0: 1, 2: 1}, 3, 3),
            ({2: 1, 1: -1}, -inf, 0),
            ({2: -1, 1: -1}, -inf, 0),
            ({2: 1}, -inf, 3),
            ({2: -1}, -inf, -0.45),
        ),
        -0.03,
    ),
    Small(
        "two slots, one may be used",
        "issue 3094: 10000 in 1.14.0",
        least(*[(0, 0, 1, True)] * 2, *[(0, 0, 1000, False)] * 2, (10, 0, 1000, False), (8, 0, 1000, False)),
        (
            ({2: 1, 0: -1000}, -inf, 0),
            ({3: 1, 1: -1000}, -inf, 0),
            ({2: 1, 4: 1}, 1000, 1000),
            ({3: 1, 5: 1}, 1000, 1000),
            ({0: 1, 1: 1}, -inf, 1),
        ),
        -8000.0,
    ),
    Small(
        "a whole number above a fraction",
        "issue 2409, met in 1.11.0; its free columns are bounded here so that every whole value can be tried",
        least((-1, -20, 20, False), (1, -20, 20, True)),
        (({1: 1, 0: -1}, 0.1, inf), ({1: 1, 0: 1}, 0.1, inf)),
        -0.1,
    ),
)
