"""The law of one more word: a word put into a price list changes no price in silence, and is never dropped in silence.

What is put in is of a class, and of each class it is known, without asking the reader, what it may do: a word that
nobody knows, the name of a yard and a day leave the price as it was or make a question; a unit, a bound, a negation, a
condition and a second number have to be seen in what is read, or asked about. Lines are those of the corpora that give
exactly one price.
"""

from __future__ import annotations

import random
import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, Literal

from partway.catalogue import shipped
from partway.pricelist import PriceLine, read_price_list
from partway.pricelist.lexicon import lexicon_of
from partway.pricelist.names import plain_words
from partway.quantities import kg_per

CORPUS = Path(__file__).parent / "references" / "price_lists"
GRADES = shipped().grades
NAMED = re.compile(r"[A-Za-z]{3,}")
Law = Literal["idle", "unit", "lot", "no", "condition", "number"]
Place = Literal["in the line", "a line above", "a line below"]
Meaning = tuple[str, ...]  # a grade, its price per kg or by the piece or "no", and its lots in mg

WORDS: tuple[tuple[Law, str], ...] = (
    ("idle", "frandle"), ("idle", "Mossgate"), ("idle", "harbour yard"), ("idle", "on monday"), ("idle", "tuesday"),
    ("idle", "really"), ("idle", "(frandle)"), ("idle", "frandles,"), ("idle", "- quessel -"),
    ("unit", "per ton"), ("unit", "/kg"), ("unit", "per lb"), ("unit", "each"), ("unit", "a tonne"), ("unit", "cwt"),
    ("unit", "kg"), ("unit", "per piece"), ("unit", "by the kilo"), ("unit", "per short ton"),
    ("lot", "over 500"), ("lot", "over 500 lb"), ("lot", "min 200 lb"), ("lot", "up to 300 kg"), ("lot", "500+"),
    ("lot", "(500 lb min)"),
    ("no", "no"), ("no", "not"), ("no", "not taking"), ("no", "don't want"), ("no", "except"),
    ("condition", "less"), ("condition", "without cord"), ("condition", "with cord"), ("condition", "dirty"),
    ("condition", "painted"), ("condition", "less 10%"), ("condition", "minus steel"),
    ("condition", "half"), ("condition", "plus"), ("condition", "unless wet"), ("condition", "with plastic"),
    ("condition", "double"), ("condition", "insulated"), ("condition", "-10%"),
    ("number", "4.20"), ("number", "12"), ("number", "38c"), ("number", "500"), ("number", "two"), ("number", "$3"),
    ("number", "1.5"), ("number", "(12)"), ("number", "ten cents"),
)  # fmt: skip


@dataclass(frozen=True)
class Line:
    """A line of the corpora that gives one price, and what it is read against."""

    text: str
    currency: str
    unit: str
    comma: bool


@dataclass(frozen=True)
class Tried:
    """A text with one more word in it."""

    law: Law
    word: str
    place: Place
    text: str
    before: tuple[Meaning, ...]  # what was read without it
    line: Line


def read(text: str, line: Line) -> list[PriceLine]:
    """As a workspace without any older price reads it."""
    return read_price_list(text, GRADES, line.currency, line.unit, {}, comma=line.comma)


def meaning(line: PriceLine) -> Meaning:
    """What an understood line would record."""
    if line.refuses or line.price is None:
        return (line.grade or "", "no")
    each = line.unit == "each" and line.price != 0
    of = Decimal(1) if each or line.price == 0 else kg_per(line.unit)
    lots = (line.from_mg, line.minimum_mg, line.most_mg, line.most_pieces)
    return (line.grade or "", f"{line.price / of:.9f}", "each" if each else "", *map(str, lots))


def meanings(lines: Sequence[PriceLine]) -> tuple[Meaning, ...]:
    """What the understood lines would record."""
    return tuple(meaning(line) for line in lines if line.status == "understood")


@cache
def rows() -> tuple[Line, ...]:
    """The rows of the corpora that are short enough to be one line of a list."""
    found = (
        line
        for file in sorted(CORPUS.glob("*.toml"))
        for one in tomllib.loads(file.read_text(encoding="utf-8"))["list"]
        for line in _rows_of(one)
    )
    return tuple(dict.fromkeys(found))


def drawn(draw: random.Random) -> Line:
    """A line that gives exactly one price and asks nothing."""
    return next(line for line in iter(lambda: draw.choice(rows()), None) if gives_one(line))


def _rows_of(one: Mapping[str, Any]) -> Iterator[Line]:
    unit = one.get("unit", "lb").replace("each", "lb")
    for row in one["text"].splitlines():
        if 0 < len(row.strip()) <= 90:
            yield Line(row.strip(), one.get("currency", "CAD"), unit, one.get("comma", False))


@cache
def gives_one(line: Line) -> bool:
    """Whether a line gives exactly one price and asks nothing."""
    lines = read(line.text, line)
    return len(lines) == 1 and lines[0].status == "understood" and not lines[0].refuses


def one_more(draw: random.Random) -> Tried:
    """A line, or a list of three, with one word put into it."""
    law, word = draw.choice(WORDS)
    return put(
        draw, law, word, draw.choice(("in the line", "in the line", "in the line", "a line above", "a line below"))
    )


def put(draw: random.Random, law: Law, word: str, place: Place) -> Tried:
    """The same of a word and a place that are given."""
    line = drawn(draw)
    if place == "in the line":
        parts = line.text.split(" ")
        at = draw.randint(0, len(parts))
        return Tried(
            law, word, place, " ".join([*parts[:at], word, *parts[at:]]), meanings(read(line.text, line)), line
        )
    said = _beside(draw, line)
    text = [word.upper(), *said] if place == "a line above" else [said[0], word, *said[1:]]
    alone = (one for row in said for one in meanings(read(row, line)))
    return Tried(law, word, place, "\n".join(text), (*meanings(read("\n".join(said), line)), *alone), line)


def _beside(draw: random.Random, line: Line) -> list[str]:
    """The line and two more of the same currency and unit, each of another grade."""
    alike = [one for one in rows() if (one.currency, one.unit, one.comma) == (line.currency, line.unit, line.comma)]
    found = {meanings(read(line.text, line))[0][0]: line.text}
    for one in draw.sample(alike, min(6, len(alike))):
        if gives_one(one):
            found.setdefault(meanings(read(one.text, one))[0][0], one.text)
    return list(found.values())[:3]


def fault(tried: Tried) -> str:
    """What is wrong with how it was read; "" where the law holds."""
    lines = read(tried.text, tried.line)
    new = [one for one in meanings(lines) if one not in tried.before]
    asked = any(line.question for line in lines)
    if any(not (_seen(tried, one, lines) or (asked and _lots_lost(tried, one))) for one in new):
        return "changed"
    dropped = tried.place == "in the line" and tried.law != "idle" and not new
    return "left over" if dropped and not asked and meanings(lines) and not _says_the_same(tried) else ""


def _says_the_same(tried: Tried) -> bool:
    """Whether what was put in is what the line is per anyhow, a word of its grade's names, or of a wire its share."""
    kilo, pound = "kilo" in tried.word or "kg" in tried.word, "lb" in tried.word
    said = tried.line.text.lower()
    per = "kg" if "kg" in said or "kilo" in said else "lb" if "lb" in said or "pound" in said else tried.line.unit
    same = tried.law == "unit" and ((kilo and per == "kg") or (pound and per == "lb"))
    named = frozenset(plain_words(tried.word.split()))
    lexicon, grades = lexicon_of(GRADES), [one[0] for one in tried.before]
    same = same or (tried.law == "condition" and all(named <= lexicon.goes_with[grade] for grade in grades))
    same = same or all(not Decimal(one[1]) for one in tried.before)  # what is free is so in any unit
    return same or ("%" in tried.word and all(GRADES[one[0]].family == "wire" for one in tried.before))


def _lots_lost(tried: Tried, one: Meaning) -> bool:
    """Whether only what lots a price is for is missing, which is asked about."""
    return any(one[:3] == before[:3] for before in tried.before)


def _seen(tried: Tried, one: Meaning, lines: Sequence[PriceLine]) -> bool:
    """Whether what is new in a meaning is what was put in, and nothing else is."""
    same = [before for before in tried.before if before[0] == one[0]]
    if one[1] == "no":  # of a word for a family all of it is refused
        return tried.law == "no" and any(GRADES[before[0]].family == GRADES[one[0]].family for before in tried.before)
    if tried.law == "unit":
        return any(before[3:] == one[3:] and before[1:3] != one[1:3] for before in same) or _more_lots(one, same)
    if tried.law == "lot":
        return _more_lots(one, same)
    if tried.law == "number":
        return _more_lots(one, same) or _in_figures(tried, one, same) or _of_their_own(lines) or _in_range(tried, lines)
    if _in_figures(tried, one, same):
        return True
    return tried.law == "condition" and not same and one[1:3] in {before[1:3] for before in tried.before}


def _more_lots(one: Meaning, same: Sequence[Meaning]) -> bool:
    return any(before[:3] == one[:3] and before[3:] != one[3:] for before in same)


def _in_figures(tried: Tried, one: Meaning, same: Sequence[Meaning]) -> bool:
    """Whether both figures are in the price: "per two kg", "per half kg", "nine bucks ten cents"."""
    figure = {"two": Decimal(2), "half": Decimal("0.5"), "ten cents": Decimal("0.1")}.get(tried.word)
    return figure is not None and any(
        abs(Decimal(one[1]) - price) < Decimal("0.000001")
        for before in same
        for price in (Decimal(before[1]) / figure, Decimal(before[1]) + figure, Decimal(before[1]) + figure / 100)
    )


def _in_range(tried: Tried, lines: Sequence[PriceLine]) -> bool:
    """Whether the price before is now one end of a range: "38c - .60"."""
    ends = {(line.grade or "", f"{end / kg_per(line.unit):.9f}") for line in lines for end in line.ends or ()}
    return any(before[:2] in ends for before in tried.before)


def _of_their_own(lines: Sequence[PriceLine]) -> bool:
    """Whether each price that was heard has a name of its own, one of which is asked about."""
    priced = [line for line in lines if line.item.prices]
    named = all(NAMED.search(line.text) for line in priced)
    return named and len(priced) > 1 and any(line.question for line in priced)
