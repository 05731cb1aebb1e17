"""The anatomy of a find as a picture: depth goes to the right, height is money or mass, and a line shows where to stop.

What is opened is a narrow band with what comes out of it at its right; what stays as it is ends at the line; beyond the
line lies what could be opened and does not pay. All ends are equally wide, so their areas compare as their
heights do. All numbers are shares of the width and height of the picture.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from partway.reports.bench.limbs import Limb
from partway.web.drawings.box_text import BoxText, label, wrapped
from partway.web.drawings.limbs import ends_of, few_enough
from partway.web.drawings.stop_line import PLATE, Plate, Stretch, plate, stairs

By = Literal["value", "mass"]
TAP = 48  # pixels that a finger in a glove needs; no end is drawn lower
EACH, LEAST, MOST = 66, 144, 540  # pixels of height for each end, of the whole at least and at most
TO_SCALE = 336  # pixels that the whole may be high for the sake of every end being drawn to scale
PHONE, DESK = 324, 640  # pixels of width that names are made to fit: a phone 360 wide, a screen from 704 up
BANDS, BAND = 0.40, 0.105  # of the width: all bands together at most, one band at most
PAST = 0.75  # width of what lies beyond an end over that of the end
EDGE = (PLATE + 4) / PHONE  # of the width, left for the line and its words
LEFT, RIGHT = 8, 6  # pixels from the left of a box to its text and from there to its right
STRIPE = 8  # pixels more at the left of what is never opened
BADGE, DOWN = 32, 15  # pixels: height of the number of a step, width of a line of text that runs down a band
LIST = "as-list"  # where the same stands as a list


@dataclass(frozen=True, slots=True)
class Box:
    """A piece, or several small ones (`pieces` of them).

    `state`: opened, ends, part, stop (never opened: `hazard`), small, or beyond (what one operation not worth doing
    would give). `value` is money before hours, None where nobody here prices it; `nothing` marks one without
    money, drawn as low as may be. `step` opens it, or `asks` about it: then the boxes behind it are the answers, each
    with the `chance` that it is so. Mass and value are of a find that has the piece. `phone` and `desk` are what is
    written in it, `leads` where a tap on it leads: to a step, to the row of the piece, or to the list of all. `lit`:
    the piece that the picture points at.
    """

    piece: str
    name: str
    phone: BoxText
    desk: BoxText
    leads: str
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
    asks: bool = False
    chance: float = 1.0
    lit: bool = False


@dataclass(frozen=True, slots=True)
class Picture:
    """The picture; `by` is what heights show. `asked` differs where nothing has a price and mass is shown instead.

    `enlarged`: some ends are drawn higher than their share, so that they can be read and hit. `plate` is the words on
    the line. `tree` is the same as nested lists, with every piece.
    """

    by: By
    asked: By
    pixels: int
    boxes: tuple[Box, ...]
    line: tuple[Stretch, ...]
    plate: Plate
    enlarged: bool
    tree: tuple[Limb, ...]


def anatomy_picture(limbs: tuple[Limb, ...], by: By = "value", lit: str = "") -> Picture:
    """The picture of what is in hand at its best depth, by money or by mass; with the piece `lit`, which then has a box
    of its own, however small.
    """
    shown: By = by if by == "mass" or any(limb.measure("value") > 0.0 for limb in limbs) else "mass"
    return _Drawing(few_enough(limbs, shown, alone=lit), shown, lit).picture(limbs, by)


@dataclass
class _Drawing:
    limbs: tuple[Limb, ...]
    by: By
    lit: str = ""

    def __post_init__(self) -> None:
        ends = ends_of(self.limbs)
        shown = [end.measure(self.by) for end in ends]
        self.pixels = pixels_of(shown)
        self.heights, self.enlarged = heights(shown, TAP / self.pixels)
        self.band, self.ends, self.past = _widths(ends)
        self.steps = any(_numbers(self.limbs))
        self.boxes: list[Box] = []
        self.edge: list[tuple[float, float, float]] = []  # x, from y, to y of every end, from top to bottom
        self.number = 0

    def picture(self, tree: tuple[Limb, ...], asked: By) -> Picture:
        y = 0.0
        for limb in self.limbs:
            y += self._draw(limb, y, 0)
        line = stairs(self.edge)
        words = plate(line, self.pixels)
        return Picture(self.by, asked, self.pixels, tuple(self.boxes), line, words, self.enlarged, tree)

    def _draw(self, limb: Limb, y: float, out_in: int) -> float:
        """Draw a limb that comes out in a step (0: it is in hand), and all that comes out of it; its height."""
        x = limb.depth * self.band
        if not limb.limbs:
            height, leads = self.heights[self.number], self._leads(limb, out_in)
            self.number += 1
            self.edge.append((x + self.ends, y, y + height))
            self._box(limb, leads, x, y, self.ends, height)
            self._beyond(limb, leads, x + self.ends, y, height)
            return height
        mine, height = len(self.boxes), 0.0
        for child in limb.limbs:
            height += self._draw(child, y + height, limb.step)
        self._box(limb, f"step-{limb.step}" if limb.step else LIST, x, y, self.band, height)
        self.boxes.insert(mine, self.boxes.pop())
        return height

    def _leads(self, end: Limb, out_in: int) -> str:
        """The row where a piece is listed under the step it comes out in, or in hand where there is no step at all."""
        if out_in and not end.piece:
            return f"step-{out_in}"
        return f"out-{out_in}-{end.piece}" if end.piece and (out_in or not self.steps) else LIST

    def _beyond(self, end: Limb, leads: str, x: float, y: float, height: float) -> None:
        """What the best operation not worth doing would give, within the height of its piece."""
        if not end.beyond:
            return
        shares = _shares([b.measure(self.by) for b in end.beyond], [b.mass_kg for b in end.beyond])
        fits = [share * height * self.pixels >= TAP for share in shares]
        if not all(fits):
            self._box(_together(end.beyond), leads, x, y, self.past, height)
            return
        for limb, share in zip(end.beyond, shares, strict=True):
            self._box(limb, leads, x, y, self.past, share * height)
            y += share * height

    def _box(self, limb: Limb, leads: str, x: float, y: float, width: float, height: float) -> None:
        pixels, name = height * self.pixels, _called(limb)
        self.boxes.append(
            Box(
                piece=limb.piece,
                name=name,
                phone=_written(limb, name, width * PHONE, pixels),
                desk=_written(limb, name, width * DESK, pixels),
                leads=leads,
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
                asks=limb.asks,
                chance=limb.chance,
                lit=bool(self.lit) and limb.piece == self.lit and limb.state != "beyond",
            )
        )


def _numbers(limbs: tuple[Limb, ...]) -> Iterator[int]:
    for limb in limbs:
        yield limb.step
        yield from _numbers(limb.limbs)


def _written(limb: Limb, name: str, width: float, height: float) -> BoxText:
    """What is written in a box of so many pixels: in a band downwards, below the number of its step."""
    tail = f"×{limb.count}" if limb.count > 1 and limb.pieces == 1 else ""
    if limb.limbs:
        return BoxText(wrapped(name, height - BADGE, int(width // DOWN), tail), 0)
    more = {"stop": STRIPE, "beyond": PLATE}.get(limb.state, 0)
    return label(name, width - LEFT - RIGHT - more, height, tail)


def _called(limb: Limb) -> str:
    """A name for a box: of an answer what it says, else the piece without what is behind a comma."""
    return limb.answer[:1].upper() + limb.answer[1:] if limb.answer else limb.name.partition(",")[0]


def pixels_of(measures: list[float]) -> int:
    """How high the whole is: to scale where that is not too high, else with room for every end to be hit."""
    usual = max(LEAST, TAP * len(measures), min(MOST, EACH * len(measures)))
    least = min(measures)
    to_scale = math.ceil(TAP * sum(measures) / least) if least > 0.0 else MOST
    return max(usual, to_scale) if to_scale <= TO_SCALE else usual


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
