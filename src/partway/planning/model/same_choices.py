"""The yes and no of a pooled point for the programme with separate trips, once its tours are fixed.

A buyer that one trip stops at has the lots of the pooled point on that trip; parcels and what goes by mail are of no
trip. So only the lots of buyers at which several trips stop are left open, and the point is mostly the best there is
for its tours: where it is worth as much as the pooled point, no solver need be asked whether there is a better one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from partway.planning.model.highs import Values
from partway.planning.model.milp import MAIL, Model
from partway.planning.model.pooled import Pooled

Fixed = dict[int, tuple[float, float]]


def same_choices(model: Model, pooled: Pooled, x: Values, tours: Mapping[int, tuple[float, float]]) -> Fixed:
    """Bounds on the columns of `model` that say yes or no as the pooled point does; `pooled` is of the same decisions.

    `tours` are the bounds that fix the tours.
    """
    columns, theirs = model.columns, pooled.model.columns
    stops = {key for key, c in columns.visits.items() if key[1] != MAIL and tours[c] != (0.0, 0.0)}
    often = Counter(b for b, _ in stops)

    def known(buyer: int, trip: int) -> bool:
        return trip == MAIL or ((buyer, trip) in stops and often[buyer] == 1)

    lots = ((i, t, k) for i, t, k in columns.lot_taken if known(model.instance.lots[i].buyer, k))
    like = {columns.lot_taken[i, t, k]: theirs.lot_taken[i, t, min(k, 0)] for i, t, k in lots}
    like |= {c: theirs.tickets[b, min(k, 0)] for (b, k), c in columns.tickets.items() if known(b, k)}
    like |= {c: theirs.parcels[key] for key, c in columns.parcels.items()}
    like |= {c: theirs.visits[key] for key, c in columns.visits.items() if key[1] == MAIL}
    return {c: (n, n) for c, their in like.items() for n in [float(round(float(x[pooled.column[their]])))]}
