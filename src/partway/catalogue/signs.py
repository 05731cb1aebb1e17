"""The signs that ship, `data/signs.toml`, read and checked."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from partway.catalogue.reading.toml import load
from partway.errors import BadCatalogue
from partway.quantities import shown
from partway.things.anatomy import Anatomy
from partway.things.signs import Origin, Sign, Signs

SIGN = re.compile("[a-z][a-z-]{0,38}")
FIELDS = {"id", "name", "ask", "seconds", "works", "broken", "hazards", "families", "source"}


@lru_cache(maxsize=4)
def signs_in(file: Path) -> Signs:
    """The table of a file. Raises BadCatalogue where a row does not hold."""
    tables = load(file)
    if unknown := set(tables) - {"sign", "from"}:
        raise BadCatalogue(", ".join(map(shown, sorted(unknown))), "[[sign]] and [[from]]", file.name)
    found: dict[str, Sign] = {}
    for i, row in enumerate(tables.get("sign", ())):
        sign = _sign(row, f"{file.name}, sign[{i}]")
        if sign.id in found:
            raise BadCatalogue(f"{shown(sign.id)} twice", "each sign once", file.name)
        found[sign.id] = sign
    return Signs(found, tuple(_origin(row, f"{file.name}, from[{i}]") for i, row in enumerate(tables.get("from", ()))))


def _sign(row: Mapping[str, Any], where: str) -> Sign:
    if unknown := set(row) - FIELDS:
        raise BadCatalogue(", ".join(map(shown, sorted(unknown))), f"only {', '.join(sorted(FIELDS))}", where)
    if not SIGN.fullmatch(str(row.get("id", ""))):
        raise BadCatalogue(shown(row.get("id", "")), "an id of small letters and hyphens", f"{where}.id")
    for name in ("name", "ask"):
        if not str(row.get(name, "")).strip():
            raise BadCatalogue("nothing", "a text", f"{where}.{name}")
    for name in ("works", "broken"):
        _number(row, name, 0.0, 1.0, where)
    _number(row, "seconds", 0.0, 600.0, where)
    lists = {name: tuple(row.get(name, ())) for name in ("hazards", "families")}
    return Sign(**{**row, **lists})


def _origin(row: Mapping[str, Any], where: str) -> Origin:
    _number(row, "odds", 0.01, 100.0, where, ends=True)
    words = tuple(row.get("words", ()))
    if not words or any(word != word.casefold() for word in words):
        raise BadCatalogue(shown(", ".join(words)), "words in small letters", f"{where}.words")
    return Origin(words, row["odds"], row.get("source", "memory"))


def _number(row: Mapping[str, Any], name: str, low: float, high: float, where: str, *, ends: bool = False) -> None:
    value = row.get(name)
    sound = isinstance(value, int | float) and (low <= value <= high if ends else low < value < high)
    if not sound:
        raise BadCatalogue(shown(value), f"a number above {low:g} and below {high:g}", f"{where}.{name}")


def looked_for(signs: Signs, anatomy: Anatomy) -> tuple[Sign, ...]:
    """The signs that say something about a find of a kind."""
    return tuple(sign for sign in signs.signs.values() if _fits(sign, anatomy))


def _fits(sign: Sign, anatomy: Anatomy) -> bool:
    if not sign.hazards and not sign.families:
        return True
    return anatomy.family in sign.families or bool(set(sign.hazards) & set(anatomy.cautions))
