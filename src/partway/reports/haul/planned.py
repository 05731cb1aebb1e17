"""Instance and checked decision to the plan that is shown: lines in the order the work is done."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from partway.catalogue.cards import cards_by_hazard
from partway.planning.check.outcome import cash_range, stop_ranges
from partway.planning.check.second_opinion import Opinion
from partway.planning.check.verify import Checked
from partway.planning.instance.frozen import Instance
from partway.planning.model.milp import MAIL
from partway.planning.tours.tours import Tour
from partway.reports.haul.doubts import in_full
from partway.reports.haul.finds import find_lines
from partway.reports.haul.plan import (
    BinLine,
    KeptLine,
    OpenLine,
    OpinionLine,
    ParcelLine,
    PartLine,
    Plan,
    PlanHours,
    PlanMoney,
    SaleLine,
    SecondOpinion,
    StopLine,
    TripLine,
    WholeLine,
)
from partway.reports.haul.reason_words import ReasonWords
from partway.reports.haul.reasons import why_grade_kept, why_piece_kept
from partway.valuing.plans.decision import Worth
from partway.valuing.plans.hazards import hazards_of_plan

OPTIMAL_GAP = 1e-6
CENT = 0.005


@dataclass(frozen=True, slots=True)
class Solved:
    """What the actions hand over: the checked decision with its bound, and the re-solved next hours."""

    instance: Instance
    checked: Checked
    bound: float
    next_hour: float | None = None
    next_away_hour: float | None = None
    notes: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    opinions: tuple[Opinion, ...] = ()
    opinion_seconds: float = 0.0

    @property
    def compared(self) -> bool:
        """Whether other methods were asked; without that nothing is called optimal."""
        return bool(self.opinions)


def report_plan(solved: Solved) -> Plan:
    """The whole report; lines are numbered through openings, parts, sales and what is kept."""
    instance, checked = solved.instance, solved.checked
    objective = checked.money.total
    bound = max(solved.bound, objective)
    gap = (bound - objective) / max(1.0, abs(objective))
    lines = _Lines(instance, checked, Worth(instance, checked.decision))
    opened, parts, sales, kept = lines.opened(), lines.parts(), lines.sales(), lines.kept()
    scenario, money = instance.scenario, checked.money
    return Plan(
        status="optimal" if gap <= OPTIMAL_GAP and solved.compared and not solved.doubts else "gap",
        objective=objective,
        bound=bound,
        gap=gap,
        name=scenario.name,
        currency=scenario.currency,
        on=scenario.on.isoformat(),
        money=PlanMoney(**{name: getattr(money, name) + 0.0 for name in PlanMoney.__slots__}),
        cash=cash_range(instance, checked),
        cash_per_hour=_per_hour(money.cash, checked.bench_hours + checked.away_hours),
        hours=PlanHours(checked.bench_hours, checked.away_hours),
        cautions=cards_by_hazard(scenario.cautions, hazards_of_plan(instance, checked.decision)),
        finds=find_lines(instance, lines.worth, opened),
        open=opened,
        bins=lines.bins(),
        sales=sales,
        parts=parts,
        kept=kept,
        routes=lines.routes(),
        trips=lines.trips(),
        parcels=lines.parcels(),
        next_hour=solved.next_hour,
        next_away_hour=solved.next_away_hour,
        notes=(*instance.notes, *solved.notes, *in_full(solved.doubts)),
        stops=lines.stops(),
        doubts=solved.doubts,
        second_opinion=_second_opinion(solved) if solved.compared else None,
        conflict=scenario.conflict,
    )


def _second_opinion(solved: Solved) -> SecondOpinion:
    lines = (OpinionLine(it.method, _finite(it.worth), _finite(it.bound)) for it in solved.opinions)
    return SecondOpinion(tuple(lines), solved.opinion_seconds)


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _per_hour(money: float, hours: float) -> float | None:
    return money / hours if hours > 0 else None


class _Lines:
    def __init__(self, instance: Instance, checked: Checked, worth: Worth) -> None:
        self.instance, self.decision, self.worth = instance, checked.decision, worth
        self.checked = checked
        self.words = ReasonWords.of(instance.scenario)
        self.number = 0
        driven = [k for k, tour in enumerate(checked.decision.tours) if tour]
        self.trip_number = {k: n for n, k in enumerate(driven, start=1)}

    def _next(self) -> int:
        self.number += 1
        return self.number

    # -- the bench ------------------------------------------------------------------------------

    def opened(self) -> tuple[OpenLine, ...]:
        """Best money per hour first, find by find; the operations of one find stay in working order."""
        by_group: dict[int, list[int]] = {}
        for o in self._working_order():
            by_group.setdefault(self.instance.openings[o].group, []).append(o)
        ranked = sorted(by_group.values(), key=lambda group: -(self._per_hour(group[0]) or 0.0))
        return tuple(self._open_line(o) for group in ranked for o in group)

    def _working_order(self) -> list[int]:
        used = [o for o, times in enumerate(self.decision.opened) if times]
        depth = {n: 0 for n, node in enumerate(self.instance.nodes) if node.found}
        waiting = list(depth)
        while waiting:
            n = waiting.pop(0)
            for o in self.instance.openings_of[n]:
                for child, _ in self.instance.openings[o].gives:
                    if depth.get(child, -1) < depth[n] + 1:
                        depth[child] = depth[n] + 1
                        waiting.append(child)
        return sorted(used, key=lambda o: (depth[self.instance.openings[o].node], o))

    def _gain(self, o: int) -> float:
        node = self.instance.openings[o].node
        return self.worth.opened(o, self.worth.of_node) - self.worth.unopened(node)

    def _per_hour(self, o: int) -> float | None:
        hours = self.worth.hours_of(o, self.worth.hours_below)
        wage = self.instance.scenario.hours.wage
        return self._gain(o) / hours + wage if hours > 0 else None

    def _open_line(self, o: int) -> OpenLine:
        opening = self.instance.openings[o]
        group = self.instance.groups[opening.group]
        times = self.decision.opened[o]
        made = self.instance.nodes[opening.node].found
        made += sum(self.decision.opened[maker] * count for maker, count in self.instance.makers_of[opening.node])
        gain = self._gain(o)
        return OpenLine(
            kind=group.anatomy.kind,
            piece=self.instance.nodes[opening.node].piece.id,
            operation=opening.operation.id,
            times=times,
            line=self._next(),
            name=opening.operation.name,
            works=group.find.works,
            mass_kg=group.find.mass_kg,
            of=made,
            minutes=opening.hours * 60.0 * times,
            gain=gain * times,
            per_hour=self._per_hour(o),
            cautions=opening.operation.cautions,
            tools=opening.operation.tools,
            note=""
            if gain >= -CENT
            else "pays only by what it adds to a lot: a minimum, a tier or a trip already made",
        )

    def bins(self) -> tuple[BinLine, ...]:
        """What goes into each grade's bin."""
        lines = []
        for g, grade in enumerate(self.instance.grades):
            pieces = [
                (self._kind(sale.node), self.instance.nodes[sale.node].piece.id, times)
                for sale, times in zip(self.instance.grade_sales, self.decision.sold, strict=True)
                if times and sale.grade == g
            ]
            mass = self.worth.inflow[g]
            if mass > 1e-9:
                lines.append(BinLine(grade, mass, self.instance.stock[g], tuple(pieces)))
        return tuple(sorted(lines, key=lambda line: -line.mass_kg))

    def _kind(self, n: int) -> str:
        return self.instance.groups[self.instance.nodes[n].group].anatomy.kind

    # -- the haul -------------------------------------------------------------------------------

    def parts(self) -> tuple[PartLine, ...]:
        """Units sold as parts, dearest first."""
        used = [(p, n) for p, n in enumerate(self.decision.parts) if n]
        used.sort(key=lambda entry: -self.instance.part_sales[entry[0]].income * entry[1])
        return tuple(self._part_line(p, n) for p, n in used)

    def _part_line(self, p: int, units: int) -> PartLine:
        sale = self.instance.part_sales[p]
        node = self.instance.nodes[sale.node]
        part = sale.part
        return PartLine(
            kind=self._kind(sale.node),
            piece=node.piece.id,
            name=part.name or node.piece.name,
            units=units,
            price=sale.asked,
            chance=part.chance,
            days=part.days,
            minutes=sale.hours * 60.0 * units,
            expected=sale.income * units,
            line=self._next(),
        )

    def sales(self) -> tuple[SaleLine, ...]:
        """Lots in the order of the trips and their stops, the mail last, best money first at each."""
        keys = sorted(self.decision.lots, key=self._sale_order)
        return tuple(self._sale_line(i, t, k) for i, t, k in keys)

    def _sale_order(self, key: tuple[int, int, int]) -> tuple[float, float, int, float]:
        i, t, k = key
        lot = self.instance.lots[i]
        amount = self.decision.lots[key] * lot.tiers[t].price
        stop = self.instance.stops[lot.buyer]
        if k == MAIL or stop is None:
            return (float("inf"), 0.0, lot.buyer, -amount)
        tour = self.decision.tours[k]
        return (float(k), float(tour.stops.index(stop)) if tour else 0.0, lot.buyer, -amount)

    def _sale_line(self, i: int, t: int, k: int) -> SaleLine:
        lot = self.instance.lots[i]
        kg, price = self.decision.lots[i, t, k], lot.tiers[t].price
        return SaleLine(
            trip=None if k == MAIL else self.trip_number[k],
            buyer=self.instance.buyers[lot.buyer].id,
            grade=self.instance.grades[lot.grade],
            mass_kg=kg,
            price_per_kg=price,
            amount=kg * price,
            line=self._next(),
            whole=tuple(self._whole_line(s, n) for (s, *at), n in self.decision.blocks.items() if at == [i, k]),
        )

    def _whole_line(self, s: int, count: int) -> WholeLine:
        sale = self.instance.grade_sales[s]
        node = self.instance.nodes[sale.node]
        anatomy = self.instance.groups[node.group].anatomy
        name = anatomy.name if node.piece is anatomy.whole else node.piece.name
        return WholeLine(anatomy.kind, node.piece.id, name, count, sale.kg * count)

    def routes(self) -> tuple[tuple[str, ...], ...]:
        """Buyers in driving order, one tuple a trip."""
        return tuple(trip.stops for trip in self.trips())

    def trips(self) -> tuple[TripLine, ...]:
        """Every drive with its kilometres, hours on the way and on site, and load."""
        lines = []
        for k, tour in enumerate(self.decision.tours):
            if tour is None:
                continue
            load = [(i, kg) for (i, _, trip), kg in self.decision.lots.items() if trip == k]
            buyers = [self.instance.buyer_at[s] for s in tour.stops]
            lines.append(
                TripLine(
                    trip=self.trip_number[k],
                    stops=tuple(self.instance.buyers[b].id for b in buyers),
                    km=tour.km,
                    hours=tour.hours + sum(self.instance.on_site_hours(b) for b in buyers),
                    load_kg=sum(kg for _, kg in load),
                    load_litres=sum(kg * self.instance.litres_per_kg[self.instance.lots[i].grade] for i, kg in load),
                    past=self._past(tour),
                )
            )
        return tuple(lines)

    def _past(self, tour: Tour) -> tuple[tuple[str, ...], ...]:
        """Buyers driven past on each leg; home is no buyer."""
        legs: list[list[str]] = [[]]
        ahead = iter((*tour.stops, 0))
        stop = next(ahead)
        for place in tour.way[1:-1]:
            if place == stop:
                legs.append([])
                stop = next(ahead)
            elif place:
                legs[-1].append(self.instance.buyers[self.instance.buyer_at[place]].id)
        return tuple(map(tuple, legs)) if any(legs) else ()

    def stops(self) -> tuple[StopLine, ...]:
        """What each buyer pays on each trip, in the order of the trips, the mail last."""
        ranges = stop_ranges(self.instance, self.checked)
        expected: dict[tuple[int, int], float] = {}
        for i, t, k in sorted(self.decision.lots, key=self._sale_order):
            key, price = (self.instance.lots[i].buyer, k), self.instance.lots[i].tiers[t].price
            expected[key] = expected.get(key, 0.0) + self.decision.lots[i, t, k] * price
        return tuple(
            StopLine(None if k == MAIL else self.trip_number[k], self.instance.buyers[b].id, low, amount, high)
            for (b, k), amount in expected.items()
            for low, high in [ranges[b, k]]
        )

    def parcels(self) -> tuple[ParcelLine, ...]:
        """Parcels to post."""
        lines = []
        for (b, step), n in sorted(self.decision.parcels.items()):
            postage = self.instance.buyers[b].shipping[step]
            lines.append(ParcelLine(self.instance.buyers[b].id, n, postage.up_to_kg, postage.cost * n))
        return tuple(lines)

    # -- what stays -----------------------------------------------------------------------------

    def kept(self) -> tuple[KeptLine, ...]:
        """Finds and pieces as they are, then grades in their bins; most valuable first."""
        lines = [self._kept_piece(n, count) for n, count in enumerate(self.decision.kept) if count]
        lines += [self._kept_grade(g, kg) for g, kg in self.decision.kept_kg.items()]
        lines.sort(key=lambda line: -line.value)
        return tuple(replace(line, line=self._next()) for line in lines)

    def _kept_piece(self, n: int, count: int) -> KeptLine:
        node = self.instance.nodes[n]
        because = why_piece_kept(self.instance, self.decision, n, count)
        kg, value = node.kg * count, node.kept_value * count
        reason = self.words.say(because)
        return KeptLine(self._kind(n), node.piece.id, None, count, kg, value, reason, line=0, because=because)

    def _kept_grade(self, g: int, kg: float) -> KeptLine:
        because = why_grade_kept(self.instance, self.decision, g, kg)
        value, reason = kg * self.instance.kept_price[g], self.words.say(because)
        return KeptLine(None, None, self.instance.grades[g], None, kg, value, reason, line=0, because=because)
