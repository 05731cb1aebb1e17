"""Which one sign to look for at the curb: the one that gains most a minute, where it can change what is done.

With the chance p that it works, a find is worth the most of leaving it, of taking it untested and of testing it first:

    V(p) = max(0, U - c, p W + (1 - p) B - t - c)

U untested, W if it works, B if it does not, t the minutes of the test and c the carrying, all hours paid. A sign turns
p into one of two chances, and is worth the mean of V after it less V before it, its seconds paid.
"""

from __future__ import annotations

from collections.abc import Iterable

from partway.formulas.statistics.odds import chance_of, log_odds, weight_of_sign
from partway.things.signs import Sign
from partway.valuing.finds.facts import CENT, TestFirst, WorthALook

READING = 10.0  # seconds to read a question and to tap its answer (a choice of ours)
MINUTES = 0.25  # of one's own hour: what less is worth is not asked (a choice of ours)


def worth_a_look(
    test: TestFirst, signs: Iterable[Sign], wage: float, carrying: float, *, whole: bool = False
) -> WorthALook | None:
    """The sign that pays most by the minute; None where none turns lifting into leaving, or back, and pays for asking.

    `whole`: it is not lifted on the hope that it works, so nothing that shows of it matters.
    """
    found = [] if whole else [_look(test, sign, wage, carrying) for sign in signs]
    least = max(CENT, MINUTES / 60.0 * wage)
    turning = [it for it in found if it.gain >= least and _turns(test, it, wage, carrying)]
    return max(turning, key=_by_minute, default=None)


def _turns(test: TestFirst, it: WorthALook, wage: float, carrying: float) -> bool:
    """Whether it is lifted after one answer and left after the other."""
    lifted = [_worth(test, p, wage, carrying) > 0.0 for p in (it.if_seen, it.if_not)]
    return lifted[0] is not lifted[1]


def _by_minute(it: WorthALook) -> tuple[float, str]:
    return it.gain / (READING + it.seconds), it.sign


def _look(test: TestFirst, sign: Sign, wage: float, carrying: float) -> WorthALook:
    p = test.chance_works
    seen = p * sign.works + (1.0 - p) * sign.broken
    after = [chance_of(log_odds(p) + weight_of_sign(sign.works, sign.broken, there)) for there in (True, False)]
    mean = seen * _worth(test, after[0], wage, carrying) + (1.0 - seen) * _worth(test, after[1], wage, carrying)
    gain = mean - _worth(test, p, wage, carrying) - (READING + sign.seconds) / 3600.0 * wage
    return WorthALook(sign.id, sign.ask, sign.seconds, gain, after[0], after[1])


def _worth(test: TestFirst, p: float, wage: float, carrying: float) -> float:
    """V(p): what is done at its best, nothing where it is left."""
    tested = p * test.value_if_works + (1.0 - p) * test.value_if_not - test.minutes / 60.0 * wage
    return max(0.0, max(test.value_untested, tested) - carrying)
