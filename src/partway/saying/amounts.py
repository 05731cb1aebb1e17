"""Numbers in what was said: counts, masses, money, times, days. The seam to the one reader of numbers."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from partway.pricelist.spoken import ONES, TENS, number_at
from partway.pricelist.tokens import tokens_of

LONGEST = 10  # words of one amount
MASS_UNITS = {
    "lb": "lb", "lbs": "lb", "pound": "lb", "pounds": "lb", "kg": "kg", "kilo": "kg", "kilos": "kg", "kilogram": "kg",
    "kilograms": "kg", "kgs": "kg", "g": "g", "gram": "g", "grams": "g", "oz": "oz", "ounce": "oz", "ounces": "oz",
}  # fmt: skip
MONEY_UNITS = frozenset(["dollar", "dollars", "buck", "bucks", "euro", "euros", "pound_sterling"])
CENTS = frozenset(["cent", "cents", "c", "¢"])
HOURS = frozenset(["hour", "hours", "h", "hr", "hrs"])
MINUTES = frozenset(["minute", "minutes", "min", "mins", "m"])
DAYS = frozenset(["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"])
FRACTIONS = {"½": ".5", "¼": ".25", "¾": ".75"}
SIGNS = frozenset("$€£")


@dataclass(frozen=True, slots=True)
class Amount:
    """What a number was read as, in the text that actions take; several where it may be either. `sure`: its unit was
    said.
    """

    readings: tuple[str, ...]
    sure: bool = True


def _number(words: Sequence[str]) -> tuple[Decimal, ...]:
    text = " ".join(words)
    for sign, tail in FRACTIONS.items():
        text = re.sub(rf"(\d+){sign}", rf"\1{tail}", text).replace(sign, f"0{tail}")
    half = Decimal(0)
    if text.endswith((" and a half", " and half")):
        half, text = Decimal("0.5"), text.removesuffix(" half").removesuffix(" a").removesuffix(" and")
    if text in ("half", "half a", "half an", "a half"):
        return (Decimal("0.5"),)
    if text in ("a", "an"):
        return (Decimal(1),)
    tokens = tokens_of(text)
    found = number_at(tokens, 0, comma=False)
    if found is None or found[2] != len(tokens):
        return ()
    readings, style, _ = found
    return tuple(one + half for one in (readings[:1] if style in ("exact", "bare") else readings))


def plain(number: Decimal) -> str:
    """Without zeros behind the point."""
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _count(words: Sequence[str]) -> Amount | None:
    if words in (["a", "pair", "of"], ["both"]):
        return Amount(("2",))
    found = _number(words)
    whole = len(found) == 1 and found[0] == int(found[0]) and 0 < found[0] <= 100_000
    return Amount((str(int(found[0])),)) if whole else None


def _mass(words: Sequence[str]) -> Amount | None:
    at = next((i for i, word in enumerate(words) if word in MASS_UNITS), None)
    if at is None:
        found = _number(words)
        return Amount((plain(found[0]),), sure=False) if found else None
    rest = list(words[at + 1 :])
    found = _number(words[:at])
    if not found:
        return None
    unit = MASS_UNITS[words[at]]
    if rest[:2] == ["and", "a"] and rest[2:] == ["half"]:
        return Amount((f"{plain(found[0] + Decimal('0.5'))} {unit}",))
    if rest and rest[-1] in ("oz", "ounce", "ounces") and unit == "lb":
        ounces = _number([word for word in rest[:-1] if word != "and"])
        return Amount((f"{plain(found[0] + ounces[0] / 16)} lb",)) if ounces else None
    return Amount((f"{plain(found[0])} {unit}",)) if not rest else None


def _money(words: Sequence[str]) -> Amount | None:
    words = list(words)
    sure = any(word in MONEY_UNITS or word in CENTS or word in SIGNS for word in words)
    if words[0] in SIGNS:
        words = words[1:]
    if words and words[-1] in CENTS:
        found = _number(words[:-1])
        return Amount((plain(found[0] / 100),)) if found else None
    at = next((i for i, word in enumerate(words) if word in MONEY_UNITS), len(words))
    found, rest = _number(words[:at]), [word for word in words[at + 1 :] if word != "and"]
    if not found:
        return None
    if rest:
        cents = _number([word for word in rest if word not in CENTS])
        return Amount((plain(found[0] + cents[0] / 100),)) if cents and cents[0] < 100 else None
    return Amount(tuple(plain(one) for one in found), sure)


def _minutes(words: Sequence[str]) -> Amount | None:
    at = next((i for i, word in enumerate(words) if word in HOURS or word in MINUTES), None)
    if at is None:
        return None
    found, rest = _number(words[:at]), list(words[at + 1 :])
    if not found:
        return None
    minutes = found[0] * (60 if words[at] in HOURS else 1)
    if rest == ["and", "a", "half"] and words[at] in HOURS:
        return Amount((str(int(minutes + 30)),))
    if rest and words[at] in HOURS:
        more = _number([word for word in rest if word not in MINUTES and word != "and"])
        return Amount((str(int(minutes + more[0])),)) if more else None
    return Amount((str(int(minutes)),)) if not rest and minutes == int(minutes) else None


def _day(words: Sequence[str]) -> Amount | None:
    text = " ".join(words)
    if text in ("today", "yesterday") or text in DAYS:
        return Amount((text,))
    return None


READERS: dict[str, Callable[[Sequence[str]], Amount | None]] = {
    "count": _count, "mass": _mass, "money": _money, "minutes": _minutes, "day": _day, "km": _count,
}  # fmt: skip


@lru_cache(maxsize=8192)
def amount(sort: str, words: tuple[str, ...]) -> Amount | None:
    """What some words are as an amount of a sort; None where they are none, or not all of them."""
    return READERS[sort](list(words))


def begins(word: str) -> bool:
    """Whether an amount may begin with a word."""
    return word[0].isdecimal() or word[0] in ".½¼¾" or word in BEGINNERS


BEGINNERS = frozenset(
    {*ONES, *TENS, *SIGNS, *DAYS, "a", "an", "half", "point", "both", "today", "yesterday", "hundred"}
)
