"""The check no plan escapes: every constraint again, and the money from scratch, without the solver.

It reads the scenario's own quotes, refusals, roads and anatomies rather than the model made from them,
so that a mistake in the model shows here. What must never happen, worst first: docs/never.md.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from partway.errors import PlanUnsound
from partway.planning.check.direct import arrivals, as_long_as
from partway.planning.check.figures import check_figures
from partway.planning.decision import Decision, LotKey
from partway.planning.instance.allowed import allowed_operations, sale_allowed
from partway.planning.instance.blocks import parcel_sizes
from partway.planning.instance.frozen import Instance, Node
from partway.planning.instance.packing import packs
from partway.planning.model.milp import MAIL
from partway.planning.tours.tours import Tour
from partway.things.buyers import takes
from partway.things.defaults import LEAVE, WHOLE_ABOVE_KG
from partway.things.limits.opening import open_on
from partway.things.scenario import Buyer, Scenario

KG_SLACK = 1e-6
MILLIGRAM = 1e-6
HOUR_SLACK = 1e-6
UNIT_SLACK = 1e-6


@dataclass(frozen=True, slots=True)
class Money:
    """Where the objective comes from, each with its own sign: costs and fees are negative."""

    sales: float
    parts: float
    shipping: float
    fees: float
    driving: float
    wage: float
    kept: float

    @property
    def total(self) -> float:
        """The objective: the sum of all of it."""
        return math.fsum((self.sales, self.parts, self.shipping, self.fees, self.driving, self.wage, self.kept))

    @property
    def cash(self) -> float:
        """Money that changes hands: without the worth of one's own hours and of what is kept."""
        return math.fsum((self.sales, self.parts, self.shipping, self.fees, self.driving))


@dataclass(frozen=True, slots=True)
class Checked:
    """A decision that passed, with its money and hours recomputed."""

    decision: Decision
    money: Money
    bench_hours: float
    away_hours: float


def verify(instance: Instance, decision: Decision) -> Checked:
    """Recheck a decision and recompute its money; raises PlanUnsound naming the first thing that fails."""
    checked = recount(instance, decision)
    check_figures(instance)
    return checked


def recount(instance: Instance, decision: Decision) -> Checked:
    """As `verify`, but without checking the figures of the instance, which do not depend on the decision."""
    _hazards(instance, decision)
    _pieces(instance, decision)
    _grades(instance, decision)
    _lots(instance, decision)
    _whole(instance, decision)
    _counted(instance, decision)
    _lifting(instance, decision)
    _trips(instance, decision)
    _parcels(instance, decision)
    _open(instance, decision)
    bench, away = _hours(instance, decision)
    _caps(instance, decision)
    return Checked(decision, _money(instance, decision, bench + away), bench, away)


def worth_of(instance: Instance, checked: Checked) -> float:
    """What a checked decision is worth in an instance that differs only in its prices."""
    return _money(instance, checked.decision, checked.bench_hours + checked.away_hours).total


def _require(holds: bool, what: str) -> None:
    if not holds:
        raise PlanUnsound(f"the plan failed its own check: {what}")


def _hazards(instance: Instance, decision: Decision) -> None:
    """Nothing is sold that still hides a hazard, before a required removal, or to a buyer that refuses it."""
    scenario = instance.scenario
    for sale, times in zip(instance.grade_sales, decision.sold, strict=True):
        if not times:
            continue
        node = instance.nodes[sale.node]
        anatomy = instance.groups[node.group].anatomy
        ways = [way for way in node.piece.sells if way.grade == instance.grades[sale.grade]]
        allowed = any(sale_allowed(scenario, anatomy, node.piece.id, way) for way in ways)
        _require(allowed, f"{node.piece.id} of {anatomy.kind} may not be sold as it is")
    for opening, times in zip(instance.openings, decision.opened, strict=True):
        if not times:
            continue
        piece = instance.nodes[opening.node].piece
        first = allowed_operations(instance.groups[opening.group].anatomy, piece.id)
        _require(opening.operation in first and not piece.stop, f"{opening.operation.id} may not come now")
    for (i, _, _), kg in decision.lots.items():
        lot = instance.lots[i]
        grade = scenario.grades[instance.grades[lot.grade]]
        _require(kg <= 0 or takes(instance.buyers[lot.buyer], grade), f"{grade.id} goes to a buyer that refuses it")


def _pieces(instance: Instance, decision: Decision) -> None:
    there = [node.found for node in instance.nodes]
    gone = list(decision.kept)
    for opening, times in zip(instance.openings, decision.opened, strict=True):
        gone[opening.node] += times
        for given, count in opening.gives:
            there[given] += times * count
    for sale, times in zip(instance.grade_sales, decision.sold, strict=True):
        gone[sale.node] += times
    for part, times in zip(instance.part_sales, decision.parts, strict=True):
        gone[part.node] += times
    for n, node in enumerate(instance.nodes):
        _require(there[n] == gone[n], f"{there[n]} x {node.piece.id} there, {gone[n]} used")
    counts = (*decision.opened, *decision.sold, *decision.parts, *decision.kept)
    _require(all(isinstance(c, int) and c >= 0 for c in counts), "a count is negative or not whole")


def grade_inflow(instance: Instance, decision: Decision) -> list[float]:
    """Kilograms of each grade before any sale or downgrade: stock plus opened material."""
    there = list(instance.stock)
    for sale, times in zip(instance.grade_sales, decision.sold, strict=True):
        there[sale.grade] += sale.kg * times
        if instance.residue is not None:
            there[instance.residue] += sale.residue_kg * times
    return there


def _grades(instance: Instance, decision: Decision) -> None:
    """Each grade balances: what is loaded whole goes straight to its lot's grade, the rest by the downgrades said."""
    left = grade_inflow(instance, decision)
    for (s, i, _), n in decision.blocks.items():
        sale, lot = instance.grade_sales[s], instance.lots[i]
        left[sale.grade] -= sale.kg * n
        left[lot.grade] += sale.kg * n
    for (i, _, _), kg in decision.lots.items():
        left[instance.lots[i].grade] -= kg
    for d, kg in decision.downgraded.items():
        upper, lower = instance.downgrades[d]
        _require(
            _may_become(instance, upper, lower), f"{instance.grades[upper]} may not be sold as {instance.grades[lower]}"
        )
        left[upper] -= kg
        left[lower] += kg
    for g, grade in enumerate(instance.grades):
        gap = left[g] - decision.kept_kg.get(g, 0.0)
        scale = max(1.0, instance.supply[g])
        _require(abs(gap) <= KG_SLACK * scale, f"{grade} does not balance by {gap:.9f} kg")
    amounts = [*decision.lots.values(), *decision.downgraded.values(), *decision.kept_kg.values()]
    _require(min(amounts, default=0.0) >= -KG_SLACK, "a negative mass")


def _may_become(instance: Instance, upper: int, lower: int) -> bool:
    high, low = (instance.scenario.grades[instance.grades[g]] for g in (upper, lower))
    return low.id in high.downgrades and set(high.hazards) <= set(low.hazards)


def _reaches(instance: Instance, upper: int, lower: int) -> bool:
    """Whether a grade may be sold as another, over any number of downgrades."""
    between = [g for g in range(len(instance.grades)) if g != upper and _may_become(instance, upper, g)]
    return upper == lower or any(_reaches(instance, g, lower) for g in between)


def _lots(instance: Instance, decision: Decision) -> None:
    """Each lot is one tier, large enough for it and for its minimum, and not so large that the next one rules."""
    seen: set[tuple[int, int]] = set()
    for (i, t, k), kg in decision.lots.items():
        lot = instance.lots[i]
        grade = instance.grades[lot.grade]
        where = f"{grade} to {instance.buyers[lot.buyer].id}"
        quote = lot.tiers[t].quote
        _require(
            quote in instance.buyers[lot.buyer].quotes and quote.grade == grade, f"{where}: nobody said that price"
        )
        _require((i, k) not in seen, f"{where}: two tiers in one lot")
        seen.add((i, k))
        low = max(quote.from_kg, quote.minimum_kg)
        _require(kg > low - 0.5 * MILLIGRAM, f"{where}: {kg:g} kg is below the lot of {low:g} kg")
        above = [q.from_kg for q in instance.buyers[lot.buyer].quotes if q.grade == grade and q.from_kg > quote.from_kg]
        high = min(above, default=math.inf)
        _require(kg < high - 0.5 * MILLIGRAM, f"{where}: {kg:g} kg belongs to the next tier")
        mosts = [q.most_kg for q in instance.buyers[lot.buyer].quotes if q.grade == grade and q.most_kg is not None]
        most = min(mosts, default=math.inf)
        _require(kg <= most + MILLIGRAM, f"{where}: {kg:g} kg, and no more than {most:g} kg is taken")


def _whole(instance: Instance, decision: Decision) -> None:
    """Whole finds, and pieces above the scenario's mass, ride whole: each in one lot that holds it, none cut."""
    loaded: dict[int, int] = {}
    heavy: dict[tuple[int, int], float] = {}
    for (s, i, k), n in decision.blocks.items():
        _require(isinstance(n, int) and n > 0, "a number of pieces loaded whole is not a whole number above 0")
        sale, lot = instance.grade_sales[s], instance.lots[i]
        name = _piece_name(instance, s)
        _require(_reaches(instance, sale.grade, lot.grade), f"{name} may not be sold as {instance.grades[lot.grade]}")
        one = sale.kg / instance.nodes[sale.node].piece.share
        _require(one <= _largest(instance, i) * (1 + 1e-6), f"{name} of {one:g} kg does not fit in one piece")
        loaded[s] = loaded.get(s, 0) + n
        heavy[i, k] = heavy.get((i, k), 0.0) + sale.kg * n
    counts = _by_number(instance)
    for s, times in enumerate(decision.sold):
        whole = loaded.get(s, 0)
        if whole == times == 0:
            continue
        rides = _rides_whole(instance, s, counts)
        _require(not whole or rides, f"{_piece_name(instance, s)} is not loaded whole")
        _require(whole == times or not rides, f"{_piece_name(instance, s)} is cut")
    for (i, k), kg in heavy.items():
        there = sum(v for (lot, _, trip), v in decision.lots.items() if (lot, trip) == (i, k))
        grade = instance.grades[instance.lots[i].grade]
        _require(there >= kg - KG_SLACK * max(1.0, kg), f"a lot of {there:g} kg of {grade} holds {kg:g} kg in pieces")


def _counted(instance: Instance, decision: Decision) -> None:
    """Where a buyer counts pieces, only whole ones are handed over, and no more of them than it takes."""
    for (i, t, k), kg in decision.lots.items():
        quote = instance.lots[i].tiers[t].quote
        if not quote.counted:
            continue
        where = f"{quote.grade} to {instance.buyers[instance.lots[i].buyer].id}"
        pieces, loose = _number(instance, decision, (i, t, k))
        _require(abs(loose - round(loose)) <= 1e-5, f"{where}: {kg:g} kg are not a whole number of pieces")
        most = math.inf if quote.most_pieces is None else quote.most_pieces
        _require(pieces <= most + 1e-5, f"{where}: {pieces:g} pieces, and no more than {most:g} are taken")


def _number(instance: Instance, decision: Decision, key: LotKey) -> tuple[float, float]:
    """Pieces in a lot that is counted, and how many of them are out of a bin, by what one weighs."""
    i, t, k = key
    here = [(instance.grade_sales[s], n) for (s, lot, trip), n in decision.blocks.items() if (lot, trip) == (i, k)]
    loose = decision.lots[key] - math.fsum(sale.kg * n for sale, n in here)
    number = loose / (instance.lots[i].tiers[t].quote.piece_kg or math.nan)
    return math.fsum(instance.nodes[sale.node].piece.share * n for sale, n in here) + number, number


def _amount(instance: Instance, decision: Decision, key: LotKey) -> float:
    """What a lot comes to on the ticket: by the piece, or by its kilograms."""
    quote = instance.lots[key[0]].tiers[key[1]].quote
    if quote.each and quote.counted:
        return _number(instance, decision, key)[0] * quote.price.mean * (quote.piece_kg or math.nan)
    return decision.lots[key] * quote.price.mean


def _piece_name(instance: Instance, s: int) -> str:
    node = instance.nodes[instance.grade_sales[s].node]
    return f"{node.piece.id} of {instance.groups[node.group].anatomy.kind}"


def _rides_whole(instance: Instance, s: int, counts: set[str]) -> bool:
    sale, vehicle = instance.grade_sales[s], instance.scenario.vehicle
    node = instance.nodes[sale.node]
    limit = WHOLE_ABOVE_KG if vehicle is None else vehicle.whole_above_kg
    find = instance.groups[node.group].anatomy.pieces[0]
    whole = find.id in (node.piece.of_kind, _asked(instance, node))
    return sale.kg > 0.0 and (whole or instance.grades[sale.grade] in counts or node.kg / node.piece.share > limit)


def _by_number(instance: Instance) -> set[str]:
    """Grades of which some buyer that takes them counts the pieces."""
    grades = instance.scenario.grades
    return {q.grade for b in instance.buyers for q in b.quotes if q.counted and takes(b, grades[q.grade])}


def _asked(instance: Instance, node: Node) -> str:
    """The piece that was asked about, by the name its kind has for it."""
    return instance.groups[node.group].anatomy.piece(node.piece.answer_to or node.piece.id).of_kind


def _largest(instance: Instance, i: int) -> float:
    """The heaviest piece that can get to a lot: by its payload, or in the largest parcel there is."""
    buyer, vehicle = instance.buyers[instance.lots[i].buyer], instance.scenario.vehicle
    if buyer.is_visited:
        return 0.0 if vehicle is None else vehicle.payload_kg
    return max((step.up_to_kg for step in buyer.shipping), default=math.inf)


def _trips(instance: Instance, decision: Decision) -> None:
    vehicle = instance.scenario.vehicle
    _require(len(decision.tours) <= instance.scenario.hours.trips, "more trips than allowed")
    for k, tour in enumerate(decision.tours):
        load = {i: kg for (i, _, trip), kg in decision.lots.items() if trip == k}
        stops = {instance.stops[instance.lots[i].buyer] for i in load}
        _require(stops <= set(tour.stops if tour else ()), f"trip {k + 1} sells where it does not stop")
        if tour is None or vehicle is None or instance.roads is None:
            continue
        _require(as_long_as(instance.scenario, tour), f"trip {k + 1} is not as long as said, or not a round trip")
        kg = sum(load.values())
        _require(kg <= vehicle.payload_kg * (1 + 1e-6) + KG_SLACK, f"trip {k + 1} carries {kg:g} kg")
        if vehicle.volume_l is not None:
            litres = sum(kg * instance.litres_per_kg[instance.lots[i].grade] for i, kg in load.items())
            _require(litres <= vehicle.volume_l * (1 + 1e-6) + KG_SLACK, f"trip {k + 1} carries {litres:g} L")
    for i, _, k in decision.lots:
        buyer = instance.buyers[instance.lots[i].buyer]
        _require(
            (k == MAIL) != buyer.is_visited,
            f"a lot to {buyer.id} {'goes' if buyer.is_visited else 'does not go'} by mail",
        )
    trips = {trip for _, _, trip in decision.lots if trip != MAIL}
    _require(trips <= set(range(len(decision.tours))), "a lot rides on no trip")


def _parcels(instance: Instance, decision: Decision) -> None:
    sound = all(isinstance(n, int) and n >= 0 for n in decision.parcels.values())
    _require(sound, "a number of parcels is negative or not whole")
    for b, buyer in enumerate(instance.buyers):
        kg = sum(v for (i, _, k), v in decision.lots.items() if k == MAIL and instance.lots[i].buyer == b)
        if buyer.shipping:
            room = sum(n * buyer.shipping[step].up_to_kg for (who, step), n in decision.parcels.items() if who == b)
            _require(kg <= room + KG_SLACK * max(1.0, kg), f"{kg:g} kg to {buyer.id} do not fit the parcels")
            _whole_parcels(instance, decision, b)


def _whole_parcels(instance: Instance, decision: Decision, b: int) -> None:
    """Each piece loaded whole goes into one parcel."""
    pieces = [
        instance.grade_sales[s].kg
        for (s, i, _), n in decision.blocks.items()
        if instance.lots[i].buyer == b
        for _ in range(n)
    ]
    sizes = parcel_sizes(instance, decision, b)
    _require(packs(pieces, sizes), f"{len(pieces)} pieces to {instance.buyers[b].id} do not fit the parcels uncut")


def mailed_to(instance: Instance, decision: Decision) -> set[int]:
    """Buyers that get something by mail."""
    return {instance.lots[i].buyer for i, _, k in decision.lots if k == MAIL}


def _hours(instance: Instance, decision: Decision) -> tuple[float, float]:
    hours = instance.scenario.hours
    bench = math.fsum(o.hours * n for o, n in zip(instance.openings, decision.opened, strict=True))
    bench += math.fsum(p.hours * n for p, n in zip(instance.part_sales, decision.parts, strict=True))
    away = math.fsum(tour.spent for tour in decision.tours if tour)
    away += math.fsum(instance.on_site_hours(instance.buyer_at[s]) for t in decision.tours if t for s in t.stops)
    away += math.fsum(instance.on_site_hours(b) for b in mailed_to(instance, decision))
    for k, tour in enumerate(decision.tours):
        long = _trip_hours(instance, tour)
        most = math.inf if hours.trip is None else hours.trip
        _require(long <= most + HOUR_SLACK * max(1.0, long), f"{long:g} hours on trip {k + 1}")
    _require(bench <= hours.bench + HOUR_SLACK * max(1.0, bench), f"{bench:g} hours at the bench")
    _require(away <= hours.away + HOUR_SLACK * max(1.0, away), f"{away:g} hours away")
    return bench, away


def _trip_hours(instance: Instance, tour: Tour | None) -> float:
    """Hours of one trip: driving, waiting and on site."""
    if tour is None:
        return 0.0
    return tour.spent + math.fsum(instance.on_site_hours(instance.buyer_at[stop]) for stop in tour.stops)


def _open(instance: Instance, decision: Decision) -> None:
    """Every stop lies within the hours of its buyer, trip after trip from the time of leaving; who is early waits."""
    scenario = instance.scenario
    clock = LEAVE if scenario.hours.leave is None else scenario.hours.leave
    timed = any(buyer.open for buyer in scenario.buyers if buyer.is_visited)
    for k, tour in enumerate(decision.tours if timed else ()):
        if tour is None:
            continue
        waited, left = 0.0, clock
        for stop, arrival in arrivals(scenario, tour):
            buyer = instance.buyers[instance.buyer_at[stop]]
            at = left + arrival + waited
            over = _over(scenario, buyer, at)
            _require(over is not None, f"trip {k + 1} is at {buyer.id} when it is not open")
            waited += (over or at) - at
            left += buyer.minutes / 60.0
        _require(abs(waited - tour.wait) <= HOUR_SLACK, f"trip {k + 1} waits {waited:g} hours, not {tour.wait:g}")
        clock = left + tour.hours + waited


def _over(scenario: Scenario, buyer: Buyer, at: float) -> float | None:
    """When who comes at a time can begin, so that all the time on site lies within one stretch of opening hours."""
    if not buyer.open:
        return at
    site = buyer.minutes / 60.0
    begins = [max(at, start) for start, end in open_on(buyer.open, scenario.on) if max(at, start) + site <= end + 1e-6]
    return min(begins, default=None)


def _lifting(instance: Instance, decision: Decision) -> None:
    """Alone, nobody loads what is heavier than one person lifts."""
    vehicle = instance.scenario.vehicle
    if vehicle is None or vehicle.lift_kg is None or instance.scenario.hours.helpers > 0:
        return
    for s, times in enumerate(decision.sold):
        node = instance.nodes[instance.grade_sales[s].node]
        one = node.piece.mass.mean * instance.groups[node.group].scale
        _require(
            not times or one <= vehicle.lift_kg, f"{_piece_name(instance, s)} of {one:g} kg is too heavy for one person"
        )


def _caps(instance: Instance, decision: Decision) -> None:
    used: dict[tuple[str, str, str], float] = {}
    for sale, units in zip(instance.part_sales, decision.parts, strict=True):
        node = instance.nodes[sale.node]
        kind = instance.groups[node.group].anatomy.kind
        key = (kind, node.piece.of_kind, str(node.piece.parts.index(sale.part)))
        used[key] = used.get(key, 0.0) + units * node.piece.share
        most = sale.part.most
        _require(most is None or used[key] <= most + UNIT_SLACK, f"more than {most} of a part of {kind}")
    _steps(instance, decision)


def _steps(instance: Instance, decision: Decision) -> None:
    """Of each step of a part one unit at most, of what only some finds have by their share."""
    taken: dict[tuple[str, str, str, int], float] = {}
    for sale, units in zip(instance.part_sales, decision.parts, strict=True):
        if sale.step is not None:
            piece = instance.nodes[sale.node].piece
            key = (instance.groups[instance.nodes[sale.node].group].find.kind, piece.of_kind, sale.part.name, sale.step)
            taken[key] = taken.get(key, 0.0) + units * piece.share
            _require(taken[key] <= 1 + UNIT_SLACK, f"two units of {piece.id} that wait for the same buyer")


def _money(instance: Instance, decision: Decision, hours: float) -> Money:
    amounts = [_amount(instance, decision, key) for key in decision.lots]
    parts = [(sale, n) for sale, n in zip(instance.part_sales, decision.parts, strict=True) if n]
    costs = [opening.cost * n for opening, n in zip(instance.openings, decision.opened, strict=True)]
    kept = [kg * instance.kept_price[g] for g, kg in decision.kept_kg.items()]
    kept += [node.kept_value * n for node, n in zip(instance.nodes, decision.kept, strict=True)]
    kept += [sale.unsold_value * n for sale, n in parts]
    kept_back = [
        _fee(instance, decision, ticket) for ticket in {(instance.lots[i].buyer, k) for i, _, k in decision.lots}
    ]
    postage = [n * instance.buyers[b].shipping[step].cost for (b, step), n in decision.parcels.items()]
    return Money(
        sales=math.fsum(a for a in amounts if a > 0),
        parts=math.fsum(sale.income * n for sale, n in parts),
        shipping=-math.fsum(postage),
        fees=math.fsum(a for a in amounts if a < 0) - math.fsum(costs) - math.fsum(kept_back),
        driving=-math.fsum(instance.drive_money(tour) for tour in decision.tours if tour),
        wage=-instance.scenario.hours.wage * hours,
        kept=math.fsum(kept),
    )


def _fee(instance: Instance, decision: Decision, ticket: tuple[int, int]) -> float:
    """What a buyer keeps back of what it pays on one trip; nothing where it pays for nothing."""
    here = [key for key in decision.lots if (instance.lots[key[0]].buyer, key[2]) == ticket]
    pays = [amount for amount in (_amount(instance, decision, key) for key in here) if amount > 0]
    buyer = instance.buyers[ticket[0]]
    return math.fsum((buyer.ticket_fee, buyer.ticket_share * math.fsum(pays))) if pays else 0.0
