"""Turns a solver's point into a decision: rounds counts, fills in pieces with only one way out, drops empty stops."""

from __future__ import annotations

from collections import defaultdict

from partway.errors import SolverFailed
from partway.planning.decision import BlockKey, Decision, LotKey
from partway.planning.instance.frozen import Instance
from partway.planning.model.columns import Columns
from partway.planning.model.highs import Values
from partway.planning.model.milp import Model
from partway.planning.tours.tours import Tour

KG_DUST = 1e-7
ROUNDING = 1e-4


def extract(model: Model, x: Values, toured: dict[int, Tour | None] | None = None) -> Decision:
    """The decision at x, whose integer columns are whole up to rounding.

    `toured` gives the tours where the model does not enumerate them. Raises SolverFailed where a count
    is not whole.
    """
    instance, columns = model.instance, model.columns
    opened = _counts(x, columns.opened, len(instance.openings))
    sold = _counts(x, columns.sold, len(instance.grade_sales))
    parts = _counts(x, columns.parts, len(instance.part_sales))
    kept = _counts(x, columns.kept, len(instance.nodes))
    for n, s in columns.single.items():
        sold[s] = instance.nodes[n].found + sum(opened[o] * count for o, count in instance.makers_of[n])
    blocks = _blocks(x, columns)
    for (s, _, _), n in blocks.items():
        sold[s] += n
    lots = {key: _in_tier(instance, key, float(x[c])) for key, c in columns.lots.items() if x[c] > KG_DUST}
    return Decision(
        opened=tuple(opened),
        sold=tuple(sold),
        parts=tuple(parts),
        kept=tuple(kept),
        lots=lots,
        downgraded={d: float(x[c]) for d, c in columns.downgraded.items() if x[c] > KG_DUST},
        kept_kg={g: float(x[c]) for g, c in columns.kept_kg.items() if x[c] > KG_DUST},
        tours=_tours(instance, columns, x, lots, toured),
        parcels={key: n for key, c in columns.parcels.items() if (n := round(float(x[c]))) > 0},
        blocks=blocks,
    )


def _blocks(x: Values, columns: Columns) -> dict[BlockKey, int]:
    keys = list(columns.blocks)
    counts = _counts(x, dict(enumerate(columns.blocks.values())), len(keys))
    return {key: n for key, n in zip(keys, counts, strict=True) if n}


def _in_tier(instance: Instance, key: LotKey, kg: float) -> float:
    """A lot's kilograms, kept inside its tier where the solver is over by its tolerance."""
    i, t, _ = key
    tier = instance.lots[i].tiers[t]
    inside = min(max(kg, tier.low), tier.high)
    return inside if abs(inside - kg) <= KG_DUST else kg


def _counts(x: Values, columns: dict[int, int], size: int) -> list[int]:
    counts = [0] * size
    for i, there in zip(columns, x[list(columns.values())].tolist() if columns else (), strict=True):
        counts[i] = round(there)
        if abs(counts[i] - there) > ROUNDING:
            raise SolverFailed(f"the solver returned {there:g} of something that is counted")
    return counts


def _tours(
    instance: Instance,
    columns: Columns,
    x: Values,
    lots: dict[LotKey, float],
    toured: dict[int, Tour | None] | None,
) -> tuple[Tour | None, ...]:
    used: dict[int, set[int]] = defaultdict(set)
    for i, _, k in lots:
        stop = instance.stops[instance.lots[i].buyer]
        if stop is not None:
            used[k].add(stop)
    found: list[Tour | None] = []
    for k in range(instance.scenario.hours.trips):
        if toured is not None:
            found.append(toured.get(k) if used[k] else None)
            continue
        chosen = [r for (r, trip), c in columns.tours.items() if trip == k and x[c] > 0.5]
        tour = (instance.tours or ())[chosen[0]] if chosen else None
        found.append(_without_empty_stops(instance, tour, used[k]))
    return tuple(found)


def _without_empty_stops(instance: Instance, tour: Tour | None, used: set[int]) -> Tour | None:
    """Drop stops without a sale; the trip gets no longer (triangle inequality)."""
    if tour is None or set(tour.stops) == used:
        return tour
    wage = instance.scenario.hours.wage
    same = [t for t in instance.tours or () if set(t.stops) == used and t.spent <= tour.spent + 1e-9]
    if not used:
        return None
    # Where hours do not follow kilometres, the empty stop may lie on the only way that is quick enough.
    return min(same, key=lambda t: instance.drive_money(t) + wage * t.spent, default=tour)
