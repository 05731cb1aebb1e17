"""How sure the best depth of a find is: seeded draws of masses, minutes and prices, its choices held."""

from __future__ import annotations

import numpy as np

from partway.planning.depth.spread import SEED
from partway.valuing.finds.facts import Chances
from partway.valuing.finds.opened import Solved


def chances(find: Solved) -> Chances:
    """Of the first find, its hours paid; `opening_wins` is None where its best is not to open it."""
    terms = find.drawn_terms
    followed = find.programme.followed(find.values, terms)
    low, middle, high = np.percentile(followed[0], [10.0, 50.0, 90.0])
    wins = None
    if find.values.best(0).sort == "open":
        as_is_option, _ = find.best_of(0, as_is=True)
        as_is = find.programme.option_value(as_is_option, 0, terms, followed)
        wins = float(np.mean(followed[0] > as_is))
    return Chances(float(low), float(middle), float(high), wins, find.draws, SEED)
