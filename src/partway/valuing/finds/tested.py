"""Is it worth testing first? The one computation of what knowing a find's condition gains, for all who ask."""

from __future__ import annotations

import numpy as np

from partway.planning.depth.dynamic import Draws
from partway.planning.depth.spread import SEED
from partway.things.anatomy import Anatomy
from partway.valuing.finds.facts import TestFirst

DUST = 1e-9


def worth_of_testing(
    anatomy: Anatomy, wage: float, untested: float, if_works: float, if_not: float
) -> TestFirst | None:
    """What perfect news about the condition is worth, less the minutes it takes to get it.

    The three values have their hours paid. None where the catalogue knows no chance or no minutes.
    """
    if anatomy.works is None or anatomy.test_minutes is None:
        return None
    chance, minutes = anatomy.works, anatomy.test_minutes.mean
    gain = chance * if_works + (1.0 - chance) * if_not - minutes / 60.0 * wage - untested
    return TestFirst(chance, minutes, if_works, if_not, untested, gain, gain > DUST)


def drawn_by_luck(test: TestFirst, if_works: Draws, if_not: Draws) -> Draws:
    """Draws of both outcomes as one: it works in as many as it is likely to, by the same luck for all rows."""
    luck = np.random.default_rng(SEED).random(if_works.shape[-1]) < test.chance_works
    mixed: Draws = np.where(luck, if_works, if_not)
    return mixed
