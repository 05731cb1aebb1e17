"""One's own places on a plain map, with the way of each trip: nothing drawn that is not known.

Where every place has a latitude and longitude the map is true to the compass: an equirectangular projection about
the middle of the places, north up (x = R cos lat0 (lon - lon0), y = R (lat - lat0); Snyder, "Map Projections: A
Working Manual", USGS Professional Paper 1395, 1987, p. 90). Where only kilometres are known each place lies at its
road distance from home, in the order of the tour around it, and the map says that directions are not known.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from partway.distances import km_per
from partway.planning.tours.roads import EARTH_RADIUS_KM, great_circle_km
from partway.reports.haul.plan import Plan
from partway.reports.haul.plan_lines import TripLine
from partway.things.buyers import buyer_name
from partway.things.scenario import END, HOME, Buyer, Point, Scenario
from partway.web.drawings.map_labels import Label, Marked, place_labels

WIDTH = 1000.0  # of the drawing; everything else is in the same measure
FLATTEST, TALLEST = 0.6, 1.1  # of its height to its width
MARGIN = 90.0  # for labels at the edge
LEAST_KM = 0.5  # across: two places next door to each other
STEPS = (1.0, 2.0, 5.0)  # round lengths of a scale bar, times a power of ten
LONGEST_BAR = 0.3  # of the width
APART = 30.0  # of two places that lie at the same spot

Spot = tuple[float, float]  # of km east and south, or of the drawing


@dataclass(frozen=True, slots=True)
class Place:
    """Home, where trips end, or a buyer: `number` is its turn on the way, none for a buyer not visited here."""

    id: str
    name: str
    x: float
    y: float
    kind: str
    number: str
    label: Label | None


@dataclass(frozen=True, slots=True)
class Leg:
    """A straight line from one place to the next; the road is not known."""

    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True, slots=True)
class DrawnWay:
    """One trip from home to `end`; `stops` are names in driving order."""

    trip: int
    legs: tuple[Leg, ...]
    stops: tuple[str, ...]
    km: float
    end: str


@dataclass(frozen=True, slots=True)
class ScaleBar:
    """A round number of the scenario's unit of distance, in km, as it is long on the map."""

    km: float
    length: float
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class RouteMap:
    """A drawing of `width` times `height`; `to_compass` says that north is up and directions are true.

    `left_out` are buyers whose place is not known, by name. Without a compass only those visited or driven past are
    drawn.
    """

    width: float
    height: float
    to_compass: bool
    places: tuple[Place, ...]
    ways: tuple[DrawnWay, ...]
    bar: ScaleBar
    left_out: tuple[str, ...]


def route_map(scenario: Scenario, plan: Plan) -> RouteMap | None:
    """The map of a plan's trips; None where it drives nowhere, or to one place alone, which needs no map.

    Nor is one drawn by distances from home where nobody knows that of the place where trips end.
    """
    visited = list(dict.fromkeys(place for trip in plan.trips for place, _ in trip.driven))
    visited += [END] if scenario.end and visited else []
    if len(visited) < 2:
        return None
    buyers = {b.id: b for b in scenario.buyers if b.is_visited}
    points = {HOME: scenario.home} | {b.id: b.at for b in buyers.values()}
    if scenario.end:
        points[END] = scenario.end.at
    to_compass = all(points[place] is not None for place in (HOME, *visited))
    if to_compass:
        spots = _projected({place: at for place, at in points.items() if at is not None})
    else:
        far = {place: _km(scenario, buyers.get(place), plan) for place in visited}
        known = {place: km for place, km in far.items() if km is not None}
        if len(known) < len(far):
            return None
        spots = _around_home(visited, known)
    left_out = tuple(_name(b) for b in buyers.values() if to_compass and b.id not in spots)
    names = {b: _name(buyer) for b, buyer in buyers.items()} | {HOME: HOME}
    kinds = {b: buyer.kind for b, buyer in buyers.items()} | {HOME: HOME}
    if scenario.end:
        names[END], kinds[END] = scenario.end.name, END
    return _drawn(plan, names, kinds, _fitted(spots), to_compass, left_out, float(km_per(scenario.distance)))


def _name(buyer: Buyer) -> str:
    return buyer_name(buyer.id, buyer.name)


def _projected(points: Mapping[str, Point]) -> dict[str, Spot]:
    """Kilometres east and south of the middle of the places; a way across 180 degrees is the short one."""
    lat0 = sum(at[0] for at in points.values()) / len(points)
    lon0 = points[HOME][1]
    scale = EARTH_RADIUS_KM * math.pi / 180.0
    return {
        place: (scale * math.cos(math.radians(lat0)) * ((lon - lon0 + 180.0) % 360.0 - 180.0), -scale * (lat - lat0))
        for place, (lat, lon) in points.items()
    }


def _km(scenario: Scenario, buyer: Buyer | None, plan: Plan) -> float | None:
    """Road km from home, as far as the scenario or the trips tell; of where trips end where `buyer` is None."""
    place, at = (buyer.id, buyer.at) if buyer else (END, scenario.end.at if scenario.end else None)
    roads = [r.km for r in scenario.roads if {r.start, r.end} == {HOME, place}]
    if roads or (buyer and buyer.km is not None):
        return min(roads) if roads else (buyer and buyer.km) or 0.0
    if scenario.home is not None and at is not None and scenario.vehicle is not None:
        return great_circle_km(scenario.home, at) * scenario.vehicle.road_factor
    if buyer is None:
        return None
    return (
        min(trip.km for trip in plan.trips if (buyer.id, True) in trip.driven or (buyer.id, False) in trip.driven) / 2.0
    )


def _around_home(visited: Sequence[str], km: Mapping[str, float]) -> dict[str, Spot]:
    """Each place at its distance, one after another around home, begun at the left: a single one lies to the right."""
    spots = {HOME: (0.0, 0.0)}
    for turn, place in enumerate(visited):
        angle = 2.0 * math.pi * (turn + 0.5) / len(visited) - math.pi / 2.0
        spots[place] = km[place] * math.sin(angle), -km[place] * math.cos(angle)
    return spots


@dataclass(frozen=True, slots=True)
class _Fitted:
    spots: dict[str, Spot]
    height: float
    per_km: float


def _fitted(spots: Mapping[str, Spot]) -> _Fitted:
    """The places in the drawing, as large as it allows, its height by their shape."""
    xs, ys = [x for x, _ in spots.values()], [y for _, y in spots.values()]
    wide, high = max(max(xs) - min(xs), LEAST_KM), max(max(ys) - min(ys), LEAST_KM)
    height = WIDTH * min(TALLEST, max(FLATTEST, high / wide))
    per_km = min((WIDTH - 2 * MARGIN) / wide, (height - 2 * MARGIN) / high)
    mid_x, mid_y = (max(xs) + min(xs)) / 2.0, (max(ys) + min(ys)) / 2.0
    placed = {p: (WIDTH / 2 + (x - mid_x) * per_km, height / 2 + (y - mid_y) * per_km) for p, (x, y) in spots.items()}
    return _Fitted(_apart(placed), height, per_km)


def _apart(spots: dict[str, Spot]) -> dict[str, Spot]:
    """Places at the same spot side by side, so that each can be seen."""
    seen: list[Spot] = []
    moved = {}
    for place, spot in spots.items():
        while any(math.dist(spot, other) < APART for other in seen):
            spot = spot[0] + (APART if spot[0] < WIDTH - MARGIN else -WIDTH / 2), spot[1]  # noqa: PLW2901
        seen.append(spot)
        moved[place] = spot
    return moved


def _drawn(
    plan: Plan,
    names: Mapping[str, str],
    kinds: Mapping[str, str],
    fitted: _Fitted,
    to_compass: bool,
    left_out: tuple[str, ...],
    unit_km: float,
) -> RouteMap:
    numbers = _numbers(plan.routes)
    ways = tuple(_way(trip, fitted.spots, names) for trip in plan.trips)
    bar = _bar(fitted, unit_km)
    # Visited places get their names first.
    order = sorted(fitted.spots, key=lambda p: (kinds[p] not in (HOME, END) and p not in numbers, p))
    marked = [Marked(*fitted.spots[p], f"{numbers.get(p, '')} {names[p]}".strip()) for p in order]
    legs = [(leg.x1, leg.y1, leg.x2, leg.y2) for way in ways for leg in way.legs]
    taken = (bar.x, bar.y - 40.0, bar.x + bar.length, bar.y + 10.0)
    labels = dict(zip(order, place_labels(marked, legs, (WIDTH, fitted.height), taken), strict=True))
    places = tuple(
        Place(p, names[p], _tenth(x), _tenth(y), kinds[p], numbers.get(p, ""), labels[p])
        for p, (x, y) in fitted.spots.items()
    )
    return RouteMap(WIDTH, _tenth(fitted.height), to_compass, places, ways, bar, left_out)


def _numbers(routes: Iterable[Sequence[str]]) -> dict[str, str]:
    """A place's turns: 1, 2 ... counted on through all trips; several where it is passed again."""
    turns: dict[str, list[str]] = {}
    for turn, stop in enumerate(itertools.chain(*routes), start=1):
        turns.setdefault(stop, []).append(str(turn))
    return {stop: ", ".join(numbers) for stop, numbers in turns.items()}


def _way(trip: TripLine, spots: Mapping[str, Spot], names: Mapping[str, str]) -> DrawnWay:
    """Drawn past the places it leads past, so that the line is as long as the road."""
    last = END if trip.ends_at else HOME
    way = (HOME, *(place for place, _ in trip.driven), last)
    legs = [Leg(*(_tenth(v) for v in (*spots[a], *spots[b]))) for a, b in itertools.pairwise(way)]
    return DrawnWay(trip.trip, tuple(legs), tuple(names[stop] for stop in trip.stops), trip.km, names[last])


def _bar(fitted: _Fitted, unit_km: float) -> ScaleBar:
    most = LONGEST_BAR * WIDTH / fitted.per_km / unit_km
    power = 10.0 ** math.floor(math.log10(most))
    km = max(step * power for step in STEPS if step * power <= most) * unit_km
    return ScaleBar(km, _tenth(km * fitted.per_km), 24.0, _tenth(fitted.height - 24.0))


def _tenth(value: float) -> float:
    return round(value, 1)
