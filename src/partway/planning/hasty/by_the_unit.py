"""Parts of which no more than so many sell: taken out of what stays as it is, those first that gain most."""

from __future__ import annotations

from collections.abc import Sequence

from partway.planning.instance.frozen import Instance

ROUNDING = 1e-9


def capped(instance: Instance) -> list[bool]:
    """For each part sale whether there is a limit on how many are sold."""
    limited = {p for cap in instance.caps for p in cap.sales}
    return [p in limited or part.step is not None for p, part in enumerate(instance.part_sales)]


def sold_by_the_unit(
    instance: Instance, stay: list[int], as_it_is: Sequence[float], hour: float, hours: float
) -> list[int]:
    """How many units of each capped part are sold within some hours, of an hour that is worth so much.

    What is sold no longer counts in `stay`, how many of each node stay as they are.
    """
    sold, limited = [0] * len(instance.part_sales), capped(instance)
    left = [float(cap.most) for cap in instance.caps]
    caps_of: dict[int, list[int]] = {p: [] for p in range(len(sold))}
    for i, cap in enumerate(instance.caps):
        for p in cap.sales:
            caps_of[p].append(i)
    gain = {
        p: part.income + part.unsold_value - as_it_is[part.node] - hour * part.hours
        for p, part in enumerate(instance.part_sales)
        if limited[p] and stay[part.node]
    }
    for p in sorted((p for p in gain if gain[p] > 0.0), key=lambda p: -gain[p]):
        part, units = instance.part_sales[p], instance.units(p)
        most = [stay[part.node], *(int(left[i] / units + ROUNDING) for i in caps_of[p])]
        most += [int(1.0 / units + ROUNDING)] if part.step is not None else []
        most += [int(max(0.0, hours) / part.hours)] if part.hours > 0.0 else []
        sold[p] = min(most)
        stay[part.node] -= sold[p]
        hours -= sold[p] * part.hours
        for i in caps_of[p]:
            left[i] -= sold[p] * units
    return sold
