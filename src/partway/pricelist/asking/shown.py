"""One question about all names of a list that are not sure: each is shown as it would be read, "right as shown?"."""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from decimal import Decimal
from math import log
from typing import Literal

from partway.pricelist.against.bands import COPPER
from partway.pricelist.asking.questions import LEAVE_OUT
from partway.pricelist.copying import replace
from partway.pricelist.lines import GradeChoice, Item, ListSheet, PriceLine
from partway.pricelist.names import idle, listed, plain_words, states
from partway.quantities import kg_per

AS_SHOWN = "yes"
LEFT_OUT: Literal["left out"] = "left out"
BESIDE = 1.5  # by how much a price may lie outside of what its grade makes of copper's, and still be proposed
SAID_IN_PART, SURE = 0.4, 0.8  # of less of a name nobody proposes a grade, or that it is refused
LITTLE = 2  # letters of a word that says nothing of a thing by itself
MANY = 4  # families of which a word is said that tells none
Together = tuple[tuple[int, Item], ...]


def is_open_name(line: PriceLine) -> bool:
    """Whether a line asks for the grade of a name, or names one and says no price."""
    silent = line.asks == "price" and line.grade is not None and line.item.bare
    return bool(line.question) and (line.asks == "grade" or silent)


def ask_names(
    lines: Sequence[PriceLine], sheet: ListSheet, found: Mapping[int, str]
) -> tuple[str, tuple[GradeChoice, ...]]:
    """The one question about all of them, with each reading, and the answer that takes them so."""
    said = "; ".join(f"{_called(line)} {_shown(line, found[line.position], sheet)}" for line in lines)
    settled = tuple((line.position, _settled(line, found[line.position])) for line in lines)
    choice = GradeChoice(AS_SHOWN, "yes, all as shown", lines[0].item, together=settled)
    return f"Right as shown: {said}?", (choice,)


def _settled(line: PriceLine, grade: str) -> Item:
    """What is settled of a line: its grade, or that words which were not read say nothing of its price."""
    aside = line.asks == "rest" and line.status == "ambiguous"
    return replace(line.item, left=()) if aside else settled_as(line.item, grade)


def settled_as(item: Item, grade: str) -> Item:
    """The item of a grade, or left out where that is empty, as one of several that were answered together."""
    if not grade:
        return replace(item, settled=LEFT_OUT)
    return item if item.exact else replace(item, exact=grade, words=(), called=item.words, settled="together")


def proposals(lines: Sequence[PriceLine], sheet: ListSheet, all_lines: Sequence[PriceLine] = ()) -> Mapping[int, str]:
    """What each line would be read as, by its position: a grade, or "" for left out.

    A name that nearly fits is of that grade, where the price is not against it; one of several is of the only one whose
    price is like it. Of a grade that the list prices elsewhere it is not. What says no price, and what no grade goes
    by, is left out.
    """
    copper = sheet.coppers.get(COPPER) or sheet.known.get(COPPER) or sheet.implied or 0.0
    taken = {(line.grade, line.from_mg) for line in all_lines if line.status == "understood" and line.grade}
    found: dict[int, str] = {}
    said: dict[tuple[str, ...], str] = {}
    for line in lines:
        words = line.item.words
        grade = said[words] if words in said else _proposed(line, sheet, taken, copper)
        found[line.position] = said[words] = grade
        taken |= {(grade, line.from_mg)} if grade and line.item.prices else set()
    return found


def _proposed(line: PriceLine, sheet: ListSheet, taken: Container[tuple[str | None, int]], copper: float) -> str:
    item, best = line.item, max((score for _, score in line.candidates), default=0.0)
    if not (item.prices or item.refuses) or best < (SURE if item.refuses else SAID_IN_PART):
        return ""
    if not _says_what(item, sheet):
        return ""
    free = [grade for grade, _ in line.candidates if (grade, line.from_mg) not in taken]
    if item.refuses or line.nearly:  # what is mostly meant, or nothing else
        first = line.candidates[0][0]
        return first if free[:1] == [first] and _fits(_away(line, first, sheet, copper)) else ""
    inside = [grade for grade in free if _away(line, grade, sheet, copper) < 0]
    return inside[0] if len(inside) == 1 and best == 1.0 else ""


def _fits(away: float) -> bool:
    return away < log(BESIDE) or away == UNKNOWN


def _says_what(item: Item, sheet: ListSheet) -> bool:
    """Whether a word of the name says what the thing is: "mixed" is said of all sorts."""
    carries_nothing = idle() | states() | listed("talk")
    said = [word for word in plain_words(item.words) if len(word) > LITTLE and word not in carries_nothing]
    telling = any(0 < len(sheet.lexicon.families_of(word)) < MANY for word in said)
    mistyped = any(not sheet.lexicon.families_of(word) and sheet.lexicon.knows((word,)) for word in said)
    known = [word for word in item.words if sheet.lexicon.knows((word,))]
    return telling or mistyped or bool(sheet.lexicon.surely(known)) or sheet.lexicon.match(item.words)[1]


UNKNOWN = 50.0  # nothing is there to compare with


def _away(line: PriceLine, grade: str, sheet: ListSheet, copper: float) -> float:
    """How far the price lies outside of what a grade is worth beside the list's other prices; below 0 within it."""
    item, ratio = line.item, sheet.grades[grade].ratio
    unit = item.units[0] if item.units else sheet.unit
    if item.each or len(item.units) > 1 or len(item.prices) != 1 or ratio is None or not copper or ratio.likely <= 0:
        return UNKNOWN
    found = [
        _outside(price / kg_per(unit), copper, ratio.low, ratio.likely, ratio.high) for price in item.prices[0].readings
    ]
    return min(found, default=UNKNOWN)


def _outside(per_kg: Decimal, copper: float, low: float, likely: float, high: float) -> float:
    """The logarithm of how far outside; within, a little below 0 the nearer it is to what is likely."""
    share = float(per_kg) / copper
    if share <= 0:
        return UNKNOWN
    inside = max(low, 1e-6) <= share <= high
    return abs(log(share / likely)) - 10 if inside else min(abs(log(share / max(low, 1e-6))), abs(log(share / high)))


def _called(line: PriceLine) -> str:
    if line.asks == "rest":
        return f'"{" ".join(line.item.left or line.text.split())}"'
    return f'"{" ".join(line.item.words)}"' if line.item.words else f'"{" ".join(line.text.split())}"'


def _shown(line: PriceLine, grade: str, sheet: ListSheet) -> str:
    if line.asks == "rest":
        return "says nothing of a price"
    return sheet.grades[grade].name if grade else LEFT_OUT


def offered(line: PriceLine, grade: str) -> tuple[GradeChoice, ...]:
    """A line's own answers, the proposed one first."""
    if grade in {choice.key for choice in line.choices}:
        return tuple(sorted(line.choices, key=lambda choice: choice.key != grade))
    return tuple(sorted(line.choices, key=lambda choice: choice != LEAVE_OUT))
