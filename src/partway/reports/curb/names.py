"""Finding a kind by two letters, typed with a thumb: the start of any word of any of its names, or nearly so."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache

from partway.reports.curb.name_index import NameIndex
from partway.reports.curb.slips import NO, slips, starts
from partway.things.anatomy import Anatomy

OWN = 2  # names of a kind that are its own: its name and its id
LATER = 0.05  # each word that stands before the one that was meant
OTHER_NAME = 0.1
ABOUT_AS_NEAR = 0.5
LONGEST = 40
ONLY_OFFERED = "?"
SHORTEST_PLURAL = 4  # "ups" is no plural
# Harbour and harbor: common practice, no source. Of a name run together, so that it is found however it is written.
SPELT = {"aluminium": "aluminum", "grey": "gray", "tyre": "tire", "centre": "center"}
OUR = re.compile(r"(?<=[^\W_]{3})our")  # "hour" and "four" are spelt in one way


@dataclass(frozen=True, slots=True)
class KindNames:
    """A kind and everything people call it; `names[0]` is its own name, then its id.

    `offered` are words that may as well mean another thing: the kind is found by them, never decided on.
    """

    kind: str
    names: tuple[str, ...]
    offered: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class KindMatch:
    """A kind that was meant, likeliest first. `called` is the other name it was found by, "" for its own."""

    kind: str
    name: str
    called: str


def named(anatomies: Iterable[Anatomy]) -> tuple[KindNames, ...]:
    """Kinds with their names, and what else people call them. One that was split is nowhere offered any more."""
    return tuple(_named(one.kind, one.name, one.names) for one in anatomies if not one.became)


@lru_cache(maxsize=1024)
def _named(kind: str, name: str, names: tuple[str, ...]) -> KindNames:
    offered = tuple(other.removesuffix(ONLY_OFFERED) for other in names if other.endswith(ONLY_OFFERED))
    sure = (other for other in names if not other.endswith(ONLY_OFFERED))
    return KindNames(kind, (name, kind, *sure), offered)


def kind_called(text: str, kinds: Iterable[KindNames]) -> str | None:
    """The one kind that goes by exactly this name: its own, its id or another name of it alone; None where it is asked.

    Case, accents, spaces, hyphens and a plural do not matter. Nothing near a name is good enough: what is decided here
    is a verdict on what somebody is about to pick up.
    """
    if len(text) > LONGEST or not text.isprintable():
        return None
    known, wanted = tuple(kinds), name_key(text)
    if any(text == kind.kind for kind in known):
        return text  # an id always means itself, whatever else somebody's own kinds are called
    called = {kind.kind for kind in known if wanted and wanted in map(name_key, kind.names)}
    return called.pop() if len(called) == 1 else None


def _one_spelling(run: str) -> str:
    for spelt, also in SPELT.items():
        run = run.replace(spelt, also)
    return OUR.sub("or", run)


@lru_cache(maxsize=4096)
def name_key(text: str) -> str:
    """A name without what does not matter: small letters run together, the last word in the singular, one spelling of
    what is spelt in two ways on the two sides of an ocean.
    """
    run = _one_spelling("".join(words(text)))
    if len(run) > len("ies") + 1 and run.endswith("ies"):
        return f"{run[:-3]}y"
    return run[:-1] if len(run) >= SHORTEST_PLURAL and run.endswith("s") and not run.endswith("ss") else run


def find_kinds(text: str, kinds: Iterable[KindNames]) -> tuple[KindMatch, ...]:
    """Kinds that a text may mean: whole words, then beginnings; slips are forgiven only where there is neither.

    Ties go to the shorter name.
    """
    typed = words(text[:LONGEST])
    if not typed:
        return ()
    known = tuple(kinds)
    found = _near(typed, known, starts)
    if not found:
        found = _near(typed, known, slips)
        found = [one for one in found if one[0] <= min(found)[0] + ABOUT_AS_NEAR]
    return tuple(match for _, _, _, match in sorted(found, key=lambda one: one[:3]))


def with_a_word_of(text: str, kinds: Iterable[KindNames]) -> tuple[KindMatch, ...]:
    """Kinds that have a whole word of a text in one of their names: a toaster oven may be a toaster."""
    wanted = {name_key(word) for word in words(text[:LONGEST]) if len(word) >= SHORTEST_PLURAL}
    known = tuple(kinds)
    having = zip(known, _word_keys(known), strict=True)
    return tuple(KindMatch(kind.kind, kind.names[0], "") for kind, keys in having if not wanted.isdisjoint(keys))


@lru_cache(maxsize=8)
def _word_keys(kinds: tuple[KindNames, ...]) -> tuple[frozenset[str], ...]:
    """The words of all names of each kind, without what does not matter."""
    called = ((*kind.names, *kind.offered) for kind in kinds)
    return tuple(frozenset(name_key(word) for name in names for word in words(name)) for names in called)


def _near(
    typed: tuple[str, ...], kinds: tuple[KindNames, ...], apart: Callable[[str, str], float]
) -> list[tuple[float, int, str, KindMatch]]:
    best: dict[int, tuple[float, str]] = {}  # how near, and the name it was found by, by the kind's place
    for place, nth, name in _index(kinds).near(typed, apart):
        own = nth < OWN
        found = (_distance(typed, words(name), apart) + (0.0 if own else OTHER_NAME), "" if own else name)
        best[place] = min(best.get(place, found), found)
    near = ((kinds[place], found) for place, found in best.items() if found[0] < NO)
    return [
        (distance, len(kind.names[0]), kind.kind, KindMatch(kind.kind, kind.names[0], called))
        for kind, (distance, called) in near
    ]


@lru_cache(maxsize=8)
def _index(kinds: tuple[KindNames, ...]) -> NameIndex:
    called = (
        (place, nth, name) for place, kind in enumerate(kinds) for nth, name in enumerate((*kind.names, *kind.offered))
    )
    return NameIndex.of((*one, words(one[2])) for one in called)


@lru_cache(maxsize=4096)
def words(text: str) -> tuple[str, ...]:
    """Words in small letters without accents or marks; "A/C" is one word."""
    plain = unicodedata.normalize("NFKD", text).casefold()
    plain = "".join(c for c in plain if not unicodedata.combining(c))
    plain = re.sub(r"(?<![^\W_])([^\W_])[/.]([^\W_])(?![^\W_])", r"\1\2", plain)
    return tuple(re.findall(r"[^\W_]+", plain))


def _distance(typed: tuple[str, ...], name: tuple[str, ...], apart: Callable[[str, str], float]) -> float:
    """How far what was typed is from a name: each of its words from the nearest, or all of them run together."""
    each = 0.0
    for one in typed:
        each += min([apart(one, word) + LATER * min(i, 4) for i, word in enumerate(name)], default=NO)
        if each >= NO:
            break
    return min(each, apart("".join(typed), "".join(name)), NO)
