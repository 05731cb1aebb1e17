"""Which stops to try first where tours are not listed: one short round, cut into trips that fit vehicle and hours."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from partway.planning.model.highs import Values
from partway.planning.model.pooled import Pooled, load_of
from partway.planning.search.tour_bounds import Stops, TourCuts
from partway.planning.tours.chosen import Chosen, Trips
from partway.planning.tours.orders import round_trip

WORTH_A_STOP = 0.2  # of a visit in the relaxation
LOADED = 1e-6  # kg or litres
TIE = 1e-6  # currency units an hour: where driving costs nothing it still takes time
CRUMB = 1e-3  # of a load: less is no reason for another stop
FULL = 0.02  # of a load: so little room that the next trip begins
WORK = 60  # stretches taken out of trips that are too long, to fill them better


class FirstStops:
    """Proposes how to split the buyers that the pooled relaxation visits at `x` into trips."""

    def __init__(self, cuts: TourCuts, pooled: Pooled, x: Values) -> None:
        self.cuts, self.trips = cuts, pooled.trips
        instance = cuts.instance
        visits = [b for b, c in pooled.visits.items() if x[c] > WORTH_A_STOP]
        loads = {b: load_of(pooled, x, b) for b in visits}
        self.loads = {b: load for b, load in loads.items() if max(load) > LOADED}
        self.way = (cuts.cost + TIE * cuts.hours).tolist()
        worth = worth_of_stops(pooled, x)
        self.chosen = Chosen(
            worth={cuts.place(b): v for b, v in worth.items() if b in pooled.visits},
            site={cuts.place(b): instance.on_site_hours(b) for b in pooled.visits},
            hours=cuts.hours.tolist(),
            cost=cuts.cost.tolist(),
            away=instance.scenario.hours.away,
            one_trip=instance.scenario.hours.one_trip,
        )
        self.known: set[Stops] = set()

    def proposals(self) -> Iterator[Stops]:
        """Split the round trip over all trips, then over fewer; then the same from every other first stop, in both
        directions.
        """
        places = {self.cuts.place(b): b for b in self.loads}
        order = [places[p] for p in round_trip(self.way, sorted(places))]
        turned = [order[start:] + order[:start] for start in range(max(1, len(order)))]
        rounds = [way for around in turned for way in (around, around[::-1])]
        for rest in (rounds[:1], rounds[1:]):
            for trips in range(self.trips, 0, -1):
                for way in rest:
                    yield from self._shared(way, trips)

    def _shared(self, way: list[int], trips: int) -> Iterator[Stops]:
        """Trips are alike: one order of them is enough, those that stay at home last."""
        made = shared_out(way, self.loads, self.cuts.room, trips)
        if made not in self.known:
            self.known.add(made)
            for fitting in self.fitting(made):
                used = sorted((stops for stops in fitting if stops), key=sorted)
                yield (*used, *[frozenset[int]()] * (self.trips - len(used)))

    def fitting(self, stops: Stops) -> Iterator[Stops]:
        """The same where the trips fit the hours; else what is left without the stops that are worth least
        for their time, and the stops that seem to be worth most of all.
        """
        trips = [round_trip(self.chosen.hours, sorted(map(self.cuts.place, made))) for made in stops]
        if self.chosen.fits(trips):
            yield stops
        else:
            yield self._buyers(self.chosen.dropped(trips))
            yield self._buyers(self.chosen.best(trips, WORK))

    def _buyers(self, trips: Trips) -> Stops:
        return tuple(frozenset(self.cuts.instance.buyer_at[p] for p in trip) for trip in trips)


def worth_of_stops(pooled: Pooled, x: Values) -> Mapping[int, float]:
    """What a stop at each buyer is worth, in currency units, before driving: what it pays more than anybody else.

    For as much of each grade as x sells or keeps, and no more than the buyer takes: over what the best other buyer that
    x visits pays for it, or over keeping it. What x sells there counts over keeping.
    """
    instance, columns = pooled.model.instance, pooled.model.columns
    sold = _sold(pooled, x)
    there = _there(pooled, x, sold)
    best: dict[tuple[int, int], float] = {}
    for i, t, k in columns.lots:
        if k <= 0:
            lot = instance.lots[i]
            price = lot.tiers[t].price
            best[lot.buyer, lot.grade] = max(price, best.get((lot.buyer, lot.grade), price))
    worth: dict[int, float] = defaultdict(float)
    for lot in instance.lots:
        most = min(there[lot.grade], lot.tiers[-1].high)
        others = [best[b, lot.grade] for b, kg in sold[lot.grade].items() if kg > LOADED and b != lot.buyer]
        kept = instance.kept_price[lot.grade]
        over = max([kept, *others])
        mine = sold[lot.grade].get(lot.buyer, 0.0)
        more = max(0.0, best[lot.buyer, lot.grade] - over) * most
        worth[lot.buyer] += max(more, (best[lot.buyer, lot.grade] - kept) * mine)
    return worth


def there_of(pooled: Pooled, x: Values) -> dict[int, float]:
    """Kilograms of each grade that x sells or keeps."""
    return _there(pooled, x, _sold(pooled, x))


def _there(pooled: Pooled, x: Values, sold: Mapping[int, Mapping[int, float]]) -> dict[int, float]:
    kept = pooled.model.columns.kept_kg
    return {g: sum(sold[g].values()) + float(x[pooled.column[c]]) for g, c in kept.items()}


def _sold(pooled: Pooled, x: Values) -> dict[int, dict[int, float]]:
    """Kilograms by grade and buyer."""
    sold: dict[int, dict[int, float]] = defaultdict(lambda: defaultdict(float))
    for (i, _, k), c in pooled.model.columns.lots.items():
        if k <= 0:
            lot = pooled.model.instance.lots[i]
            sold[lot.grade][lot.buyer] += float(x[pooled.column[c]])
    return sold


def shared_out(order: list[int], loads: dict[int, tuple[float, float]], room: tuple[float, float], trips: int) -> Stops:
    """Split buyers into trips in this order, filling each trip before the next; a buyer at the edge may be in two
    trips.

    `loads` is (kg, litres) to each buyer, `room` (kg, litres) of the vehicle.
    """
    found: list[set[int]] = [set() for _ in range(trips)]
    k, free = 0, 1.0
    for b in order:
        left = max(kg / most for kg, most in zip(loads[b], room, strict=True))
        while k < trips and (left > CRUMB or not any(b in s for s in found)):
            if free <= FULL:
                k, free = k + 1, 1.0
                continue
            found[k].add(b)
            free, left = free - min(free, left), left - min(free, left)
    return tuple(frozenset(s) for s in found)
