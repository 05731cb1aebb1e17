"""What it is worth to learn one figure before a choice of two: the expected value of perfect information."""

from __future__ import annotations

import math

from partway.formulas.checked import at_least_zero, finite


def unit_loss(off: float) -> float:
    """What a standard normal falls short of, or goes beyond, a line by on average: L(u) = f(u) - u (1 - F(u)).

    Takes: off (u), how far the line lies from the middle, standard deviations.
    Gives: standard deviations.
    Valid: u at least 0; f and F are the density and the distribution function of the standard normal.
    Source: H. Raiffa and R. Schlaifer, "Applied Statistical Decision Theory", 1961, the unit normal linear-loss
    integral (from memory, unverified); a test integrates it anew.

    >>> round(unit_loss(0.0), 6), round(unit_loss(1.0), 6)
    (0.398942, 0.083315)
    """
    at_least_zero(off, "distance of the line, standard deviations")
    density = math.exp(-off * off / 2.0) / math.sqrt(2.0 * math.pi)
    return max(0.0, density - off * math.erfc(off / math.sqrt(2.0)) / 2.0)


def worth_of_asking(expected: float, spread: float, other: float) -> float:
    """What it is worth to hear a price before choosing: s L(|m - o| / s).

    Without asking, the better of m and o is taken; having asked, the better of what was heard and o.

    Takes: expected (m), the price as it is thought to be, currency units; spread (s), one standard deviation of it;
    other (o), what the next best choice brings, currency units, known.
    Gives: currency units; 0 where the price is certain.
    Valid: s at least 0; a price that is spread normally.
    Source: Raiffa and Schlaifer 1961, two choices with linear values (from memory, unverified).

    >>> round(worth_of_asking(10.0, 2.0, 10.0), 4)
    0.7979
    >>> worth_of_asking(10.0, 0.0, 8.0)
    0.0
    """
    finite(expected, "expected price")
    finite(other, "price of the other choice")
    at_least_zero(spread, "spread of the price")
    return spread * unit_loss(abs(expected - other) / spread) if spread > 0.0 else 0.0
