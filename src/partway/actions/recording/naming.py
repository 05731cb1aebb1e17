"""Which find, bin or haul somebody means who types a name: the one place that decides, and asks where several go by it.

Two devices may use one name for two things; after a merge one of them has a tail, kettle-1~a1b2c3 (ledger.fold.things).
A key with its tail always names one thing, and a name with a bare tilde behind it, kettle-1~, the one without a tail.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection

from partway.actions.recording import reading
from partway.actions.recording.questions import Asked
from partway.actions.recording.words import mass
from partway.ledger.book import Book
from partway.ledger.events.ids import time_of
from partway.ledger.fold.standing import BinNow, FindNow
from partway.ledger.fold.things import MARK
from partway.quantities import shown
from partway.spoken.texts import dated
from partway.things.traits import said_kind


def thing_named(
    given: str,
    keys: Collection[str],
    what: str,
    where: str,
    tell: Callable[[str], str],
    exact: bool = False,
    option: str = "",
) -> str:
    """The key that a text names. Raises Asked where several things go by it, unless it is `exact`: a key from a page or
    a program, which means what it says; and Refused for what nothing goes by.
    """
    plain = re.sub(r"[\s_]+", "-", given.strip().lower())
    if plain.endswith(MARK) and plain[: -len(MARK)] in keys:
        return plain[: -len(MARK)]
    if (exact or MARK in plain) and plain in keys:
        return plain
    alike = sorted(key for key in keys if key == plain or key.startswith(plain + MARK))
    if len(alike) == 1:
        return alike[0]
    if not alike:
        return reading.one_of(given, keys, what, where, listed=False)
    choices = tuple((key if MARK in key else key + MARK, tell(key)) for key in alike)
    listed = "; ".join(f"{answer} ({means})" for answer, means in choices)
    many = f"{shown(given)}, which {len(alike)} go by, from several devices"
    raise Asked(many, f"one of {listed}", where, option or where, choices)


def key_or_slug(given: str, keys: Collection[str], where: str) -> str:
    """A key that is there, or the name of something new. Raises Refused."""
    plain = given.strip().lower()
    if MARK in plain and plain in keys:
        return plain
    return reading.slug(given, where)


def next_name(book: Book, sort: str, start: str) -> str:
    """The beginning of a name and the next number: after that of all there ever was, also of what does not count."""
    names = (key.partition(":")[2].partition(MARK)[0] for key in book.keys(f"{sort}:{start}"))
    numbers = [int(tail) for name in names if (tail := name[len(start) :]).isdecimal()]
    return f"{start}{max(numbers, default=0) + 1}"


def tell_find(book: Book, now: FindNow) -> str:
    """A find among others of its name: what it is, the day it was found, what is left of it."""
    return f"{said_kind(now.kind)}, found {dated(now.found.date())}, {mass(book, now.mg) if now.mg else 'not weighed'}"


def tell_bin(book: Book, now: BinNow) -> str:
    """A bin among others of its name: what it holds, the day it was made, and how much."""
    return f"{now.grade}, {mass(book, now.mg)}{_made(book, f'bin:{now.id}')}"


def tell_haul(book: Book, haul: str) -> str:
    """A haul among others of its name: where it goes, and the day it set out."""
    return f"haul {haul}{_made(book, f'haul:{haul}')}"


def tell_round(book: Book, name: str) -> str:
    """A collecting round among others of its name: the day it set out."""
    return f"round {name}{_made(book, f'round:{name}')}"


def _made(book: Book, key: str) -> str:
    maker = book.makers([key]).get(key)
    return "" if maker is None else f", made {dated(time_of(maker).date())}"
