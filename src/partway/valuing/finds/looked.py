"""Which one sign to look for at the curb: the one that gains most a minute, where it can change what is done.

With the chance p that it works, a find is worth the most of leaving it, of taking it untested and of testing it first:

    V(p) = max(0, U - c, p W + (1 - p) B - t - c)

U untested, W if it works, B if it does not, t the minutes of the test and c the carrying, all hours paid. A sign turns
p into one of two chances, and is worth the mean of V after it less V before it, its seconds paid.
"""

from __future__ import annotations

from collections.abc import Iterable

from partway.formulas.odds import chance_of, log_odds, weight_of_sign
from partway.things.signs import Sign
from partway.valuing.finds.facts import CENT, TestFirst, WorthALook

FEWEST_SECONDS = 1.0


def worth_a_look(
    test: TestFirst, signs: Iterable[Sign], wage: float, carrying: float, *, whole: bool = False
) -> WorthALook | None:
    """The sign that pays most by the minute; None where none changes what is done for more than its seconds.

    `whole`: it is not lifted on the hope that it works, so nothing that shows of it matters.
    """
    found = [] if whole else [_look(test, sign, wage, carrying) for sign in signs]
    return max((it for it in found if it.gain >= CENT), key=_by_minute, default=None)


def _by_minute(it: WorthALook) -> tuple[float, str]:
    return it.gain / max(FEWEST_SECONDS, it.seconds), it.sign


def _look(test: TestFirst, sign: Sign, wage: float, carrying: float) -> WorthALook:
    p = test.chance_works
    seen = p * sign.works + (1.0 - p) * sign.broken
    after = [chance_of(log_odds(p) + weight_of_sign(sign.works, sign.broken, there)) for there in (True, False)]
    mean = seen * _worth(test, after[0], wage, carrying) + (1.0 - seen) * _worth(test, after[1], wage, carrying)
    gain = mean - _worth(test, p, wage, carrying) - sign.seconds / 3600.0 * wage
    return WorthALook(sign.id, sign.ask, sign.seconds, gain, after[0], after[1])


def _worth(test: TestFirst, p: float, wage: float, carrying: float) -> float:
    """V(p): what is done at its best, nothing where it is left."""
    tested = p * test.value_if_works + (1.0 - p) * test.value_if_not - test.minutes / 60.0 * wage
    return max(0.0, max(test.value_untested, tested) - carrying)
