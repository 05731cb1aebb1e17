"""Rows that keep a set of buyers to what the trips that stop there can carry; added only where a point breaks them.

For any set S of buyers, a trip that misses S brings it nothing and any other at most one payload Q, so every plan has

    loads to S <= Q x (trips that stop in S) = Q x sum of x_r over the tours r with a stop in S,

in kilograms and in litres. Hall, "On representatives of subsets", J. London Math. Soc. 10, 1935: where tours are whole
and only one of the two counts, all such rows together are also enough to share the loads out over the trips. It is the
capacity cut of vehicle routing (Laporte and Nobert, "A branch and bound algorithm for the capacitated vehicle routing
problem", OR Spektrum 5, 1983), in columns of whole tours.

Where tours are listed there are at most twelve places, so every set is looked at: the sums over all sets are made
together, one place after the other (Yates, "The design and analysis of factorial experiments", 1937).
"""

from __future__ import annotations

import numpy as np

from partway.planning.model.highs import Values
from partway.planning.model.pooled import Pooled, fit_rows, load_of
from partway.planning.model.routing_cuts import buyers_of

BROKEN = 1e-6  # of a load
MOST_ROWS = 20  # of kilograms or litres at a time, the most broken first


class FitCuts:
    """Looks for rows of one pooled programme that a point breaks."""

    def __init__(self, pooled: Pooled) -> None:
        self.pooled = pooled
        self.vehicle = pooled.model.instance.scenario.vehicle
        self.buyers = sorted(b for b in pooled.visits if b in pooled.loads)
        bit = {b: 1 << i for i, b in enumerate(self.buyers)}
        self.tours = np.array(list(pooled.tours.values()), dtype=np.int64)
        self.stops = np.array([sum(bit.get(b, 0) for b in buyers_of(pooled, r)) for r in pooled.tours], dtype=np.int64)

    def add(self, x: Values, least: float = BROKEN) -> int:
        """Add the rows that x breaks most, by `least` of a load or more; how many."""
        if self.vehicle is None or len(self.buyers) < 2:
            return 0
        before = len(self.pooled.linear.rows)
        loads = [load_of(self.pooled, x, b) for b in self.buyers]
        trips = self._trips(x)
        for q, (family, most) in enumerate(
            (("fit_kg", self.vehicle.payload_kg), ("fit_litres", self.vehicle.volume_l))
        ):
            if most is not None:
                broken = _sums([load[q] for load in loads]) / most - trips
                worst = np.argsort(-broken, kind="stable")[:MOST_ROWS].tolist()
                for some in [s for s in worst if broken[s] > least]:
                    self._row(some, family)
        return len(self.pooled.linear.rows) - before

    def _row(self, some: int, family: str) -> None:
        buyers = [b for i, b in enumerate(self.buyers) if some >> i & 1]
        stopping = self.tours[(self.stops & some) != 0].tolist()
        fit_rows(self.pooled, buyers, [(c, 1.0) for c in stopping], family)

    def _trips(self, x: Values) -> Values:
        """For each set of buyers, by its bits, how many trips stop there."""
        within = np.bincount(self.stops, weights=x[self.tours], minlength=1 << len(self.buyers))
        for i in range(len(self.buyers)):
            halves = within.reshape(-1, 2, 1 << i)
            halves[:, 1] += halves[:, 0]  # now the trips with every stop in the set
        return np.asarray(within[-1] - within[::-1])  # all but those with every stop outside


def _sums(values: list[float]) -> Values:
    """The sum over each set, by its bits."""
    sums = np.zeros(1)
    for value in values:
        sums = np.concatenate([sums, sums + value])
    return sums
