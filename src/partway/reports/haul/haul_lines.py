"""The lines of a plan's haul: parts, lots in the order they are handed over, drives, stops and parcels."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from partway.planning.check.verify import Checked
from partway.planning.instance.counted import amount_of, counted_by, pieces_in
from partway.planning.instance.fees import ticket_fees
from partway.planning.instance.frozen import Instance, Node, PartSale
from partway.planning.model.milp import MAIL
from partway.planning.tours.tours import Tour
from partway.reports.haul.plan_lines import ParcelLine, PartLine, SaleLine, StopLine, TripLine, WholeLine
from partway.things.anatomy import Part
from partway.valuing.finds.facts import condition_of
from partway.valuing.plans.trips import away_hours, brought_at, load_of

Ranges = Mapping[tuple[str, int], tuple[float, float]]  # by buyer and trip


class HaulLines:
    """Of one checked decision; `number` gives the next number of a line."""

    def __init__(self, instance: Instance, checked: Checked, number: Callable[[], int]) -> None:
        self.instance, self.checked, self.number = instance, checked, number
        self.decision = checked.decision
        driven = [k for k, tour in enumerate(checked.decision.tours) if tour]
        self.trip_number = {k: n for n, k in enumerate(driven, start=1)}

    def parts(self) -> tuple[PartLine, ...]:
        """Units sold as parts, dearest first."""
        used: dict[tuple[int, Part], list[tuple[PartSale, int]]] = {}
        for sale, units in zip(self.instance.part_sales, self.decision.parts, strict=True):
            if units:
                used.setdefault((sale.node, sale.part), []).append((sale, units))
        lines = sorted(used.values(), key=lambda steps: -_expected(steps))
        return tuple(self._part_line(steps) for steps in lines)

    def _part_line(self, steps: list[tuple[PartSale, int]]) -> PartLine:
        """One part; of several steps, each less likely than the one before, the chance of one of them on average."""
        sale = steps[0][0]
        units = sum(times for _, times in steps)
        node = self.instance.nodes[sale.node]
        part = sale.part
        return PartLine(
            kind=self.instance.groups[node.group].anatomy.kind,
            piece=node.piece.of_kind,
            name=part.name or node.piece.name,
            units=units,
            price=sale.asked,
            chance=sum(one.chance * times for one, times in steps) / units,
            days=part.days,
            minutes=sale.hours * 60.0 * units,
            expected=_expected(steps),
            line=self.number(),
            only_if=condition_of(self.instance.groups[node.group].anatomy, node.piece.id),
        )

    def sales(self) -> tuple[SaleLine, ...]:
        """Lots in the order of the trips and their stops, the mail last, best money first at each."""
        keys = sorted(self.decision.lots, key=self._sale_order)
        return tuple(self._sale_line(i, t, k) for i, t, k in keys)

    def _sale_order(self, key: tuple[int, int, int]) -> tuple[float, float, int, float]:
        i, _, k = key
        lot = self.instance.lots[i]
        amount = amount_of(self.instance, self.decision, key)
        stop = self.instance.stops[lot.buyer]
        if k == MAIL or stop is None:
            return (float("inf"), 0.0, lot.buyer, -amount)
        tour = self.decision.tours[k]
        return (float(k), float(tour.stops.index(stop)) if tour else 0.0, lot.buyer, -amount)

    def _sale_line(self, i: int, t: int, k: int) -> SaleLine:
        lot = self.instance.lots[i]
        key, quote = (i, t, k), counted_by(lot)
        return SaleLine(
            trip=None if k == MAIL else self.trip_number[k],
            buyer=self.instance.buyers[lot.buyer].id,
            grade=self.instance.grades[lot.grade],
            mass_kg=self.decision.lots[key],
            price_per_kg=lot.tiers[t].quote.price.mean,
            amount=amount_of(self.instance, self.decision, key),
            line=self.number(),
            pieces=pieces_in(self.instance, self.decision, key),
            each=quote.one_brings if quote is not None else None,
            ends=lot.tiers[t].quote.ends,
            whole=tuple(self._whole_line(s, n) for (s, *at), n in self.decision.blocks.items() if at == [i, k]),
        )

    def _whole_line(self, s: int, count: int) -> WholeLine:
        sale = self.instance.grade_sales[s]
        node = self.instance.nodes[sale.node]
        anatomy = self.instance.groups[node.group].anatomy
        return WholeLine(anatomy.kind, node.piece.id, self._name(node), count, sale.kg * count)

    def _name(self, node: Node) -> str:
        anatomy = self.instance.groups[node.group].anatomy
        return anatomy.name if node.piece is anatomy.whole else node.piece.name

    def routes(self) -> tuple[tuple[str, ...], ...]:
        """Buyers in driving order, one tuple a trip."""
        return tuple(trip.stops for trip in self.trips())

    def trips(self) -> tuple[TripLine, ...]:
        """Every drive with its kilometres, hours on the way and on site, and load."""
        lines = []
        for k, tour in enumerate(self.decision.tours):
            if tour is None:
                continue
            load = load_of(self.instance, self.decision, k)
            lines.append(
                TripLine(
                    trip=self.trip_number[k],
                    stops=tuple(self.instance.buyers[self.instance.buyer_at[s]].id for s in tour.stops),
                    km=tour.km,
                    hours=away_hours(self.instance, tour),
                    load_kg=load.kg,
                    load_litres=load.litres,
                    past=self._past(tour),
                    ends_at=self.instance.scenario.end.name if self.instance.scenario.end else None,
                )
            )
        return tuple(lines)

    def _past(self, tour: Tour) -> tuple[tuple[str, ...], ...]:
        """Buyers driven past on each leg; home is no buyer, nor is where trips end."""
        legs: list[list[str]] = [[]]
        ahead = iter(tour.stops)
        stop = next(ahead)
        for place in tour.way[1:-1]:
            if place == stop:
                legs.append([])
                stop = next(ahead, -1)
            elif place in self.instance.buyer_at:
                legs[-1].append(self.instance.buyers[self.instance.buyer_at[place]].id)
        return tuple(map(tuple, legs)) if any(legs) else ()

    def stops(self, ranges: Ranges) -> tuple[StopLine, ...]:
        """What each buyer pays on each trip, in the order of the trips, the mail last."""
        expected, fees = brought_at(self.instance, self.decision), ticket_fees(self.instance, self.decision)
        in_order = sorted(self.decision.lots, key=self._sale_order)
        stops = dict.fromkeys((self.instance.lots[i].buyer, k) for i, _, k in in_order)
        return tuple(
            StopLine(
                None if k == MAIL else self.trip_number[k],
                self.instance.buyers[b].id,
                low,
                expected[b, k],
                high,
                fees[b, k],
            )
            for b, k in stops
            for low, high in [ranges[self.instance.buyers[b].id, k]]
        )

    def parcels(self) -> tuple[ParcelLine, ...]:
        """Parcels to post."""
        lines = []
        for (b, step), n in sorted(self.decision.parcels.items()):
            postage = self.instance.buyers[b].shipping[step]
            lines.append(ParcelLine(self.instance.buyers[b].id, n, postage.up_to_kg, postage.cost * n))
        return tuple(lines)


def _expected(steps: list[tuple[PartSale, int]]) -> float:
    return sum(sale.income * units for sale, units in steps)
