"""Instances that others published, as scenarios: read from a folder, since their licences do not let us carry them.

Three forms, told apart by the section that each adds to the TSPLIB format (Reinelt, "TSPLIB, a traveling salesman
problem library", ORSA Journal on Computing 3, 1991):
- OFFER_SECTION: travelling purchaser. A product that has to be bought becomes a grade that has to be sold, a
  market's price p becomes MUCH - p a kilogram, so the plan's worth is MUCH x demand - (purchases + travel).
- NODE_SCORE_SECTION: orienteering, a round trip from the depot. A score becomes what a yard pays for a kilogram of a
  grade that only it wants; the limit on the way becomes hours away at 1 km/h, and driving costs nothing else.
- DEMAND_SECTION alone: vehicle routing. Each customer takes just its demand of a grade of its own, in one lot.
Files without sections are points (`published_points`) or knapsacks (`published_knapsacks`).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from published_knapsacks import knapsacks
from published_points import points
from published_problems import FAR, Published, Route, Unread, Weights, sells, wanted

from partway.things.scenario import Hours, Vehicle

MUCH = 3000.0  # a kilogram: more than any detour saves, so that everything is sold
__all__ = ["Published", "Unread", "every", "read"]


def every(path: Path) -> Iterator[Published | Unread]:
    """The instances of one file, in order; in place of one that cannot be read, why."""
    text = path.read_text(encoding="utf-8")
    if "_SECTION" in text or not _is_knapsacks(path, text):
        yield read(path)
    else:
        yield from knapsacks(path, text)


def read(path: Path) -> Published:
    """The one instance of a file. Raises Unread."""
    text = path.read_text(encoding="utf-8")
    if "_SECTION" not in text:
        return points(path, text)
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


def _is_knapsacks(path: Path, text: str) -> bool:
    """By its name: numbers alone do not say what they are of."""
    return path.name.startswith(("knapPI", "mknap")) or "knapPI" in text[:200]


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
    need = {f"p{int(row[0])}": row[1] for row in _numbers(sections["DEMAND_SECTION"]) if len(row) == 2}
    offers = {}
    for row in _numbers(sections["OFFER_SECTION"]):
        told = [row[i : i + 3] for i in range(2, 2 + 3 * int(row[1]), 3)]
        offers[int(row[0])] = [(f"p{int(what)}", price, most) for what, price, most in told if most > 0]
    quotes = {i: [wanted(what, MUCH - price, most) for what, price, most in found] for i, found in offers.items()}
    route = Route(size, way, offers=offers, need=need, driven=True)
    scenario = sells(name, route, quotes, need, Hours(1.0, FAR, 0.0, 1), Vehicle(FAR, None, 1.0, 50.0))
    return Published(name, "purchaser", route, scenario, lambda worth: MUCH * sum(need.values()) - worth, most=False)


def _orienteering(
    name: str, way: Weights, size: int, head: Mapping[str, str], sections: Mapping[str, list[str]]
) -> Published:
    score = {int(row[0]): row[1] for row in _numbers(sections["NODE_SCORE_SECTION"])}
    prize = {i: pays for i, pays in score.items() if i > 1 and pays > 0}
    route = Route(size, way, limit=float(head["COST_LIMIT"]), prize=prize, given=score.get(1, 0.0))
    quotes = {i: [wanted(f"p{i}", pays, 1.0)] for i, pays in route.prize.items()}
    stock = {f"p{i}": 1.0 for i in quotes}
    scenario = sells(name, route, quotes, stock, Hours(1.0, route.limit, 0.0, 1), Vehicle(FAR, None, 0.0, 1.0))
    return Published(name, "orienteering", route, scenario, lambda worth: worth + route.given, most=True)


def _vehicles(
    name: str, way: Weights, size: int, head: Mapping[str, str], sections: Mapping[str, list[str]]
) -> Published:
    demand = {int(row[0]): row[1] for row in _numbers(sections["DEMAND_SECTION"]) if len(row) == 2 and row[1] > 0}
    room = float(head["CAPACITY"])
    trips = int(name.rsplit("-k", 1)[1]) if "-k" in name else math.ceil(sum(demand.values()) / room)
    stock = {f"p{i}": kg for i, kg in demand.items()}
    quotes = {i: [wanted(f"p{i}", MUCH / kg, kg, least=kg)] for i, kg in demand.items()}
    route = Route(size, way, trips=trips, demand=demand, room=room, driven=True)
    scenario = sells(name, route, quotes, stock, Hours(1.0, FAR, 0.0, trips), Vehicle(room, None, 1.0, 50.0))
    return Published(name, "vehicles", route, scenario, lambda worth: MUCH * len(demand) - worth, most=False)
