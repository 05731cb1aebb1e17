"""The anatomy of a find as a picture: depth goes to the right, height is money or mass, and a line shows where to stop.

What is opened is a narrow band with what comes out of it at its right; what stays as it is ends at the line; beyond the
line lies what could be opened and does not pay. All ends are equally wide, so their areas compare as their
heights do. All numbers are shares of the width and height of the picture.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from partway.reports.bench.limbs import Limb
from partway.web.drawings.limbs import small_ones_together

By = Literal["value", "mass"]
LINE = 26  # pixels one line of text needs; no end is drawn lower
EACH, LEAST, MOST = 46, 240, 720  # pixels of height for each end, of the whole at least and at most
BANDS, BAND = 0.40, 0.105  # of the width: all bands together at most, one band at most
PAST = 0.75  # width of what lies beyond an end over that of the end
EDGE = 0.01  # of the width, left for the line
PHONE = 350  # pixels of width that names are shortened for
LETTER, MARGIN, BADGE = 8.4, 18, 30  # pixels: of one letter, of both margins, of the number of a step
ROWS = (20, 38, 56)  # pixels that one, two and three lines of text take


@dataclass(frozen=True, slots=True)
class Box:
    """A piece, or several small ones (`pieces` of them).

    `state`: opened, ends, part, stop (never opened: `hazard`), small, or beyond (what one operation not worth doing
    would give). `value` is money before hours, None where nobody here prices it; `nothing` marks one without
    money, drawn as low as may be. `step` opens it, or `asks` about it: then the boxes behind it are the answers, each
    with the `chance` that it is so. Mass and value are of a find that has the piece. `lines` of text fit. `lit`: the
    piece that the picture points at.
    """

    piece: str
    name: str
    short: str
    state: str
    depth: int
    count: int
    pieces: int
    mass_kg: float
    value: float | None
    nothing: bool
    hazard: str
    step: int
    operation: str
    per_hour: float | None
    x: float
    y: float
    width: float
    height: float
    lines: int
    asks: bool = False
    chance: float = 1.0
    lit: bool = False


@dataclass(frozen=True, slots=True)
class Stretch:
    """A straight stretch of the line."""

    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True, slots=True)
class Picture:
    """The picture; `by` is what heights show. `asked` differs where nothing has a price and mass is shown instead.

    `enlarged`: some ends are drawn higher than their share, so that they can be read. `tree` is the same as nested
    lists, with every piece.
    """

    by: By
    asked: By
    pixels: int
    boxes: tuple[Box, ...]
    line: tuple[Stretch, ...]
    ends_at: float
    enlarged: bool
    tree: tuple[Limb, ...]


def anatomy_picture(limbs: tuple[Limb, ...], by: By = "value", lit: str = "") -> Picture:
    """The picture of what is in hand at its best depth, by money or by mass; with the piece `lit`, which then has a box
    of its own, however small.
    """
    shown: By = by if by == "mass" or any(limb.measure("value") > 0.0 for limb in limbs) else "mass"
    merged = small_ones_together(limbs, shown, alone=lit)
    return _Drawing(merged, shown, lit).picture(limbs, by)


@dataclass
class _Drawing:
    limbs: tuple[Limb, ...]
    by: By
    lit: str = ""

    def __post_init__(self) -> None:
        ends = self._ends(self.limbs)
        self.pixels = max(LEAST, LINE * len(ends), min(MOST, EACH * len(ends)))
        self.heights, self.enlarged = heights([e.measure(self.by) for e in ends], LINE / self.pixels)
        self.band, self.ends, self.past = _widths(ends)
        self.boxes: list[Box] = []
        self.edge: list[tuple[float, float, float]] = []  # x, from y, to y of every end, from top to bottom
        self.number = 0

    def picture(self, tree: tuple[Limb, ...], asked: By) -> Picture:
        y = 0.0
        for limb in self.limbs:
            y += self._draw(limb, y)
        ends_at = max((x for x, _, _ in self.edge), default=1.0)
        return Picture(self.by, asked, self.pixels, tuple(self.boxes), _stairs(self.edge), ends_at, self.enlarged, tree)

    def _ends(self, limbs: tuple[Limb, ...]) -> list[Limb]:
        return [end for limb in limbs for end in (self._ends(limb.limbs) if limb.limbs else [limb])]

    def _draw(self, limb: Limb, y: float) -> float:
        """Draw a limb and all that comes out of it; its height."""
        x = limb.depth * self.band
        if not limb.limbs:
            height = self.heights[self.number]
            self.number += 1
            self.edge.append((x + self.ends, y, y + height))
            self._box(limb, x, y, self.ends, height)
            self._beyond(limb, x + self.ends, y, height)
            return height
        mine, height = len(self.boxes), 0.0
        for child in limb.limbs:
            height += self._draw(child, y + height)
        self._box(limb, x, y, self.band, height)
        self.boxes.insert(mine, self.boxes.pop())
        return height

    def _beyond(self, end: Limb, x: float, y: float, height: float) -> None:
        """What the best operation not worth doing would give, within the height of its piece."""
        if not end.beyond:
            return
        shares = _shares([b.measure(self.by) for b in end.beyond], [b.mass_kg for b in end.beyond])
        fits = [share * height * self.pixels >= LINE for share in shares]
        if not all(fits):
            self._box(_together(end.beyond), x, y, self.past, height)
            return
        for limb, share in zip(end.beyond, shares, strict=True):
            self._box(limb, x, y, self.past, share * height)
            y += share * height

    def _box(self, limb: Limb, x: float, y: float, width: float, height: float) -> None:
        pixels, name = height * self.pixels, _called(limb)
        self.boxes.append(
            Box(
                piece=limb.piece,
                name=name,
                short=shortened(name, pixels - BADGE if limb.limbs else width * PHONE),
                state=limb.state,
                depth=limb.depth,
                count=limb.count,
                pieces=limb.pieces,
                mass_kg=limb.mass_kg,
                value=limb.value,
                nothing=self.by == "value" and limb.measure("value") <= 0.0,
                hazard=limb.hazard,
                step=limb.step,
                operation=limb.operation,
                per_hour=limb.per_hour,
                x=x,
                y=y,
                width=width,
                height=height,
                lines=sum(pixels >= rows for rows in ROWS),
                asks=limb.asks,
                chance=limb.chance,
                lit=bool(self.lit) and limb.piece == self.lit and limb.state != "beyond",
            )
        )


def _called(limb: Limb) -> str:
    """A name for a box: of an answer what it says, else the piece without what is behind a comma."""
    return limb.answer[:1].upper() + limb.answer[1:] if limb.answer else limb.name.partition(",")[0]


def heights(measures: list[float], least: float) -> tuple[list[float], bool]:
    """Shares of one whole by measure, none below `least`; whether any had to be enlarged for that."""
    count = len(measures)
    least = min(least, 1.0 / count)
    total = sum(measures)
    if total <= 0.0:
        return [1.0 / count] * count, False
    low: set[int] = set()
    while True:
        rest = sum(m for i, m in enumerate(measures) if i not in low)
        room = 1.0 - least * len(low)
        more = (
            {i for i, m in enumerate(measures) if i not in low and m / rest * room < least - 1e-12} if rest else set()
        )
        if not more:
            break
        low |= more
    if not rest:
        return [1.0 / count] * count, True
    return [least if i in low else m / rest * room for i, m in enumerate(measures)], bool(low)


def shortened(name: str, pixels: float) -> str:
    """A name as it fits so many pixels, in letters some 13 pixels high."""
    room = max(3, int((pixels - MARGIN) / LETTER))
    return name if len(name) <= room else f"{name[: room - 1].rstrip()}…"


def _shares(measures: list[float], otherwise: list[float]) -> list[float]:
    weights = measures if sum(measures) > 0.0 else otherwise
    total = sum(weights)
    return [w / total if total > 0.0 else 1.0 / len(weights) for w in weights]


def _together(beyond: tuple[Limb, ...]) -> Limb:
    """All that one operation would give, in one box named for how much that is."""
    values = [b.value for b in beyond if b.value is not None]
    count = sum(b.count for b in beyond)
    return replace(
        beyond[0],
        piece="",
        name=f"{count} pieces" if count != 1 else beyond[0].name,
        count=count,
        pieces=len(beyond),
        mass_kg=sum(b.mass_kg for b in beyond),
        value=sum(values) if values else None,
    )


def _widths(ends: list[Limb]) -> tuple[float, float, float]:
    """Of a band, of an end, and of what lies beyond one: the widest for which everything stays in the picture."""
    deepest = max(end.depth for end in ends)
    band = min(BAND, BANDS / deepest) if deepest else 0.0
    rooms = [1.0 - EDGE - band * deepest]
    rooms += [(1.0 - band * end.depth) / (1.0 + PAST) for end in ends if end.beyond]
    return band, min(rooms), min(rooms) * PAST


def _stairs(edge: list[tuple[float, float, float]]) -> tuple[Stretch, ...]:
    """Down along the right edge of every end, sideways where two do not end alike; stretches in a row are one."""
    found: list[Stretch] = []
    for x, top, bottom in edge:
        last = found[-1] if found else None
        if last and last.x2 == x:
            found[-1] = Stretch(x, last.y1, x, bottom)
            continue
        if last:
            found.append(Stretch(last.x2, top, x, top))
        found.append(Stretch(x, top, x, bottom))
    return tuple(found)
