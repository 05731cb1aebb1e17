"""The flows as ribbons from left to right: finds, the grades they became, and where those went. In pixels as wide as a
phone shows it.

What came into the kinds is left out of the picture (not of the table): it is the kinds themselves, once more. A ribbon
that passes the grades by goes through a gap below them, one for each end.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from partway.valuing.ends.flows import Flows, Link
from partway.web.drawings.axes import WIDE
from partway.web.drawings.ribbons import LEFTS, THICK, Ribbon, Slot, ribbons

COLOURS = {"kind": "iron", "grade": "copper", "buyer": "verdigris", "tip": "lead", "rim": "brass"}
LOST = ("residue", "loss", "less")
FULL = 190.0  # what all that flows takes, high
SIZE, LINE = 12.0, 14.0  # of the letters of a name, and from one line to the next
ROOM = 2 * LINE + 3.0  # the least that a place and its name take
GAP = 5.0  # between two places
BESIDE = 4.0  # between a place and its name
LETTERS = (15, 14, 12)  # of a line of a name, by column


@dataclass(frozen=True, slots=True)
class DrawnPlace:
    """A place with its name in one or two lines. `hue` names a colour of the style sheet, `column` counts from the
    left.
    """

    id: str
    name: str
    hue: str
    column: int
    mg: int
    x: float
    y: float
    height: float
    lines: tuple[str, ...]
    text_x: float
    text_y: float


@dataclass(frozen=True, slots=True)
class FlowsChart:
    """The places and ribbons of a drawing; all of a mass takes so many pixels `per_mg`."""

    width: float
    height: float
    thick: float
    line: float
    per_mg: float
    places: tuple[DrawnPlace, ...]
    ribbons: tuple[Ribbon, ...]
    names: Mapping[str, str]


Columns = tuple[list[Slot], list[Slot], list[Slot]]


def flows_chart(flows: Flows) -> FlowsChart | None:
    """The picture; None where nothing flowed out of a kind or a grade."""
    at = columns_of(flows)
    links = [link for link in flows.links if at[link.source] < at[link.target]]
    if not links:
        return None
    slots = _slots(flows, links, at)
    per_mg = FULL / max(sum(slot.mg for slot in of) for of in slots)
    highs = [sum(_high(slot, per_mg) for slot in of) for of in slots]
    placed = [_spread(of, max(highs), high, per_mg) for of, high in zip(slots, highs, strict=True)]
    places = tuple(_drawn(flows, slot, n, per_mg) for n, of in enumerate(placed) for slot in of if not slot.gap)
    drawn, names = tuple(ribbons(links, at, placed, per_mg)), {p: place.name for p, place in flows.places.items()}
    return FlowsChart(WIDE, round(max(highs), 2), THICK, LINE, per_mg, places, drawn, names)


def columns_of(flows: Flows) -> dict[str, int]:
    """Where each place stands: 0 for what only gives, 1 for grades, 2 for ends."""
    ends = {link.target for link in flows.links}
    sorts = {"kind": 0, "grade": 1}
    return {p: sorts.get(place.sort, 2 if p in ends else 0) for p, place in flows.places.items()}


def _slots(flows: Flows, links: Sequence[Link], at: Mapping[str, int]) -> Columns:
    """The places by column, heaviest first, what is at the rim last; gaps for what passes stand below the grades."""
    out, into = _sums((link.source, link.mg) for link in links), _sums((link.target, link.mg) for link in links)
    past = _sums((link.target, link.mg) for link in links if at[link.target] - at[link.source] > 1)
    of: Columns = ([], [], [])
    for place in sorted({**out, **into}, key=lambda p: (flows.places[p].sort == "rim", -flows.places[p].mg, p)):
        of[at[place]].append(Slot(place, max(out.get(place, 0), into.get(place, 0))))
    of[1].extend(Slot(slot.id, past[slot.id], gap=True) for slot in of[2] if slot.id in past)
    return of


def _sums(amounts: Iterable[tuple[str, int]]) -> dict[str, int]:
    sums: dict[str, int] = {}
    for place, mg in amounts:
        sums[place] = sums.get(place, 0) + mg
    return sums


def _high(slot: Slot, per_mg: float) -> float:
    """What a place takes of its column: its mass, or its name where that is higher."""
    return max(slot.mg * per_mg, 0.0 if slot.gap else ROOM) + GAP


def _spread(of: Sequence[Slot], tall: float, high: float, per_mg: float) -> list[Slot]:
    """The places of a column, over all of the height."""
    spare, y, placed = (tall - high) / max(len(of), 1), 0.0, []
    for slot in of:
        placed.append(replace(slot, y=y + spare / 2.0))
        y += _high(slot, per_mg) + spare
    return placed


def _drawn(flows: Flows, slot: Slot, column: int, per_mg: float) -> DrawnPlace:
    place, height = flows.places[slot.id], max(slot.mg * per_mg, 1.0)
    lines = two_lines(place.name, LETTERS[column])
    return DrawnPlace(
        id=slot.id,
        name=place.name,
        hue="lead" if slot.id in LOST else COLOURS[place.sort],
        column=column,
        mg=slot.mg,
        x=LEFTS[column],
        y=round(slot.y, 2),
        height=round(height, 2),
        lines=lines,
        text_x=LEFTS[column] - BESIDE if column == 2 else LEFTS[column] + THICK + BESIDE,
        text_y=round(slot.y + 0.8 * SIZE + max(0.0, (height - LINE * len(lines)) / 2.0), 2),
    )


def two_lines(name: str, most: int) -> tuple[str, ...]:
    """A name in lines of at most so many letters, two at most, cut where it is longer."""
    words, first = name.split(), ""
    while words and len(f"{first} {words[0]}".strip()) <= most:
        first = f"{first} {words.pop(0)}".strip()
    rest = " ".join(words)
    if not first:
        first, rest = rest[:most], rest[most:]
    second = rest if len(rest) <= most else f"{rest[: most - 1].rstrip()}…"
    return (first, second) if second else (first,)
