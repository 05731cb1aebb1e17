"""One question about all names of a list that are not sure: each is shown as it would be read, "right as shown?"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from math import log

from partway.pricelist.against.bands import COPPER
from partway.pricelist.asking.questions import LEAVE_OUT
from partway.pricelist.lines import GradeChoice, Item, ListSheet, PriceLine
from partway.quantities import kg_per

AS_SHOWN = "yes"
LEFT_OUT = "left out"
BESIDE = 1.5  # by how much a price may lie outside of what its grade makes of copper's, and still be proposed
SAID_IN_PART = 0.5  # of less of a name nobody proposes a grade
Together = tuple[tuple[int, Item], ...]


def is_open_name(line: PriceLine) -> bool:
    """Whether a line asks for the grade of a name, or names one and says no price."""
    silent = line.asks == "price" and line.grade is not None and line.item.bare
    return bool(line.question) and (line.asks == "grade" or silent)


def ask_names(lines: Sequence[PriceLine], sheet: ListSheet) -> tuple[str, tuple[GradeChoice, ...]]:
    """The one question about all of them, with each reading, and the answer that takes them so."""
    found = proposals(lines, sheet)
    said = "; ".join(f"{_called(line)} {_shown(found[line.position], sheet)}" for line in lines)
    settled = tuple((line.position, settled_as(line.item, found[line.position])) for line in lines)
    choice = GradeChoice(AS_SHOWN, "yes, all as shown", lines[0].item, together=settled)
    return f"Right as shown: {said}?", (choice,)


def settled_as(item: Item, grade: str) -> Item:
    """The item of a grade, or left out where that is empty, as one of several that were answered together."""
    if not grade:
        return replace(item, settled=LEFT_OUT)
    return item if item.exact else replace(item, exact=grade, words=(), called=item.words, settled="together")


def proposals(lines: Sequence[PriceLine], sheet: ListSheet) -> Mapping[int, str]:
    """What each line would be read as, by its position: a grade, or "" for left out.

    A name that nearly fits is of that grade; one of several is of the one whose price is like it, and which the list
    does not price elsewhere. What says no price, and what no grade goes by, is left out.
    """
    found: dict[int, str] = {}
    for line in lines:
        found[line.position] = _proposed(line, sheet)
    return found


def _proposed(line: PriceLine, sheet: ListSheet) -> str:
    if not line.candidates or not (line.item.prices or line.item.refuses):
        return ""
    best = line.candidates[0]
    if line.nearly:
        return best[0]
    if best[1] < SAID_IN_PART:
        return ""
    if line.item.refuses:
        return best[0]
    likely = sorted((_away(line, grade, sheet), n, grade) for n, (grade, _) in enumerate(line.candidates))
    away, _, grade = likely[0]
    return grade if away < log(BESIDE) or (away == UNKNOWN and best[1] == 1.0) else ""


UNKNOWN = 50.0  # nothing is there to compare with


def _away(line: PriceLine, grade: str, sheet: ListSheet) -> float:
    """How far the price lies outside of what a grade is worth beside the list's other prices; below 0 within it."""
    item, ratio = line.item, sheet.grades[grade].ratio
    copper = sheet.coppers.get(COPPER) or sheet.known.get(COPPER) or sheet.implied
    unit = item.units[0] if item.units else sheet.unit
    if item.each or len(item.units) > 1 or len(item.prices) != 1 or ratio is None or not copper or ratio.likely <= 0:
        return UNKNOWN
    found = [_outside(price / kg_per(unit), copper, ratio.low, ratio.likely, ratio.high) for price in item.prices[0].readings]
    return min(found, default=UNKNOWN)


def _outside(per_kg: Decimal, copper: float, low: float, likely: float, high: float) -> float:
    """The logarithm of how far outside; within, a little below 0 the nearer it is to what is likely."""
    share = float(per_kg) / copper
    if share <= 0:
        return UNKNOWN
    inside = max(low, 1e-6) <= share <= high
    return abs(log(share / likely)) - 10 if inside else min(abs(log(share / max(low, 1e-6))), abs(log(share / high)))


def _called(line: PriceLine) -> str:
    return f'"{" ".join(line.item.words)}"' if line.item.words else f'"{" ".join(line.text.split())}"'


def _shown(grade: str, sheet: ListSheet) -> str:
    return sheet.grades[grade].name if grade else LEFT_OUT


def offered(line: PriceLine, grade: str) -> tuple[GradeChoice, ...]:
    """A line's own answers, the proposed one first."""
    if grade in {choice.key for choice in line.choices}:
        return tuple(sorted(line.choices, key=lambda choice: choice.key != grade))
    return tuple(sorted(line.choices, key=lambda choice: choice != LEAVE_OUT))
