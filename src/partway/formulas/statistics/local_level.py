"""A level that wanders, seen now and then with noise: what it is today, and how sure that is.

Level a(t+d) = a(t) + wander, of variance q for each day; seen y = a + noise, of variance h. Nothing is known of the
level before the first time it was seen (exact diffuse start), so that one alone makes level y and variance h. Source:
Durbin and Koopman, Time Series Analysis by State Space Methods, 2nd ed., sections 2.2, 2.7 and 5.2 (from memory; their
example of the Nile is a test).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero, at_least_zero


@dataclass(frozen=True, slots=True)
class Level:
    """A level and the variance of what is known of it, on a day."""

    day: float
    mean: float
    variance: float


def levels(seen: Iterable[tuple[float, float]], noise: float, wander: float) -> tuple[Level, ...]:
    """The level after each time it was seen: the Kalman filter of a local level, whatever days lie between.

    Takes: seen, pairs of a day and what was seen, in the order of days; noise, variance h of one look; wander,
        variance q that a day adds.
    Gives: a level for each, means in the unit seen, variances in its square.
    Valid: noise above 0, wander at least 0, days that do not go back.
    Source: Durbin and Koopman, 2nd ed., equations 2.15 and 5.2.

    >>> [round(level.mean, 3) for level in levels([(0, 1120.0), (1, 1160.0), (2, 963.0)], 15099.0, 1469.1)]
    [1120.0, 1140.928, 1072.799]
    """
    above_zero(noise, "noise")
    found: list[Level] = []
    for day, value in seen:
        if not found:
            found.append(Level(day, value, noise))
            continue
        ahead = on_day(found[-1], day, wander)
        gain = ahead.variance / (ahead.variance + noise)
        found.append(Level(day, ahead.mean + gain * (value - ahead.mean), (1.0 - gain) * ahead.variance))
    return tuple(found)


def on_day(level: Level, day: float, wander: float) -> Level:
    """The level some days later, where nobody looked: the same mean, variance more by wander for each day.

    Takes: level, as last seen; day, the day asked for; wander, variance q that a day adds.
    Gives: the level on that day.
    Valid: a day that is no earlier, wander at least 0.
    Source: Durbin and Koopman, 2nd ed., section 2.7.

    >>> on_day(Level(0.0, 4.1, 1.0), 10.0, 0.5)
    Level(day=10.0, mean=4.1, variance=6.0)
    """
    at_least_zero(wander, "wander")
    if day < level.day:
        raise BadQuantity(f"{day:g}", f"a day from {level.day:g} on", "day")
    return Level(day, level.mean, level.variance + (day - level.day) * wander)


def steady_variance(noise: float, wander: float) -> float:
    """Variance of the level a day ahead, after it was seen daily for long: (q + sqrt(q^2 + 4 q h)) / 2.

    Takes: noise, variance h of one look; wander, variance q of a day.
    Gives: the square of the unit seen.
    Valid: both above 0.
    Source: Durbin and Koopman, 2nd ed., section 2.11.

    >>> round(steady_variance(15099.0, 1469.1), 3)
    5501.258
    """
    above_zero(noise, "noise")
    above_zero(wander, "wander")
    return (wander + math.sqrt(wander * wander + 4.0 * wander * noise)) / 2.0
