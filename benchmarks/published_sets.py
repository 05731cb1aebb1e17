"""Instances that others published, as scenarios: read from a folder, since their licences do not let us carry them.

Three forms, told apart by the section that each adds to the TSPLIB format (Reinelt, "TSPLIB, a traveling salesman
problem library", ORSA Journal on Computing 3, 1991):
- OFFER_SECTION: travelling purchaser. A product that has to be bought becomes a grade that has to be sold, a
  market's price p becomes MUCH - p a kilogram, so the plan's worth is MUCH x demand - (purchases + travel).
- NODE_SCORE_SECTION: orienteering, a round trip from the depot. A score becomes what a yard pays for a kilogram of a
  grade that only it wants; the limit on the way becomes hours away at 1 km/h, and driving costs nothing else.
- DEMAND_SECTION alone: vehicle routing. Each customer takes just its demand of a grade of its own, in one lot.
A fourth has no sections: a line with the limit and the number of trips, then x, y and score of each point, the start
first and the end second (Tsiligirides; Chao). Trips here end where they began, so the end is left out and the way is
closed: that is another problem than the published one, with no published value, but it says whether such trips are
found at all.
"""

from __future__ import annotations

import datetime as dt
import itertools
import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Hours, Quote, Road, Scenario, Vehicle

DAY = dt.date(2026, 3, 14)
MUCH = 3000.0  # a kilogram: more than any detour saves, so that everything is sold
FAR = 1e5  # hours and kilograms that nothing here reaches
Weights = dict[tuple[int, int], float]


class Unread(ValueError):
    """A file that is none of the forms known here."""


@dataclass(frozen=True)
class Published:
    """One instance: its scenario, and the published figure as a function of what a plan is worth."""

    name: str
    kind: str
    scenario: Scenario
    figure: Callable[[float], float]
    most: bool  # whether the published figure is to be as large as possible


def read(path: Path) -> Published:
    """One file. Raises Unread."""
    text = path.read_text(encoding="utf-8")
    if "_SECTION" not in text:
        return _closed(path.stem, _numbers(text.splitlines()))
    head, sections = _parts(text)
    size = int(head.get("DIMENSION", "0"))
    if size < 2:
        raise Unread(f"{path.name}: no DIMENSION")
    if "OFFER_SECTION" in sections and head.get("EDGE_WEIGHT_TYPE") == "EUC_2D":
        head["EDGE_WEIGHT_TYPE"] = CUT
    way = _weights(head, sections, size)
    if "OFFER_SECTION" in sections:
        return _purchaser(path.stem, way, size, sections)
    if "NODE_SCORE_SECTION" in sections:
        return _orienteering(path.stem, way, size, head, sections)
    if "DEMAND_SECTION" in sections:
        return _vehicles(path.stem, way, size, head, sections)
    raise Unread(f"{path.name}: expected OFFER_SECTION, NODE_SCORE_SECTION or DEMAND_SECTION")


def _parts(text: str) -> tuple[dict[str, str], dict[str, list[str]]]:
    """Heads (`NAME : value`) and the lines of each section."""
    head: dict[str, str] = {}
    sections: dict[str, list[str]] = {}
    lines: list[str] | None = None
    for line in map(str.strip, text.splitlines()):
        word = line.split(":")[0].strip()
        if word.endswith("_SECTION"):
            lines = sections.setdefault(word, [])
        elif ":" in line and word.replace("_", "").isupper():
            head[word], lines = line.split(":", 1)[1].strip(), None
        elif line == "EOF":
            break
        elif line and lines is not None:
            lines.append(line)
    return head, sections


def _numbers(lines: list[str]) -> list[list[float]]:
    """The lines that are numbers."""
    rows = []
    for line in lines:
        try:
            rows.append([float(word) for word in line.split()])
        except ValueError:
            continue
    return rows


def _weights(head: Mapping[str, str], sections: Mapping[str, list[str]], size: int) -> Weights:
    kind = head.get("EDGE_WEIGHT_TYPE", "")
    if kind == "EXPLICIT":
        return _explicit(head.get("EDGE_WEIGHT_FORMAT", ""), _numbers(sections["EDGE_WEIGHT_SECTION"]), size)
    if kind not in DISTANCES:
        raise Unread(f"EDGE_WEIGHT_TYPE {kind}: expected EXPLICIT or one of {', '.join(DISTANCES)}")
    at = {int(row[0]): (row[1], row[2]) for row in _numbers(sections["NODE_COORD_SECTION"])}
    return {(i, j): DISTANCES[kind](at[i], at[j]) for i, j in itertools.combinations(range(1, size + 1), 2)}


def _explicit(form: str, rows: list[list[float]], size: int) -> Weights:
    given = iter([value for row in rows for value in row])
    places = range(1, size + 1)
    pairs: dict[str, Iterator[tuple[int, int]]] = {
        "LOWER_DIAG_ROW": ((j, i) for i in places for j in range(1, i + 1)),
        "UPPER_ROW": ((i, j) for i in places for j in range(i + 1, size + 1)),
        "UPPER_DIAG_ROW": ((i, j) for i in places for j in range(i, size + 1)),
        "FULL_MATRIX": ((i, j) for i in places for j in places),
    }
    if form not in pairs:
        raise Unread(f"EDGE_WEIGHT_FORMAT {form}: expected one of {', '.join(pairs)}")
    every = dict(zip(pairs[form], given, strict=False))
    return {pair: every[pair] for pair in itertools.combinations(places, 2)}


Point = tuple[float, float]


def _plane(a: Point, b: Point) -> float:
    return float(int(math.dist(a, b) + 0.5))


def _cut(a: Point, b: Point) -> float:
    return float(int(math.dist(a, b)))


def _pseudo(a: Point, b: Point) -> float:
    return float(math.ceil(math.sqrt(((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) / 10.0)))


def _on_earth(a: Point, b: Point) -> float:
    """With TSPLIB's own value of pi and its minutes."""
    lat_a, lon_a, lat_b, lon_b = (3.141592 * (int(x) + 5.0 * (x - int(x)) / 3.0) / 180.0 for x in (*a, *b))
    q1, q2, q3 = math.cos(lon_a - lon_b), math.cos(lat_a - lat_b), math.cos(lat_a + lat_b)
    return float(int(6378.388 * math.acos(0.5 * ((1.0 + q1) * q2 - (1.0 - q1) * q3)) + 1.0))


# ATT rounds up, as TSPLIB says: to the nearest whole number, and one more where that is less.
# The published values of travelling purchasers belong to distances cut to whole numbers: rounded ones give others.
CUT = "EUC_2D cut"
DISTANCES: Mapping[str, Callable[[Point, Point], float]] = {
    "EUC_2D": _plane,
    CUT: _cut,
    "ATT": _pseudo,
    "GEO": _on_earth,
}


def _purchaser(name: str, way: Weights, size: int, sections: Mapping[str, list[str]]) -> Published:
    demand = {int(row[0]): row[1] for row in _numbers(sections["DEMAND_SECTION"]) if len(row) == 2}
    quotes: dict[int, list[Quote]] = {}
    for row in _numbers(sections["OFFER_SECTION"]):
        offers = [row[i : i + 3] for i in range(2, 2 + 3 * int(row[1]), 3)]
        quotes[int(row[0])] = [_wanted(f"p{int(g)}", MUCH - price, most) for g, price, most in offers if most > 0]
    stock = {f"p{g}": kg for g, kg in demand.items()}
    scenario = _scenario(name, way, size, quotes, stock, Hours(1.0, FAR, 0.0, 1), Vehicle(FAR, None, 1.0, 50.0))
    return Published(name, "purchaser", scenario, lambda worth: MUCH * sum(stock.values()) - worth, most=False)


def _orienteering(
    name: str, way: Weights, size: int, head: Mapping[str, str], sections: Mapping[str, list[str]]
) -> Published:
    score = {int(row[0]): row[1] for row in _numbers(sections["NODE_SCORE_SECTION"])}
    quotes = {i: [_wanted(f"p{i}", pays, 1.0)] for i, pays in score.items() if i > 1 and pays > 0}
    hours = Hours(1.0, float(head["COST_LIMIT"]), 0.0, 1)
    stock = {f"p{i}": 1.0 for i in quotes}
    scenario = _scenario(name, way, size, quotes, stock, hours, Vehicle(FAR, None, 0.0, 1.0))
    return Published(name, "orienteering", scenario, lambda worth: worth + score.get(1, 0.0), most=True)


def _closed(name: str, rows: list[list[float]]) -> Published:
    if len(rows) < 4 or len(rows[0]) != 2 or any(len(row) != 3 for row in rows[1:]):
        raise Unread(f"{name}: expected a limit and a number of trips, then x, y and score of each point")
    (limit, trips), points = rows[0], [rows[1], *rows[3:]]
    places = range(1, len(points) + 1)
    way = {(i, j): math.dist(points[i - 1][:2], points[j - 1][:2]) for i, j in itertools.combinations(places, 2)}
    quotes = {i: [_wanted(f"p{i}", points[i - 1][2], 1.0)] for i in places if i > 1 and points[i - 1][2] > 0}
    hours = Hours(1.0, limit * trips, 0.0, int(trips), trip=limit)
    stock = {f"p{i}": 1.0 for i in quotes}
    scenario = _scenario(name, way, len(points), quotes, stock, hours, Vehicle(FAR, None, 0.0, 1.0))
    return Published(name, "orienteering, closed", scenario, lambda worth: worth, most=True)


def _vehicles(
    name: str, way: Weights, size: int, head: Mapping[str, str], sections: Mapping[str, list[str]]
) -> Published:
    demand = {int(row[0]): row[1] for row in _numbers(sections["DEMAND_SECTION"]) if len(row) == 2 and row[1] > 0}
    room = float(head["CAPACITY"])
    trips = int(name.rsplit("-k", 1)[1]) if "-k" in name else math.ceil(sum(demand.values()) / room)
    stock = {f"p{i}": kg for i, kg in demand.items()}
    quotes = {i: [_wanted(f"p{i}", MUCH / kg, kg, least=kg)] for i, kg in demand.items()}
    scenario = _scenario(name, way, size, quotes, stock, Hours(1.0, FAR, 0.0, trips), Vehicle(room, None, 1.0, 50.0))
    return Published(name, "vehicles", scenario, lambda worth: MUCH * len(demand) - worth, most=False)


def _wanted(grade: str, price: float, most: float, least: float = 0.0) -> Quote:
    return Quote(grade, Estimate.exact(price), DAY, minimum_kg=least, most_kg=most)


def _scenario(
    name: str,
    way: Weights,
    size: int,
    quotes: Mapping[int, list[Quote]],
    stock: Mapping[str, float],
    hours: Hours,
    vehicle: Vehicle,
) -> Scenario:
    place = ["", "home", *(f"y{i}" for i in range(2, size + 1))]
    return Scenario(
        name=name,
        currency="CAD",
        on=DAY,
        hours=hours,
        vehicle=vehicle,
        buyers=tuple(Buyer(place[i], "yard", quotes=tuple(quotes.get(i, ()))) for i in range(2, size + 1)),
        finds=(),
        stock=dict(stock),
        grades={grade: Grade(grade, grade, "copper", Estimate.exact(0.5)) for grade in stock},
        anatomies={},
        roads=tuple(Road(place[i], place[j], km) for (i, j), km in way.items()),
        keep_factor=0.0,
    )
