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
    wanted = {
        columns.lot_taken[i, t, k]: theirs.lot_taken[i, t, min(k, 0)]
        for i, t, k in columns.lot_taken
        if k == MAIL or (often[b := model.instance.lots[i].buyer] == 1 and (b, k) in stops)
    }
    wanted |= {columns.tickets[b, k]: theirs.tickets[b, min(k, 0)] for b, k in columns.tickets if often[b] == 1 and (b, k) in stops or k == MAIL}
    wanted |= {c: theirs.parcels[key] for key, c in columns.parcels.items()}
    wanted |= {c: theirs.visits[key] for key, c in columns.visits.items() if key[1] == MAIL}
    return {c: (n, n) for c, like in wanted.items() for n in [float(round(float(x[pooled.column[like]])))]}
