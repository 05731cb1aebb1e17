"""How well a number read off a scale is known.

Source of the method: JCGM 100 (GUM): a reading stands anywhere within its division (rectangular, clause 4.3.7), and the
zero before it did, too; independent parts add in squares (clause 5.1); the factor for a few samples is Student's t
at the effective degrees of freedom (annex G.4).
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
    """Standard uncertainty of a net reading, in the unit of `division`: d / sqrt(6).

    Two rectangular parts of d / sqrt(12), the reading's and the zero's. The scale's own error is not in it.
    Raises BadQuantity for a division that is not above 0.
    """
    above_zero(division, "division of the scale")
    return division / math.sqrt(6.0)


def coverage(freedom: float) -> float:
    """Factor for a range that holds in 95 of 100 cases, from the effective degrees of freedom (infinite: 2).

    Rounded down to the next one the table has, as the GUM advises. Raises BadQuantity below 1.
    """
    if math.isnan(freedom) or freedom < 1.0:
        raise BadQuantity(f"{freedom:g}", "at least 1", "degrees of freedom")
    if freedom > 100.0:
        return WIDE
    return STUDENT[max(known for known in STUDENT if known <= freedom)]
