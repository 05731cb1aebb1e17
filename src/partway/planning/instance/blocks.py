"""What is loaded in one piece: whole finds, and pieces above the mass that the scenario states.

Half a fridge cannot be sold, so such a piece rides whole in one lot on one trip, or stays where it is. Everything
else is loose: it is binned by grade, and any part of a bin can be handed over.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from itertools import pairwise
from math import inf

from partway.planning.decision import Decision
from partway.planning.instance.counted import counted_by
from partway.planning.instance.frozen import GradeSale, Instance
from partway.planning.instance.packing import FITS, packs
from partway.quantities import format_mass_in

Rides = Mapping[tuple[int, int], int]  # (sale, lot): the most pieces that one trip or the mail can bring there


def is_whole(instance: Instance, sale: GradeSale) -> bool:
    """Whether what is sold here is never cut: a whole find, or a piece above the scenario's mass."""
    uncut = sale.node in instance.uncut or instance.grades[sale.grade] in instance.counted
    return sale.kg > 0.0 and uncut


def whole_sales(instance: Instance) -> frozenset[int]:
    """The numbers of the sales in which nothing is cut."""
    return frozenset(s for s, sale in enumerate(instance.grade_sales) if is_whole(instance, sale))


def rides(instance: Instance) -> Rides:
    """Every lot that a piece loaded whole may go to: large enough, and of its grade or one it may be sold as.

    Lots are left out for which the same buyer has another one that is never worse.
    """
    found: dict[tuple[int, int], int] = {}
    open_to = cache(lambda grade: _open_to(instance, grade))
    beats = cache(lambda i, j: _beats(instance, i, j))
    for s in sorted(whole_sales(instance)):
        sale = instance.grade_sales[s]
        lots = _large_enough(instance, sale, open_to(sale.grade))
        found.update(((s, i), most) for i, most in lots.items() if not any(beats(j, i) for j in lots))
    return found


def large_enough(instance: Instance, sale: GradeSale) -> dict[int, int]:
    """The lots that hold one such piece, and the most pieces that one trip or the mail can bring there."""
    return _large_enough(instance, sale, _open_to(instance, sale.grade))


def _large_enough(instance: Instance, sale: GradeSale, lots: Sequence[int]) -> dict[int, int]:
    return {i: n for i in lots if (n := _most(instance, sale, i)) > 0}


def _open_to(instance: Instance, grade: int) -> list[int]:
    """Lots of the grade and of everything it may be sold as."""
    reached = set(_reached(instance, grade))
    return [i for i, lot in enumerate(instance.lots) if lot.grade in reached]


def _reached(instance: Instance, grade: int) -> list[int]:
    """The grade itself and everything it may be sold as, nearest first."""
    return [way[-1] for way in _ways(instance, grade)]


def _ways(instance: Instance, grade: int) -> Iterator[tuple[int, ...]]:
    """From a grade to every grade it may be sold as, over the fewest downgrades."""
    seen = {grade}
    waiting: list[tuple[int, ...]] = [(grade,)]
    while waiting:
        way = waiting.pop(0)
        yield way
        for upper, lower in instance.downgrades:
            if upper == way[-1] and lower not in seen:
                seen.add(lower)
                waiting.append((*way, lower))


def _most(instance: Instance, sale: GradeSale, i: int) -> int:
    lot, vehicle, carried = instance.lots[i], instance.scenario.vehicle, inf
    if instance.stops[lot.buyer] is None:
        shipping = instance.buyers[lot.buyer].shipping
        carried = max((step.up_to_kg for step in shipping), default=inf)
    elif vehicle is not None:
        carried = vehicle.payload_kg
        if vehicle.volume_l is not None:
            carried = min(carried, vehicle.volume_l / instance.litres_per_kg[lot.grade])
    share = instance.nodes[sale.node].piece.share
    if instance.one_kg(sale) > carried * FITS:
        return 0  # also where few finds have it, so that it counts for less than it weighs
    room = lot.tiers[-1].high if instance.stops[lot.buyer] is None else min(lot.tiers[-1].high, carried)
    quote = counted_by(lot)
    wanted = inf if quote is None or quote.most_pieces is None else quote.most_pieces / share
    return int(min(instance.nodes[sale.node].most, room * FITS / sale.kg, wanted * FITS))


def _beats(instance: Instance, i: int, j: int) -> bool:
    """Whether a piece in lot `j` is never worse off in lot `i`: same buyer, no steps, no lower price, no more room."""
    one, other = instance.lots[i], instance.lots[j]
    if i == j or one.buyer != other.buyer or one.has_steps or other.has_steps:
        return False
    if counted_by(one) or counted_by(other):
        return False
    if instance.buyers[one.buyer].most_of(instance.grades[one.grade]) < inf:
        return False  # once it has all that the buyer takes, the other lot is of use
    if instance.buyers[one.buyer].ticket_fee and one.tiers[0].price > 0.0 >= other.tiers[0].price:
        return False  # in the lot that pays it may call for the fee of a ticket
    better = (one.tiers[0].price, -instance.litres_per_kg[one.grade], -i)
    worse = (other.tiers[0].price, -instance.litres_per_kg[other.grade], -j)
    return better > worse and better[1] >= worse[1]


def not_packed(instance: Instance, decision: Decision) -> set[int]:
    """Buyers whose parcels hold the whole pieces mailed to them by mass and count, but only if some were cut."""
    mailed: dict[int, list[float]] = {}
    for (s, i, _), n in decision.blocks.items():
        buyer = instance.lots[i].buyer
        if instance.stops[buyer] is None and instance.buyers[buyer].shipping:
            mailed.setdefault(buyer, []).extend([instance.grade_sales[s].kg] * n)
    return {b for b, pieces in mailed.items() if not packs(pieces, parcel_sizes(instance, decision, b))}


def parcel_sizes(instance: Instance, decision: Decision, buyer: int) -> list[float]:
    """The size of each parcel posted to a buyer."""
    shipping = instance.buyers[buyer].shipping
    return [shipping[step].up_to_kg for (b, step), n in decision.parcels.items() if b == buyer for _ in range(n)]


def whole_notes(instance: Instance) -> tuple[str, ...]:
    """Sentences for the notes: what is too large to carry off, and what is loaded whole because of its mass."""
    unit, limit = instance.scenario.unit, instance.scenario.whole_above_kg
    open_to = {lot.grade for lot in instance.lots}
    stuck, heavy = dict[str, None](), dict[str, None]()
    for sale in instance.grade_sales:
        if is_whole(instance, sale) and open_to & set(_reached(instance, sale.grade)):
            node = instance.nodes[sale.node]
            anatomy = instance.groups[node.group].anatomy
            found = anatomy.in_hand(node.piece.id) is anatomy.whole
            name = anatomy.name if found else f"{node.piece.name} of {anatomy.name}"
            if not large_enough(instance, sale):
                stuck[f"{name} ({format_mass_in(instance.one_kg(sale), unit)})"] = None
            elif not found and node.one_kg > limit:
                heavy[name] = None
    notes = [f"Loaded whole, and too large for any load, parcel or lot here: {', '.join(stuck)}."] if stuck else []
    if heavy:
        notes.append(f"Loaded whole, as above {format_mass_in(limit, unit)} (whole_above): {', '.join(heavy)}.")
    return tuple(notes)


def downgraded_kg(instance: Instance, decision: Decision) -> dict[int, float]:
    """Kilograms on each downgrade, including whole pieces sold as a lower grade."""
    total = Counter(dict(decision.downgraded))
    arcs = {arc: d for d, arc in enumerate(instance.downgrades)}
    for (s, i, _), n in decision.blocks.items():
        sale = instance.grade_sales[s]
        way = next(w for w in _ways(instance, sale.grade) if w[-1] == instance.lots[i].grade)
        for arc in pairwise(way):
            total[arcs[arc]] += sale.kg * n  # type: ignore[assignment]
    return dict(total)
