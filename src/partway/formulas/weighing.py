"""How well a number read off a scale is known.

Source of the method: JCGM 100:2008 (GUM). A reading stands anywhere within its division (rectangular, clause 4.3.7),
and the zero before it did, too; independent parts add in squares (clause 5.1.2); the factor for a few samples is
Student's t at the effective degrees of freedom (annex G.4, table G.2).
"""

from __future__ import annotations

import math

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero

# Student's t, two-sided 95.45 %, for 1 to 10, then 15, 20, 30 and 50 degrees of freedom (GUM, table G.2).
STUDENT = {1: 13.97, 2: 4.53, 3: 3.31, 4: 2.87, 5: 2.65, 6: 2.52, 7: 2.43, 8: 2.37, 9: 2.32, 10: 2.28, 15: 2.18,
           20: 2.13, 30: 2.09, 50: 2.05}  # fmt: skip
WIDE = 2.0  # coverage factor where a part is as good as known for sure


def reading_uncertainty(division: float) -> float:
    """Standard uncertainty of a net reading: d / sqrt(6).

    Two rectangular parts of d / sqrt(12), the reading's and the zero's. The scale's own error is not in it.

    Takes: division, smallest step of the scale, in any unit of mass.
    Gives: the same unit, one standard uncertainty.
    Valid: division above 0.
    Source: JCGM 100:2008 (GUM), clause 4.3.7, equation 7.

    >>> round(reading_uncertainty(0.01), 5)
    0.00408
    """
    above_zero(division, "division of the scale")
    return division / math.sqrt(6.0)


def coverage(freedom: float) -> float:
    """Factor for a range that holds in 95 of 100 cases.

    Rounded down to the next degrees of freedom the table has, which makes the range wider, not narrower.

    Takes: freedom, effective degrees of freedom, infinite allowed.
    Gives: a factor on the standard uncertainty.
    Valid: at least 1; above 100 it is 2.
    Source: JCGM 100:2008 (GUM), annex G, table G.2, column 95.45 %.

    >>> coverage(4.6), coverage(float("inf"))
    (2.87, 2.0)
    """
    if math.isnan(freedom) or freedom < 1.0:
        raise BadQuantity(f"{freedom:g}", "at least 1", "degrees of freedom")
    if freedom > 100.0:
        return WIDE
    return STUDENT[max(known for known in STUDENT if known <= freedom)]
